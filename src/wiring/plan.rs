//! The wiring of a plan.

use super::model::Wiring;
use crate::catalogue::Catalogue;
use crate::layout::Layout;
use crate::scheme::Assignment;

/// Plans runs, leads and joints.
pub fn plan(_layout: &Layout, _catalogue: &Catalogue, _assignment: &Assignment) -> Wiring {
    unimplemented!()
}
