//! What does not fit under a board.

use std::collections::BTreeMap;

use super::names::names;
use crate::catalogue::{Catalogue, Word};
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::BoardId;
use crate::layout::{Layout, Purpose};
use crate::mechanics::{Bite, HOLE};
use crate::quantity::Length;
use crate::scheme::Spring;
use crate::wiring::open_schemes;

pub(super) fn depth(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut deep: BTreeMap<(BoardId, Length), Vec<&str>> = BTreeMap::new();
    for id in layout.drive_ids() {
        let Some(scheme) = estimate.assignment.of(id) else { continue };
        let device = layout.device_of(id);
        let depth = catalogue.scheme(scheme).mechanics.depth;
        if depth > layout.board(device.spot.value.board).frame.value {
            deep.entry((device.spot.value.board, depth)).or_default().push(&layout.drive(id).name);
        }
    }
    for ((board, depth), drives) in deep {
        let board = layout.board(board);
        findings.push(
            Finding::new(
                "deeper-than-the-frame",
                Weight::Doubt,
                format!(
                    "The drives of {} are {depth} deep; the frame of board {} leaves {}.",
                    names(drives),
                    board.name,
                    board.frame.value
                ),
            )
            .seen("The motors stand out below the frame and are knocked off when the board is stood on the floor or carried.")
            .mend("Choose a drive that is less deep, or lay the drive on its side if its maker allows that.", None)
            .mend("Deepen the frame with a strip of wood, or screw feet to it that reach lower than the motors.", None),
        );
    }
}

/// One finding for each screw that does not suit the top of a board.
pub(super) fn screws(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for screw in &estimate.screws {
        let board = layout.board(screw.board);
        let what = |how: String| {
            format!(
                "{} of {} that hold each {} of board {}: past {} of flange or spacer, {how} in a top of {}.",
                screw.title,
                screw.length,
                screw.per.word(),
                board.name,
                screw.through,
                board.top.value
            )
        };
        findings.push(match screw.bite {
            Bite::Holds => continue,
            Bite::TooLong(by) => Finding::new("screw-too-long", Weight::Doubt, what(format!("the point comes {by} too high")))
                .seen("A bump in the ballast, a lifted sleeper, or a point that comes out beside the rail.")
                .mend(
                    format!("Put {} more under the heads: washers, or a pad of plywood glued under the top.", by.ceil_mm()),
                    None,
                )
                .mend(format!("Use screws {} shorter, if at least 5 mm of thread stay in the wood.", by.ceil_mm()), None),
            Bite::TooShort(by) => Finding::new("screw-too-short", Weight::Doubt, what(format!("{by} of thread are missing")))
                .seen("The drive works loose after some weeks, and the blades no longer close.")
                .mend(format!("Use screws {} longer.", by.ceil_mm()), None)
                .mend("Use a thinner spacer.", None),
        });
    }
}

/// One finding for all rods that the common hole does not take.
pub(super) fn holes(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let wide = estimate.rods.iter().filter(|rod| rod.least_hole.is_some_and(|hole| hole > HOLE));
    for rod in wide {
        let Some(hole) = rod.least_hole else { continue };
        let which = names(rod.drives.iter().map(|&drive| layout.drive(drive).name.as_ref()));
        findings.push(
            Finding::new(
                "hole-too-small",
                Weight::Doubt,
                format!(
                    "{}: a rod of {} with the travel of its scale takes a hole of {hole}; the common one is {HOLE}. Drives: {which}.",
                    catalogue.scheme(rod.scheme).title,
                    rod.diameter
                ),
            )
            .seen("The rod touches the edge of the hole before the blades close.")
            .mend(format!("Drill {}, or file a slot along the travel.", hole.ceil_mm()), None)
            .mend("Use thinner wire for the rod.", None),
        );
    }
}

/// What becomes of the turnouts' own springs, scheme by scheme.
pub(super) fn springs(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for scheme in open_schemes(&estimate.assignment) {
        let traits = catalogue.scheme(scheme);
        let moves = |drive| estimate.assignment.of(drive) == Some(scheme) && layout.drive(drive).purpose == Purpose::TieBar;
        let (Some(spring), true) = (traits.mechanics.spring, layout.drive_ids().any(moves)) else { continue };
        let what = match spring {
            Spring::Kept => format!(
                "{}: leave a turnout's own over-centre spring in. The drive lets go after its throw, and the spring holds the blades to the rail.",
                traits.title
            ),
            Spring::Removed => format!(
                "{}: take a turnout's own over-centre spring out. The drive holds the blades by its rod; the spring would work against it.",
                traits.title
            ),
        };
        findings.push(Finding::new("over-centre-spring", Weight::Note, what));
    }
}
