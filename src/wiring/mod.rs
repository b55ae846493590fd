//! Wiring: routes and lengths, conductors at each joint, leads, links, plugs.

mod model;
mod paths;
mod plan;

pub use model::*;
pub use paths::{Path, Paths};
pub use plan::plan;
