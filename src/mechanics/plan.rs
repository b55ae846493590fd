//! The mechanics of a plan: how its rods work, and which screws do not suit their board.

use std::collections::BTreeMap;

use super::fixing::{Bite, Screw, least_hole};
use super::rod::{DriveEnd, Rod, Stiffness};
use crate::buying::Purchase;
use crate::catalogue::{Asked, Attr, Catalogue, Per, Role, Value};
use crate::id::{BoardId, DriveId, SchemeId};
use crate::layout::{Layout, Purpose};
use crate::quantity::{Length, Quantity};
use crate::scheme::Assignment;
use crate::takeoff::{Subject, Takeoff};

/// The hole in the top under a tie bar: common practice, no source.
pub const HOLE: Length = Length::from_mm(5);

/// What a hole leaves free round a rod at the end of its travel: common practice, no source.
pub(super) const CLEARANCE: Length = Length::from_um(500);

/// The thickness of a bracket or flange under a screw's head where no fixing states one: common practice, no source.
const FLANGE: Length = Length::from_mm(2);

/// Rods that are alike: of one scheme, in one wire, through tops of one thickness. The rod's fulcrum is the hole of its bracket, close under
/// the top: above it lies the top, below it the scheme's arm.
#[derive(Debug, Clone, PartialEq)]
pub struct RodCheck {
    /// The scheme.
    pub scheme: SchemeId,
    /// The drives.
    pub drives: Vec<DriveId>,
    /// Diameter of the wire.
    pub diameter: Length,
    /// From the fulcrum to the tie bar: the thickness of the top.
    pub above: Length,
    /// From the fulcrum to the drive: the scheme's arm.
    pub below: Length,
    /// The force at the blades for each millimetre by which they are held back.
    pub stiffness: Stiffness,
    /// How far the drive moves for each millimetre at the blades.
    pub travel_ratio: f64,
    /// The travel that the drive must have at least in the layout's scale, before it presses; `None` where the scale is not given.
    pub least_drive: Option<Length>,
    /// The hole that the rod and its travel take at least in the layout's scale.
    pub least_hole: Option<Length>,
}

/// The rods of all drives that move tie bars, with the wire bought for them.
pub fn rods(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    takeoff: &Takeoff,
    purchase: &Purchase,
) -> Vec<RodCheck> {
    let mut alike: BTreeMap<(SchemeId, Length, Length), Vec<DriveId>> = BTreeMap::new();
    for need in takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Rod) {
        let used = purchase.uses.iter().find(|used| used.need == need.id);
        let states = |quantity: Quantity| Length::try_from(quantity).ok();
        let Some(diameter) = used.and_then(|used| states(catalogue.part(used.part).measured(Attr::Diameter)?)) else { continue };
        for reason in &need.reasons {
            let Subject::Drive(drive) = reason.subject else { continue };
            let Some(scheme) = assignment.of(drive).filter(|_| layout.drive(drive).purpose == Purpose::TieBar) else { continue };
            let top = layout.board(layout.device_of(drive).spot.value.board).top.value;
            alike.entry((scheme, diameter, top)).or_default().push(drive);
        }
    }
    let checked = alike.into_iter().filter_map(|((scheme, diameter, above), drives)| {
        let below = catalogue.scheme(scheme).mechanics.arm;
        let rod = Rod::new(diameter, above, below, DriveEnd::Pinned).ok()?;
        let travel = layout.scale.map(|scale| scale.least_travel);
        Some(RodCheck {
            scheme,
            drives,
            diameter,
            above,
            below,
            stiffness: rod.stiffness(),
            travel_ratio: rod.travel_ratio(),
            least_drive: travel.map(|travel| rod.least_drive(travel)),
            least_hole: travel.map(|travel| least_hole(diameter, travel, CLEARANCE)),
        })
    });
    checked.collect()
}

/// A screw that does not suit the top of a board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScrewCheck {
    /// The board.
    pub board: BoardId,
    /// What is screwed on: drives or controllers.
    pub per: Per,
    /// Its title in the catalogue.
    pub title: String,
    /// Its length.
    pub length: Length,
    /// The thickness under its head.
    pub through: Length,
    /// How it sits: too short or too long, and by how much.
    pub bite: Bite,
}

/// The screws of drives and controllers that hold too little, or come too close to the track.
///
/// A fixing asked by length and diameter goes into the wood; one asked by a size such as `M3` takes a nut. A fixing asked by length
/// alone, beside it for the same scheme, is a spacer under its head.
pub fn screws(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Vec<ScrewCheck> {
    let drives = layout.drive_ids().filter(|&drive| !layout.device_of(drive).owned);
    let drives = drives.filter_map(|drive| Some((Per::Drive, assignment.of(drive)?, layout.device_of(drive).spot.value.board)));
    let controllers = assignment.controllers.iter().map(|controller| (Per::Controller, controller.scheme, controller.spot.board));
    let mut places: Vec<(Per, SchemeId, BoardId)> = drives.chain(controllers).collect();
    places.sort_unstable();
    places.dedup();
    let mut found: Vec<ScrewCheck> = Vec::new();
    for (per, scheme, board) in places {
        let rules = catalogue.rules.iter().filter(|rule| {
            rule.per == per
                && catalogue.kind(rule.kind).role == Role::Fixing
                && rule.scheme.is_none_or(|written| catalogue.counts_under(written, scheme))
        });
        let asks = |asks: &[(Attr, Asked)], attr: Attr| {
            asks.iter().find_map(|(asked, value)| match value {
                Asked::Value(Value::Measured(quantity)) if *asked == attr => Length::try_from(*quantity).ok(),
                _ => None,
            })
        };
        let spacer = rules.clone().find(|rule| rule.asks.len() == 1).and_then(|rule| asks(&rule.asks, Attr::Length));
        for rule in rules {
            let (Some(length), Some(_)) = (asks(&rule.asks, Attr::Length), asks(&rule.asks, Attr::Diameter)) else { continue };
            let through = spacer.unwrap_or_default() + FLANGE;
            let bite = Screw::common(through, layout.board(board).top.value).bite(length);
            let check = ScrewCheck { board, per, title: catalogue.kind(rule.kind).title.clone(), length, through, bite };
            if bite != Bite::Holds && !found.contains(&check) {
                found.push(check);
            }
        }
    }
    found
}
