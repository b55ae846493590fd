//! The cheapest covers of all lots together.

use super::cover::Cover;
use super::limits::{Limits, Work};
use super::lots::Lots;
use super::model::Proof;
use super::programme::Programme;
use super::search::Search;

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
    let mut search = Search::new(programme, Lots::of(programme), Work::new(limits));
    let bound = search.run()?;
    let Search { lots, mut pool, best, work, .. } = search;
    work.tell_end();
    let (total, choice) = best?;
    let covers = pool.covers.iter_mut().zip(choice).map(|(covers, at)| covers.swap_remove(at)).collect();
    let proof = if bound == total { Proof::Whole } else { Proof::Stopped(work.halt()) };
    Some(Solution { lots, covers, total, bound, proof })
}
