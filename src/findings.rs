//! Plain findings about a finished plan: what falls short, what is doubtful, and the usual cautions.

use std::collections::BTreeMap;

use crate::catalogue::{Catalogue, Word};
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::BoardId;
use crate::layout::{Lamps, Layout};
use crate::quantity::Length;
use crate::scheme::{Draw, Wiring};
use crate::wiring::{lamps_of, open_schemes};

/// What the builder should know about a plan, gravest first.
pub fn findings(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate) -> Vec<Finding> {
    let mut findings = Vec::new();
    nothing_moves(layout, catalogue, estimate, &mut findings);
    unmet(layout, catalogue, estimate, &mut findings);
    supplies(layout, estimate, &mut findings);
    far_ends(layout, catalogue, estimate, &mut findings);
    depth(layout, catalogue, estimate, &mut findings);
    leads(layout, catalogue, estimate, &mut findings);
    lamps(layout, catalogue, estimate, &mut findings);
    switch_on(catalogue, estimate, &mut findings);
    estimated_lengths(layout, &mut findings);
    cautions(catalogue, estimate, &mut findings);
    findings.sort_by_key(|finding| finding.weight);
    findings
}

/// Names in print, at most six of them.
fn names<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    let shown = names.iter().take(6).copied().collect::<Vec<_>>().join(", ");
    if names.len() > 6 { format!("{shown} and {} more", names.len() - 6) } else { shown }
}

fn nothing_moves(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let still: Vec<_> = layout.drive_ids().filter(|&drive| estimate.assignment.of(drive).is_none()).collect();
    if still.is_empty() {
        return;
    }
    let title = &catalogue.scheme(estimate.assignment.chosen).title;
    let which = names(still.iter().map(|&drive| layout.drive(drive).name.as_ref()));
    findings.push(
        Finding::new(
            "nothing-moves-it",
            Weight::Shortfall,
            format!("{title} cannot move {which}, and names no scheme that does so instead."),
        )
        .seen("These stay worked by hand: no motor, lever or wire is planned for them.")
        .mend("Give them a scheme of their own in the layout file (`scheme:`).", None)
        .mend("Name a scheme in the column `instead` of the sheet Schemes.", None),
    );
}

fn unmet(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for unmet in &estimate.purchase.unmet {
        let need = estimate.takeoff.need(unmet.need);
        let place = need.site.map_or(String::new(), |site| format!(" for the {}", site.name(layout)));
        findings.push(
            Finding::new("cannot-be-bought", Weight::Shortfall, format!("{}{place}: {}", need.title(catalogue), unmet.why))
                .seen("The order leaves this out; the price shown is too low by it.")
                .mend("Add an offer for such a part to the sheet Offers, or what you have to the sheet Stock.", None)
                .mend("Buy it elsewhere and leave it off this list.", None),
        );
    }
}

fn supplies(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for check in estimate.supplies.iter().filter(|check| !check.carries) {
        let Some(demand) = estimate.demands.get(check.feed.index()) else { continue };
        let least = layout.rules.headroom.value;
        findings.push(
            Finding::new(
                "supply-too-small",
                if check.is_owned { Weight::Doubt } else { Weight::Shortfall },
                format!(
                    "{} gives {} at {} {}; the plan draws {} all the time and {} at most, so with {} to be left free it takes {}.",
                    check.name,
                    check.rating,
                    demand.voltage,
                    demand.waveform.word(),
                    demand.continuous,
                    demand.most(),
                    least,
                    demand.needed
                ),
            )
            .seen("Motors move slowly or stop short, controllers start again in the middle of a throw, the supply runs hot or switches itself off.")
            .mend(format!("Use a supply of at least {}; one is on the bill.", demand.needed), None)
            .mend("Move fewer drives at once (`at once` in the rules) if that is how you work the layout.", None),
        );
    }
}

fn far_ends(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for far in estimate.wiring.far_ends.iter().filter(|far| !far.is_within()) {
        let title = &catalogue.scheme(far.scheme).title;
        let worst = far.worst.name(layout);
        findings.push(
            Finding::new(
                "too-little-arrives",
                Weight::Doubt,
                format!(
                    "{title}: of {} only {} arrive at {worst} when the most moves that may; {} are lost and {} are allowed, with the thickest wire the \
                     catalogue has for it.",
                    far.fed,
                    far.arrives,
                    far.lost(),
                    far.allowed
                ),
            )
            .seen("The farthest motors move slowly or not all the way: blades do not close.")
            .mend("Add a thicker wire to the catalogue for the trunk from board to board.", None)
            .mend("Put the panel, or a supply of its own, nearer to the far boards.", None)
            .mend("Move fewer drives at once (`at once` in the rules), or allow more drop (`drop`).", None),
        );
    }
    for sizing in estimate.wiring.sizings.iter().filter(|sizing| !sizing.bears) {
        let whose = sizing.per.word();
        findings.push(
            Finding::new(
                "wire-not-rated",
                Weight::Doubt,
                format!(
                    "The wire of {} for each {whose} carries up to {}, more than any the catalogue has for it is rated for.",
                    sizing.area, sizing.carries
                ),
            )
            .seen("The wire gets warm and its insulation soft.")
            .mend("Add a thicker wire to the catalogue.", None)
            .mend("Feed the far boards by a second pair of wires.", None),
        );
    }
}

fn depth(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
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

fn leads(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
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
        .mend("Use two smaller controllers on the board, each nearer to its motors.", None)
        .mend("Lead the signal through a buffer, or twist the lead and keep it away from other wires.", None),
    );
}

fn lamps(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
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

fn switch_on(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let twitches = open_schemes(&estimate.assignment)
        .into_iter()
        .any(|scheme| matches!(catalogue.scheme(scheme).draw, Draw::Move { rest, switch_on, .. } if switch_on > rest));
    if twitches {
        findings.push(
            Finding::new("twitch-at-switch-on", Weight::Note, "At switch-on the motors may twitch, all at the same time.")
                .seen("Blades and arms jump once when the power comes on. A larger supply does not cure it: the signal is undefined until the controllers have started.")
                .mend("Fit a pull resistor at each signal wire, if the controller has none.", None)
                .mend("Let the motors' power come on a second after the controllers'.", None),
        );
    }
}

fn estimated_lengths(layout: &Layout, findings: &mut Vec<Finding>) {
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

fn cautions(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut caution = |code, text: &str| findings.push(Finding::new(code, Weight::Caution, text));
    let schemes = open_schemes(&estimate.assignment);
    if !estimate.demands.is_empty() {
        caution(
            "mains",
            "Mains voltage stays inside a certified, enclosed supply, which is not ours to open or wire. Everything under the boards is extra-low \
             voltage. Local codes and licensed practice come first.",
        );
        caution("fuse-each-feed", "Put a fuse in each feed, close to the supply: thin wire burns before a large supply notices.");
    }
    if schemes.iter().any(|&scheme| catalogue.scheme(scheme).electrics.is_some_and(|electrics| electrics.stored)) {
        caution(
            "stored-charge",
            "A discharge unit holds its charge after the power is off. Discharge it through a resistor before you touch it.",
        );
    }
    if !schemes.is_empty() {
        caution(
            "eyes-and-hands",
            "Soldering, drilling, sawing and cutting spring wire hurt eyes and hands: wear glasses, clamp the work, air the room.",
        );
    }
}
