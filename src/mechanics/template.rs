//! What is drilled in the top and in a home-made bracket for a drive, and where.

use super::fixing::{clearance_of, half_mm_up, least_hole, pilot};
use super::plan::{CLEARANCE, FLANGE, HOLE, RodCheck};
use crate::buying::Purchase;
use crate::catalogue::{Asked, AssemblyRule, Attr, Catalogue, Per, Role, Value};
use crate::id::{DriveId, SchemeId};
use crate::layout::Layout;
use crate::quantity::Length;
use crate::takeoff::Takeoff;

/// From the end of a bracket to its nearest screw, as a part of its length: common practice, no source.
const SCREW_AT: i64 = 6;

/// What stays of the top above a pilot hole: common practice, no source.
const LEFT: Length = Length::from_mm(1);

/// The drilling of drives that are alike, about the middle of the rod's travel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drilling {
    /// The scheme.
    pub scheme: SchemeId,
    /// The drives.
    pub drives: Vec<DriveId>,
    /// The hole in the top for the rod.
    pub top: Length,
    /// The screws that hold the drive or its bracket, where their size is asked for.
    pub screws: Option<Screws>,
    /// The home-made bracket, where one is made.
    pub bracket: Option<Bracket>,
}

/// Wood screws into the top, each with a blind pilot hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screws {
    /// Their diameter.
    pub diameter: Length,
    /// Their length.
    pub length: Length,
    /// The pilot hole in the top.
    pub pilot: Length,
    /// How deep that is.
    pub depth: Length,
}

/// A home-made bracket of angle: a foot flat against the underside of the top, and a leg that stands down from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bracket {
    /// Its length.
    pub length: Length,
    /// The width of foot and leg, where the stock states its size.
    pub width: Option<Length>,
    /// The hole in the middle of the foot, which guides the rod and is its fulcrum.
    pub fulcrum: Length,
    /// The holes in the foot for its screws.
    pub through: Length,
    /// How far those stand from the middle, to either side.
    pub screws_at: Length,
    /// The holes in the leg for the motor's lugs: their diameter, and how far they stand from the middle.
    pub lugs: Option<(Length, Length)>,
}

impl Drilling {
    /// Every size of hole that it takes, smallest first.
    pub fn holes(&self) -> Vec<Length> {
        let mut holes = vec![self.top];
        holes.extend(self.screws.map(|screws| screws.pilot));
        if let Some(bracket) = &self.bracket {
            holes.extend([bracket.fulcrum, bracket.through]);
            holes.extend(bracket.lugs.map(|(hole, _)| hole));
        }
        holes.sort_unstable();
        holes.dedup();
        holes
    }
}

/// The drilling of all drives whose rods are known.
pub fn drillings(
    layout: &Layout,
    catalogue: &Catalogue,
    takeoff: &Takeoff,
    purchase: &Purchase,
    rods: &[RodCheck],
) -> Vec<Drilling> {
    let mut found: Vec<Drilling> = Vec::new();
    for rod in rods {
        let is_new = |drive: &DriveId| !layout.device_of(*drive).owned;
        let drives: Vec<DriveId> = rod.drives.iter().copied().filter(is_new).collect();
        if drives.is_empty() {
            continue;
        }
        let screws = screws(catalogue, rod);
        let drilling = Drilling {
            scheme: rod.scheme,
            drives,
            top: half_mm_up(rod.least_hole.unwrap_or(HOLE).max(HOLE)),
            screws,
            bracket: screws.and_then(|screws| bracket(catalogue, takeoff, purchase, rod, screws)),
        };
        let alike = |known: &&mut Drilling| **known == Drilling { drives: known.drives.clone(), ..drilling.clone() };
        match found.iter_mut().find(alike) {
            Some(known) => known.drives.extend(drilling.drives),
            None => found.push(drilling),
        }
    }
    found
}

/// The fixings that the rules of a scheme's drives ask for.
fn fixings(catalogue: &Catalogue, scheme: SchemeId) -> impl Iterator<Item = &AssemblyRule> {
    let counts = move |written: Option<SchemeId>| written.is_none_or(|written| catalogue.counts_under(written, scheme));
    let rules = catalogue.rules.iter().filter(move |rule| rule.per == Per::Drive && counts(rule.scheme));
    rules.filter(|rule| catalogue.kind(rule.kind).role == Role::Fixing)
}

fn asked(rule: &AssemblyRule, attr: Attr) -> Option<&Value> {
    rule.asks.iter().find_map(|(known, asked)| match asked {
        Asked::Value(value) if *known == attr => Some(value),
        _ => None,
    })
}

/// The screws asked by length and diameter, which go into the wood of the top.
fn screws(catalogue: &Catalogue, rod: &RodCheck) -> Option<Screws> {
    let length = |rule, attr| match asked(rule, attr) {
        Some(Value::Measured(quantity)) => Length::try_from(*quantity).ok(),
        _ => None,
    };
    let (length, diameter) =
        fixings(catalogue, rod.scheme).find_map(|rule| Some((length(rule, Attr::Length)?, length(rule, Attr::Diameter)?)))?;
    let depth = (length - FLANGE).min(rod.top - LEFT);
    Some(Screws { diameter, length, pilot: pilot(diameter), depth })
}

/// The bracket of a scheme that makes its own.
fn bracket(catalogue: &Catalogue, takeoff: &Takeoff, purchase: &Purchase, rod: &RodCheck, screws: Screws) -> Option<Bracket> {
    let mechanics = catalogue.scheme(rod.scheme).mechanics;
    let length = mechanics.bracket;
    if length == Length::ZERO {
        return None;
    }
    let stock = takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Bracket);
    let stock = stock.filter_map(|need| purchase.uses.iter().find(|used| used.need == need.id));
    let width = stock.map(|used| catalogue.part(used.part)).find_map(|part| match part.attributes.get(&Attr::Size) {
        Some(Value::Text(size)) => leg(size.as_str()),
        _ => None,
    });
    // To the half millimetre: finer is not drilled.
    let screws_at = Length::from_um((length.um() / 2 - length.um() / SCREW_AT) / 500 * 500);
    let metric = fixings(catalogue, rod.scheme).find_map(|rule| match asked(rule, Attr::Size) {
        Some(Value::Text(size)) => clearance_of(size.as_str()),
        _ => None,
    });
    let lugs = metric.zip(mechanics.lugs).map(|(hole, apart)| (hole, Length::from_um(apart.um() / 2)));
    Some(Bracket {
        length,
        width,
        fulcrum: half_mm_up(least_hole(rod.diameter, Length::ZERO, Length::from_um(CLEARANCE.um() / 2))),
        through: half_mm_up(screws.diameter + CLEARANCE),
        screws_at,
        lugs: lugs.filter(|(_, at)| *at < length),
    })
}

/// The leg of an angle from its size in words, such as `15 x 15`.
fn leg(size: &str) -> Option<Length> {
    let millimetres: f64 = size.split(['x', '×']).next()?.trim().parse().ok()?;
    #[expect(clippy::cast_possible_truncation, reason = "held to what a bracket can be")]
    (1.0..=200.0).contains(&millimetres).then(|| Length::from_um((millimetres * 1000.0).round() as i64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_leg_of_an_angle_is_read_from_its_size() {
        assert_eq!(leg("15 x 15"), Some(Length::from_mm(15)));
        assert_eq!(leg("12.5 × 20"), Some(Length::from_um(12_500)));
        assert_eq!(leg("M2"), None);
        assert_eq!(leg("1e9 x 1"), None);
    }
}
