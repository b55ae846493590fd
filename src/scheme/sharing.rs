//! Controllers that serve a neighbour's board: few drives on one board, free channels on the next.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::assignment::{Assignment, Controller, controller_kind, sizes_sold};
use super::model::Connection;
use crate::catalogue::Catalogue;
use crate::id::BoardId;
use crate::layout::Layout;
use crate::quantity::Length;
use crate::wiring::{Paths, lead_length};

/// Lets controllers serve the board next to theirs. The rule: taken from the board with the fewest drives up, a board gives up its controller if
/// the only controller of a board that it is joined to reaches all its drives with leads as long as the scheme allows, and one controller
/// large enough for both, with the spare channels of the rules, costs less than the two. A board that serves another gives up none.
///
/// `None` where no controller is saved.
pub fn share(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Option<Assignment> {
    let mut shared = assignment.clone();
    let mut paths = Paths::new(layout);
    let mut hosts: Vec<BoardId> = Vec::new();
    let mut guests: Vec<Controller> = single(&assignment.controllers).into_iter().cloned().collect();
    guests.sort_by_key(|guest| (guest.drives.len(), guest.spot.board, guest.scheme));
    for guest in guests.iter().filter(|guest| !guest.drives.is_empty()) {
        if hosts.contains(&guest.spot.board) {
            continue;
        }
        let neighbours = neighbours(layout, guest.spot.board);
        let able = single(&shared.controllers).into_iter().filter(|host| {
            host.scheme == guest.scheme && host.spot.board != guest.spot.board && neighbours.contains(&host.spot.board)
        });
        let merged = able.filter_map(|host| merge(layout, catalogue, &mut paths, host, guest));
        let Some((_, merged)) = merged.min_by_key(|(price, merged)| (*price, merged.spot.board)) else { continue };
        hosts.push(merged.spot.board);
        shared.controllers.retain(|controller| controller != guest);
        let host =
            shared.controllers.iter_mut().find(|host| (host.scheme, host.spot.board) == (merged.scheme, merged.spot.board))?;
        *host = merged;
    }
    (shared.controllers.len() < assignment.controllers.len()).then_some(shared)
}

/// The controllers that are the only one of their family on their board.
fn single(controllers: &[Controller]) -> Vec<&Controller> {
    let mut count: BTreeMap<_, u32> = BTreeMap::new();
    for controller in controllers {
        *count.entry((controller.spot.board, controller.scheme)).or_default() += 1;
    }
    controllers.iter().filter(|controller| count.get(&(controller.spot.board, controller.scheme)) == Some(&1)).collect()
}

fn neighbours(layout: &Layout, board: BoardId) -> Vec<BoardId> {
    let ends = layout.joints.iter().map(|joint| [joint.from.board, joint.to.board]);
    ends.filter_map(|[a, b]| if a == board { Some(b) } else { (b == board).then_some(a) }).collect()
}

/// One controller in place of two, where the host stands, and what it costs. `None` where a lead would be too long, or nothing is saved.
fn merge(
    layout: &Layout,
    catalogue: &Catalogue,
    paths: &mut Paths,
    host: &Controller,
    guest: &Controller,
) -> Option<(Decimal, Controller)> {
    let Connection::Local { longest, .. } = catalogue.scheme(host.scheme).connection else { return None };
    let mut reach = |drive: &crate::id::DriveId| -> Option<Length> {
        let way = paths.between(host.spot, layout.drive(*drive).spot)?;
        Some(lead_length(layout, catalogue, &way))
    };
    if !guest.drives.iter().all(|drive| reach(drive).is_some_and(|length| length <= longest)) {
        return None;
    }
    let drives: Vec<_> = host.drives.iter().chain(&guest.drives).copied().collect();
    let wanted = layout.rules.spare_channels.value.on(u32::try_from(drives.len()).ok()?);
    let sizes = sizes_sold(catalogue, controller_kind(catalogue, host.scheme)?, &BTreeMap::new());
    let price =
        |channels: u32| sizes.iter().filter(|size| size.channels >= channels).map(|size| (size.price, size.channels)).min();
    let (one, channels) = price(wanted)?;
    let both = price(host.channels)?.0.checked_add(price(guest.channels)?.0)?;
    (one < both).then(|| (one, Controller { channels, drives, ..host.clone() }))
}
