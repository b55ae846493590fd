//! Trunks: conductors shared by many subjects, brought from the origin to every board that needs them.

use std::collections::{BTreeMap, BTreeSet};

use super::ends::Terminal;
use super::paths::Paths;
use crate::id::{BoardId, JointId};
use crate::layout::{Layout, Spot};

/// One hop of a trunk: from the board before, over one joint, to the hub of a board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Hop {
    /// The board reached.
    pub(crate) board: BoardId,
    /// The hub of the board before.
    pub(crate) from: Terminal,
    /// The hub of the board reached.
    pub(crate) to: Terminal,
}

/// A tree over the boards that lead from the origin to all that need a trunk, with a hub on each.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Trunk {
    /// The hub of every board in the tree.
    pub(crate) hubs: BTreeMap<BoardId, Terminal>,
    /// Hops, nearest the origin first. One on the origin's own board leads from the origin to its hub.
    pub(crate) hops: Vec<Hop>,
    /// The boards it only passes, and where it comes in there.
    pub(crate) passed: BTreeMap<BoardId, Spot>,
}

impl Trunk {
    /// Puts the hub of a board elsewhere.
    pub(crate) fn set_hub(&mut self, board: BoardId, hub: Terminal) {
        let Some(old) = self.hubs.insert(board, hub) else { return };
        for hop in &mut self.hops {
            for end in [&mut hop.from, &mut hop.to].into_iter().filter(|end| **end == old) {
                *end = hub;
            }
        }
    }
}

/// Grows the tree along the shortest ways from `source`. `wanted` maps each board that needs the trunk to its hub there; a board only
/// passed through has its hub at the joint where the trunk comes in, until it is put elsewhere.
pub(crate) fn trunk(layout: &Layout, paths: &mut Paths, source: Terminal, wanted: &BTreeMap<BoardId, Terminal>) -> Trunk {
    let origin = source.spot;
    let mut before: BTreeMap<BoardId, (BoardId, JointId)> = BTreeMap::new();
    let mut order: Vec<BoardId> = Vec::new();
    let mut seen: BTreeSet<BoardId> = BTreeSet::from([origin.board]);
    for (&board, &hub) in wanted {
        let Some(path) = paths.between(origin, hub.spot) else { continue };
        let mut at = origin.board;
        for &joint in path.crosses.iter() {
            let next = other_board(layout, joint, at);
            // A board keeps the way by which it was first reached, so that the trunk stays a tree.
            if seen.insert(next) {
                before.insert(next, (at, joint));
                order.push(next);
            }
            at = next;
        }
        debug_assert_eq!(at, board);
    }
    let mut hubs = BTreeMap::from([(origin.board, wanted.get(&origin.board).copied().unwrap_or(source))]);
    let mut hops = Vec::new();
    let mut passed = BTreeMap::new();
    if let Some(&hub) = wanted.get(&origin.board)
        && hub.spot != origin
    {
        hops.push(Hop { board: origin.board, from: source, to: hub });
    }
    for board in order {
        let Some(&(parent, joint)) = before.get(&board) else { continue };
        let hub = wanted.get(&board).copied().unwrap_or_else(|| {
            let entry = if layout.joint(joint).from.board == board { layout.joint(joint).from } else { layout.joint(joint).to };
            passed.insert(board, entry);
            Terminal { spot: entry, ..source }
        });
        // From the origin itself where the next board hangs on its board: the panel, not the hub, feeds the joint.
        let from = if parent == origin.board { source } else { hubs.get(&parent).copied().unwrap_or(source) };
        hubs.insert(board, hub);
        hops.push(Hop { board, from, to: hub });
    }
    Trunk { hubs, hops, passed }
}

/// The board on the other side of a joint.
fn other_board(layout: &Layout, joint: JointId, board: BoardId) -> BoardId {
    let joint = layout.joint(joint);
    if joint.from.board == board { joint.to.board } else { joint.from.board }
}
