//! The price of one more turnout, and the step that follows when the free channels are used up.

use super::model::NextTurnout;
use crate::buying::{Choices, Proof};
use crate::catalogue::Catalogue;
use crate::diagnostic::{Given, Place};
use crate::estimate::{Estimate, estimate};
use crate::id::{BoardId, DeviceId, DriveId, LeverId};
use crate::layout::{BoardRole, Device, DeviceKind, Drive, FrogKind, Layout, Lever, Purpose};
use crate::money::Money;
use crate::scheme::{Assignment, Controller, extend};

/// Beyond so many free channels on a board the step is not worked out.
const MOST_FREE: u32 = 200;

/// What a plain turnout with an insulated frog, a lever of its own, in the middle of the busiest board adds to the order; and how many
/// more it takes until one needs another controller, with what that one adds. `None` where it cannot be had, or where the order is not
/// proven the cheapest: a difference of two orders that may both be better is a guess.
pub(super) fn next_turnout(layout: &Layout, catalogue: &Catalogue, base: &Estimate, choices: &Choices) -> Option<NextTurnout> {
    let now = proven(base)?;
    let board = busiest(layout);
    let scheme = catalogue.driving(base.assignment.chosen, Purpose::TieBar)?;
    let family = catalogue.family(scheme);
    let total = |more: u32| {
        let (layout, assignment) = with_more(layout, catalogue, &base.assignment, board, more);
        proven(&estimate(&layout, catalogue, assignment, choices))
    };
    let first = total(1)?;
    let here = base.assignment.controllers.iter().filter(|c| c.scheme == family && c.spot.board == board);
    let free = here.map(Controller::free).reduce(|sum, free| sum + free);
    let step = match free {
        None => None,
        Some(0) => Some((1, first - now)),
        // So many free channels are no step that anyone plans for.
        Some(free) if free > MOST_FREE => None,
        Some(free) => {
            let before = if free == 1 { Some(first) } else { total(free) };
            total(free + 1).zip(before).map(|(with, before)| (free + 1, with - before))
        }
    };
    Some(NextTurnout { price: first - now, board, step })
}

/// The total of an order that lacks nothing and is proven the cheapest.
fn proven(estimate: &Estimate) -> Option<Money> {
    (estimate.can_be_built() && estimate.purchase.proof == Proof::Whole).then_some(estimate.purchase.total)
}

/// The baseboard with most drives; the first of several.
fn busiest(layout: &Layout) -> BoardId {
    let mut drives = vec![0_usize; layout.boards.len()];
    for drive in layout.drive_ids() {
        if let Some(count) = drives.get_mut(layout.drive(drive).spot.board.index()) {
            *count += 1;
        }
    }
    let boards = drives.into_iter().enumerate().map(|(index, drives)| (BoardId::at(index), drives));
    let baseboards = boards.filter(|(board, _)| layout.board(*board).role == BoardRole::Baseboard);
    baseboards.max_by_key(|&(board, drives)| (drives, std::cmp::Reverse(board))).map_or(BoardId(0), |(board, _)| board)
}

/// The layout and its assignment with so many more turnouts on a board.
fn with_more(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, board: BoardId, more: u32) -> (Layout, Assignment) {
    let mut layout = layout.clone();
    let mut assignment = assignment.clone();
    let spot = layout.centre(board);
    let place = Place::Default("the next turnout".into());
    for n in 1..=more {
        let drive = DriveId::at(layout.drives.len());
        let lever = LeverId::at(layout.levers.len());
        let name: std::sync::Arc<str> = format!("next {n}").into();
        let at = layout.panel.as_ref().map_or(spot, |panel| panel.spot);
        layout.levers.push(Lever { name: name.clone(), drives: vec![drive], lights: Vec::new(), spot: at });
        layout.drives.push(Drive {
            name: name.clone(),
            device: DeviceId::at(layout.devices.len()),
            spot,
            purpose: Purpose::TieBar,
            lever,
            fixed: None,
        });
        layout.devices.push(Device {
            name,
            place: place.clone(),
            kind: DeviceKind::Turnout("plain".into()),
            spot: Given::new(spot, place.clone()),
            owned: false,
            hidden: false,
            frog: FrogKind::Insulated,
            drives: vec![drive],
            frogs: Vec::new(),
            lights: 0,
            lit: 0,
        });
        extend(&layout, catalogue, &mut assignment, drive);
    }
    (layout, assignment)
}
