//! Board by board: an order for each, and what that costs against ordering at once.

use super::beside::left_over;
use super::orders::Orders;
use super::plan::{Plan, Show};
use crate::buying::Fresh;
use crate::phases::Phases;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table, prose};

/// The orders of all phases, and what they cost together.
pub fn phases(plan: &Plan, phases: &Phases, fresh: Option<Fresh>) -> Document {
    let mut sections = vec![total(plan, phases)];
    for (at, phase) in phases.phases.iter().enumerate() {
        let heading = format!("Phase {}, {}: order from ", at + 1, plan.layout.board(phase.board).name);
        let orders = Orders { catalogue: plan.catalogue, purchase: &phase.purchase, heading: &heading, fresh, on_paper: false };
        sections.extend(orders.sections());
        let is_last = at + 1 == phases.phases.len();
        sections.extend(left_over(orders).filter(|_| is_last));
    }
    sections.extend(plan.elsewhere());
    plan.document("shop", "orders board by board", sections, Show::ForOrder)
}

fn total(plan: &Plan, phases: &Phases) -> Section {
    let rows = phases.phases.iter().enumerate().map(|(at, phase)| {
        Row::of([
            Cell::from(at + 1),
            (&*plan.layout.board(phase.board).name).into(),
            phase.purchase.parcels.len().into(),
            phase.purchase.postage.into(),
            phase.purchase.total.into(),
        ])
    });
    let table = Table::new(
        "phases",
        "",
        [
            ColumnHead::number("phase", "Phase"),
            ColumnHead::words("board", "Board"),
            ColumnHead::number("parcels", "Orders"),
            ColumnHead::number("postage", "Postage"),
            ColumnHead::number("total", "To pay"),
        ],
    )
    .rows(rows)
    .rows([
        Row::total([Cell::Missing, "All phases".into(), Cell::Missing, Cell::Missing, phases.total.into()]).named("total"),
        Row::total([Cell::Missing, "All at once".into(), Cell::Missing, Cell::Missing, phases.at_once.into()]).named("at_once"),
        Row::total([
            Cell::Missing,
            "More for phases".into(),
            Cell::Missing,
            Cell::Missing,
            (phases.total - phases.at_once).into(),
        ])
        .named("more"),
    ])
    .note("What is left of packs serves the next phase; offcuts of wire and sticks are not counted on.");
    let how = prose![
        "Boards are built in the order of the layout file, each with its levers. The first phase brings what serves the whole layout, \
         and every phase the joints and wires between its board and the panel."
    ];
    Section::new("phases", "Board by board", [Block::Table(table), Block::Text(how)])
}
