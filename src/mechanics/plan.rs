//! The mechanics of a plan: how its rods work, and which screws do not suit their board.

use std::collections::BTreeMap;

use super::fixing::{Bite, Screw, least_hole, longest_screw};
use super::rod::{DriveEnd, Rod, Stiffness};
use crate::buying::Purchase;
use crate::catalogue::{Asked, Attr, Catalogue, Per, Role, Value};
use crate::id::{BoardId, DriveId, SchemeId};
use crate::layout::{Layout, Purpose};
use crate::quantity::{Force, Length, Quantity};
use crate::scheme::Assignment;
use crate::takeoff::{Subject, Takeoff};

/// The hole in the top under a tie bar: common practice, no source.
pub const HOLE: Length = Length::from_mm(5);

/// What a hole leaves free round a rod at the end of its travel: common practice, no source.
pub(super) const CLEARANCE: Length = Length::from_um(500);

/// The thickness of a bracket or flange under a screw's head where no fixing states one: common practice, no source.
pub(super) const FLANGE: Length = Length::from_mm(2);

/// The thinnest top that is left where it is thinned from below for a bracket: common practice, no source.
const LEAST_TOP: Length = Length::from_mm(3);

/// The thickest pad that is glued under a top for a bracket: common practice, no source.
const MOST_PAD: i64 = 40;

/// The shortest arm with which a drive still stands clear under its bracket: common practice, no source.
const LEAST_ARM: i64 = 10;

/// Rods that are alike: of one scheme, for one purpose, in one wire, through tops of one thickness. The rod's fulcrum is the hole of its
/// bracket, close under the top: above it lie the top, track bed and sleepers, below it the scheme's arm.
#[derive(Debug, Clone, PartialEq)]
pub struct RodCheck {
    /// The scheme.
    pub scheme: SchemeId,
    /// What it moves.
    pub purpose: Purpose,
    /// The drives.
    pub drives: Vec<DriveId>,
    /// Diameter of the wire.
    pub diameter: Length,
    /// The thickness of the top.
    pub top: Length,
    /// From the fulcrum to what it moves: the top, track bed and sleepers.
    pub above: Length,
    /// From the fulcrum to the drive: the scheme's arm.
    pub below: Length,
    /// The force at the blades for each millimetre by which they are held back.
    pub stiffness: Stiffness,
    /// How far the drive moves for each millimetre at the blades.
    pub travel_ratio: f64,
    /// The force the blades need, by the scheme.
    pub force: Option<Force>,
    /// How far the blades hold the rod's tip back under that force.
    pub bend: Option<Length>,
    /// How far the drive can go, by the scheme.
    pub travel: Option<Length>,
    /// The travel that the drive must have at least in the layout's scale, before it presses; `None` where the scale is not given.
    pub least_drive: Option<Length>,
    /// The travel with which it presses as hard as the blades need: what the rod bends at either end comes on top.
    pub pressing_drive: Option<Length>,
    /// The thinnest wire sold with which the drive's travel suffices, where it does not with this.
    pub stiffer: Option<Length>,
    /// The longest arm below the fulcrum with which the drive's travel suffices, where it does not with this.
    pub arm: Option<Length>,
    /// The thickness of top, nearest to that of the board, with which the drive's travel suffices, where it does not with this.
    pub better_top: Option<Length>,
    /// The hole that the rod and its travel take at least in the layout's scale.
    pub least_hole: Option<Length>,
}

/// The rods of all drives, with the wire bought for them. What they must press is known of tie bars alone.
pub fn rods(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    takeoff: &Takeoff,
    purchase: &Purchase,
) -> Vec<RodCheck> {
    let mut alike: BTreeMap<(SchemeId, Purpose, Length, Length), Vec<DriveId>> = BTreeMap::new();
    for need in takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Rod) {
        let used = purchase.uses.iter().find(|used| used.need == need.id);
        let states = |quantity: Quantity| Length::try_from(quantity).ok();
        let Some(diameter) = used.and_then(|used| states(catalogue.part(used.part).measured(Attr::Diameter)?)) else { continue };
        for reason in &need.reasons {
            let Subject::Drive(drive) = reason.subject else { continue };
            let Some(scheme) = assignment.of(drive) else { continue };
            let top = layout.board(layout.drive(drive).spot.board).top.value;
            alike.entry((scheme, layout.drive(drive).purpose, diameter, top)).or_default().push(drive);
        }
    }
    let checked = alike.into_iter().filter_map(|((scheme, purpose, diameter, top), drives)| {
        let mechanics = catalogue.scheme(scheme).mechanics;
        let above = top + catalogue.rates.rod_above;
        let rod = Rod::new(diameter, above, mechanics.arm, DriveEnd::Pinned).ok()?;
        let moves_blades = purpose == Purpose::TieBar;
        let blades = layout.scale.filter(|_| moves_blades).map(|scale| scale.least_travel);
        let force = mechanics.force.filter(|_| moves_blades);
        let pressing = |rod: Rod| blades.zip(force).map(|(blades, force)| rod.pressing_drive(blades, force));
        let presses = |rod: Rod| pressing(rod).zip(mechanics.travel).is_none_or(|(needed, travel)| needed <= travel);
        let mut check = RodCheck {
            scheme,
            purpose,
            drives,
            diameter,
            top,
            above,
            below: mechanics.arm,
            stiffness: rod.stiffness(),
            travel_ratio: rod.travel_ratio(),
            force,
            bend: force.map(|force| rod.bend(force)),
            travel: mechanics.travel,
            least_drive: blades.map(|blades| rod.least_drive(blades)),
            pressing_drive: pressing(rod),
            stiffer: None,
            arm: None,
            better_top: None,
            least_hole: blades.map(|blades| least_hole(diameter, blades, CLEARANCE)),
        };
        if !presses(rod) {
            let sold = diameters_sold(catalogue, scheme).into_iter().filter(|sold| *sold > diameter);
            check.stiffer = sold.into_iter().find(|&sold| rod.of(sold).is_ok_and(presses));
            check.arm = shorter_arm(mechanics.arm, |arm| rod.with_below(arm).is_ok_and(presses));
            check.better_top = better_top(top, |top| rod.with_above(top + catalogue.rates.rod_above).is_ok_and(presses));
        }
        Some(check)
    });
    checked.collect()
}

/// The longest arm, in whole millimetres, below this one that serves.
fn shorter_arm(arm: Length, serves: impl Fn(Length) -> bool) -> Option<Length> {
    (LEAST_ARM..arm.mm_up()).rev().map(Length::from_mm).find(|&arm| serves(arm))
}

/// The top that serves and differs least from this one, by whole millimetres: with a pad under it, or thinned from below.
fn better_top(top: Length, serves: impl Fn(Length) -> bool) -> Option<Length> {
    let nearest = (1..=MOST_PAD).map(Length::from_mm).flat_map(|by| [top + by, top - by]);
    nearest.filter(|&other| other >= LEAST_TOP).find(|&other| serves(other))
}

impl RodCheck {
    /// Whether the drive goes far enough to press as hard as the blades need; unknown without a scale, a travel or a force.
    pub fn presses(&self) -> Option<bool> {
        Some(self.pressing_drive? <= self.travel?)
    }
}

/// The diameters of rod that the rules of a scheme's drives can get, thinnest first.
fn diameters_sold(catalogue: &Catalogue, scheme: SchemeId) -> Vec<Length> {
    let rules = catalogue.rules.iter().filter(|rule| {
        rule.per == Per::Drive
            && catalogue.kind(rule.kind).role == Role::Rod
            && rule.scheme.is_some_and(|written| catalogue.counts_under(written, scheme))
    });
    let had = rules.flat_map(|rule| catalogue.to_be_had(rule.kind));
    let mut diameters: Vec<Length> = had.filter_map(|(_, part)| Length::try_from(part.measured(Attr::Diameter)?).ok()).collect();
    diameters.sort_unstable();
    diameters.dedup();
    diameters
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
    /// The scheme whose rules ask for it.
    pub scheme: SchemeId,
    /// The longest screw sold that would hold.
    pub better: Option<Length>,
}

/// The screws of drives and controllers that hold too little, or come too close to the track.
///
/// A fixing asked by length and diameter goes into the wood; one asked by a size such as `M3` takes a nut. A fixing asked by length
/// alone, beside it for the same scheme, is a spacer under its head.
pub fn screws(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Vec<ScrewCheck> {
    let drives = layout.drive_ids().filter(|&drive| !layout.device_of(drive).owned);
    let drives = drives.filter_map(|drive| Some((Per::Drive, assignment.of(drive)?, layout.drive(drive).spot.board)));
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
            let screw = Screw::common(through, layout.board(board).top.value);
            let bite = screw.bite(length);
            let known =
                found.iter().any(|known| (known.board, known.per, known.length, known.through) == (board, per, length, through));
            if bite == Bite::Holds || known {
                continue;
            }
            let diameter = asks(&rule.asks, Attr::Diameter).map(Length::quantity);
            let alike = catalogue.to_be_had(rule.kind).filter(|(_, part)| part.measured(Attr::Diameter) == diameter);
            let sold: Vec<Length> = alike.filter_map(|(_, part)| Length::try_from(part.measured(Attr::Length)?).ok()).collect();
            let better = longest_screw(&sold, screw).and_then(|place| sold.get(place).copied());
            found.push(ScrewCheck {
                board,
                per,
                title: catalogue.kind(rule.kind).title.clone(),
                length,
                through,
                bite,
                scheme,
                better,
            });
        }
    }
    found
}
