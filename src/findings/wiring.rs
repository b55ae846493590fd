//! Leads too long, lamps that can only be proved, lengths that are estimates.

use std::collections::BTreeSet;

use super::names::names;
use crate::catalogue::{Asked, Attr, Catalogue, Measure, Per, Value};
use crate::estimate::Estimate;
use crate::finding::{Aim, Change, Finding, Weight};
use crate::id::{BoardId, SchemeId};
use crate::layout::{Controllers, Lamps, Layout};
use crate::quantity::{Area, Current};
use crate::scheme::{Assignment, Connection, share};
use crate::wiring::{End, Use, Wiring, feeds_and_wiring, lamps_of, open_families};

pub(super) fn leads(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let long: Vec<_> = estimate.wiring.leads.values().filter(|lead| lead.too_long).collect();
    let Some(worst) = long.iter().max_by_key(|lead| lead.length) else { return };
    let connection = estimate.assignment.of(worst.drive).map(|scheme| catalogue.scheme(scheme).connection);
    let Some(Connection::Local { longest, .. }) = connection else { return };
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

/// Where a controller could be saved, or is, by serving the board next to it.
pub(super) fn shared(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let far = |assignment: &Assignment| {
        let served = assignment.controllers.iter().flat_map(|host| host.drives.iter().map(move |&drive| (host, drive)));
        let away = served.filter(|(host, drive)| layout.drive(*drive).spot.board != host.spot.board);
        let boards: BTreeSet<(BoardId, BoardId)> =
            away.map(|(host, drive)| (layout.drive(drive).spot.board, host.spot.board)).collect();
        let boards = boards.iter().map(|(of, from)| format!("{} from {}", layout.board(*of).name, layout.board(*from).name));
        boards.collect::<Vec<_>>()
    };
    let finding = match layout.rules.controllers.value {
        Controllers::EachBoard => {
            let Some(other) = share(layout, catalogue, &estimate.assignment) else { return };
            let saved = estimate.assignment.controllers.len() - other.controllers.len();
            let (_, shared) = feeds_and_wiring(layout, catalogue, &other, &estimate.encoders_counted);
            let (here, there) = (estimate.wiring.conductors(), shared.conductors());
            let finding = Finding::new(
                "controller-could-be-shared",
                Weight::Note,
                format!(
                    "{} fewer would do, if boards are served from the next one: {}. Then {there} conductors part at the joints in place of \
                     {here}.",
                    if saved == 1 { "One controller".to_owned() } else { format!("{saved} controllers") },
                    far(&other).join(", ")
                ),
            )
            .mend_by(
                "If that is worth it to you, write `controllers: neighbour` in the rules.",
                Change::ControllersAt(Controllers::Neighbour),
            );
            // More to plug at every set-up pays for itself in money or not at all.
            Finding { if_cheaper: there > here, ..finding }
        }
        Controllers::Neighbour => {
            let far = far(&estimate.assignment);
            if far.is_empty() {
                return;
            }
            Finding::new(
                "controller-is-shared",
                Weight::Note,
                format!(
                    "Boards are served by a controller of the next one: {}. Their leads part at the joint: cut the extension lead there, and solder \
                     its cores to plug and socket.",
                    far.join(", ")
                ),
            )
            .mend_by(
                "For a controller on each board, write `controllers: each board` in the rules.",
                Change::ControllersAt(Controllers::EachBoard),
            )
        }
    };
    findings.push(finding);
}

/// Resistors that let too much through, or get too warm.
pub(super) fn resistors(estimate: &Estimate, findings: &mut Vec<Finding>) {
    for check in estimate.lamps.iter().filter(|check| !check.suits()) {
        let which = if check.per == Per::Lamp { "panel lamps" } else { "lights of the layout" };
        findings.push(
            Finding::new(
                "resistor-does-not-suit",
                Weight::Doubt,
                format!(
                    "The {which} have resistors of {}: at {} they let {} through, where {} are wanted, and shed {}.",
                    check.planned,
                    check.feed,
                    check.flows(),
                    check.wanted,
                    check.heat()
                ),
            )
            .seen("The lamps glare and grow dim over the months, or the resistors get too hot to touch.")
            .mend(
                format!(
                    "Ask for `resistance {}` and for `power` of {} at least in their row of the sheet Assemblies.",
                    check.resistor.value,
                    check.resistor.dissipation * 2.0
                ),
                None,
            )
            .mend("Feed them from a lower voltage (`light voltage` in the sheet Rates).", None),
        );
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

/// Wires that are thicker than the tags at which they end take.
pub(super) fn thicker_than_tags(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let takes = catalogue.rates.tag_area;
    let is_tag = |end: End| matches!(end, End::Lever(..) | End::Latch(..) | End::Motor(..));
    let mut thickest = takes;
    let mut at_levers = 0;
    let mut at_motors = 0;
    for run in &estimate.wiring.runs {
        let Some(area) = estimate.wiring.area_of(run).filter(|area| area.0 > takes.0 * (1.0 + 1e-9)) else { continue };
        thickest = Area(thickest.0.max(area.0));
        for end in [run.from.end, run.to.end].into_iter().filter(|end| is_tag(*end)) {
            if matches!(end, End::Motor(..)) { at_motors += 1 } else { at_levers += 1 }
        }
    }
    if at_levers + at_motors == 0 {
        return;
    }
    let where_it_ends = match (at_levers, at_motors) {
        (levers, 0) => format!("{levers} times at tags of switches on the panel"),
        (0, motors) => format!("{motors} times at tags of motors"),
        (levers, motors) => format!("{levers} times at tags of switches on the panel and {motors} times at those of motors"),
    };
    let mut finding = Finding::new(
        "wire-thicker-than-tags",
        Weight::Doubt,
        format!("Wire of up to {thickest} ends {where_it_ends}, which take {takes} at most."),
    )
    .seen("The strands do not go through the tag; a joint that is only laid on breaks when the panel is opened, or bridges two tags.");
    let run_down = if estimate.discharges.is_empty() { "" } else { " and the discharge unit run down" };
    if at_levers > 0 {
        finding = finding
            .mend(
                format!(
                    "Fix bare copper bars along the back of the panel in place of the wire from switch to switch, and lead a hand's width of wire that the tag takes \
                     from them to each tag: so short a piece loses next to nothing. One bar serves the minus. The plus has a bar of its own behind each fuse and each \
                     supply from which these wires begin, just as they are parted in the schedule: joined bars would put the fuses side by side, and thin wire behind \
                     them would be bare of protection. Keep the bars a hand apart or sleeved, and work on them with the power off{run_down}."
                ),
                None,
            )
            .mend(
                format!(
                    "Or end each of these wires in a way of a strip beside its switch, {at_levers} ways more than are on the bill with bridges between those of one tag, \
                     and lead on to the tag with wire that it takes."
                ),
                None,
            );
    }
    if at_motors > 0 {
        finding = finding.mend(
            format!("At the motors lead on from the strip of the drive to the tags with wire of {takes} at most, in place of an offcut of the thick wire."),
            None,
        );
    }
    findings.push(finding);
}

/// Return cores of a link that would bear a board's whole current if the power minus came loose.
pub(super) fn link_returns(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for scheme in open_families(catalogue, &estimate.assignment) {
        let Some((carries, rating)) = overloaded_link_return(catalogue, &estimate.wiring, scheme) else { continue };
        findings.push(
            Finding::new(
                "link-return-beside-the-minus",
                Weight::Doubt,
                format!(
                    "{}: the return core of the link joins the same two points as the power minus. If the minus comes loose at a screw or a plug, up to \
                     {carries} come home over that core, which is rated for {rating}, and no fuse opens.",
                    catalogue.scheme(scheme).title
                ),
            )
            .seen("Nothing: the servos go on working, while the link cable grows warm.")
            .try_for(Aim::LinkReturnBears(scheme))
            .mend(
                format!(
                    "Add a link cable to the workbook whose cores are rated for {0}, and its price, and ask for `current {0}` beside its `ways` in the rows of the \
                     sheet Assemblies.",
                    carries.rounded_up()
                ),
                None,
            )
            .mend(
                "Measure the minus of each controller against that of the panel with the link unplugged, after each set-up in which it was plugged anew: it \
                 must be joined.",
                None,
            ),
        );
    }
}

/// The most that the power minus of a family with controllers carries over a joint, and what the weakest core is rated for of a link that serves its rows,
/// where that is less.
pub(super) fn overloaded_link_return(catalogue: &Catalogue, wiring: &Wiring, scheme: SchemeId) -> Option<(Current, Current)> {
    let mine = wiring.runs.iter().filter(|run| run.scheme == Some(scheme) && !run.crosses.is_empty());
    let is_linked = mine.clone().any(|run| run.purpose == Use::Link);
    let minus = mine.filter(|run| run.purpose == Use::Power && run.first == 1).map(|run| run.carries);
    let links = catalogue.rules.iter().filter(|rule| {
        rule.measure == Some(Measure::LinkLength) && rule.scheme.is_none_or(|written| catalogue.counts_under(written, scheme))
    });
    let cores = links.flat_map(|rule| {
        let least = rule.asks.iter().find_map(|(attr, asked)| match asked {
            Asked::Value(Value::Measured(least)) if *attr == Attr::Current => Some(*least),
            _ => None,
        });
        let stated = catalogue.to_be_had(rule.kind).filter_map(|(_, part)| part.measured(Attr::Current));
        stated.filter(move |current| least.is_none_or(|least| *current >= least))
    });
    let rating = Current::try_from(cores.min()?).ok()?;
    let carries = minus.reduce(Current::max).filter(|carries| is_linked && carries.0 > rating.0 * (1.0 + 1e-9))?;
    Some((carries, rating))
}
