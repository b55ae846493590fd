//! Leads too long, lamps that can only be proved, lengths that are estimates.

use super::names::names;
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::layout::{Lamps, Layout};
use crate::scheme::Wiring;
use crate::wiring::lamps_of;

pub(super) fn leads(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let long: Vec<_> = estimate.wiring.leads.values().filter(|lead| lead.too_long).collect();
    let Some(worst) = long.iter().max_by_key(|lead| lead.length) else { return };
    let wiring = estimate.assignment.of(worst.drive).map(|scheme| catalogue.scheme(scheme).wiring);
    let Some(Wiring::Local { longest, .. }) = wiring else { return };
    let which = names(long.iter().map(|lead| layout.drive(lead.drive).name.as_ref()));
    findings.push(
        Finding::new(
            "lead-too-long",
            Weight::Doubt,
            format!(
                "The leads of {which} are longer than the {longest} that the scheme allows; the longest is {}.",
                worst.length
            ),
        )
        .seen("The motor trembles at rest or twitches when a neighbour moves: the signal arrives weak.")
        .mend_by(
            "Use two smaller controllers on the board, each nearer to its motors.",
            Change::SplitController(worst.controller),
        )
        .mend("Lead the signal through a buffer, or twist the lead and keep it away from other wires.", None),
    );
}

pub(super) fn mixed_levers(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mixed = layout.levers.iter().filter(|lever| {
        let mut families: Vec<_> = lever
            .drives
            .iter()
            .filter_map(|&drive| estimate.assignment.of(drive))
            .map(|scheme| catalogue.family(scheme))
            .collect();
        families.dedup();
        families.len() > 1
    });
    let mixed = names(mixed.map(|lever| lever.name.as_ref()));
    if !mixed.is_empty() {
        findings.push(
            Finding::new(
                "one-lever-two-schemes",
                Weight::Doubt,
                format!("The drives on one lever are moved in different ways: {mixed}. A switch of each sort is planned, to be thrown together."),
            )
            .seen("One end moves and the other stays until its own switch is thrown; the lamps show the first only.")
            .mend("Give all drives of the lever one scheme (`scheme:` in the layout file).", None)
            .mend("Give the other drive a lever of its own: leave out its `with`.", None),
        );
    }
}

pub(super) fn lamps(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let proved_instead = layout
        .levers
        .iter()
        .filter(|lever| {
            layout.rules.lamps.value == Lamps::Commanded
                && lamps_of(layout, catalogue, &estimate.assignment, lever) == Lamps::Proved
        })
        .count();
    if proved_instead > 0 {
        findings.push(Finding::new(
            "lamps-can-only-be-proved",
            Weight::Note,
            format!(
                "The lamps of {proved_instead} levers that spring back cannot show what was asked, since such a lever keeps no state; they are \
                 planned as proved, with a contact at the drive and conductors home."
            ),
        ));
    }
}

pub(super) fn estimated_lengths(layout: &Layout, findings: &mut Vec<Finding>) {
    let placed = layout.devices.iter().filter(|device| !device.spot.is_default()).count();
    if placed < layout.devices.len() {
        findings.push(
            Finding::new(
                "lengths-are-estimated",
                Weight::Note,
                format!(
                    "{} of {} devices have no position; they are taken as spread evenly along their boards, so wire lengths are estimates.",
                    layout.devices.len() - placed,
                    layout.devices.len()
                ),
            )
            .mend("Measure each from the front left corner of its board and write `at: 300 x 200 mm`.", None),
        );
    }
}
