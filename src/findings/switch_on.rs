//! What controllers do to their motors: the twitch at switch-on where nothing on the bill prevents it, and converters that give too little.

use super::names::names;
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::layout::{Layout, SwitchOn};
use crate::power::{ConverterCheck, cure, twitches};
use crate::quantity::Current;

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

/// One finding for all controllers of a part whose converter gives their motors too little.
pub(super) fn converters(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut weak: Vec<&ConverterCheck> = Vec::new();
    for check in estimate.converters.iter().filter(|check| !(check.carries() && check.bears_a_blocked_one())) {
        match weak.iter_mut().find(|known| known.part == check.part) {
            Some(known) if most(check) > most(known) => *known = check,
            Some(_) => {}
            None => weak.push(check),
        }
    }
    for check in weak {
        let names = names_of(estimate, check);
        let weight = if check.carries() { Weight::Doubt } else { Weight::Shortfall };
        let drawn = &check.drawn;
        let split = estimate.assignment.controllers.get(check.controller.index()).is_some_and(|it| it.drives.len() > 1);
        let finding = Finding::new(
            "converter-too-small",
            weight,
            format!(
                "{}: its own converter gives {}. The motors of {names} draw {} at most in use, {} at switch-on and {} with one of them blocked.",
                catalogue.part(check.part).title,
                check.gives,
                drawn.peak,
                drawn.start_up,
                drawn.fault
            ),
        )
        .seen("When a motor sticks, all of that controller twitch, stop or start anew together.")
        .mend(format!("Use controllers whose converter gives at least {} (`current` in the sheet Parts).", most(check).rounded_up()), None);
        findings.push(if split {
            finding.mend_by("Let two controllers share the motors of one.", Change::SplitController(check.controller))
        } else {
            finding.mend("Choose motors that draw less when they are blocked.", None)
        });
    }
}

/// The most that a converter must give, with one motor blocked or without.
fn most(check: &ConverterCheck) -> Current {
    check.drawn.most().max(check.drawn.fault)
}

/// The controllers of one part whose converters give too little, in words.
fn names_of(estimate: &Estimate, of: &ConverterCheck) -> String {
    let alike =
        estimate.converters.iter().filter(|check| check.part == of.part && !(check.carries() && check.bears_a_blocked_one()));
    let told: Vec<String> = alike.map(|check| format!("controller {}", check.controller.0 + 1)).collect();
    names(told.iter().map(String::as_str))
}
