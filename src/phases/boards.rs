//! Board by board, each with its own order, and what that costs against ordering at once.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::steps::Steps;
use crate::buying::{Choices, Purchase, purchase};
use crate::catalogue::{Attr, Catalogue, Form};
use crate::estimate::Estimate;
use crate::id::{BoardId, NeedId, PartId};
use crate::layout::Layout;
use crate::money::Money;
use crate::takeoff::{Takeoff, part};

/// The order for one board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phase {
    /// The board.
    pub board: BoardId,
    /// What it needs that was not needed before.
    pub takeoff: Takeoff,
    /// What to buy for it: what earlier orders left over is used first.
    pub purchase: Purchase,
}

/// Orders board by board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phases {
    /// In the order of the layout file.
    pub phases: Vec<Phase>,
    /// What they cost together.
    pub total: Money,
    /// What everything costs in one order.
    pub at_once: Money,
}

/// Works out an order for each board, in the order of the layout file. What is left of packs serves the next board; offcuts do not.
pub fn phases(layout: &Layout, catalogue: &Catalogue, choices: &Choices, plan: &Estimate) -> Phases {
    let (steps, boards) = Steps::by_board(layout, &plan.assignment);
    let mut shelf = catalogue.clone();
    let mut free: BTreeMap<NeedId, Decimal> = BTreeMap::new();
    let mut before = part(&plan.takeoff, catalogue, layout, |_| false);
    let mut phases = Vec::new();
    for (step, board) in boards.into_iter().enumerate() {
        let by_then = part(&plan.takeoff, catalogue, layout, |subject| steps.of(subject) <= step);
        let mut takeoff = part(&plan.takeoff, catalogue, layout, |subject| steps.of(subject) == step);
        for (need, (then, before)) in takeoff.needs.iter_mut().zip(by_then.needs.iter().zip(&before.needs)) {
            // Spares are a share of the whole, rounded up once.
            need.spares = then.spares.saturating_sub(before.spares);
            if let Form::Capacity(_) = catalogue.kind(need.kind).form {
                let there = free.get(&need.id).copied().unwrap_or_default();
                let wanting = then.amount().saturating_sub(there).max(Decimal::ZERO);
                need.spares = wanting.saturating_sub(need.counted());
            }
        }
        let purchase = purchase(&takeoff, &shelf, choices);
        put_away(&mut shelf, &purchase);
        for used in &purchase.uses {
            if let Form::Capacity(attr) = catalogue.kind(takeoff.need(used.need).kind).form {
                let more = capacity(catalogue, used.part, attr).saturating_mul(Decimal::from(used.count));
                let free = free.entry(used.need).or_default();
                *free = free.saturating_add(more);
            }
        }
        phases.push(Phase { board, takeoff, purchase });
        before = by_then;
    }
    let total = Money::total(phases.iter().map(|phase| phase.purchase.total), catalogue.rates.home);
    Phases { phases, total, at_once: plan.purchase.total }
}

/// What a part gives towards a capacity.
fn capacity(catalogue: &Catalogue, part: PartId, attr: Attr) -> Decimal {
    catalogue.part(part).measured(attr).map(crate::quantity::Quantity::value).unwrap_or_default()
}

/// What is in stock after an order was used: what was bought comes in, what was used goes out.
pub(crate) fn put_away(shelf: &mut Catalogue, purchase: &Purchase) {
    let bought: Vec<_> = purchase.lines().map(|line| (shelf.offer(line.offer).part, line.parts)).collect();
    for (part, count) in bought {
        restock(shelf, part, |stock| stock.saturating_add(count));
    }
    for used in &purchase.uses {
        restock(shelf, used.part, |stock| stock.saturating_sub(used.count));
    }
}

/// Changes what there is of a part.
pub(crate) fn restock(shelf: &mut Catalogue, part: PartId, change: impl FnOnce(u32) -> u32) {
    if let Some(part) = shelf.parts.get_mut(part.index()) {
        part.stock = change(part.stock);
    }
}
