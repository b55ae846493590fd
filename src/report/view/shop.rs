//! The shopping list: by supplier what to order, what comes from stock, what to get elsewhere, and how to cut.

use std::collections::BTreeMap;

use super::beside::{left_over, old_prices, other_ways};
use super::cutting::cutting;
use super::plan::{Plan, Show};
use super::words::by_kind;
use crate::buying::{Beside, Fresh, Halt, Parcel, Proof};
use crate::day::Day;
use crate::id::PartId;
use crate::money::Money;
use crate::report::{Block, Cell, ColumnHead, Document, Prose, Row, Section, Table, prose};

/// What is added to an order to reach a threshold.
pub(super) const TOP_UP: &str = "Anything you can use";

/// All that is added to reach thresholds, if anything.
pub(super) fn top_up(parcels: &[Parcel]) -> Option<Money> {
    parcels.iter().filter_map(|parcel| parcel.top_up).sum()
}

/// The shopping list of a plan, with what other ways to order the same would cost. With the day of the order, old prices are marked.
pub fn shop(plan: &Plan, beside: &Beside, fresh: Option<Fresh>) -> Document {
    let parcels = plan.estimate.purchase.parcels.iter().map(|parcel| order(plan, parcel, fresh));
    let mut sections: Vec<Section> = parcels.collect();
    sections.push(total(plan));
    sections.extend(other_ways(plan, beside));
    sections.extend(fresh.and_then(|fresh| old_prices(plan, fresh)));
    sections.extend(plan.elsewhere());
    sections.extend(stock(plan));
    sections.extend(left_over(plan));
    sections.extend(cutting(plan));
    plan.document("shop", "shopping list", sections, Show::ForOrder)
}

/// The order at one supplier.
fn order(plan: &Plan, parcel: &Parcel, fresh: Option<Fresh>) -> Section {
    let supplier = plan.catalogue.supplier(parcel.supplier);
    let lines = parcel.lines.iter().map(|line| {
        let offer = plan.catalogue.offer(line.offer);
        Row::of([
            Cell::from(&plan.catalogue.part(offer.part).title),
            Cell::from(&offer.code),
            offer.pack.into(),
            line.packs.into(),
            line.parts.into(),
            offer.price.into(),
            line.total.into(),
            checked(offer.checked_on, fresh),
        ])
    });
    let sum = |id, what: &str, money: Money| {
        let mut cells = vec![Cell::Missing; 8];
        cells[0] = what.into();
        cells[6] = money.into();
        Row::total(cells).named(id)
    };
    let sums = [
        Some(sum("goods", "Goods", parcel.goods)),
        parcel.top_up.map(|top_up| sum("top_up", TOP_UP, top_up)),
        Some(sum("postage", "Postage", parcel.postage)),
        Some(sum("total", "To pay", to_pay(plan, parcel))),
    ];
    let checked_on = ColumnHead::words("checked_on", "Price checked");
    let table = Table::new(
        "order",
        "",
        [
            ColumnHead::words("part", "Part"),
            ColumnHead::words("code", "Their code"),
            ColumnHead::number("pack", "Pack of"),
            ColumnHead::number("packs", "Packs"),
            ColumnHead::number("parts", "Parts").detail(),
            ColumnHead::number("price", "A pack"),
            ColumnHead::number("total", "Line"),
            if fresh.is_some() { checked_on } else { checked_on.detail() },
        ],
    )
    .rows(lines)
    .rows(sums.into_iter().flatten());
    let mut blocks = vec![Block::Table(table)];
    let terms: Vec<Prose> = terms(plan, parcel);
    if !terms.is_empty() {
        blocks.push(Block::List(terms));
    }
    Section::new("order", format!("Order from {}", supplier.title), blocks)
}

/// The day a price was checked, with a mark if that is too long ago.
fn checked(on: Option<Day>, fresh: Option<Fresh>) -> Cell {
    let is_old = |day| fresh.is_some_and(|fresh| fresh.is_old(day));
    on.map(|day| if is_old(day) { format!("{day}, old") } else { day.to_string() }).into()
}

/// What an order comes to.
fn to_pay(plan: &Plan, parcel: &Parcel) -> Money {
    parcel.goods + parcel.postage + parcel.top_up.unwrap_or(Money::zero(plan.catalogue.rates.home))
}

/// What the supplier's thresholds did to the order.
fn terms(plan: &Plan, parcel: &Parcel) -> Vec<Prose> {
    let supplier = plan.catalogue.supplier(parcel.supplier);
    let postage = supplier.postage;
    let mut terms = Vec::new();
    if let Some(least) = supplier.least_order {
        let told = prose!["They take no order of less than ", least];
        terms.push(match parcel.top_up {
            Some(top_up) if parcel.goods < least => told.then(": add ").then(top_up).then(" of anything you can use."),
            _ => told.then("."),
        });
    }
    if let Some(free_from) = supplier.free_from.filter(|_| postage.minor() > 0) {
        let told = prose!["Postage of ", postage, " is not charged from ", free_from];
        terms.push(match parcel.top_up {
            Some(top_up) if parcel.goods < free_from && parcel.postage.minor() == 0 => {
                told.then(": add ").then(top_up).then(" of anything you can use, which costs less than the postage it saves.")
            }
            _ if parcel.postage.minor() == 0 => told.then(", and the goods reach that."),
            _ if plan.estimate.purchase.proof == Proof::Whole => told.then("; to reach that would cost more than it saves."),
            _ => told.then("."),
        });
    }
    terms
}

/// All orders together, and how far the total is known to be the least.
fn total(plan: &Plan) -> Section {
    let purchase = &plan.estimate.purchase;
    if purchase.parcels.is_empty() {
        return Section::new("total", "All orders", [Block::text("There is nothing to order.")]);
    }
    let nothing = Money::zero(plan.catalogue.rates.home);
    let rows = purchase.parcels.iter().map(|parcel| {
        let title = &plan.catalogue.supplier(parcel.supplier).title;
        Row::of([
            Cell::from(title),
            parcel.goods.into(),
            parcel.top_up.unwrap_or(nothing).into(),
            parcel.postage.into(),
            to_pay(plan, parcel).into(),
        ])
    });
    let table = Table::new(
        "orders",
        "",
        [
            ColumnHead::words("supplier", "Supplier"),
            ColumnHead::number("goods", "Goods"),
            ColumnHead::number("top_up", "Added"),
            ColumnHead::number("postage", "Postage"),
            ColumnHead::number("total", "To pay"),
        ],
    )
    .rows(rows)
    .rows([Row::total([
        Cell::from("In all"),
        purchase.goods.into(),
        top_up(&purchase.parcels).unwrap_or(nothing).into(),
        purchase.postage.into(),
        purchase.total.into(),
    ])
    .named("total")])
    .note("Added: what an order must grow by, with anything you can use, to be taken or to save more postage than it costs.");
    Section::new("total", "All orders", [Block::Table(table), Block::Text(proof(plan))])
}

/// How far the total is known to be the least.
fn proof(plan: &Plan) -> Prose {
    let purchase = &plan.estimate.purchase;
    let (stopped, next) = match purchase.proof {
        Proof::Whole => {
            return "No other way to order these parts costs less, postage included: every one was weighed or ruled out.".into();
        }
        Proof::Stopped(Halt::Work) => {
            ("The search was stopped before it was done", "With `--patience 60` it goes on for up to 60 seconds.")
        }
        Proof::Stopped(Halt::Clock) => (
            "The search was stopped when the time was up that you gave it",
            "Another run may find another order; with more `--patience` this one may be proven, or a better one found.",
        ),
        Proof::Stopped(Halt::Hand) => {
            ("You stopped the search", "This is the best order found by then; another run may find another.")
        }
    };
    prose![
        stopped,
        ": no order can cost less than ",
        purchase.bound,
        ", so another could save at most ",
        purchase.gap(),
        ", ",
        purchase.gap_share(),
        " of this one. ",
        next
    ]
}

/// What the user has and need not buy.
fn stock(plan: &Plan) -> Option<Section> {
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
