//! Wiring: routes and lengths, conductors at each joint, leads, links, plugs.
//!
//! A `run` is a conductor from end to end, `model` holds them all with what parts at the joints. `paths` finds the shortest ways, `trunk` brings
//! shared conductors from board to board, `plan` plans the whole. `planner`, `at_panel` and `others` lay every run between its `ends`; `levers` tells
//! what is joined to which tag of a lever, `proving` what the contacts at a drive are for, `labels` name the runs by their use and `colour`.
//! `in_turn` follows the wires from lever to lever on a panel. `flows` tells what flows in small wires; of a scheme's motors the `circuit` tells what
//! arrives: its `cases` are what may move together, its `net` holds all that resists, from the `inlet` of each section on and with each `crossing` of
//! a joint, and `pulses` judges those from a discharge unit over each `round_trip`. `sizing` chooses wire by them, `joints` counts what parts at each
//! joint, and `panel` looks for a better place of the panel. Once parts are bought, `encoders` gives each lever its input, `strips` each conductor
//! its screw, `tails` each pin its short wire, and `jumpers` are the short wires behind the levers. `lists` and `courses` are for those who lay them.

mod at_panel;
mod cases;
mod circuit;
mod colour;
mod courses;
mod crossing;
mod encoders;
mod ends;
mod flows;
mod in_turn;
mod inlet;
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
mod proving;
mod pulses;
mod round_trip;
mod run;
mod sizing;
mod strips;
mod tails;
mod trunk;

pub use circuit::{Installation, lowest};
pub use colour::{Colour, colour, legend};
pub use courses::{Course, courses};
pub use crossing::Crossing;
pub use encoders::{Encoder, Input, encoders};
pub use ends::{Clamp, End, LampLead, LatchTag, Port, Source, Stop, Switch, Tag, Tap, Terminal, served, strip_name};
pub use joints::pin_area;
pub(crate) use jumpers::panel_wires;
pub use jumpers::{Jumper, Set, jumpers};
pub(crate) use levers::read_at;
pub use levers::{Shown, shown};
pub use lists::{Hue, SectionId, Unlaid};
pub use model::*;
pub use panel::{better_panel, middle, with_panel_at};
pub use paths::{Path, Paths};
pub use plan::{feeds_and_wiring, lamps_of, open_families, open_schemes, plan};
pub(crate) use planner::lead_length;
pub use proving::{Proving, built_in_contacts, proves, proving_contacts};
pub use round_trip::RoundTrip;
pub use run::*;
pub use sizing::trip_current;
pub use strips::{Strip, Way};
pub use tails::Tail;
pub use trunk::boards_from_origin;
