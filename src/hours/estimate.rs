//! Three-point sums with learning.

use super::model::Hours;
use crate::catalogue::Catalogue;
use crate::quantity::Minutes;
use crate::takeoff::SubjectFacts;
use crate::wiring::Wiring;

/// Low, likely, high.
#[derive(Debug, Clone, Copy)]
pub struct ThreePoint;

/// Hours of a plan.
pub fn hours(_: &Catalogue, _: &[SubjectFacts]) -> Hours {
    unimplemented!()
}

/// Sum of a learning curve.
pub fn learning_sum(_: u32) -> f64 {
    unimplemented!()
}

/// Minutes to plug the joints.
pub fn set_up(_: &Catalogue, _: &Wiring) -> Minutes {
    unimplemented!()
}
