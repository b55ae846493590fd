//! Where the panel would stand better: on which board the far end gets the most.

use super::model::FarEnd;
use super::plan::plan;
use crate::catalogue::Catalogue;
use crate::id::{BoardId, SchemeId};
use crate::layout::{BoardRole, Layout, Point, Spot};
use crate::quantity::Length;
use crate::scheme::Assignment;

/// The board from which the far end of a scheme would get the most, and what it would get. `None` where the panel is not fixed to a board, or
/// nowhere else is better.
pub fn better_panel(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, now: &FarEnd) -> Option<(BoardId, FarEnd)> {
    let boards = layout.boards.iter().enumerate().filter(|(_, board)| board.role == BoardRole::Baseboard);
    let tried = boards.filter_map(|(index, _)| {
        let board = BoardId::at(index);
        let moved = with_panel_at(layout, board)?;
        Some((board, far_end(&moved, catalogue, assignment, now.scheme)?))
    });
    let best = tried.max_by(|a, b| a.1.arrives.0.total_cmp(&b.1.arrives.0).then(b.0.cmp(&a.0)))?;
    (best.1.lost().0 < now.lost().0).then_some(best)
}

fn far_end(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, scheme: SchemeId) -> Option<FarEnd> {
    plan(layout, catalogue, assignment).far_ends.into_iter().find(|far| far.scheme == scheme)
}

/// The layout with its fixed panel, and the levers on it, in the middle of the front of a board.
pub fn with_panel_at(layout: &Layout, board: BoardId) -> Option<Layout> {
    let x = Length::from_um(layout.board(board).length.value.um() / 2);
    let spot = Spot { board, at: Point { x, y: Length::ZERO } };
    let mut layout = layout.clone();
    layout.panel.as_mut().filter(|panel| panel.flying.is_none())?.spot = spot;
    for lever in &mut layout.levers {
        lever.spot = spot;
    }
    Some(layout)
}
