//! Choice: schemes side by side, and which to take.

mod compare;
mod model;
mod next;
mod verdict;

pub use compare::compare;
pub use model::*;
