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

/// A hub that a board wants, and which section of the feed is to reach it, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Wanted {
    /// The hub.
    pub(crate) hub: Terminal,
    /// The section.
    pub(crate) section: usize,
}

/// A tree over boards, in the order in which they were first reached.
#[derive(Default)]
struct Tree {
    /// By board, the one before it and the joint between them.
    before: BTreeMap<BoardId, (BoardId, JointId)>,
    order: Vec<BoardId>,
}

impl Tree {
    /// Grown along the shortest ways from `origin` to each of these spots.
    fn grown(layout: &Layout, paths: &mut Paths, origin: Spot, to: impl IntoIterator<Item = Spot>) -> Self {
        let mut tree = Self::default();
        let mut seen: BTreeSet<BoardId> = BTreeSet::from([origin.board]);
        for spot in to {
            let Some(path) = paths.between(origin, spot) else { continue };
            let mut at = origin.board;
            for &joint in path.crosses.iter() {
                let next = other_board(layout, joint, at);
                // A board keeps the way by which it was first reached, so that the trunk stays a tree.
                if seen.insert(next) {
                    tree.before.insert(next, (at, joint));
                    tree.order.push(next);
                }
                at = next;
            }
            debug_assert_eq!(at, spot.board);
        }
        tree
    }

    /// The boards before one, nearest first.
    fn above(&self, board: BoardId) -> impl Iterator<Item = BoardId> {
        std::iter::successors(self.before.get(&board).map(|(before, _)| *before), |at| {
            self.before.get(at).map(|(before, _)| *before)
        })
    }
}

/// All boards that the wires reach, branch by branch from the origin outwards: each after the one before it, and what lies behind it next.
pub fn boards_from_origin(layout: &Layout) -> Vec<BoardId> {
    let origin = layout.origin();
    let spots = (0..layout.boards.len()).map(|index| layout.centre(BoardId::at(index)));
    let tree = Tree::grown(layout, &mut Paths::new(layout), origin, spots);
    let mut behind: BTreeMap<BoardId, Vec<BoardId>> = BTreeMap::new();
    for board in &tree.order {
        if let Some((before, _)) = tree.before.get(board) {
            behind.entry(*before).or_default().push(*board);
        }
    }
    let mut ordered = Vec::with_capacity(layout.boards.len());
    let mut next = vec![origin.board];
    while let Some(board) = next.pop() {
        ordered.push(board);
        next.extend(behind.remove(&board).into_iter().flatten().rev());
    }
    ordered
}

/// Grows the tree along the shortest ways from `sockets`, those of the sections of the feed, which stand together. `wanted` maps each board that needs the trunk to its hub there; a
/// board only passed through has its hub at the joint where the trunk comes in, until it is put elsewhere. Each section of the feed has a tree of its own: where the board before is
/// on another section, the wire passes it and begins at the nearest hub of its own section, or at the origin.
pub(crate) fn trunk(layout: &Layout, paths: &mut Paths, sockets: &[Terminal], wanted: &BTreeMap<BoardId, Wanted>) -> Trunk {
    let Some(&first) = sockets.first() else { return Trunk::default() };
    let origin = first.spot;
    let source = |section: usize| sockets.get(section).copied().unwrap_or(first);
    let tree = Tree::grown(layout, paths, origin, wanted.values().map(|wanted| wanted.hub.spot));
    // The sections that a board's trunk is for: its own, else those of what lies behind it.
    let mut serves: BTreeMap<BoardId, BTreeSet<usize>> = BTreeMap::new();
    for (&board, wish) in wanted {
        serves.insert(board, BTreeSet::from([wish.section]));
        for above in tree.above(board).filter(|above| !wanted.contains_key(above)) {
            serves.entry(above).or_default().insert(wish.section);
        }
    }
    let mut hubs = BTreeMap::new();
    let mut passed = BTreeMap::new();
    let mut hops = Vec::new();
    match wanted.get(&origin.board) {
        Some(&Wanted { hub, section }) => {
            hubs.insert(origin.board, hub);
            if hub.spot != origin {
                hops.push(Hop { board: origin.board, from: source(section), to: hub });
            }
        }
        None => {
            hubs.insert(origin.board, source(0));
        }
    }
    for &board in &tree.order {
        let Some(&(_, joint)) = tree.before.get(&board) else { continue };
        let mut mine = serves.get(&board).into_iter().flatten().copied();
        let (Some(section), None) = (mine.next(), mine.next()) else { continue };
        let entry = if layout.joint(joint).from.board == board { layout.joint(joint).from } else { layout.joint(joint).to };
        let hub = wanted.get(&board).map_or_else(
            || {
                passed.insert(board, entry);
                Terminal { spot: entry, ..source(section) }
            },
            |wish| wish.hub,
        );
        // From the origin itself where the next board hangs on its board: the panel, not the hub, feeds the joint.
        let before = tree
            .above(board)
            .take_while(|above| *above != origin.board)
            .find(|above| hubs.contains_key(above) && serves.get(above).is_some_and(|serves| serves.contains(&section)));
        let from = before.and_then(|before| hubs.get(&before).copied()).unwrap_or_else(|| source(section));
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
