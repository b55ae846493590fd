//! The cutting list: which piece from which stick or reel, and what is left over.

use std::collections::BTreeMap;

use super::plan::Plan;
use super::words::{by_kind, named_once};
use crate::buying::{Cut, Piece, Purchase};
use crate::catalogue::{Attr, Role};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::wiring::Labels;

/// The cutting list of a plan.
pub(super) fn cutting(plan: &Plan) -> Option<Section> {
    cutting_of(plan, &plan.estimate.purchase, "Cutting list")
}

/// The cutting list of a purchase for a plan: a table for each part that is cut.
pub(super) fn cutting_of(plan: &Plan, purchase: &Purchase, heading: &str) -> Option<Section> {
    let mut by_part: BTreeMap<_, Vec<&Cut>> = BTreeMap::new();
    for cut in &purchase.cuts {
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
        Block::text(
            "Cut in this order and every piece comes out whole. Lengths have slack and tails in them already. A piece of wire bears the \
             label that its run has in `wiring`.",
        ),
    );
    Some(Section::new("cutting", heading, blocks))
}

/// The pieces of one stick or reel, like ones together, then what is left of it.
fn pieces(plan: &Plan, number: usize, cut: &Cut, labels: &mut Labels<'_>) -> Vec<Row> {
    let part = plan.catalogue.part(cut.part);
    let is_cable = plan.catalogue.kind(part.kind).role == Role::Link;
    let mut row = |pieces: &[Piece]| {
        let length = pieces.first().map(|piece| piece.length);
        let mut name = |piece: &Piece| {
            let label = labels.next(piece.subject, piece.length, is_cable, part.measured(Attr::Area));
            label.map_or_else(|| piece.subject.name(plan.layout), str::to_owned)
        };
        let names = named_once(pieces.iter().map(&mut name));
        Row::of([Cell::from(number), pieces.len().into(), length.into(), names.into()])
    };
    let mut rows: Vec<Row> = cut.pieces.chunk_by(|a, b| a.length == b.length).map(&mut row).collect();
    rows.push(Row::of([Cell::from(number), Cell::from(1_u32), cut.left.into(), "left over".into()]));
    rows
}
