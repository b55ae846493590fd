//! Board by board, each with its own order, and what that costs against ordering at once.

use std::collections::BTreeMap;

use super::steps::Steps;
use crate::buying::{Choices, LeftOver, Purchase, purchase};
use crate::catalogue::{Attr, Catalogue, Part, Value};
use crate::cutlist::{Reel, cutting_list};
use crate::estimate::Estimate;
use crate::id::{BoardId, PartId};
use crate::layout::Layout;
use crate::money::Money;
use crate::takeoff::{Need, Takeoff, part};

/// The order for one board.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// The board.
    pub board: BoardId,
    /// What it needs that was not needed before.
    pub takeoff: Takeoff,
    /// The catalogue with what earlier phases left in stock; offcuts are parts of their own, behind all others.
    pub shelf: Catalogue,
    /// What to buy for it: what earlier orders left over is used first.
    pub purchase: Purchase,
    /// What to cut from what.
    pub reels: Vec<Reel>,
}

/// Orders board by board.
#[derive(Debug, Clone, PartialEq)]
pub struct Phases {
    /// In the order of the layout file.
    pub phases: Vec<Phase>,
    /// What they cost together.
    pub total: Money,
    /// What everything costs in one order.
    pub at_once: Money,
    /// What of all that was bought no phase uses, in the order of the catalogue.
    pub left_over: Vec<LeftOver>,
}

/// Works out an order for each board, in the order of the layout file. What is left of packs, sticks and reels serves the next boards.
pub fn phases(layout: &Layout, catalogue: &Catalogue, choices: &Choices, plan: &Estimate) -> Phases {
    let (steps, boards) = Steps::by_board(layout, &plan.assignment);
    let mut shelf = catalogue.clone();
    let mut before = part(&plan.takeoff, catalogue, layout, |_| false);
    let mut phases = Vec::new();
    for (step, board) in boards.into_iter().enumerate() {
        let by_then = part(&plan.takeoff, catalogue, layout, |subject| steps.of(subject) <= step);
        let mut takeoff = part(&plan.takeoff, catalogue, layout, |subject| steps.of(subject) == step);
        for (need, (then, before)) in takeoff.needs.iter_mut().zip(by_then.needs.iter().zip(&before.needs)) {
            // Spares are a share of the whole, rounded up once; of a capacity nothing is left for later.
            need.spares = then.amount().saturating_sub(before.amount()).saturating_sub(need.counted());
        }
        let purchase = purchase(&takeoff, &shelf, choices);
        let before_it = shelf.clone();
        put_away(&mut shelf, &purchase);
        put_offcuts_away(&mut shelf, &purchase, &plan.takeoff);
        let reels = cutting_list(&takeoff, &before_it, &purchase, &plan.wiring);
        phases.push(Phase { board, takeoff, shelf: before_it, purchase, reels });
        before = by_then;
    }
    let total = Money::total(phases.iter().map(|phase| phase.purchase.total), catalogue.rates.home);
    let left_over = left_over(catalogue, phases.iter().map(|phase| &phase.purchase));
    Phases { phases, total, at_once: plan.purchase.total, left_over }
}

/// What orders placed one after the other leave in the end, each with why the last of them that left any bought so many. What was in stock
/// before the first is used before what was bought.
fn left_over<'a>(catalogue: &Catalogue, purchases: impl Iterator<Item = &'a Purchase>) -> Vec<LeftOver> {
    let mut bought: BTreeMap<PartId, i64> = BTreeMap::new();
    let mut used: BTreeMap<PartId, i64> = BTreeMap::new();
    let mut why = BTreeMap::new();
    for purchase in purchases {
        for line in purchase.lines() {
            *bought.entry(catalogue.offer(line.offer).part).or_default() += i64::from(line.parts);
        }
        for of_part in &purchase.uses {
            *used.entry(of_part.part).or_default() += i64::from(of_part.count);
        }
        why.extend(purchase.left_over.iter().map(|left| (left.part, left.why)));
    }
    let left = bought.into_iter().filter_map(|(part, bought)| {
        let stock = i64::from(catalogue.part(part).stock);
        let used = (used.get(&part).copied().unwrap_or_default() - stock).max(0);
        let count = u32::try_from(bought - used).ok().filter(|&count| count > 0)?;
        Some(LeftOver { part, count, why: *why.get(&part)? })
    });
    left.collect()
}

/// What is in stock after an order was used: what was bought comes in, what was used goes out.
fn put_away(shelf: &mut Catalogue, purchase: &Purchase) {
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

/// Puts what is left of cut sticks and reels in stock, each as a part of its own, if any piece of the whole plan could come of it.
fn put_offcuts_away(shelf: &mut Catalogue, purchase: &Purchase, whole: &Takeoff) {
    for cut in &purchase.cuts {
        let part = shelf.part(cut.part);
        let pieces = whole.of_kind(part.kind).flat_map(Need::pieces);
        let shortest = pieces.map(|piece| piece.0).min();
        if shortest.is_none_or(|shortest| cut.left < shortest) {
            continue;
        }
        let of = part.title.rsplit_once(OFFCUT).map_or(&*part.title, |(_, of)| of);
        let mut offcut = Part { title: format!("{}{OFFCUT}{of}", cut.left), stock: 1, ..part.clone() };
        offcut.attributes.insert(Attr::Length, Value::Measured(cut.left.quantity()));
        shelf.parts.push(offcut);
    }
}

/// What stands in the title of an offcut between its length and what it was cut from.
const OFFCUT: &str = " left of: ";
