//! The comparison: schemes as columns, where the money goes, and which to take in plain words.

use super::asked::asked;
use super::defaults::{Told, defaults};
use super::measures::{Measure, Side};
use super::orders::top_up;
use super::plan::falls_short;
use super::verdict::{known, missing, which};
use crate::buying::Choices;
use crate::catalogue::{Catalogue, CostGroup, Word};
use crate::choice::{Column, Comparison};
use crate::layout::Layout;
use crate::money::Money;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table, UnitsBy};

/// Schemes side by side.
pub fn compare(layout: &Layout, catalogue: &Catalogue, choices: &Choices, comparison: &Comparison) -> Document {
    let side = Side { layout, catalogue, comparison };
    let mut sections = vec![
        Section::new("schemes", "Side by side", [Block::Table(schemes(side))]),
        Section::new("groups", "Where the money goes", [Block::Table(groups(side))]),
        which(side),
    ];
    sections.extend(asked(choices, catalogue));
    sections.extend(missing(side));
    sections.extend(known(side));
    sections.extend(defaults(layout, Told::InShort));
    let falls = comparison.columns.get(comparison.verdict.column()).is_none_or(|column| falls_short(&column.estimate));
    Document {
        verb: "compare",
        title: format!("{}: schemes compared", layout.name),
        notices: catalogue.notice.iter().cloned().collect(),
        sections,
        falls_short: falls,
    }
}

/// The heads of a table whose columns are schemes.
fn heads(side: Side, first: ColumnHead) -> Vec<ColumnHead> {
    let schemes = side.comparison.columns.iter().map(|column| {
        let scheme = side.catalogue.scheme(column.scheme);
        ColumnHead::number(format!("scheme:{}", scheme.name), scheme.title.clone())
    });
    std::iter::once(first).chain(schemes).collect()
}

pub(super) fn schemes(side: Side) -> Table {
    let columns = &side.comparison.columns;
    let rows = Measure::ALL.into_iter().map(|measure| {
        let cells = std::iter::once(Cell::from(measure.title())).chain(columns.iter().map(|column| measure.of(side, column)));
        // The first column holds the titles.
        let best = measure.best(side).into_iter().map(|at| at + 1).collect();
        Row::of(cells.collect::<Vec<_>>()).named(measure.id()).best(best)
    });
    let mut table =
        Table { units: UnitsBy::Row, ..Table::new("schemes", "", heads(side, ColumnHead::words("measure", "What"))) }.rows(rows);
    let mut notes = vec!["Likely is what to expect; the hours at 80 % are enough in four builds of five."];
    if side.layout.rules.hour.is_none() {
        notes.push("The life cost needs what an hour of yours is worth: `hour` in the rules.");
    } else {
        notes.push("The life cost is the order, the hours of building, and all set-ups over the years, at the value of an hour.");
    }
    if columns.iter().any(|column| !column.estimate.can_be_built()) {
        notes.push("What a scheme that cannot be built costs leaves out what is missing; it takes no part in the choice.");
    }
    let next = || columns.iter().filter_map(|column| column.next.as_ref());
    let prices = next().flat_map(|next| std::iter::once(next.price).chain(next.step.iter().map(|step| step.price)));
    if next().next().is_some() {
        notes.push("The next turnout is a plain one in the middle of the busiest board; its price is what a plan with it costs more than this one.");
    }
    if prices.into_iter().any(|price| price.is_none()) {
        notes.push(
            "No price of a turnout stands where something it needs cannot be had, or where an order is not proven the cheapest: a difference would be a guess.",
        );
        notes.push(PATIENCE);
    }
    if next().any(|next| next.step.is_none()) {
        notes.push("Where no further turnout is named, turnouts need no controller.");
    }
    table.note = Some(notes.join(" "));
    table
}

/// How to look for more proof: of no use on paper.
pub(super) const PATIENCE: &str = "`--patience 20` looks for the proof longer.";

pub(super) fn groups(side: Side) -> Table {
    let home = side.catalogue.rates.home;
    let columns = &side.comparison.columns;
    let cost = |column: &Column, group: CostGroup| {
        let lines = column.estimate.purchase.lines().filter(|line| {
            side.catalogue.kind(side.catalogue.part(side.catalogue.offer(line.offer).part).kind).role.group() == group
        });
        Money::total(lines.map(|line| line.total), home)
    };
    let row = |title: &str, of: &dyn Fn(&Column) -> Money| -> Vec<Cell> {
        std::iter::once(Cell::from(title)).chain(columns.iter().map(|column| of(column).into())).collect()
    };
    let table =
        Table { units: UnitsBy::Row, ..Table::new("groups", "Cost by group", heads(side, ColumnHead::words("group", "Group"))) };
    let added = |column: &Column| top_up(&column.estimate.purchase.parcels);
    let is_added = columns.iter().any(|column| added(column).is_some());
    let to_reach =
        is_added.then(|| Row::of(row("added to orders", &|column| added(column).unwrap_or(Money::zero(home)))).named("top_up"));
    table
        .rows(CostGroup::ALL.iter().map(|&group| Row::of(row(group.word(), &|column| cost(column, group)))))
        .rows(to_reach)
        .rows([
            Row::of(row("postage", &|column| column.estimate.purchase.postage)).named("postage"),
            Row::total(row("In all", &|column| column.estimate.purchase.total)).named("total"),
        ])
        .note(if is_added {
            "Whole packs: what is left over of a pack is in the sum. Added: what an order must grow by, with anything you can use, to be taken or to save more postage than it costs."
        } else {
            "Whole packs: what is left over of a pack is in the sum."
        })
}
