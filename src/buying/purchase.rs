//! From needs to orders.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::compile::{Compiled, compile};
use super::limits::Choices;
use super::model::{Proof, Purchase, Unmet};
use super::order::order;
use super::solve::{Solution, solve};
use crate::catalogue::Catalogue;
use crate::id::SupplierId;
use crate::takeoff::Takeoff;

/// The cheapest order within the user's choices. Where so few parcels cannot hold everything, the suppliers are taken that sell
/// most of it, and the rest is unmet.
pub fn purchase(takeoff: &Takeoff, catalogue: &Catalogue, choices: &Choices) -> Purchase {
    let mut compiled = compile(takeoff, catalogue, choices);
    if let Some(solution) = solve(&compiled.programme, choices.limits) {
        return order(takeoff, catalogue, compiled, &solution);
    }
    if let Some(most) = choices.most_parcels {
        let only = Some(selling_most(&compiled, most));
        let narrowed = Choices { only, most_parcels: None, ..choices.clone() };
        let mut best = purchase(takeoff, catalogue, &narrowed);
        if best.proof == Proof::Whole {
            best.proof = Proof::OfThese;
        }
        return best;
    }
    let why = "the order costs more than can be reckoned with";
    compiled.unmet.extend(compiled.needs.iter().map(|&need| Unmet { need, why: why.to_owned() }));
    compiled.needs.clear();
    compiled.programme.needs.clear();
    let nothing = Solution::nothing(&compiled.programme);
    order(takeoff, catalogue, compiled, &nothing)
}

/// Suppliers that together sell for as many needs as can be reached by adding one after the other.
fn selling_most(compiled: &Compiled, most: usize) -> BTreeSet<SupplierId> {
    let programme = &compiled.programme;
    let sells = |supplier: usize, need: usize| {
        let mut offers = programme.offers.iter().filter(|offer| offer.supplier == supplier);
        offers.any(|offer| programme.needs[need].parts().any(|part| part == offer.part))
    };
    let mut missing: BTreeSet<usize> = (0..programme.needs.len()).collect();
    let mut chosen = BTreeSet::new();
    for _ in 0..most {
        let reach = |supplier: usize| missing.iter().filter(|&&need| sells(supplier, need)).count();
        let left = (0..programme.suppliers.len()).filter(|supplier| !chosen.contains(supplier));
        let Some(next) = left.max_by_key(|&supplier| (reach(supplier), Reverse(supplier))) else { break };
        missing.retain(|&need| !sells(next, need));
        chosen.insert(next);
    }
    chosen.into_iter().map(|supplier| compiled.suppliers[supplier]).collect()
}
