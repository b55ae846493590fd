//! Plain findings about a finished plan.

use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::Finding;
use crate::layout::Layout;

/// What the builder should know about a plan.
pub fn findings(_layout: &Layout, _catalogue: &Catalogue, _estimate: &Estimate) -> Vec<Finding> {
    Vec::new()
}
