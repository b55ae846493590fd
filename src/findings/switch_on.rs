//! The twitch at switch-on, where nothing on the bill prevents it.

use super::names::names;
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::layout::{Layout, SwitchOn};
use crate::power::{cure, twitches};

pub(super) fn switch_on(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let twitching: Vec<_> = layout
        .drive_ids()
        .filter_map(|drive| Some((drive, estimate.assignment.of(drive)?)))
        .filter(|&(drive, scheme)| twitches(layout, catalogue, drive, scheme))
        .collect();
    let Some(&(_, first)) = twitching.first() else { return };
    let motors = names(twitching.iter().map(|(drive, _)| layout.drive(*drive).name.as_ref()));
    let held = layout.rules.switch_on.value == SwitchOn::Held;
    let why = match (held, cure(catalogue, first)) {
        (false, _) => "nothing holds them still (`switch on: twitching`)",
        (true, Some(_)) => "they are yours already, and no part is bought that would hold them still",
        (true, None) => "the catalogue has no part that would hold them still",
    };
    let finding = Finding::new(
        "twitch-at-switch-on",
        Weight::Note,
        format!("At switch-on motors may twitch, all at the same time: {motors}; {why}. Supply and wire are chosen for it."),
    )
    .seen(
        "Blades and arms jump once when the power comes on. A larger supply does not cure it: the signal is undefined until the controllers have \
         started.",
    );
    let finding = match cure(catalogue, first) {
        Some(rule) if held => finding.mend(format!("Fit what the bill has for the others. {}.", rule.why), None),
        Some(_) => finding.mend_by("Write `switch on: held` in the rules.", Change::AtSwitchOn(SwitchOn::Held)),
        None => finding.mend(
            "Add a row per drive to the sheet Assemblies for a resistor that holds the signal down, with `held at switch-on` in its column `when`.",
            None,
        ),
    };
    findings.push(finding.mend_by(
        "Where they keep still by themselves, by their controllers or because their power comes on later, write `switch on: quiet`.",
        Change::AtSwitchOn(SwitchOn::Quiet),
    ));
}
