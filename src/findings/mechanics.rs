//! What does not fit under a board.

use std::collections::BTreeMap;

use super::names::names;
use crate::catalogue::{Catalogue, Word};
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::id::{BoardId, DriveId, SchemeId};
use crate::layout::{Layout, Purpose};
use crate::mechanics::{Bite, HOLE};
use crate::quantity::Length;
use crate::scheme::Spring;
use crate::wiring::open_schemes;

pub(super) fn depth(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut deep: BTreeMap<(BoardId, Length, SchemeId), Vec<DriveId>> = BTreeMap::new();
    for id in layout.drive_ids() {
        let Some(scheme) = estimate.assignment.of(id) else { continue };
        let device = layout.device_of(id);
        let depth = catalogue.scheme(scheme).mechanics.depth;
        if depth > layout.board(device.spot.value.board).frame.value {
            deep.entry((device.spot.value.board, depth, scheme)).or_default().push(id);
        }
    }
    for ((at, depth, scheme), drives) in deep {
        let board = layout.board(at);
        let finding =
            Finding::new(
                "deeper-than-the-frame",
                Weight::Doubt,
                format!(
                    "The drives of {} are {depth} deep; the frame of board {} leaves {}.",
                    names(drives.iter().map(|&drive| layout.drive(drive).name.as_ref())),
                    board.name,
                    board.frame.value
                ),
            )
            .seen("The motors stand out below the frame and are knocked off when the board is stood on the floor or carried.")
            .mend(
                format!(
                    "Deepen the frame by {} with a strip of wood, or screw feet to it that reach lower than the motors; then write `frame: {depth}`.",
                    depth - board.frame.value
                ),
                None,
            );
        let fits = |other: &SchemeId| {
            let other = catalogue.scheme(*other);
            let moves = |drive: &DriveId| other.drives.contains(&layout.drive(*drive).purpose);
            other.offered && other.mechanics.depth <= board.frame.value && drives.iter().all(moves)
        };
        // Of the same family if one fits: then nothing else changes.
        let others = (0..catalogue.schemes.len()).map(SchemeId::at).filter(fits);
        let flattest = others
            .min_by_key(|&other| (catalogue.family(other) != catalogue.family(scheme), catalogue.scheme(other).mechanics.depth));
        findings.push(match flattest {
            Some(to) => finding.mend_by(
                format!(
                    "Drive them by another scheme there: {} is {} deep (`scheme: {}`).",
                    catalogue.scheme(to).title,
                    catalogue.scheme(to).mechanics.depth,
                    catalogue.scheme(to).name
                ),
                Change::DriveBy { board: at, from: scheme, to },
            ),
            None => finding.mend("Lay the drives on their sides, if their maker allows that.", None),
        });
    }
}

/// One finding for each screw that does not suit the top of a board.
pub(super) fn screws(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for screw in &estimate.screws {
        let board = layout.board(screw.board);
        let what = |how: String| {
            format!(
                "{} of {} for each {} of board {}: past {} of flange or spacer, {how} in a top of {}.",
                screw.title,
                screw.length,
                screw.per.word(),
                board.name,
                screw.through,
                board.top.value
            )
        };
        let top = board.top.value;
        let finding = match screw.bite {
            Bite::Holds => continue,
            Bite::TooLong(by) => Finding::new("screw-too-long", Weight::Doubt, what(format!("the point comes {by} too high")))
                .seen("A bump in the ballast, a lifted sleeper, or a point that comes out beside the rail.")
                .mend(
                    format!(
                        "Glue a pad of plywood, {} thick, under the top where they go in, and write `top: {}` for the board.",
                        by.ceil_mm(),
                        top + by.ceil_mm()
                    ),
                    None,
                )
                .mend(format!("Put {} more of washers under the heads.", by.ceil_mm()), None),
            Bite::TooShort(by) => Finding::new("screw-too-short", Weight::Doubt, what(format!("{by} of thread are missing")))
                .seen("The drive works loose after some weeks, and the blades no longer close.")
                .mend("Use a thinner spacer.", None),
        };
        findings.push(match screw.better {
            Some(to) => finding.mend_by(
                format!("Use screws of {to}."),
                Change::Screw { per: screw.per, scheme: screw.scheme, from: screw.length, to },
            ),
            None => finding.mend(
                "Glue them in short pilot holes with the points filed off: no screw in the catalogue fits this top.".to_owned(),
                None,
            ),
        });
    }
}

/// One finding for all rods of a sort that press too little with the travel of their drive.
pub(super) fn rods(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for rod in estimate.rods.iter().filter(|rod| rod.presses() == Some(false)) {
        let (Some(needed), Some(travel), Some(least), Some(force), Some(bend)) =
            (rod.pressing_drive, rod.travel, rod.least_drive, rod.force, rod.bend)
        else {
            continue;
        };
        let which = names(rod.drives.iter().map(|&drive| layout.drive(drive).name.as_ref()));
        let title = &catalogue.scheme(rod.scheme).title;
        let soft = least <= travel;
        let what = if soft {
            format!(
                "{title}: the blades need {force}. A rod of {} that stands {} above the bracket's hole (top, track bed and sleepers) yields {bend} \
                 under it, so the drive would have to move {needed}; it moves {travel}. Drives: {which}.",
                rod.diameter, rod.above
            )
        } else {
            format!(
                "{title}: with {} of rod above the bracket's hole (top, track bed and sleepers) and {} below, the drive must move {least} for the \
                 blades to go from rail to rail; it moves {travel}. Drives: {which}.",
                rod.above, rod.below
            )
        };
        let code = if soft { "rod-too-soft" } else { "drive-moves-too-little" };
        let mut finding = Finding::new(code, Weight::Doubt, what)
            .seen("The blades stop short of the rail or lie against it without pressing: a wheel climbs between them and the train derails.");
        if let Some(diameter) = rod.stiffer {
            let change = Change::Rod { scheme: rod.scheme, diameter };
            finding = finding.mend_by(format!("Use wire of {diameter} for the rod."), change);
        }
        if let Some(arm) = rod.arm {
            let text = format!(
                "Set the drive closer under its bracket, {arm} below the hole or less: the shorter that side of the rod, the further the blades \
                 go. Write {} under `arm (mm)` in the sheet Schemes.",
                arm.mm_up()
            );
            finding = finding.mend(text, None);
        }
        if let Some(top) = rod.better_top {
            let how = if top > rod.top {
                format!(
                    "Glue a pad, {} thick, under the top where the bracket sits: more rod then stands above its hole, and the blades go further",
                    top - rod.top
                )
            } else {
                format!(
                    "Thin the top to {top} from below where the bracket sits: the less rod stands above its hole, the less it yields"
                )
            };
            finding = finding.mend(format!("{how}. Write `top: {top}` for the board."), None);
        }
        findings.push(finding.mend(
            format!(
                "Take a drive that moves {} or more where it holds the rod, and write that under `travel (mm)` in the sheet Schemes.",
                needed.ceil_mm()
            ),
            None,
        ));
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
