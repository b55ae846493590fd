//! From needs to orders.

use super::model::Purchase;
use crate::catalogue::Catalogue;
use crate::takeoff::Takeoff;

/// How long the search may go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Work steps; two runs with the same limit agree.
    pub steps: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self { steps: 2_000_000 }
    }
}

/// The cheapest order that meets every need.
pub fn purchase(_takeoff: &Takeoff, _catalogue: &Catalogue, _limits: Limits) -> Purchase {
    unimplemented!()
}
