//! Buying: which offers to take, so that every need is met for the least money.
//!
//! [`compile`] turns needs into a [`Programme`] of plain integers, [`solve`] finds the cheapest order and proves it, and [`purchase`]
//! writes it out as a [`Purchase`].

mod beside;
mod chain;
mod compile;
mod cover;
mod cutting;
mod dual;
mod fresh;
mod join;
mod limits;
mod lots;
mod mixed;
mod model;
mod mps;
mod near;
mod order;
mod packing;
mod pool;
pub mod programme;
mod purchase;
mod search;
mod settle;
mod share;
mod solve;

pub use beside::{Alone, Beside, Piecemeal, beside};
pub use compile::{Compiled, compile};
pub use fresh::Fresh;
pub use limits::{Choices, Limits, Standing, Watch};
pub use model::*;
pub use mps::{to_mps, to_mps_with_names};
pub use programme::Programme;
pub use purchase::purchase;
pub use solve::{Solution, solve};
