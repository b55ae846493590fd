//! The comparison: schemes as columns, where the money goes, and which to take in plain words.

use super::asked::asked_of;
use super::defaults::{Told, defaults};
use super::measures::{Measure, Side};
use super::orders::top_up;
use super::plan::falls_short;
use super::verdict::{known, missing, which};
use crate::buying::Choices;
use crate::catalogue::{Catalogue, CostGroup, Word};
use crate::choice::{Column, Comparison, NoPrice};
use crate::layout::Layout;
use crate::money::Money;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table, UnitsBy};

/// What conditions on the order do to a comparison.
const ASKED: &str = "What each scheme costs, and so which is the cheapest and which is taken, holds under these conditions: without them it may be \
                     another.";

/// Schemes side by side.
pub fn compare(layout: &Layout, catalogue: &Catalogue, choices: &Choices, comparison: &Comparison) -> Document {
    let side = Side { layout, catalogue, comparison, on_paper: false };
    let mut sections = vec![
        Section::new("schemes", "Side by side", [Block::Table(schemes(side))]),
        Section::new("groups", "Where the money goes", [Block::Table(groups(side))]),
        which(side),
    ];
    sections.extend(asked_of(choices, catalogue, ASKED));
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
        notes.push("What a scheme that cannot be built costs leaves out what is missing; it takes no part in the choice, and there is no price of a next turnout.");
    }
    let next = || columns.iter().filter_map(|column| column.next.as_ref());
    if next().next().is_some() {
        notes.push("The next turnout is a plain one in the middle of the busiest board; its price is what a plan with it costs more than this one.");
    }
    let has_free = |column: &Column| column.estimate.assignment.controllers.iter().any(|controller| controller.free() > 0);
    if columns.iter().any(|column| has_free(column) && column.next.as_ref().is_some_and(|next| next.step.is_some())) {
        notes.push("A further turnout takes none of the free channels that the rules keep spare, nor those of a controller that does not serve its board.");
    }
    let unpriced = unpriced(side);
    notes.extend(unpriced.iter().map(String::as_str));
    if next().any(|next| next.step.is_none()) {
        notes.push("Where no further turnout is named, turnouts need no controller.");
    }
    table.note = Some(notes.join(" "));
    table
}

/// Why a further turnout has no price, reason by reason.
fn unpriced(side: Side) -> Vec<String> {
    let told = |why: NoPrice, because: &str| {
        let lacks = |column: &&Column| {
            let next = column.next.as_ref();
            let step = next.and_then(|next| next.step.as_ref());
            next.is_some_and(|next| next.price == Err(why)) || step.is_some_and(|step| step.price == Err(why))
        };
        let columns = side.comparison.columns.iter().filter(lacks);
        let titles: Vec<&str> = columns.map(|column| side.catalogue.scheme(column.scheme).title.as_str()).collect();
        let all = titles.len() > 1 && titles.len() == side.comparison.columns.len();
        let under = if all { "all schemes".to_owned() } else { titles.join("; ") };
        (!titles.is_empty()).then(|| format!("A dash for the price of a turnout under {under}: {because}"))
    };
    let reasons = [
        told(NoPrice::NotToBeHad, "something that the turnout needs cannot be had from this catalogue."),
        told(
            NoPrice::NotProven,
            "the order with it, or the one without, is not proven the cheapest, so that their difference would be a guess.",
        )
        .map(|told| if side.on_paper { told } else { format!("{told} `--patience 20` looks for the proof longer.") }),
    ];
    reasons.into_iter().flatten().collect()
}

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
