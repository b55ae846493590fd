//! What is drilled in the top and in a home-made bracket for a drive, and where.

use super::fixing::least_hole;
use super::plan::{CLEARANCE, HOLE, RodCheck};
use crate::buying::Purchase;
use crate::catalogue::{Asked, Attr, Catalogue, Per, Role, Value};
use crate::id::{DriveId, SchemeId};
use crate::layout::{Layout, Purpose};
use crate::quantity::Length;
use crate::takeoff::Takeoff;

/// From the end of a bracket to its nearest screw, as a part of its length: common practice, no source.
const SCREW_AT: i64 = 6;

/// The drilling of drives that are alike, about the middle of the tie bar's travel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drilling {
    /// The scheme.
    pub scheme: SchemeId,
    /// The drives.
    pub drives: Vec<DriveId>,
    /// The hole in the top.
    pub top: Length,
    /// The rod.
    pub rod: Length,
    /// The home-made bracket, where one is made.
    pub bracket: Option<Bracket>,
}

/// The foot of a home-made bracket, flat against the underside of the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bracket {
    /// Its length.
    pub length: Length,
    /// Its width, where the stock states its size.
    pub width: Option<Length>,
    /// The hole in its middle, which guides the rod and is its fulcrum.
    pub fulcrum: Length,
    /// The holes of its screws.
    pub screw: Length,
    /// How far those stand from the middle, to either side.
    pub screws_at: Length,
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
        let is_new = |drive: &DriveId| !layout.device_of(*drive).owned && layout.drive(*drive).purpose == Purpose::TieBar;
        let drives: Vec<DriveId> = rod.drives.iter().copied().filter(is_new).collect();
        if drives.is_empty() {
            continue;
        }
        let top = rod.least_hole.unwrap_or(HOLE).max(HOLE);
        let bracket = bracket(catalogue, takeoff, purchase, rod.scheme, rod.diameter);
        let drilling = Drilling { scheme: rod.scheme, drives, top, rod: rod.diameter, bracket };
        let alike = |known: &&mut Drilling| {
            (known.scheme, known.top, known.rod, &known.bracket) == (rod.scheme, drilling.top, rod.diameter, &drilling.bracket)
        };
        match found.iter_mut().find(alike) {
            Some(known) => known.drives.extend(drilling.drives),
            None => found.push(drilling),
        }
    }
    found
}

/// The bracket of a scheme that makes its own. Its screws go through holes of their own diameter and half a millimetre.
fn bracket(catalogue: &Catalogue, takeoff: &Takeoff, purchase: &Purchase, scheme: SchemeId, rod: Length) -> Option<Bracket> {
    let length = catalogue.scheme(scheme).mechanics.bracket;
    if length == Length::ZERO {
        return None;
    }
    let counts = |written: Option<SchemeId>| written.is_none_or(|written| catalogue.counts_under(written, scheme));
    let screws = catalogue.rules.iter().filter(|rule| rule.per == Per::Drive && counts(rule.scheme));
    let diameter = screws.filter(|rule| catalogue.kind(rule.kind).role == Role::Fixing).find_map(|rule| {
        rule.asks.iter().find_map(|(attr, asked)| match (attr, asked) {
            (Attr::Diameter, Asked::Value(Value::Measured(quantity))) => Length::try_from(*quantity).ok(),
            _ => None,
        })
    })?;
    let stock = takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Bracket);
    let stock = stock.filter_map(|need| purchase.uses.iter().find(|used| used.need == need.id));
    let width = stock.map(|used| catalogue.part(used.part)).find_map(|part| match part.attributes.get(&Attr::Size) {
        Some(Value::Text(size)) => leg(size.as_str()),
        _ => None,
    });
    // To the half millimetre: finer is not drilled.
    let screws_at = Length::from_um((length.um() / 2 - length.um() / SCREW_AT) / 500 * 500);
    Some(Bracket {
        length,
        width,
        fulcrum: least_hole(rod, Length::ZERO, Length::from_um(CLEARANCE.um() / 2)),
        screw: diameter + CLEARANCE,
        screws_at,
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
