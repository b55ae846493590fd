//! The layout: what is on the railway and under which rules it is planned.
//!
//! `positions` finds the place of every value and refuses what no layout is; `raw` reads the values; `field` walks them by the keys of `form` and
//! `forms` and `words` read their texts. `boards`, `devices`, `kinds`, `levers` and `rules` check one area each, and `build` makes the [`Layout`] of
//! `model`; `room` tells where something can be fitted, `thrown` what a route may name, `slips` what is wrong with a file that is no YAML. A layout
//! that exists is valid: every id names something, every length is positive, and every board with something to wire can be reached from the panel.

mod boards;
mod build;
mod devices;
mod field;
mod form;
mod forms;
mod kinds;
mod levers;
mod model;
mod names;
mod positions;
mod raw;
mod report;
mod room;
mod rules;
mod slips;
mod thrown;
mod words;

pub use build::{read, read_sized};
pub use form::schema;
pub use model::*;
pub use room::Room;
pub use thrown::{NoLever, Throwable};
