//! The cutting list: which piece from which stick or reel, and what is left over.

use std::collections::BTreeMap;

use super::plan::Plan;
use super::schedule::key;
use super::words::{by_kind, named_once};
use crate::catalogue::Role;
use crate::cutlist::{Laid, Reel};
use crate::id::PartId;
use crate::quantity::Length;
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::wiring::Colour;

/// What stands for what is left of a stick or reel.
pub(super) const LEFT_OVER: &str = "left over";

/// The cutting list of a plan.
pub(super) fn cutting(plan: &Plan) -> Option<Section> {
    cutting_of(plan, &plan.estimate.reels, "Cutting list")
}

/// A cutting list: a table for each part that is cut.
pub(super) fn cutting_of(plan: &Plan, reels: &[Reel], heading: &str) -> Option<Section> {
    let mut by_part: BTreeMap<_, Vec<&Reel>> = BTreeMap::new();
    for reel in reels {
        by_part.entry(by_kind(plan.catalogue, reel.part)).or_default().push(reel);
    }
    let tables = by_part.into_iter().map(|((.., part), reels)| {
        let is_wire = matches!(plan.catalogue.kind(plan.catalogue.part(part).kind).role, Role::Wire | Role::Link);
        let coloured = reels.iter().any(|reel| reel.pieces.iter().any(|laid| laid.colour.is_some()));
        let rows: Vec<Row> = reels.iter().enumerate().flat_map(|(at, reel)| pieces(plan, at + 1, reel, coloured)).collect();
        let mut columns = vec![
            ColumnHead::number("stock", "From no."),
            ColumnHead::number("pieces", "Pieces"),
            if is_wire {
                ColumnHead::number("length", "Length of each").in_metres()
            } else {
                ColumnHead::number("length", "Length of each")
            },
            ColumnHead::words("for", "For"),
        ];
        if coloured {
            columns.insert(1, ColumnHead::words("colour", "Its colour"));
        }
        Table::new("cuts", plan.catalogue.part(part).title.clone(), columns).rows(rows)
    });
    let mut tables: Vec<Table> = tables.collect();
    let colours = plan.estimate.reels.iter().flat_map(|reel| reel.pieces.iter().map(|laid| laid.colour).chain([reel.colour]));
    if let Some(table) = tables.iter_mut().find(|table| table.columns.iter().any(|column| column.id == "colour")) {
        *table = table.clone().note(key(colours.flatten()));
    }
    let mut blocks: Vec<Block> = tables.into_iter().map(Block::Table).collect();
    if blocks.is_empty() {
        return None;
    }
    blocks.insert(
        0,
        Block::text(
            "Cut in this order and every piece comes out whole. Lengths have slack and tails in them already; a rod is longer than it will stand, \
             for the bends at both ends: snip it when it is fitted. A piece of wire bears the label that it has in the wiring schedule, with the \
             board it lies on where its wire is cut at a joint; where it has another colour than the reel, its letters stand behind the label: \
             wind tape or shrink a sleeve of that colour round both ends of the piece. A reel that is yours has its own colour: mark what should have \
             another.",
        ),
    );
    Some(Section::new("cutting", heading, blocks))
}

/// A rest shorter than this is none: a cut may be so far off.
const NO_REST: Length = Length::from_um(1_000);

/// The pieces of one stick or reel, those of one length together, then what is left of it.
fn pieces(plan: &Plan, number: usize, reel: &Reel, coloured: bool) -> Vec<Row> {
    let row = |count: usize, length: Length, names: String| {
        let mut cells = vec![Cell::from(number), count.into(), length.into(), names.into()];
        if coloured {
            let colour = if reel.owned { Some("yours") } else { reel.colour.map(Colour::letters) };
            cells.insert(1, colour.into());
        }
        Row::of(cells)
    };
    let like = reel.pieces.chunk_by(|a, b| a.piece.length == b.piece.length).filter_map(|pieces| {
        let length = pieces.first()?.piece.length;
        Some(row(pieces.len(), length, named_once(pieces.iter().map(|laid| name(plan, reel, laid)))))
    });
    let mut rows: Vec<Row> = like.collect();
    rows.extend((reel.left >= NO_REST).then(|| row(1, reel.left, LEFT_OVER.to_owned())));
    rows
}

/// What a piece is for: the label of its run, the board where that has several pieces, and its colour where the reel has another.
fn name(plan: &Plan, reel: &Reel, laid: &Laid) -> String {
    let found = laid.section.and_then(|of| Some((plan.estimate.wiring.runs.get(of.run)?, of.section)));
    let Some((run, section)) = found else {
        let whose = laid.piece.subject.name(plan.layout);
        // Wire that is in no schedule is for the tails at a joint.
        let is_wire = plan.catalogue.kind(plan.catalogue.part(reel.part).kind).role == Role::Wire;
        return if is_wire { format!("tail at {whose}") } else { whose };
    };
    let mut name = run.label.clone();
    if let Some(piece) = run.sections.get(section).filter(|_| run.sections.len() > 1) {
        name = format!("{name} ({})", plan.layout.board(piece.board).name);
    }
    match laid.colour.filter(|_| laid.colour != reel.colour) {
        Some(colour) => format!("{name} {}", colour.letters()),
        None => name,
    }
}

/// The colours to ask for when wire is ordered, part by part. An owned reel is not asked for.
pub(super) fn asked(reels: &[Reel]) -> BTreeMap<PartId, Vec<Colour>> {
    let mut asked: BTreeMap<PartId, Vec<Colour>> = BTreeMap::new();
    for reel in reels.iter().filter(|reel| !reel.owned) {
        if let Some(colour) = reel.colour {
            asked.entry(reel.part).or_default().push(colour);
        }
    }
    asked.values_mut().for_each(|colours| colours.sort_unstable());
    asked
}
