//! What stands beside the cheapest order: everything from one supplier, and each item where it is cheapest.

use std::collections::BTreeSet;

use super::compile::compile;
use super::limits::Choices;
use super::model::{Proof, Purchase};
use super::programme::{Programme, Supplier};
use super::purchase::purchase;
use super::solve::solve;
use crate::catalogue::Catalogue;
use crate::id::{NeedId, SupplierId};
use crate::money::Money;
use crate::takeoff::Takeoff;

/// Other ways to order the same.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Beside {
    /// Everything from one supplier, for each that may be ordered from.
    pub alone: Vec<Alone>,
    /// Each item where it is cheapest; `None` where that cannot be reckoned, or takes more parcels than the user wants.
    pub piecemeal: Option<Piecemeal>,
}

/// Everything from one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alone {
    /// Which.
    pub supplier: SupplierId,
    /// What it costs with postage; `None` where the supplier does not sell all that the order holds.
    pub total: Option<Money>,
    /// What the supplier does not sell, in whole or in part, of what the order holds.
    pub lacks: Vec<NeedId>,
    /// How far the total is proven.
    pub proof: Proof,
}

/// Each item bought where it is cheapest, whatever the postage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piecemeal {
    /// Goods.
    pub goods: Money,
    /// All postage, and what must be added to orders.
    pub postage: Money,
    /// How many orders it takes.
    pub parcels: usize,
}

impl Piecemeal {
    /// Goods and postage.
    pub fn total(&self) -> Money {
        self.goods + self.postage
    }
}

/// Works out what a purchase would cost in other ways.
pub fn beside(takeoff: &Takeoff, catalogue: &Catalogue, choices: &Choices, best: &Purchase) -> Beside {
    let suppliers = (0..catalogue.suppliers.len()).map(SupplierId::at).filter(|&supplier| choices.allow(supplier));
    let not_had: BTreeSet<NeedId> = best.unmet.iter().map(|unmet| unmet.need).collect();
    let alone = suppliers.map(|supplier| {
        let order = purchase(takeoff, catalogue, &choices.alone(supplier));
        let mut lacks: Vec<NeedId> = order.unmet.iter().map(|unmet| unmet.need).filter(|need| !not_had.contains(need)).collect();
        lacks.dedup();
        Alone { supplier, total: lacks.is_empty().then_some(order.total), lacks, proof: order.proof }
    });
    // More parcels than the user wants are no other way to order.
    let few = |piecemeal: &Piecemeal| choices.most_parcels.is_none_or(|most| piecemeal.parcels <= most);
    Beside { alone: alone.collect(), piecemeal: piecemeal(takeoff, catalogue, choices).filter(few) }
}

fn piecemeal(takeoff: &Takeoff, catalogue: &Catalogue, choices: &Choices) -> Option<Piecemeal> {
    let programme = compile(takeoff, catalogue, choices).programme;
    let suppliers = vec![Supplier::default(); programme.suppliers.len()];
    let without_postage = Programme { suppliers, most_parcels: None, ..programme.clone() };
    let packs = solve(&without_postage, choices.limits)?.packs(&programme);
    let spent: Vec<i64> = programme.goods(&packs).into_iter().flatten().collect();
    let goods = spent.iter().sum();
    let home = catalogue.rates.home;
    Some(Piecemeal {
        goods: Money::from_minor(goods, home),
        postage: Money::from_minor(programme.cost(&packs) - goods, home),
        parcels: spent.len(),
    })
}
