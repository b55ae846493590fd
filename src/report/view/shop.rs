//! The shopping list: by supplier what to order, what comes from stock, what to get elsewhere, and how to cut.

use std::collections::BTreeMap;

use super::beside::{left_over, old_prices, other_ways};
use super::cutting::cutting;
use super::orders::Orders;
use super::plan::{Plan, Show};
use super::words::by_kind;
use crate::buying::{Beside, Fresh, Proof};
use crate::id::PartId;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table};

/// The shopping list of a plan, with what other ways to order the same would cost. With the day of the order, old prices are marked.
pub fn shop(plan: &Plan, beside: &Beside, fresh: Option<Fresh>) -> Document {
    plan.document("shop", "shopping list", list(plan, beside, fresh), Show::ForOrder)
}

/// The sections of a shopping list.
pub(super) fn list(plan: &Plan, beside: &Beside, fresh: Option<Fresh>) -> Vec<Section> {
    let orders = orders(plan, fresh);
    let mut sections: Vec<Section> = orders.sections().collect();
    sections.push(orders.total());
    sections.extend(other_ways(plan, beside));
    sections.extend(fresh.and_then(|fresh| old_prices(orders, fresh)));
    sections.extend(plan.elsewhere());
    sections.extend(stock(plan));
    sections.extend(left_over(plan.catalogue, &plan.estimate.purchase.left_over, plan.estimate.purchase.proof == Proof::Whole));
    sections.extend(cutting(plan));
    sections
}

/// The orders of a plan.
pub(super) fn orders<'a>(plan: &Plan<'a>, fresh: Option<Fresh>) -> Orders<'a> {
    let Plan { catalogue, estimate, .. } = *plan;
    Orders { catalogue, purchase: &estimate.purchase, reels: &estimate.reels, heading: "Order from ", fresh, on_paper: false }
}

/// What the user has and need not buy.
pub(super) fn stock(plan: &Plan) -> Option<Section> {
    let mut parts: BTreeMap<_, (PartId, u32)> = BTreeMap::new();
    for used in plan.estimate.purchase.uses.iter().filter(|used| used.from_stock > 0) {
        parts.entry(by_kind(plan.catalogue, used.part)).or_insert((used.part, 0)).1 += used.from_stock;
    }
    let rows = parts.into_values().map(|(part, count)| {
        let part = plan.catalogue.part(part);
        Row::of([Cell::from(&part.title), count.into(), part.stock.into()])
    });
    let table = Table::new(
        "stock",
        "",
        [ColumnHead::words("part", "Part"), ColumnHead::number("count", "Take"), ColumnHead::number("stock", "You have")],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("stock", "From what you have", [Block::Table(table)]))
}
