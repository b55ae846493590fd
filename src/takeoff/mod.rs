//! The take-off: what the layout needs under an assignment, each amount with its reasons.

mod count;
mod measure;
mod model;
mod subjects;

pub use count::{RuleAmount, take_off};
pub use model::*;
pub use subjects::{Subject, SubjectFacts, subjects};
