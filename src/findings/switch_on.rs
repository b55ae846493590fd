//! What controllers do to their motors: the twitch at switch-on where nothing on the bill prevents it, and converters that give too little.

use rust_decimal::prelude::ToPrimitive;

use super::names::names;
use super::price::part_difference;
use crate::catalogue::{Attr, Catalogue};
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::id::{ControllerId, PartId};
use crate::layout::{Layout, SwitchOn};
use crate::mends::carry_out;
use crate::money::Money;
use crate::power::{ConverterCheck, Drawn, cure, cure_taken, drawn_by, twitches};
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
    let finding = match cure(catalogue, first).map(|rule| catalogue.rule(rule)) {
        Some(rule) if held => {
            let taken = cure_taken(catalogue, (&estimate.takeoff, &estimate.purchase), first);
            let fit = match taken {
                Some(part) => format!("Fit to each what the bill has for the others ({})", catalogue.part(part).title),
                None => format!("Fit one to each ({})", catalogue.kind(rule.kind).title),
            };
            finding.mend(format!("{fit}. {}.", rule.why), None)
        }
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
pub(super) fn converters(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut weak: Vec<&ConverterCheck> = Vec::new();
    for check in self::weak(estimate) {
        match weak.iter_mut().find(|known| known.part == check.part) {
            Some(known) if most(&check.drawn) > most(&known.drawn) => *known = check,
            Some(_) => {}
            None => weak.push(check),
        }
    }
    for check in weak {
        let names = names_of(estimate, check);
        let weight = if check.carries() { Weight::Doubt } else { Weight::Shortfall };
        let drawn = &check.drawn;
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
        .seen("When a motor sticks, all of that controller twitch, stop or start anew together.");
        let finding = match larger(catalogue, estimate, check) {
            Some((part, price)) => finding.mend(
                format!("Use {} for it: its converter gives {}.", catalogue.part(part).title, gives(catalogue, part)),
                price,
            ),
            None => finding.mend(
                format!(
                    "Add a controller to the workbook whose converter gives at least {} (`current` in the sheet Parts): none that is sold does.",
                    most(&check.drawn).rounded_up()
                ),
                None,
            ),
        };
        findings.push(if halves_fit(layout, catalogue, estimate, check) {
            finding.mend_by(
                "Put fewer drives on it: let two controllers share the motors of one.",
                Change::SplitController(check.controller),
            )
        } else {
            finding.mend("Choose motors that draw less, moving or blocked.", None)
        });
    }
}

fn gives(catalogue: &Catalogue, part: PartId) -> Current {
    catalogue.part(part).measured(Attr::Current).map_or(Current::ZERO, |current| Current(current.to_f64()))
}

fn channels(catalogue: &Catalogue, part: PartId) -> usize {
    catalogue.part(part).measured(Attr::Channels).and_then(|count| count.value().to_usize()).unwrap_or(0)
}

/// The controllers that are sold with so many channels and a converter that gives so much.
fn that_give(catalogue: &Catalogue, like: PartId, drives: usize, current: Current) -> impl Iterator<Item = PartId> {
    let sold = catalogue.parts_of(catalogue.part(like).kind).filter(|(id, _)| catalogue.unit_price(*id).is_some());
    sold.map(|(id, _)| id)
        .filter(move |id| channels(catalogue, *id) >= drives && gives(catalogue, *id).0 >= current.0 * (1.0 - 1e-9))
}

/// The cheapest controller that carries what a weak one must, and what all the weak ones alike cost more by it.
fn larger(catalogue: &Catalogue, estimate: &Estimate, check: &ConverterCheck) -> Option<(PartId, Option<Money>)> {
    let weak = weak(estimate).filter(|other| other.part == check.part);
    let drives =
        |id: ControllerId| estimate.assignment.controllers.get(id.index()).map_or(0, |controller| controller.drives.len());
    let (count, most_drives) = weak.fold((0_u32, 0), |(count, most), other| (count + 1, most.max(drives(other.controller))));
    let serving = that_give(catalogue, check.part, most_drives, most(&check.drawn));
    let cheapest = serving.min_by_key(|id| (catalogue.unit_price(*id), *id))?;
    Some((cheapest, part_difference(catalogue, check.part, cheapest, count)))
}

/// Whether two controllers that share the motors of one would both carry them.
fn halves_fit(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, check: &ConverterCheck) -> bool {
    let whole = estimate.assignment.controllers.get(check.controller.index());
    let Some(whole) = whole.filter(|controller| controller.drives.len() > 1) else { return false };
    let Some(changed) = carry_out(layout, catalogue, estimate, Change::SplitController(check.controller)) else { return false };
    let halves =
        changed.assignment.controllers.iter().filter(|half| half.drives.iter().any(|drive| whole.drives.contains(drive)));
    halves.into_iter().all(|half| {
        let drawn = drawn_by(layout, catalogue, &changed.assignment, &half.drives);
        // The cheapest that has the channels is the one that is bought.
        let spare = layout.rules.spare_channels.value.on(u32::try_from(half.drives.len()).unwrap_or(u32::MAX)) as usize;
        let bought = that_give(catalogue, check.part, spare, Current::ZERO).min_by_key(|id| (catalogue.unit_price(*id), *id));
        bought.is_some_and(|id| gives(catalogue, id) >= most(&drawn))
    })
}

/// The converters that give too little.
fn weak(estimate: &Estimate) -> impl Iterator<Item = &ConverterCheck> {
    estimate.converters.iter().filter(|check| !(check.carries() && check.bears_a_blocked_one()))
}

/// The most that a converter must give, with one motor blocked or without.
fn most(drawn: &Drawn) -> Current {
    drawn.most().max(drawn.fault)
}

/// The controllers of one part whose converters give too little, in words.
fn names_of(estimate: &Estimate, of: &ConverterCheck) -> String {
    let alike = weak(estimate).filter(|check| check.part == of.part);
    let told: Vec<String> = alike.map(|check| format!("controller {}", check.controller.0 + 1)).collect();
    names(told.iter().map(String::as_str))
}
