//! Schemes side by side.

use super::model::Comparison;
use crate::buying::Limits;
use crate::catalogue::Catalogue;
use crate::layout::Layout;

/// Works out every scheme of the rules and chooses.
pub fn compare(_: &Layout, _: &Catalogue, _: Limits) -> Comparison {
    unimplemented!()
}
