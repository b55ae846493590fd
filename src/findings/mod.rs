//! Plain findings about a finished plan: what falls short, what is doubtful, and the usual cautions. One file per concern.

mod all;
mod cautions;
mod frogs;
mod joints;
mod less;
mod mechanics;
mod names;
mod parts;
mod power;
mod price;
mod sorts;
mod stored;
mod stronger;
mod supplies;
mod switch_on;
mod wiring;

pub use all::{advise, findings};
pub use sorts::{SORTS, Sort};
