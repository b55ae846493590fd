//! Supplies too small, voltage lost on the way, wire that gets warm, the twitch at switch-on.

use crate::catalogue::{Catalogue, Word};
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::layout::{AtOnce, Layout};
use crate::power::fuse::{NoFuse, ratings};
use crate::scheme::Draw;
use crate::wiring::open_schemes;

/// The mend of whatever comes from much that moves together, where more than one lever is thrown at a time.
fn throw_fewer(layout: &Layout, finding: Finding) -> Finding {
    let text = "Throw one lever at a time (`at once: 1 lever` in the rules), if that is how you work the layout.";
    match layout.rules.at_once.value {
        AtOnce::Levers(1) => finding,
        AtOnce::Levers(_) | AtOnce::Routes => finding.mend_by(text, Change::OneLeverAtOnce),
    }
}

pub(super) fn supplies(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for check in estimate.supplies.iter().filter(|check| !check.carries) {
        let Some(demand) = estimate.demands.get(check.feed.index()) else { continue };
        let least = layout.rules.headroom.value;
        let finding =
            Finding::new(
                "supply-too-small",
                if check.is_owned { Weight::Doubt } else { Weight::Shortfall },
                format!(
                    "{} gives {} at {} {}. The plan draws {} all the time, beside which {} are to be left free, and {} at most: together it takes {}.",
                    check.name,
                    check.rating,
                    demand.voltage,
                    demand.waveform.word(),
                    demand.continuous,
                    least,
                    demand.most(),
                    demand.needed
                ),
            )
            .seen("Motors move slowly or stop short, controllers start again in the middle of a throw, the supply runs hot or switches itself off.")
            .mend_by(format!("Use a supply of at least {}; it is on the bill.", demand.needed), Change::BuySupply(demand.id));
        findings.push(if demand.start_up >= demand.peak {
            finding.mend("Let the boards come on one after another, so that not all draw together at switch-on.", None)
        } else {
            throw_fewer(layout, finding).mend("Choose drives that draw less.", None)
        });
    }
}

pub(super) fn far_ends(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for far in estimate.wiring.far_ends.iter().filter(|far| !far.is_within()) {
        let title = &catalogue.scheme(far.scheme).title;
        let worst = far.worst.name(layout);
        let finding = Finding::new(
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
;
        // Stored pulses go lever by lever whatever the rules say.
        let is_stored = catalogue.scheme(far.scheme).electrics.is_some_and(|electrics| electrics.stored);
        findings.push(if is_stored { finding } else { throw_fewer(layout, finding) });
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

pub(super) fn switch_on(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
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

/// One finding for each feed that no fuse protects.
pub(super) fn fuses(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for check in estimate.supplies.iter().filter(|check| check.carries) {
        let (Err(why), Some(demand)) = (check.fuse, estimate.demands.get(check.feed.index())) else { continue };
        let feed = format!("{} {}", demand.voltage, demand.waveform.word());
        let finding = match why {
            NoFuse::LoadTooLarge { .. } => {
                Finding::new("fuse-does-not-protect", Weight::Doubt, format!("The feed of {feed}: {why}."))
                    .mend("Split the feed: two supplies, each for a part of the boards.", None)
            }
            NoFuse::Unprotected { load, fuse, bears } if bears < check.rating => Finding::new(
                "fuse-does-not-protect",
                Weight::Doubt,
                format!("The feed of {feed} draws {load}, so its fuse is {fuse}; but wire on it is rated for {bears} only."),
            )
            .seen("Nothing, until a thin wire is pinched: then it glows and the fuse stays whole.")
            .mend(
                match ratings().take_while(|rating| *rating <= bears).last() {
                    Some(small) => {
                        format!("Give the thin wires a fuse of their own, {small} at most, where they leave the feed.")
                    }
                    None => "Give the thin wires a fuse of their own where they leave the feed.".to_owned(),
                },
                None,
            )
            .mend("Use thicker wire for them.", None),
            NoFuse::Unprotected { load, fuse, .. } => throw_fewer(
                layout,
                Finding::new(
                    "fuse-above-the-supply",
                    Weight::Note,
                    format!(
                        "The feed of {feed} draws up to {load}, so its fuse is {fuse}, more than the {} of {}.",
                        check.rating, check.name
                    ),
                )
                .seen("On a short the supply's own protection acts before the fuse does; an enclosed, certified supply has one.")
                .mend(format!("Use a supply of at least {fuse}."), None),
            ),
        };
        findings.push(finding);
    }
}
