//! Hours: how long the build takes, as a range.

mod estimate;
mod model;
mod three_point;

pub use estimate::{hours, set_up};
pub use model::*;
pub use three_point::{Z_80, deviation, learning_sum, mean};
