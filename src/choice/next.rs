//! The price of one more turnout, and which further one needs another controller.

use super::model::{NextTurnout, NoPrice, Step};
use crate::buying::{Choices, Proof, Purchase};
use crate::catalogue::Catalogue;
use crate::diagnostic::{Given, Place};
use crate::estimate::{Estimate, draft};
use crate::id::{BoardId, DeviceId, DriveId, LeverId, SchemeId};
use crate::layout::{BoardRole, Device, DeviceKind, Drive, FrogKind, Layout, Lever, Purpose};
use crate::money::Money;
use crate::scheme::{Assignment, assign};

/// So many further turnouts are looked at for one that needs another controller: nobody plans for more.
const MOST: usize = 200;

/// What a plain turnout with an insulated frog, a lever of its own, in the middle of the busiest board adds to the order, and which
/// further one needs another controller. Both are what the plan of a layout with so many turnouts more comes to, under the same rules.
/// `None` where nothing can drive a turnout.
pub(super) fn next_turnout(layout: &Layout, catalogue: &Catalogue, base: &Estimate, choices: &Choices) -> Option<NextTurnout> {
    let scheme = base.assignment.chosen;
    catalogue.driving(scheme, Purpose::TieBar)?;
    let board = busiest(layout);
    let total = |more: usize| {
        if more == 0 {
            return proven(base.can_be_built(), &base.purchase);
        }
        let layout = with_more(layout, board, more);
        let with = draft(&layout, catalogue, assign(&layout, catalogue, scheme), choices);
        proven(with.can_be_built(), &with.purchase)
    };
    // A difference of two orders that may both be better is a guess.
    let price = |(before, with): (Result<Money, NoPrice>, Result<Money, NoPrice>)| Ok(with? - before?);
    let now = total(0);
    let first = now.and_then(|_| total(1));
    let step = step(layout, catalogue, base, scheme, board).map(|turnout| {
        let price = if turnout == 1 { price((now, first)) } else { price((total(turnout - 1), total(turnout))) };
        Step { turnout, price }
    });
    Some(NextTurnout { price: price((now, first)), board, step })
}

/// The first further turnout with which the plan has other controllers than today; a larger one in the place of one is another.
fn step(layout: &Layout, catalogue: &Catalogue, base: &Estimate, scheme: SchemeId, board: BoardId) -> Option<usize> {
    let today = sizes(&base.assignment);
    let differs = |more: usize| sizes(&assign(&with_more(layout, board, more), catalogue, scheme)) != today;
    // Controllers that carry so many more carry fewer: halving the range finds the first.
    let (mut carried, mut beyond) = (0, MOST);
    if !differs(beyond) {
        return None;
    }
    while beyond - carried > 1 {
        let middle = usize::midpoint(carried, beyond);
        if differs(middle) { beyond = middle } else { carried = middle }
    }
    Some(beyond)
}

/// The controllers of a plan, whatever they serve: board, scheme and channels.
fn sizes(assignment: &Assignment) -> Vec<(BoardId, SchemeId, u32)> {
    let mut sizes: Vec<_> = assignment.controllers.iter().map(|c| (c.spot.board, c.scheme, c.channels)).collect();
    sizes.sort_unstable();
    sizes
}

/// The total of an order that lacks nothing and is proven the cheapest.
fn proven(can_be_built: bool, purchase: &Purchase) -> Result<Money, NoPrice> {
    match (can_be_built, &purchase.proof) {
        (false, _) => Err(NoPrice::NotToBeHad),
        (true, Proof::Whole) => Ok(purchase.total),
        (true, _) => Err(NoPrice::NotProven),
    }
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

/// The layout with so many more turnouts on a board.
fn with_more(layout: &Layout, board: BoardId, more: usize) -> Layout {
    let mut layout = layout.clone();
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
    }
    layout
}
