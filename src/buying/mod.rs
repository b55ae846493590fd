//! Buying: which offers to take, so that every need is met for the least money.

mod model;
mod purchase;

pub use model::*;
pub use purchase::{Limits, purchase};
