//! The bill: every part of the plan, how many, and what they cost, by where the money goes.

use std::collections::BTreeMap;

use super::orders::{TOP_UP, top_up};
use super::plan::{Plan, Show};
use super::words::by_kind;
use crate::catalogue::Word;
use crate::id::PartId;
use crate::money::Money;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table};

/// One part over all its needs and lines.
struct Item {
    part: PartId,
    used: u32,
    from_stock: u32,
    bought: u32,
    cost: Money,
}

/// The bill of a plan.
pub fn bill(plan: &Plan) -> Document {
    let mut parts = parts(plan);
    parts.blocks.push(Block::text("`shop` says where to buy what; `bill --why KIND` shows how a number came about."));
    let sections = [Some(parts), plan.elsewhere()].into_iter().flatten().collect();
    plan.document("bill", "bill of parts", sections, Show::ForOrder)
}

fn items(plan: &Plan) -> Vec<Item> {
    let purchase = &plan.estimate.purchase;
    let mut items = BTreeMap::new();
    let nothing = |part| Item { part, used: 0, from_stock: 0, bought: 0, cost: Money::zero(plan.catalogue.rates.home) };
    for used in &purchase.uses {
        let item = items.entry(by_kind(plan.catalogue, used.part)).or_insert_with(|| nothing(used.part));
        item.used += used.count;
        item.from_stock += used.from_stock;
    }
    for line in purchase.lines() {
        let part = plan.catalogue.offer(line.offer).part;
        let item = items.entry(by_kind(plan.catalogue, part)).or_insert_with(|| nothing(part));
        item.bought += line.parts;
        item.cost += line.total;
    }
    items.into_values().collect()
}

pub(super) fn parts(plan: &Plan) -> Section {
    let purchase = &plan.estimate.purchase;
    let items = items(plan);
    let group = |item: &Item| plan.catalogue.kind(plan.catalogue.part(item.part).kind).role.group();
    let mut rows = Vec::new();
    for items in items.chunk_by(|a, b| group(a) == group(b)) {
        rows.extend(items.iter().map(|item| {
            let part = plan.catalogue.part(item.part);
            let kind = plan.catalogue.kind(part.kind);
            Row::of([
                Cell::from(&part.title),
                Cell::from(&*kind.name),
                item.used.into(),
                item.from_stock.into(),
                item.bought.into(),
                item.cost.into(),
            ])
        }));
        let cost = Money::total(items.iter().map(|item| item.cost), plan.catalogue.rates.home);
        rows.extend(items.first().map(|first| sum(&format!("In all for {}", group(first).word()), cost)));
    }
    rows.push(sum("Goods", purchase.goods).named("goods"));
    rows.extend(top_up(&purchase.parcels).map(|top_up| sum(TOP_UP, top_up).named("top_up")));
    rows.push(sum("Postage", purchase.postage).named("postage"));
    rows.push(sum("To pay", purchase.total).named("total"));
    let table = Table::new(
        "bill",
        "",
        [
            ColumnHead::words("part", "Part"),
            ColumnHead::words("kind", "Kind"),
            ColumnHead::number("used", "Needed"),
            ColumnHead::number("from_stock", "You have"),
            ColumnHead::number("bought", "Buy"),
            ColumnHead::number("cost", "Cost"),
        ],
    )
    .rows(rows)
    .note("Spares are counted in. More is bought than needed where packs hold more.");
    Section::new("bill", "What it takes", [Block::Table(table)])
}

fn sum(what: &str, cost: Money) -> Row {
    Row::total([Cell::from(what), Cell::Missing, Cell::Missing, Cell::Missing, Cell::Missing, cost.into()])
}
