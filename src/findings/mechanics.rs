//! What does not fit under a board.

use std::collections::BTreeMap;

use super::names::names;
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::BoardId;
use crate::layout::Layout;
use crate::quantity::Length;

pub(super) fn depth(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut deep: BTreeMap<(BoardId, Length), Vec<&str>> = BTreeMap::new();
    for id in layout.drive_ids() {
        let Some(scheme) = estimate.assignment.of(id) else { continue };
        let device = layout.device_of(id);
        let depth = catalogue.scheme(scheme).mechanics.depth;
        if depth > layout.board(device.spot.value.board).frame.value {
            deep.entry((device.spot.value.board, depth)).or_default().push(&layout.drive(id).name);
        }
    }
    for ((board, depth), drives) in deep {
        let board = layout.board(board);
        findings.push(
            Finding::new(
                "deeper-than-the-frame",
                Weight::Doubt,
                format!(
                    "The drives of {} are {depth} deep; the frame of board {} leaves {}.",
                    names(drives),
                    board.name,
                    board.frame.value
                ),
            )
            .seen("The motors stand out below the frame and are knocked off when the board is stood on the floor or carried.")
            .mend("Choose a drive that is less deep, or lay the drive on its side if its maker allows that.", None)
            .mend("Deepen the frame with a strip of wood, or screw feet to it that reach lower than the motors.", None),
        );
    }
}
