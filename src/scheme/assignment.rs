//! A scheme for every drive, and the controllers that go with them.

use std::collections::BTreeMap;

use super::model::Connection;
use crate::catalogue::{Attr, Catalogue, Per, Role};
use crate::id::{BoardId, ControllerId, DriveId, KindId, PartId, SchemeId};
use crate::layout::{Controllers, Layout, Point, Room, Spot};
use crate::quantity::Length;
use crate::scheme::controllers::{Size, cheapest_sizes};
use crate::scheme::sharing::share;

/// A controller to be fitted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Controller {
    /// The family of schemes it serves.
    pub scheme: SchemeId,
    /// Where it stands: the free place nearest to the coordinate-wise median of what it serves.
    pub spot: Spot,
    /// The channels it must have.
    pub channels: u32,
    /// The drives it serves, by channel.
    pub drives: Vec<DriveId>,
}

impl Controller {
    /// Channels in use.
    pub fn used(&self) -> u32 {
        u32::try_from(self.drives.len()).unwrap_or(u32::MAX)
    }

    /// Channels left free.
    pub fn free(&self) -> u32 {
        self.channels.saturating_sub(self.used())
    }
}

/// A scheme for every drive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assignment {
    /// The scheme chosen for the layout, by which the assignment is named.
    pub chosen: SchemeId,
    /// The scheme of each drive, by drive id; `None` where none of the catalogue can move it.
    pub schemes: Vec<Option<SchemeId>>,
    /// The controllers, board by board.
    pub controllers: Vec<Controller>,
}

impl Assignment {
    /// The scheme of a drive.
    pub fn of(&self, drive: DriveId) -> Option<SchemeId> {
        self.schemes.get(drive.index()).copied().flatten()
    }

    /// The family of the scheme of a drive.
    pub fn family_of(&self, catalogue: &Catalogue, drive: DriveId) -> Option<SchemeId> {
        self.of(drive).map(|scheme| catalogue.family(scheme))
    }

    /// The controller that serves a drive.
    pub fn controller_of(&self, drive: DriveId) -> Option<ControllerId> {
        self.controllers.iter().position(|controller| controller.drives.contains(&drive)).map(ControllerId::at)
    }

    /// Channels left free over all controllers.
    pub fn free_channels(&self) -> u32 {
        self.controllers.iter().map(Controller::free).sum()
    }
}

/// Gives every drive a scheme: what the layout fixes, else `scheme`, else what that gives instead. Then plans the controllers of
/// each board: the cheapest sizes sold that leave the spare channels of the rules.
pub fn assign(layout: &Layout, catalogue: &Catalogue, scheme: SchemeId) -> Assignment {
    let schemes: Vec<Option<SchemeId>> = layout
        .drives
        .iter()
        .map(|drive| {
            let wanted = drive.fixed.as_ref().map_or(scheme, |fixed| fixed.value);
            catalogue.driving(wanted, drive.purpose)
        })
        .collect();
    let mut at: BTreeMap<(BoardId, SchemeId), Vec<DriveId>> = BTreeMap::new();
    for (index, scheme) in schemes.iter().enumerate() {
        let id = DriveId::at(index);
        if let Some(scheme) = *scheme
            && matches!(catalogue.scheme(scheme).connection, Connection::Local { .. })
        {
            at.entry((layout.drive(id).spot.board, catalogue.family(scheme))).or_default().push(id);
        }
    }
    let mut stock: BTreeMap<PartId, u32> = BTreeMap::new();
    let mut room = Room::new(layout, catalogue.rates.clear);
    let mut controllers = Vec::new();
    for ((board, scheme), mut drives) in at {
        drives.sort_by_key(|&drive| (layout.drive(drive).spot.at, drive));
        let used = u32::try_from(drives.len()).unwrap_or(u32::MAX);
        let wanted = layout.rules.spare_channels.value.on(used);
        let sizes = controller_kind(catalogue, scheme).map_or_else(Vec::new, |kind| sizes_sold(catalogue, kind, &stock));
        let chosen = cheapest_sizes(&sizes, wanted);
        for part in chosen.iter().filter_map(|size| size.stocked) {
            *stock.entry(part).or_default() += 1;
        }
        let channels: Vec<u32> = if chosen.is_empty() { vec![wanted] } else { chosen.iter().map(|size| size.channels).collect() };
        controllers.extend(deal(layout, &mut room, (board, scheme), &drives, &channels));
    }
    let assignment = Assignment { chosen: scheme, schemes, controllers };
    match layout.rules.controllers.value {
        Controllers::EachBoard => assignment,
        Controllers::Neighbour => share(layout, catalogue, &assignment).unwrap_or(assignment),
    }
}

/// The kind of controller that a scheme's rules ask for, else what those for all schemes do.
pub fn controller_kind(catalogue: &Catalogue, scheme: SchemeId) -> Option<KindId> {
    let rules = || {
        catalogue.rules.iter().filter(|rule| rule.per == Per::Controller && catalogue.kind(rule.kind).role == Role::Controller)
    };
    let own = rules().find(|rule| rule.scheme.is_some_and(|written| catalogue.counts_under(written, scheme)));
    own.or_else(|| rules().find(|rule| rule.scheme.is_none())).map(|rule| rule.kind)
}

/// The sizes of controller that can be had, stock that is not yet `taken` among them at no price.
pub(crate) fn sizes_sold(catalogue: &Catalogue, kind: KindId, taken: &BTreeMap<PartId, u32>) -> Vec<Size> {
    let mut sizes = Vec::new();
    for (id, part) in catalogue.parts_of(kind) {
        let Some(channels) = part.measured(Attr::Channels).and_then(|q| u32::try_from(q.value()).ok()).filter(|n| *n > 0) else {
            continue;
        };
        let left = part.stock.saturating_sub(taken.get(&id).copied().unwrap_or(0));
        sizes.extend((0..left.min(64)).map(|_| Size { channels, price: rust_decimal::Decimal::ZERO, stocked: Some(id) }));
        if let Some(price) = catalogue.unit_price(id) {
            sizes.push(Size { channels, price, stocked: None });
        }
    }
    sizes
}

/// Deals drives, in their order along the board, to controllers in proportion to their channels.
fn deal(
    layout: &Layout,
    room: &mut Room,
    (board, scheme): (BoardId, SchemeId),
    drives: &[DriveId],
    channels: &[u32],
) -> Vec<Controller> {
    let total: u64 = channels.iter().map(|&n| u64::from(n)).sum();
    let mut controllers = Vec::new();
    let mut dealt = 0;
    let mut channels_so_far = 0_u64;
    for &size in channels {
        channels_so_far += u64::from(size);
        // Up to this controller at most its share, rounded up, of all drives.
        let share = (drives.len() as u64 * channels_so_far).div_ceil(total.max(1));
        let until = usize::try_from(share).unwrap_or(usize::MAX).min(dealt + size as usize).min(drives.len());
        let served = drives.get(dealt..until).unwrap_or_default().to_vec();
        dealt = until;
        if !served.is_empty() {
            controllers.push(Controller {
                scheme,
                spot: room.fit(layout, Spot { board, at: median(layout, &served) }),
                channels: size,
                drives: served,
            });
        }
    }
    controllers
}

/// The coordinate-wise median of where drives stand: the point from which leads laid square to the edges are shortest in sum.
fn median(layout: &Layout, drives: &[DriveId]) -> Point {
    let middle = |coordinate: fn(Point) -> Length| {
        let mut values: Vec<Length> = drives.iter().map(|&drive| coordinate(layout.drive(drive).spot.at)).collect();
        values.sort_unstable();
        values.get(values.len() / 2).copied().unwrap_or_default()
    };
    Point { x: middle(|point| point.x), y: middle(|point| point.y) }
}

/// The room that these controllers leave.
fn room_beside<'a>(layout: &Layout, catalogue: &Catalogue, controllers: impl IntoIterator<Item = &'a Controller>) -> Room {
    let mut room = Room::new(layout, catalogue.rates.clear);
    controllers.into_iter().for_each(|controller| room.take(controller.spot));
    room
}

/// Puts two controllers in the place of one: each takes half its drives, in their order along the board, and stands in their midst. `None`
/// where there is no such controller, it serves a single drive, or none small enough is sold.
pub fn split(layout: &Layout, catalogue: &Catalogue, assignment: &mut Assignment, controller: ControllerId) -> Option<()> {
    let whole = assignment.controllers.get(controller.index()).filter(|whole| whole.drives.len() > 1)?.clone();
    let sizes = sizes_sold(catalogue, controller_kind(catalogue, whole.scheme)?, &BTreeMap::new());
    let (near, far) = whole.drives.split_at(whole.drives.len().div_ceil(2));
    let others = assignment.controllers.iter().enumerate().filter(|(at, _)| *at != controller.index());
    let mut room = room_beside(layout, catalogue, others.map(|(_, other)| other));
    let mut half = |drives: &[DriveId]| {
        // One controller for each half: the cheapest of those that are large enough.
        let fits = sizes.iter().filter(|size| size.channels as usize >= drives.len() && size.stocked.is_none());
        let size = fits.min_by_key(|size| (size.price, size.channels))?;
        let spot = room.fit(layout, Spot { at: median(layout, drives), ..whole.spot });
        Some(Controller { scheme: whole.scheme, spot, channels: size.channels, drives: drives.to_vec() })
    };
    let halves = [half(near)?, half(far)?];
    assignment.controllers.splice(controller.index()..=controller.index(), halves);
    Some(())
}
