//! What each feed draws.

use super::model::Demand;
use crate::catalogue::Catalogue;
use crate::layout::Layout;
use crate::scheme::Assignment;

/// Demand by feed.
pub fn demand(_: &Layout, _: &Catalogue, _: &Assignment) -> Vec<Demand> {
    unimplemented!()
}
