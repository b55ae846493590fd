//! How the supplies stand.

use super::model::{Demand, SupplyCheck};
use crate::buying::Purchase;
use crate::catalogue::Catalogue;
use crate::layout::Layout;
use crate::takeoff::Takeoff;

/// Each supply against its demand.
pub fn check(_: &Layout, _: &Catalogue, _: &[Demand], _: &Takeoff, _: &Purchase) -> Vec<SupplyCheck> {
    unimplemented!()
}
