//! What to have in hand before the wires are laid: the labels of each board, and how much wire of each colour.

use super::plan::Plan;
use crate::catalogue::Attr;
use crate::cutlist::Reel;
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};

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
        "One for each end of each piece of wire: a wire that crosses a joint has a piece on each board, and so two labels there. They are on \
         the bill. The cutting list \
         has the same names.",
    );
    (!table.rows.is_empty()).then(|| Section::new("labels", "Labels to write", [Block::Table(table)]))
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
