//! The cheapest covers of all lots together.

use super::cover::{Cover, ONE, Prices};
use super::limits::{Limits, Work};
use super::lots::Lots;
use super::model::Proof;
use super::programme::Programme;

/// What the search found.
#[derive(Debug)]
pub struct Solution {
    /// The lots.
    pub(super) lots: Lots,
    /// A cover for each.
    pub(super) covers: Vec<Cover>,
    /// What it costs, postage included.
    pub total: i64,
    /// No order costs less.
    pub bound: i64,
    /// How far the total is proven.
    pub proof: Proof,
}

impl Solution {
    /// An order of nothing, for a programme that needs nothing.
    pub(super) fn nothing(programme: &Programme) -> Self {
        Self { lots: Lots::of(programme), covers: Vec::new(), total: 0, bound: 0, proof: Proof::Whole }
    }

    /// Packs of each offer.
    pub fn packs(&self, programme: &Programme) -> Vec<i64> {
        let mut packs = vec![0; programme.offers.len()];
        for (offer, n) in self.covers.iter().flat_map(|cover| &cover.packs) {
            packs[*offer] += n;
        }
        packs
    }
}

/// Solves a programme; `None` if its needs cannot all be met.
pub fn solve(programme: &Programme, limits: Limits) -> Option<Solution> {
    let mut work = Work::new(limits);
    let mut lots = Lots::of(programme);
    let prices = Prices::plain(programme.suppliers.len(), lots.slots.len());
    let (mut covers, mut bound) = (Vec::new(), 0);
    for lot in &mut lots.lots {
        let (cost, cover) = lot.cheapest(programme, &prices, &mut work)?;
        bound += cost;
        covers.push(cover);
    }
    let mut solution = Solution { lots, covers, total: 0, bound: bound.div_euclid(ONE), proof: Proof::EachNeed };
    solution.total = programme.cost(&solution.packs(programme));
    Some(solution)
}
