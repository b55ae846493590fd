//! Frogs in plain words: what changes them over, what that must bear, and what goes wrong when it is late.

use super::names::names;
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::layout::{FrogKind, Layout};
use crate::wiring::{built_in_contacts, trip_current};

/// Insulated joints of a live frog: one in each rail that leads away from it (common practice, no source).
const JOINTS_PER_FROG: usize = 2;

/// What to know of frogs.
pub(super) fn frogs(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    blade_fed(layout, findings);
    if layout.frogs.is_empty() {
        return;
    }
    let built_in = built_in_contacts(layout, catalogue, &estimate.assignment);
    let of = |wanted: bool| {
        names(layout.frogs.iter().zip(&built_in).filter(|(_, built_in)| **built_in == wanted).map(|(frog, _)| frog.name.as_ref()))
    };
    let trips = trip_current(catalogue);
    let bears = trips.map_or_else(String::new, |current| {
        format!(" Contact and wire are chosen for {current}, at which the track's feed should trip.")
    });
    let mut what = format!(
        "{} {} insulated rail joints.",
        match layout.frogs.len() {
            1 => "1 live frog changes over with its blades; it takes".to_owned(),
            count => format!("{count} live frogs change over with their blades; they take"),
        },
        layout.frogs.len() * JOINTS_PER_FROG
    );
    for (built_in, how) in [(true, "a contact built into the drive"), (false, "a contact fitted at the drive")] {
        let which = of(built_in);
        if !which.is_empty() {
            what.extend([" By ", how, ": ", &which, "."]);
        }
    }
    what += &bears;
    findings.push(
        Finding::new("live-frogs", Weight::Note, what)
            .seen(
                "A contact that lags the blades, or leads them, joins two rails of opposite polarity for as long as it is late: a short at each throw, \
                 and the train stops.",
            )
            .mend("Set each contact to change in the middle of the travel, when neither blade touches its rail.", None)
            .mend("Cut the blades off from the frog (an insulated joint in each closure rail), and feed each blade from the rail beside it.", None),
    );
    slips(layout, findings);
}

/// Slips, whose frogs follow the drive at the other end.
fn slips(layout: &Layout, findings: &mut Vec<Finding>) {
    // The frogs of a device go to its drives in turn; one that follows another drive than its turn's follows the other end.
    let mut crossed = Vec::new();
    for device in layout.devices.iter().filter(|device| device.drives.len() == 2 && device.frogs.len() == 2) {
        let follows = device.frogs.iter().zip(&device.drives).filter(|(frog, drive)| layout.frog(**frog).drive != **drive);
        crossed.extend(follows.map(|(frog, _)| {
            let frog = layout.frog(*frog);
            format!("{} with {}", frog.name, layout.drive(frog.drive).name)
        }));
    }
    if !crossed.is_empty() {
        findings.push(
            Finding::new(
                "frogs-follow-the-other-end",
                Weight::Note,
                format!("In a slip the frog at one end changes over with the blades at the other: {}.", names(crossed.iter().map(String::as_str))),
            )
            .seen("Wired to the drive of its own end, a frog has the wrong polarity on every second road: the train stops there on a short."),
        );
    }
}

/// Turnouts whose frog is live through the blades.
fn blade_fed(layout: &Layout, findings: &mut Vec<Finding>) {
    let fed: Vec<&str> = layout
        .devices
        .iter()
        .filter(|device| device.kind.is_turnout() && device.frog == FrogKind::BladeFed)
        .map(|device| device.name.as_ref())
        .collect();
    if !fed.is_empty() {
        findings.push(
            Finding::new(
                "blade-fed-frogs",
                Weight::Note,
                format!("The frogs of {} get their current through the blades alone, where blade and rail touch.", names(fed)),
            )
            .seen("Once dirt or paint is on the blades, engines stop on the frog although the turnout has thrown.")
            .mend("Keep blades and rails clean where they touch.", None)
            .mend("Make the frog live with a contact (`frog: live`), which feeds it whatever the blades do.", None),
        );
    }
}
