//! Discharge units: coils that get too little, always or while the mains is low; capacitors that are rated too low.

use std::collections::BTreeSet;

use super::names::names;
use super::price::part_difference;
use crate::catalogue::{Attr, Catalogue, Part};
use crate::estimate::Estimate;
use crate::finding::{Aim, Finding, Weight};
use crate::id::{JointId, LeverId};
use crate::layout::Layout;
use crate::money::Money;
use crate::power::discharge::{MAINS_LOW, at_bridge};
use crate::power::pulse::{BETWEEN_PULSES, heats};
use crate::power::{Discharge, starved};
use crate::quantity::Current;
use crate::scheme::Draw;
use crate::wiring::Run;

/// One finding for each unit whose coils get too little.
pub(super) fn too_little(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for unit in &estimate.discharges {
        if unit.unit.is_none() {
            findings.extend(beyond_any(layout, catalogue, estimate, unit));
            continue;
        }
        let starved: Vec<_> = unit.throws.iter().filter(|throw| !throw.suffices).collect();
        let Some(worst) = starved.iter().min_by(|a, b| a.energy.0.total_cmp(&b.energy.0)) else { continue };
        let title = &catalogue.scheme(unit.scheme).title;
        let mut finding = Finding::new(
            "coil-gets-too-little",
            Weight::Shortfall,
            format!(
                "{title}: from the discharge unit at {}, {} on lever {} gets {} and {} at the first moment; it needs {} and {}. \
                 Levers: {}.",
                unit.charged.least,
                if worst.throw.coils == 1 { "the coil".to_owned() } else { format!("each of the {} coils", worst.throw.coils) },
                layout.lever(worst.lever).name,
                worst.energy,
                worst.peak,
                unit.needs.energy,
                unit.needs.current,
                names(starved.iter().map(|throw| layout.lever(throw.lever).name.as_ref())),
            ),
        )
        .seen(
            "The blades start to move and stop half-way, or spring back; now and then it works, most often just after a pause.",
        );
        if worst.energy < unit.needs.energy {
            let price = larger(catalogue, unit);
            finding = finding.mend(format!("Use a discharge unit of at least {}.", unit.asked.capacitance), price);
        }
        let finding = finding.try_for(Aim::EveryCoilThrows(unit.scheme));
        findings.push(finding.mend("Add a motor that asks for less to the workbook.", None));
    }
}

/// What to do with levers that throw too much together.
pub(super) const OWN_LEVERS: &str =
    "Give the drives of these levers levers of their own (leave out their `with`), and throw one after the other.";

/// Where no discharge unit to be had throws the coils of some lever together.
fn beyond_any(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, unit: &Discharge) -> Option<Finding> {
    let starved = starved(layout, catalogue, &estimate.assignment, &estimate.wiring, unit.scheme);
    let coils = |lever: &LeverId| {
        let drives = &layout.lever(*lever).drives;
        drives.iter().filter(|&&drive| estimate.assignment.family_of(catalogue, drive) == Some(unit.scheme)).count()
    };
    let most = starved.iter().map(coils).max()?;
    let finding = Finding::new(
        "coil-gets-too-little",
        Weight::Shortfall,
        format!(
            "{}: no discharge unit that is sold throws the coils of these levers together, up to {most} on one: {}. It would have to hold {} at least, \
             if that is enough at all.",
            catalogue.scheme(unit.scheme).title,
            names(starved.iter().map(|&lever| layout.lever(lever).name.as_ref())),
            unit.asked.capacitance
        ),
    )
    .seen("The blades start to move and stop half-way, or spring back.");
    let finding = finding.try_for(Aim::EveryCoilThrows(unit.scheme));
    Some(finding.mend("Add a larger discharge unit, or a motor that asks for less, to the workbook.", None))
}

/// One finding for each unit from which some coils get too little while the mains is low.
pub(super) fn at_low_mains(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for unit in &estimate.discharges {
        let Some((worst, needed)) = unit.weakest_at_low_mains() else { continue };
        let (scheme, low) = (catalogue.scheme(unit.scheme), unit.charged.at_low_mains);
        let finding = Finding::new(
            "coils-at-low-mains",
            Weight::Doubt,
            format!(
                "{}: the mains may be {MAINS_LOW} low for hours (EN 50160, from memory). The discharge unit is charged to {low} then, in place of {}, \
                 which is too little for the coils of these levers: {}. On lever {} each gets {} and {} at the first moment; it needs {} and {}.",
                scheme.title,
                unit.charged.least,
                names(unit.weak_at_low_mains().map(|weak| layout.lever(weak.lever).name.as_ref())),
                layout.lever(worst.lever).name,
                worst.throw.into_coil(low),
                worst.throw.peak(low),
                unit.needs.energy,
                unit.needs.current,
            ),
        )
        .seen("On some evenings turnouts, the far ones first, do not throw or stop half-way, though nothing is wrong with them; on others they do.");
        let stronger = scheme.electrics.and_then(|electrics| {
            let (volts, charged) = unit.transformer_for_low_mains(electrics.voltage)?;
            Some((volts, charged, unit.rating?, electrics.motor_voltage))
        });
        let finding = match stronger {
            Some((volts, charged, rating, made_for)) => finding.mend(
                format!(
                    "Use a transformer of {volts} AC, if the makers of unit and coils allow that. With the mains low it still charges the unit to {}, which is \
                     enough for these coils; without load up to {}: the capacitor is rated for {rating}, the coils are made for {made_for}. Write it as \
                     `voltage` of `{}` in the sheet Schemes, and add a transformer of that voltage to the sheets Parts and Offers.",
                    charged.at_low_mains, charged.most, scheme.name
                ),
                None,
            ),
            None => finding,
        };
        findings.push(finding.mend("Use a motor whose coil asks for less (add it to the workbook).", None).mend(
            format!(
                "Before a session, measure what the transformer gives with nothing drawn from it (its low-voltage side, never the mains): from {} AC on, \
                 the coils of these levers get enough.",
                at_bridge(needed).rounded_up()
            ),
            None,
        ));
    }
}

/// One finding for each unit whose capacitor does not stand what a transformer gives without load.
pub(super) fn rated_too_low(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let weak = |unit: &&Discharge| unit.stands() == Some(false);
    for unit in estimate.discharges.iter().filter(weak) {
        let (Some(part), Some(rating)) = (unit.unit, unit.rating) else { continue };
        findings.push(
            Finding::new(
                "capacitor-rated-too-low",
                Weight::Doubt,
                format!(
                    "{}: its capacitor is rated for {rating}; a transformer without load charges it to {}.",
                    catalogue.part(part).title,
                    unit.charged.most
                ),
            )
            .seen(
                "At first nothing. Then the capacitor gets warm, swells and loses its charge; it may burst and spit hot liquid.",
            )
            .mend("Use a unit whose capacitor is rated for more, 35 V for a transformer of 16 V.", larger(catalogue, unit))
            .mend("Feed it from a transformer of a lower voltage, if the coils still get enough.", None),
        );
    }
}

/// What the cheapest unit costs more that has the capacitance asked and stands the highest voltage.
fn larger(catalogue: &Catalogue, unit: &Discharge) -> Option<Money> {
    let used = unit.unit?;
    let serves = |part: &Part| {
        part.measured(Attr::Capacitance) >= Some(unit.asked.capacitance.quantity())
            && part.measured(Attr::Voltage) >= Some(unit.charged.most.quantity())
    };
    let serving = catalogue.parts_of(catalogue.part(used).kind).filter(|(_, part)| serves(part));
    serving.filter_map(|(id, _)| part_difference(catalogue, used, id, 1)).min_by_key(|price| price.amount())
}

/// A word on pins that carry more, for the time of a pulse, than they are rated for all the time.
pub(super) fn pulses_over_pins(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let Some(rating) = estimate.wiring.crossing.rating else { return };
    let pulses = estimate.wiring.runs.iter().filter_map(|run| {
        let draw = catalogue.scheme(run.scheme?).draw;
        let Draw::Pulse { duration, .. } = draw else { return None };
        let each = run.carries / f64::from(run.pins.max(1));
        (each > rating && !run.crosses.is_empty()).then_some((each, duration, heats(draw, each), run))
    });
    let pulses: Vec<_> = pulses.collect();
    let Some((each, duration, heats, _)) = pulses.iter().max_by(|a, b| a.0.0.total_cmp(&b.0.0)) else { return };
    // Of a lever that is held, what charges the unit flows on; where it is not known, the pulse counts.
    let charging = |run: &Run| estimate.discharges.iter().find(|unit| Some(unit.scheme) == run.scheme).map(|unit| unit.draws);
    let held: Option<Vec<Current>> =
        pulses.iter().map(|(.., run)| Some(Current(charging(run)?.0.min(run.carries.0)) / f64::from(run.pins.max(1)))).collect();
    let held = held.map(|each| each.into_iter().fold(Current::ZERO, Current::max));
    let joints: BTreeSet<JointId> = pulses.iter().flat_map(|(.., run)| run.crosses.iter().copied()).collect();
    findings.push(
        Finding::new(
            "pulses-over-pins",
            Weight::Note,
            format!(
                "Over pins that are rated for {rating} all the time flow pulses of up to {each}, at joints {}. They last {duration} and come again after \
                 {BETWEEN_PULSES} at the soonest, so they heat a pin like a steady {heats} (r.m.s.), which it bears.",
                names(joints.iter().map(|&joint| layout.joint(joint).name.as_ref()))
            ),
        )
        .seen(format!(
            "Nothing in use. A lever that is held, on a unit that does not cut off, overheats {}: never wedge one.",
            if held.is_some_and(|held| held <= rating) { "the coil" } else { "pin and coil" }
        )),
    );
}
