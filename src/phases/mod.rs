//! Buying step by step: what to build first for a budget, and board by board.
//!
//! A plan is made for the whole layout and only its buying is spread out, so that nothing bought early is replaced later. Every
//! reason of the take-off belongs to the step in which its subject is built; [`Steps`] says which.

mod boards;
mod budget;
mod steps;

pub(crate) use boards::restock;
pub use boards::{Phase, Phases, phases};
pub use budget::{Budget, within};
pub use steps::Steps;
