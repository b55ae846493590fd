//! The terminal strips, screw by screw.

use super::plan::Plan;
use super::schedule::stop;
use crate::id::BoardId;
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::wiring::{Colour, Screw, strip_name};

/// How the ways are counted and joined.
const HOW: &str = "A way is a screw on one side and the screw across from it: one wire each, the second screw is for the bridge. Count the ways from the end \
                   nearest the front left corner seen from above, on through all pieces of strip that are laid end to end, and write the numbers on them. Ways \
                   that are bridged are joined to one another on their free side by short pieces of wire of the same thickness, from way to way: without the bridge \
                   nothing comes through. Ways of different bridges are never joined.";

/// The strips of all boards, or of one.
pub(super) fn strips(plan: &Plan, board: Option<BoardId>) -> Option<Section> {
    let boards = (0..plan.layout.boards.len()).map(BoardId::at).filter(|&at| board.is_none_or(|board| at == board));
    let tables = boards.flat_map(|board| {
        let strips = plan.estimate.wiring.screws(board);
        strips.into_iter().map(move |(serves, screws)| {
            let name = strip_name(plan.catalogue, serves);
            let title = format!("{} on {}", super::words::capitalised(&name), plan.layout.board(board).name);
            Block::Table(strip(plan, title, &screws))
        })
    });
    let tables: Vec<Block> = tables.collect();
    let blocks: Vec<Block> = std::iter::once(Block::text(HOW)).chain(tables).collect();
    (blocks.len() > 1).then(|| Section::new("strips", "Terminal strips", blocks))
}

/// One strip: each way with its wire, and the ways that it is bridged with.
fn strip(plan: &Plan, title: String, screws: &[Screw]) -> Table {
    let mut rows = Vec::new();
    let mut first = 1;
    for bridged in screws.chunk_by(|one, next| one.common == next.common) {
        let last = first + bridged.len() - 1;
        let bridge = if last > first { Cell::from(format!("ways {first} to {last}")) } else { Cell::Missing };
        rows.extend((first..).zip(bridged).map(|(way, screw)| {
            let (label, colour) = plan.estimate.wiring.core(screw.run, screw.core).unzip();
            Row::of([
                Cell::from(way),
                label.into(),
                colour.map(Colour::letters).into(),
                stop(plan, screw.run, screw.other).into(),
                bridge.clone(),
            ])
        }));
        first = last + 1;
    }
    Table::new(
        "strip",
        title,
        [
            ColumnHead::number("way", "Way"),
            ColumnHead::words("label", "Wire"),
            ColumnHead::words("colour", "Colour"),
            ColumnHead::words("other", "Its other end here"),
            ColumnHead::words("bridge", "Bridged"),
        ],
    )
    .rows(rows)
}
