//! Rules applied to subjects.

use super::model::Takeoff;
use super::subjects::SubjectFacts;
use crate::catalogue::Catalogue;
use crate::layout::Layout;

/// Placeholder.
#[derive(Debug)]
pub struct RuleAmount;

/// The take-off.
pub fn take_off(_: &Catalogue, _: &Layout, _: &[SubjectFacts]) -> Takeoff {
    unimplemented!()
}
