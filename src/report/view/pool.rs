//! Several layouts in one order.

use super::beside::{left_over, old_prices};
use super::orders::Orders;
use super::plan::{Plan, falls_short, lacking, not_to_be_had};
use super::words::and;
use crate::buying::{Fresh, Proof};
use crate::catalogue::Catalogue;
use crate::pooled::Pooled;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table, prose};

/// The one order, what it saves, each one's share, and what is for whom.
///
/// All plans are made by one catalogue and under the same choices.
pub fn pool(plans: &[Plan], catalogue: &Catalogue, pooled: &Pooled, fresh: Option<Fresh>) -> Document {
    let orders = Orders { catalogue, purchase: &pooled.purchase, reels: &[], heading: "Order from ", fresh, on_paper: false };
    let names = names(plans);
    let mut sections = vec![shares(plans, &names, catalogue, pooled)];
    sections.extend(plans.first().and_then(Plan::asked));
    sections.extend(orders.sections());
    sections.push(orders.total());
    sections.extend(fresh.and_then(|fresh| old_prices(orders, fresh)));
    sections.extend(elsewhere(catalogue, pooled));
    sections.extend(left_over(catalogue, &pooled.purchase.left_over, pooled.purchase.proof == Proof::Whole));
    sections.push(for_whom(&names, catalogue, pooled));
    Document {
        verb: "pool",
        title: format!("{}: one order", and(&names)),
        notices: catalogue.notice.iter().cloned().collect(),
        sections,
        falls_short: !pooled.purchase.unmet.is_empty() || plans.iter().any(|plan| falls_short(plan.estimate)),
    }
}

/// The names of the layouts; of those with one name, with their files; of those with one file too, numbered.
fn names(plans: &[Plan]) -> Vec<String> {
    let name = |(at, plan): (usize, &Plan)| {
        let (name, file) = (&plan.layout.name, &plan.layout.file);
        let named = |plans: &[Plan]| plans.iter().filter(|other| other.layout.name == *name).count();
        let alike =
            |plans: &[Plan]| plans.iter().filter(|other| other.layout.name == *name && other.layout.file == *file).count();
        match (named(plans), alike(plans)) {
            (1, _) => name.clone(),
            (_, 1) => format!("{name} ({file})"),
            _ => format!("{name} ({file}, {})", alike(plans.get(..=at).unwrap_or(plans))),
        }
    };
    plans.iter().enumerate().map(name).collect()
}

fn shares(plans: &[Plan], names: &[String], catalogue: &Catalogue, pooled: &Pooled) -> Section {
    let all = || plans.iter().zip(names).zip(&pooled.alone).zip(&pooled.shares);
    let rows = all().map(|(((plan, name), alone), share)| {
        Row::of([
            Cell::from(name),
            plan.title(plan.estimate.assignment.chosen).into(),
            alone.parcels.len().into(),
            alone.total.into(),
            (*share).into(),
            (alone.total - *share).into(),
        ])
    });
    let saved = pooled.apart - pooled.purchase.total;
    let sum = Row::total([
        Cell::from("Together"),
        Cell::Missing,
        pooled.purchase.parcels.len().into(),
        pooled.apart.into(),
        pooled.purchase.total.into(),
        saved.into(),
    ]);
    let table = Table::new(
        "shares",
        "",
        [
            ColumnHead::words("layout", "Layout"),
            ColumnHead::words("scheme", "Scheme"),
            ColumnHead::number("parcels", "Orders"),
            ColumnHead::number("alone", "On its own"),
            ColumnHead::number("share", "Share"),
            ColumnHead::number("saved", "Saved"),
        ],
    )
    .rows(rows)
    .rows([sum.named("total")])
    .note("Each bears a share in proportion to what its own order would cost. What you have serves the layouts in this order.");
    let unmet = pooled.purchase.unmet.iter().map(|unmet| pooled.takeoff.need(unmet.need).title(catalogue));
    let mut blocks: Vec<Block> = lacking(unmet).map(Block::Text).into_iter().chain([Block::Table(table)]).collect();
    let all_proven = pooled.alone.iter().chain([&pooled.purchase]).all(|order| order.proof == Proof::Whole);
    if !all_proven {
        let told = prose!["Not every search came to its end: the saving may be a little more or less than ", saved, "."];
        blocks.push(Block::Text(told));
    }
    Section::new("shares", "Who pays what", blocks)
}

/// What of the order is for which layout.
fn for_whom(names: &[String], catalogue: &Catalogue, pooled: &Pooled) -> Section {
    let rows = pooled.takeoff.needs.iter().zip(&pooled.amounts).map(|(need, amounts)| {
        let title = need.title(catalogue);
        let each = (0..names.len()).map(|at| amounts.get(&at).map(|amount| amount.normalize().to_string()).into());
        Row::of(std::iter::once(Cell::from(title)).chain(each).collect::<Vec<_>>())
    });
    let heads = names.iter().enumerate().map(|(at, name)| ColumnHead::number(format!("layout:{}", at + 1), name.clone()));
    let table = Table::new("for_whom", "", std::iter::once(ColumnHead::words("need", "What")).chain(heads).collect::<Vec<_>>())
        .rows(rows)
        .note("Spares are counted in. Of what is cut from sticks and reels the number of pieces; `shop` on each layout says how long, and in \
               which colours wire is best asked for. Tools, solder and the like are counted for every layout, since each may be another builder's: where one set serves \
               several, count in the catalogue's sheet Stock those that need not be bought again.");
    Section::new("for_whom", "What is for whom", [Block::Table(table)])
}

fn elsewhere(catalogue: &Catalogue, pooled: &Pooled) -> Option<Section> {
    let rows = pooled.purchase.unmet.iter().map(|unmet| {
        let need = pooled.takeoff.need(unmet.need);
        Row::of([Cell::from(need.title(catalogue)), need.amount().normalize().to_string().into(), Cell::from(&unmet.why)])
    });
    not_to_be_had(|table| table.rows(rows))
}
