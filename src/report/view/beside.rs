//! Beside the order: what other ways would cost, what is bought beyond the need, and which prices are old.

use super::orders::Orders;
use super::plan::Plan;
use super::words::{by_kind, count_of};
use crate::buying::{Alone, Beside, Beyond, Fresh, LeftOver, Proof};
use crate::catalogue::Catalogue;
use crate::report::{Block, Cell, ColumnHead, Prose, Row, Section, Table, prose};

/// So many things that a supplier lacks are named; of more, how many.
const MOST_NAMED: usize = 3;

/// The proven order beside everything from one supplier, and each item where it is cheapest.
pub(super) fn other_ways(plan: &Plan, beside: &Beside) -> Option<Section> {
    let purchase = &plan.estimate.purchase;
    if purchase.parcels.is_empty() {
        return None;
    }
    let more = |total| Cell::from(total - purchase.total);
    let mut rows = vec![
        Row::of([
            Cell::from("As ordered above"),
            purchase.parcels.len().into(),
            purchase.total.into(),
            Cell::Missing,
            Cell::Missing,
        ])
        .named("ordered"),
    ];
    rows.extend(beside.piecemeal.map(|piecemeal| {
        let what = Cell::from("Each item where it is cheapest, and all postage");
        Row::of([what, piecemeal.parcels.into(), piecemeal.total().into(), more(piecemeal.total()), Cell::Missing])
            .named("piecemeal")
    }));
    rows.extend(beside.alone.iter().map(|alone| {
        let what = format!("All from {}", plan.catalogue.supplier(alone.supplier).title);
        let parcels = alone.total.map(|_| 1_u32);
        Row::of([
            Cell::from(what),
            parcels.into(),
            alone.total.into(),
            alone.total.map_or(Cell::Missing, more),
            lacks(plan, alone),
        ])
    }));
    let mut note = "More: what it costs above the order.".to_owned();
    if beside.alone.iter().any(|alone| alone.total.is_some() && alone.proof != Proof::Whole) {
        note += " Where the search for an order was stopped, that order might cost a little less.";
    }
    let table = Table::new(
        "other_ways",
        "",
        [
            ColumnHead::words("way", "Way"),
            ColumnHead::number("parcels", "Orders"),
            ColumnHead::number("total", "To pay"),
            ColumnHead::number("more", "More"),
            ColumnHead::words("lacks", "What they do not sell"),
        ],
    )
    .rows(rows)
    .note(note);
    Some(Section::new("other_ways", "What other ways to order would cost", [Block::Table(table)]))
}

/// What a supplier does not sell: some by name, and how many more.
fn lacks(plan: &Plan, alone: &Alone) -> Cell {
    let mut kinds: Vec<&str> = Vec::new();
    for need in &alone.lacks {
        let title = &*plan.catalogue.kind(plan.need(*need).kind).title;
        if !kinds.contains(&title) {
            kinds.push(title);
        }
    }
    let named = kinds.iter().take(MOST_NAMED).copied().collect::<Vec<_>>().join(", ");
    match kinds.len() {
        0 => Cell::Missing,
        n if n > MOST_NAMED => format!("{named} and {} more", n - MOST_NAMED).into(),
        _ => named.into(),
    }
}

/// What is bought beyond the need, and why. Whether the orders are proven says how surely fewer would cost no less.
pub(super) fn left_over(catalogue: &Catalogue, left: &[LeftOver], is_proven: bool) -> Option<Section> {
    let mut left = left.to_vec();
    left.sort_by_key(|left| by_kind(catalogue, left.part));
    let rows = left.into_iter().map(|left| {
        let why = match left.why {
            Beyond::LeastPack(count) => format!("nobody sells fewer than {count} at once"),
            Beyond::Break(packs) => format!("the price holds from {} on", count_of(packs as usize, "pack")),
            Beyond::Cheaper if is_proven => "with the postage, fewer would cost no less".to_owned(),
            Beyond::Cheaper => "no way with fewer was found that costs less".to_owned(),
        };
        Row::of([Cell::from(&catalogue.part(left.part).title), left.count.into(), why.into()])
    });
    let table = Table::new(
        "left_over",
        "",
        [
            ColumnHead::words("part", "Part"),
            ColumnHead::number("count", "Left"),
            ColumnHead::words("why", "Why so many are bought"),
        ],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("left_over", "What will be left over", [Block::Table(table)]))
}

/// Prices and rates of exchange that were checked too long ago, or nobody knows when.
pub(super) fn old_prices(orders: Orders, fresh: Fresh) -> Option<Section> {
    let lines: Vec<_> = orders.purchase.lines().map(|line| orders.catalogue.offer(line.offer)).collect();
    let old = lines.iter().filter(|offer| offer.checked_on.is_some_and(|day| fresh.is_old(day))).count();
    let unknown = lines.iter().filter(|offer| offer.checked_on.is_none()).count();
    let mut told: Vec<Prose> = Vec::new();
    if old > 0 {
        let oldest = lines.iter().filter_map(|offer| offer.checked_on).min().map(|day| day.to_string());
        let what = if old == 1 { "1 price of the order was" } else { "prices of the order were" };
        let count = if old == 1 { String::new() } else { format!("{old} ") };
        told.push(prose![format!(
            "{count}{what} checked more than {} before {}; the oldest on {}. They are marked `old`: check them before you order.",
            count_of(fresh.days as usize, "day"),
            fresh.on,
            oldest.unwrap_or_default()
        )]);
    }
    if unknown > 0 {
        let what = if unknown == 1 { "1 price says" } else { "prices say" };
        let count = if unknown == 1 { String::new() } else { format!("{unknown} ") };
        told.push(prose![format!("{count}{what} not when it was checked.")]);
    }
    let mut currencies: Vec<_> = lines.iter().map(|offer| orders.catalogue.supplier(offer.supplier).currency).collect();
    currencies.sort_unstable();
    currencies.dedup();
    for currency in currencies.into_iter().filter(|&currency| currency != orders.catalogue.rates.home) {
        let code = currency.code();
        match orders.catalogue.rates.exchanged.get(&currency) {
            Some(&day) if fresh.is_old(day) => {
                told.push(prose![format!("The rate of {code} is of {day}: every price in {code} moves with it.")]);
            }
            Some(_) => {}
            None => told.push(prose![format!("The rate of {code} does not say of which day it is.")]),
        }
    }
    (!told.is_empty()).then(|| Section::new("old_prices", "Prices to check again", [Block::List(told)]))
}
