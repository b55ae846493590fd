//! Commissioning: what to measure on each board before and after power is on, in the order that harms nothing, and what to expect.
//!
//! First without any power, then the supply alone, one controller, lights and lamps, one drive, then every drive twenty times. Expected readings come from
//! the plan; how far a reading may be off is common practice without a source.

mod board;
mod dead;
mod feeds;
mod lights;
mod model;

pub use board::checks;
pub use model::*;
