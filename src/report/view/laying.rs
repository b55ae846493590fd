//! What to have in hand before the wires are laid: the labels of each board, and how much wire of each colour.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::plan::Plan;
use super::words::each;
use crate::catalogue::{Attr, Measure};
use crate::cutlist::Reel;
use crate::id::RuleId;
use crate::quantity::{Dimension, Quantity};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::takeoff::Reason;

/// The labels to write, by the board on which they are stuck.
pub(super) fn labels(plan: &Plan) -> Option<Section> {
    let labels = plan.estimate.wiring.labels();
    let rows = labels.into_iter().map(|(board, labels)| {
        let name = &*plan.layout.board(board).name;
        let count = labels.len();
        let mut written: Vec<&str> = labels;
        written.dedup();
        Row::of([Cell::from(name), count.into(), written.join(", ").into()])
    });
    let columns = [
        ColumnHead::words("board", "At"),
        ColumnHead::number("count", "Labels"),
        ColumnHead::words("labels", "Write each twice"),
    ];
    let table = Table::new("labels", "", columns).rows(rows).note(
        "One for each end of each piece of wire: a wire that crosses a joint has a piece on each board, and so two labels there. The cutting list \
         has the same names.",
    );
    let blocks = std::iter::once(table).chain(other_labels(plan)).map(Block::Table);
    (plan.estimate.wiring.sections().next().is_some())
        .then(|| Section::new("labels", "Labels to write", blocks.collect::<Vec<_>>()))
}

/// What else is on the bill of what the ends of wires are labelled with, rule by rule, so that the list comes to what is ordered.
fn other_labels(plan: &Plan) -> Option<Table> {
    let marks_wires = |reason: &Reason| plan.catalogue.rule(reason.rule).measure == Some(Measure::WireEnds);
    let need = plan.estimate.takeoff.needs.iter().find(|need| need.reasons.iter().any(marks_wires))?;
    let mut by_rule: BTreeMap<RuleId, Decimal> = BTreeMap::new();
    for reason in &need.reasons {
        let sum = by_rule.entry(reason.rule).or_default();
        *sum = sum.saturating_add(reason.amount);
    }
    let count = |amount: Decimal| Cell::Quantity(Quantity::new(Dimension::Count, amount));
    let rows = by_rule.into_iter().map(|(id, amount)| {
        let rule = plan.catalogue.rule(id);
        let told = if rule.measure == Some(Measure::WireEnds) { " (the list above)" } else { "" };
        Row::of([format!("{}{told}", each(rule.per)).into(), count(amount), Cell::from(&rule.why)])
    });
    let spares = (need.spares > Decimal::ZERO)
        .then(|| Row::of(["spares".into(), count(need.spares), "Left blank, for those that are spoilt".into()]));
    let table = Table::new(
        "all_labels",
        "All labels on the bill",
        [ColumnHead::words("per", "For"), ColumnHead::number("count", "Labels"), ColumnHead::words("why", "What for")],
    );
    Some(table.rows(rows).rows(spares).rows([Row::total(["In all".into(), count(need.amount()), Cell::Missing]).named("total")]))
}

/// How much wire of each size and colour is laid, and how many reels of that colour the cutting list takes.
pub(super) fn colours(plan: &Plan) -> Option<Section> {
    let rows = plan.estimate.wiring.by_colour().into_iter().map(|hue| {
        let of_size = |reel: &&Reel| plan.catalogue.part(reel.part).measured(Attr::Area) == hue.area;
        let reels = plan.estimate.reels.iter().filter(of_size).filter(|reel| reel.colour == Some(hue.colour)).count();
        Row::of([Cell::from(hue.area), hue.colour.letters().into(), hue.pieces.into(), hue.length.into(), reels.into()])
    });
    let table = Table::new(
        "colours",
        "",
        [
            ColumnHead::number("area", "Copper"),
            ColumnHead::words("colour", "Colour"),
            ColumnHead::number("pieces", "Pieces"),
            ColumnHead::number("length", "Length in all").in_metres(),
            ColumnHead::number("reels", "Reels of it"),
        ],
    )
    .rows(rows)
    .note(
        "The order counts metres of each size, not colours: a reel for every colour would cost more. A colour without a reel of its own, and of \
         reels that you have without one of any, is cut from one of another, as the cutting list says; wind tape or shrink a sleeve of the right colour round both ends.",
    );
    (!table.rows.is_empty()).then(|| Section::new("colours", "Wire by size and colour", [Block::Table(table)]))
}
