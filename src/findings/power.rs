//! Supplies too small, voltage lost on the way, wire that gets warm, the twitch at switch-on.

use super::names::names;
use crate::catalogue::{Catalogue, Role, Word};
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::id::FeedId;
use crate::layout::{AtOnce, Layout};
use crate::power::fuse::NoFuse;
use crate::power::{Branch, Demand};
use crate::scheme::Draw;
use crate::takeoff::Subject;
use crate::wiring::{Run, Use, better_panel, open_schemes};

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
            .mend("Add a thicker wire to the catalogue for the trunk from board to board.", None);
        let finding = match better_panel(layout, catalogue, &estimate.assignment, far) {
            Some((board, better)) => finding.mend_by(
                format!(
                    "Put the panel, and with it the supply, on board {}: then {} arrive at the farthest.",
                    layout.board(board).name,
                    better.arrives
                ),
                Change::PanelAt(board),
            ),
            None => finding.mend("Put the panel, or a supply of its own, nearer to the far boards.", None),
        };
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
pub(super) fn fuses(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
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
                format!(
                    "The feed of {feed} draws {load}, so its fuse is {fuse}; but {} is rated for {bears} only.",
                    thin(catalogue, estimate, demand)
                ),
            )
            .seen("Nothing, until a thin wire is pinched: then it glows and the fuse stays whole.")
            .mend(apart(catalogue, estimate, check.feed), None)
            .mend("Use thicker wire for them: leave the sizes below that rating out of the catalogue.", None),
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
                .mend_by(format!("Use a supply of at least {fuse}."), Change::LargerSupply { feed: check.feed, least: fuse })
                .mend("Split the feed over two supplies, each with a part of the boards and a fuse of its own.", None),
            ),
        };
        findings.push(finding);
    }
}

/// The wires on a feed that its fuse does not protect, in words.
fn thin(catalogue: &Catalogue, estimate: &Estimate, demand: &Demand) -> String {
    let mine = estimate.branches.iter().filter(|branch| branch.feed == demand.id);
    let whose: Vec<String> = mine.map(|branch| wires_of(catalogue, estimate, branch)).collect();
    if whose.is_empty() { "wire on it".to_owned() } else { names(whose.iter().map(String::as_str)) }
}

/// The wires of a branch in words: `the wire of lights (15 pieces)`.
fn wires_of(catalogue: &Catalogue, estimate: &Estimate, branch: &Branch) -> String {
    let mine = estimate.wiring.runs.iter().filter(|run| run.scheme == branch.scheme && run.purpose != Use::Frog);
    let rating = |run: &Run| estimate.wiring.sizing_of(run.subject, run.scheme).map(|sizing| sizing.rating);
    let thin = mine.filter(|run| rating(run).is_some_and(|rating| rating <= branch.bears));
    let pieces: usize = thin.map(|run| run.sections.len()).sum();
    let whose = branch.scheme.map_or("lights", |scheme| &catalogue.scheme(scheme).title);
    format!("the wire of {whose} ({pieces} pieces)")
}

/// How to fuse the thin wires of a feed apart.
fn apart(catalogue: &Catalogue, estimate: &Estimate, feed: FeedId) -> String {
    let fuses: Vec<String> = estimate
        .branches
        .iter()
        .filter(|branch| branch.feed == feed)
        .map(|branch| format!("{} of {} for {}", branch.count, branch.fuse, wires_of(catalogue, estimate, branch)))
        .collect();
    if fuses.is_empty() {
        return "Give the thin wires a fuse of their own where they leave the feed.".to_owned();
    }
    format!(
        "Give the thin wires fuses of their own where they leave the feed: {}. A row per `branch` with a fuse and its holder in the sheet Assemblies \
         puts them on the bill.",
        fuses.join(", ")
    )
}

/// What is fused apart, so that the builder fits the fuses that are on the bill.
pub(super) fn branches(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for branch in estimate.branches.iter().filter(|branch| is_fused(catalogue, estimate, branch)) {
        let Some(demand) = estimate.demands.get(branch.feed.index()) else { continue };
        let fuses = if branch.count == 1 {
            format!("a fuse of {} stands before it where it leaves the feed, and is on the bill", branch.fuse)
        } else {
            format!("{} fuses of {} stand before it where it leaves the feed, and are on the bill", branch.count, branch.fuse)
        };
        findings.push(
            Finding::new(
                "thin-wires-fused-apart",
                Weight::Note,
                format!(
                    "On {} {} {} is rated for {} only, less than the feed's fuse: {fuses}.",
                    demand.voltage,
                    demand.waveform.word(),
                    wires_of(catalogue, estimate, branch),
                    branch.bears
                ),
            )
            .seen("Without it: nothing, until a thin wire is pinched. Then it glows and the large fuse stays whole."),
        );
    }
}

fn is_fused(catalogue: &Catalogue, estimate: &Estimate, branch: &Branch) -> bool {
    estimate.takeoff.needs.iter().any(|need| {
        catalogue.kind(need.kind).role == Role::Fuse
            && need.reasons.iter().any(|reason| matches!(reason.subject, Subject::Branch(feed, _) if feed == branch.feed))
    })
}
