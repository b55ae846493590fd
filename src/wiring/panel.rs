//! Where the panel would stand better: in the middle of the layout.

use std::collections::BTreeSet;

use super::model::FarEnd;
use super::paths::Paths;
use super::plan::feeds_and_wiring;
use crate::catalogue::Catalogue;
use crate::id::BoardId;
use crate::layout::{BoardRole, Layout};
use crate::power::Encoders;
use crate::quantity::Length;
use crate::scheme::Assignment;

/// The board in the middle of the layout, and what the far end of a scheme would get from a panel there. `None` where the panel is not fixed to
/// a board, or from that board too little arrives as well.
pub fn better_panel(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    encoders: &Encoders,
    now: &FarEnd,
) -> Option<(BoardId, FarEnd)> {
    let board = middle(layout)?;
    let moved = with_panel_at(layout, board)?;
    let (_, wiring) = feeds_and_wiring(&moved, catalogue, assignment, encoders);
    let far = wiring.far_ends.into_iter().find(|far| far.scheme == now.scheme)?;
    (far.lost().0 < now.lost().0 && far.is_within()).then_some((board, far))
}

/// The baseboard from which the longest way to a drive is the shortest; the first of several.
pub fn middle(layout: &Layout) -> Option<BoardId> {
    let mut paths = Paths::new(layout);
    let driven: BTreeSet<BoardId> = layout.drive_ids().map(|drive| layout.drive(drive).spot.board).collect();
    let boards = (0..layout.boards.len()).map(BoardId::at).filter(|&board| layout.board(board).role == BoardRole::Baseboard);
    let longest = boards.map(|board| {
        let ways = driven.iter().filter_map(|&to| paths.between(layout.centre(board), layout.centre(to)));
        (ways.map(|way| way.length).max().unwrap_or(Length::ZERO), board)
    });
    longest.min().map(|(_, board)| board)
}

/// The layout with its fixed panel, and the levers on it, in the middle of the front of a board.
pub fn with_panel_at(layout: &Layout, board: BoardId) -> Option<Layout> {
    let mut spot = layout.centre(board);
    spot.at.y = Length::ZERO;
    let mut layout = layout.clone();
    layout.panel.as_mut().filter(|panel| panel.flying.is_none())?.spot = spot;
    for lever in &mut layout.levers {
        lever.spot = spot;
    }
    Some(layout)
}
