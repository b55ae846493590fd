//! The layout: what is on the railway and under which rules it is planned.
//!
//! `raw` and `positions` read the YAML with places, `build` checks it and makes the [`Layout`] of `model`. A layout that exists is
//! valid: every id names something, every length is positive, and every board with something to wire can be reached from the panel.

mod build;
mod model;
mod positions;
mod raw;

pub use build::read;
pub use model::*;
