//! The shopping list: by supplier what to order, what comes from stock, what to get elsewhere, and how to cut.

use std::collections::BTreeMap;

use super::plan::{Plan, Show};
use super::words::{by_kind, named_once};
use crate::buying::{Cut, Parcel, Piece, Proof};
use crate::catalogue::{Attr, Role};
use crate::id::PartId;
use crate::money::Money;
use crate::report::{Block, Cell, ColumnHead, Document, Prose, Row, Section, Table, prose};
use crate::wiring::Labels;

/// What is added to an order to reach a threshold.
pub(super) const TOP_UP: &str = "Anything you can use";

/// All that is added to reach thresholds, if anything.
pub(super) fn top_up(parcels: &[Parcel]) -> Option<Money> {
    parcels.iter().filter_map(|parcel| parcel.top_up).sum()
}

/// The shopping list of a plan.
pub fn shop(plan: &Plan) -> Document {
    let parcels = plan.estimate.purchase.parcels.iter().map(|parcel| order(plan, parcel));
    let mut sections: Vec<Section> = parcels.collect();
    sections.push(total(plan));
    sections.extend(plan.elsewhere());
    sections.extend(stock(plan));
    sections.extend(cutting(plan));
    plan.document("shop", "shopping list", sections, Show::ForOrder)
}

/// The order at one supplier.
fn order(plan: &Plan, parcel: &Parcel) -> Section {
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
            offer.checked_on.as_deref().into(),
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
            ColumnHead::words("checked_on", "Price checked").detail(),
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
    let proof = match purchase.proof {
        Proof::Whole => {
            "No other way to order these parts costs less, postage included: every one was weighed or ruled out.".into()
        }
        Proof::EachNeed => {
            "Each part is bought in the cheapest way; whether another split over suppliers would save postage was not worked out."
                .into()
        }
        Proof::Stopped => prose!["The search was stopped before it was done: no order can cost less than ", purchase.bound, "."],
    };
    Section::new("total", "All orders", [Block::Table(table), Block::Text(proof)])
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

/// The cutting list: a table for each part that is cut.
fn cutting(plan: &Plan) -> Option<Section> {
    let mut by_part: BTreeMap<_, Vec<&Cut>> = BTreeMap::new();
    for cut in &plan.estimate.purchase.cuts {
        by_part.entry(by_kind(plan.catalogue, cut.part)).or_default().push(cut);
    }
    let mut labels = Labels::new(&plan.estimate.wiring);
    let tables = by_part.into_iter().map(|((.., part), cuts)| {
        let rows: Vec<Row> = cuts.iter().enumerate().flat_map(|(at, cut)| pieces(plan, at + 1, cut, &mut labels)).collect();
        let table = Table::new(
            "cuts",
            plan.catalogue.part(part).title.clone(),
            [
                ColumnHead::number("stock", "From no."),
                ColumnHead::number("pieces", "Pieces"),
                ColumnHead::number("length", "Length of each"),
                ColumnHead::words("for", "For"),
            ],
        );
        Block::Table(table.rows(rows))
    });
    let mut blocks: Vec<Block> = tables.collect();
    if blocks.is_empty() {
        return None;
    }
    blocks.insert(
        0,
        Block::text("Cut in this order and every piece comes out whole. Lengths have slack and tails in them already. A piece of wire bears the label that its \
             run has in `wiring`."),
    );
    Some(Section::new("cutting", "Cutting list", blocks))
}

/// The pieces of one stick or reel, like ones together, then what is left of it.
fn pieces(plan: &Plan, number: usize, cut: &Cut, labels: &mut Labels<'_>) -> Vec<Row> {
    let part = plan.catalogue.part(cut.part);
    let is_cable = plan.catalogue.kind(part.kind).role == Role::Link;
    let row = |pieces: &[Piece]| {
        let length = pieces.first().map(|piece| piece.length);
        let mut name = |piece: &Piece| {
            let label = labels.next(piece.subject, piece.length, is_cable, part.measured(Attr::Area));
            label.map_or_else(|| piece.subject.name(plan.layout), str::to_owned)
        };
        let names = named_once(pieces.iter().map(&mut name));
        Row::of([Cell::from(number), pieces.len().into(), length.into(), names.into()])
    };
    let mut rows: Vec<Row> = cut.pieces.chunk_by(|a, b| a.length == b.length).map(row).collect();
    rows.push(Row::of([Cell::from(number), Cell::from(1_u32), cut.left.into(), "left over".into()]));
    rows
}
