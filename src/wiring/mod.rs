//! Wiring: routes and lengths, conductors at each joint, leads, links, plugs.
//!
//! `paths` finds the shortest ways, `trunk` brings shared conductors from board to board, `plan` lays every run, `circuit` tells what
//! flows and what arrives, `sizing` chooses wire by it, `joints` counts what parts at each joint, `courses` tells which way a wire
//! takes over each board.

mod circuit;
mod colour;
mod courses;
mod joints;
mod lists;
mod model;
mod net;
mod panel;
mod paths;
mod plan;
mod pulses;
mod round_trip;
mod sizing;
mod trunk;

pub use circuit::lowest;
pub use colour::{Colour, colour};
pub use courses::{Course, courses, passing};
pub use lists::{Hue, Labels};
pub use model::*;
pub use panel::{better_panel, with_panel_at};
pub use paths::{Path, Paths};
pub use plan::{built_in_contacts, lamps_of, open_families, open_schemes, plan, proves};
pub use round_trip::RoundTrip;
pub use sizing::trip_current;
pub use trunk::boards_from_origin;
