//! Hours: how long the build takes, as a range.

mod estimate;
mod model;

pub use estimate::{ThreePoint, hours, learning_sum, set_up};
pub use model::*;
