//! Wiring: routes and lengths, conductors at each joint, leads, links, plugs.
//!
//! `paths` finds the shortest ways, `trunk` brings shared conductors from board to board, `plan` is the whole: `planner` and `others` lay every
//! run between its `ends`, `labels` name them, `flows` and `circuit` tell what flows and what arrives, `sizing` chooses wire by it, `joints` counts
//! what parts at each joint, `encoders` gives each lever its input once they are bought, `courses` tells which way a wire takes over each board.

mod at_panel;
mod circuit;
mod colour;
mod contacts;
mod courses;
mod encoders;
mod ends;
mod flows;
mod joints;
mod jumpers;
mod labels;
mod levers;
mod lists;
mod model;
mod net;
mod others;
mod panel;
mod paths;
mod plan;
mod planner;
mod pulses;
mod round_trip;
mod sizing;
mod strips;
mod tails;
mod trunk;

pub use circuit::{Laid, lowest};
pub use colour::{Colour, colour, legend};
pub use contacts::Contacts;
pub use courses::{Course, courses};
pub use encoders::{Encoder, Input, encoders};
pub use ends::{Clamp, End, LatchTag, Lead as LampLead, Port, Source, Stop, Switch, Tag, Tap, Terminal, served, strip_name};
pub use joints::pin_area;
pub(crate) use jumpers::panel_wires;
pub use jumpers::{Jumper, Set, jumpers};
pub use lists::{Hue, Labels, SectionId};
pub use model::*;
pub use panel::{better_panel, middle, with_panel_at};
pub use paths::{Path, Paths};
pub use plan::{built_in_contacts, lamps_of, open_families, open_schemes, plan, proves};
pub(crate) use planner::lead_length;
pub use round_trip::RoundTrip;
pub use sizing::trip_current;
pub use strips::{Strip, Way};
pub use tails::Tail;
pub use trunk::boards_from_origin;
