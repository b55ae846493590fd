//! Supplies too small, voltage lost on the way, wire that gets warm, fuses that do not protect.

use super::names::names;
use crate::catalogue::{Catalogue, Per, Role, Word};
use crate::estimate::Estimate;
use crate::finding::{Aim, Change, Finding, Weight};
use crate::id::FeedId;
use crate::layout::Layout;
use crate::power::fuse::NoFuse;
use crate::power::{Branch, Demand, Drawn, SupplyCheck, contacts_bear, levers_bear};
use crate::quantity::Current;
use crate::takeoff::Subject;
use crate::wiring::{Run, Use};

/// What is drawn and what that takes of a supply, in words.
fn drawn_in_words(layout: &Layout, drawn: &Drawn) -> String {
    let most = format!("{} at most", drawn.most().rounded_up());
    if drawn.continuous <= Current::ZERO {
        return most;
    }
    let free = layout.rules.headroom.value;
    format!(
        "{} all the time and {most}. What flows all the time is to leave {free} of a supply free, and the most must not go beyond it: that \
         asks for a supply of at least {}",
        drawn.continuous,
        drawn.needed(free).rounded_up()
    )
}

/// Whether nothing hangs on a feed but the charging of a discharge unit.
fn only_charges(demand: &Demand) -> bool {
    demand.drawn.continuous.0 <= 0.0 && demand.loads.iter().all(|load| load.subject == Subject::Panel)
}

/// One finding for each supply that does not carry what it should, and for each feed that the owned ones carry only in part.
pub(super) fn supplies(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for check in estimate.supplies.iter().filter(|check| !check.carries) {
        let Some(demand) = estimate.demands.get(check.feed.index()) else { continue };
        let drawn = check.section.and_then(|n| demand.sections.get(n as usize)).map_or(&demand.drawn, |section| &section.drawn);
        let finding = Finding::new(
            "supply-too-small",
            if check.section.is_some() { Weight::Shortfall } else { Weight::Doubt },
            format!(
                "{} gives {} at {}. {} draws {}.",
                check.name,
                check.rating,
                demand.name(),
                if check.section.is_some() { "What hangs on it" } else { "The plan" },
                drawn_in_words(layout, drawn)
            ),
        )
        .seen(if only_charges(demand) {
            "The transformer hums, runs hot or switches itself off; the discharge unit charges slowly, and of throws in a row the later ones fail."
        } else {
            "Motors move slowly or stop short, controllers start again in the middle of a throw, the supply runs hot or switches itself off."
        });
        let finding = finding.mend_by(supplies_that_serve(estimate, demand), Change::BuySupply(demand.id));
        if only_charges(demand) {
            findings.push(finding.mend("Add a discharge unit to the workbook that charges with less current.", None));
            continue;
        }
        findings.push(finding.try_for(Aim::OwnedCarry(demand.id)).mend("Choose drives that draw less (`scheme`).", None));
    }
    for demand in
        estimate.demands.iter().filter(|demand| demand.is_bought() && demand.sections.iter().any(|own| own.owned.is_some()))
    {
        let mine = |check: &&SupplyCheck| check.feed == demand.id && check.is_owned && check.section.is_some();
        let owned = names(estimate.supplies.iter().filter(mine).map(|check| check.name.as_str()));
        let finding = Finding::new(
            "owned-supplies-carry-a-part",
            Weight::Doubt,
            if layout.rules.sections.value > 1 {
                format!(
                    "The feed of {} is divided, over {} supplies at least as your rules ask (`sections`): a part hangs on {owned}, the rest on what \
                     is bought.",
                    demand.name(),
                    layout.rules.sections.value
                )
            } else {
                format!(
                    "{owned} alone cannot carry the feed of {}: it is divided, and a part hangs on what is bought.",
                    demand.name()
                )
            },
        )
        .seen(if layout.rules.sections.value > 1 {
            "Nothing: each supply carries its part. A board that is plugged to the wires of the other supply loads that one more."
        } else {
            "With all of it on what you have: motors stop short, and the supply runs hot or switches itself off."
        })
        .mend_by(supplies_that_serve(estimate, demand), Change::BuySupply(demand.id));
        findings.push(if layout.rules.sections.value > 1 {
            finding.mend("Or divide it over no more supplies than you have, if they carry it: a smaller number for `sections` in the rules.", None)
        } else {
            finding.try_for(Aim::OwnedCarry(demand.id)).mend("Choose drives that draw less (`scheme`).", None)
        });
    }
}

/// What to have in place of a supply that does not carry its feed.
fn supplies_that_serve(estimate: &Estimate, demand: &Demand) -> String {
    let is_had = |check: &&SupplyCheck| check.feed == demand.id && !check.is_owned && check.carries;
    let had = estimate.supplies.iter().filter(is_had).count();
    let bought: Vec<String> = demand
        .sections
        .iter()
        .filter(|section| section.owned.is_none())
        .map(|section| section.asked().rounded_up().to_string())
        .collect();
    let on_the_bill = match (bought.len(), had == bought.len()) {
        (1, true) => "; it is on the bill",
        (_, true) => "; they are on the bill",
        _ => ", if one can be had",
    };
    match bought.as_slice() {
        [one] if demand.sections.len() == 1 => format!("Use a supply of at least {one}{on_the_bill}."),
        [one] => format!("Use a supply of at least {one} for the boards that hang on it{on_the_bill}."),
        several => format!(
            "It is divided over several: use {} supplies, of at least {}, each with its own boards{on_the_bill}.",
            several.len(),
            names(several.iter().map(String::as_str))
        ),
    }
}

/// One finding for each scheme whose far end gets too little, and one for each sort of wire that is not rated for its current.
pub(super) fn far_ends(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for far in estimate.wiring.far_ends.iter().filter(|far| !far.is_within()) {
        let title = &catalogue.scheme(far.scheme).title;
        let worst = far.worst.name(layout);
        let finding = Finding::new(
            "too-little-arrives",
            Weight::Shortfall,
            format!(
                "{title}: of {} only {} arrive at {worst} when the most moves that may; {} are lost and {} are allowed, with the thickest wire the \
                 catalogue has for it.",
                far.fed,
                far.arrives,
                far.lost(),
                far.allowed
            ),
        )
        .seen("The farthest motors move slowly or not all the way: blades do not close.");
        findings.push(finding.try_for(Aim::EnoughArrives(far.scheme)));
    }
    for sizing in estimate.wiring.sizings.iter().filter(|sizing| !sizing.bears) {
        let whose = match sizing.per {
            Per::Layout if sizing.feeds_levers => "lever at the panel",
            Per::Layout => "thing at the panel",
            per => per.word(),
        };
        let finding = Finding::new(
            "wire-not-rated",
            Weight::Shortfall,
            format!(
                "The wire of {} for each {whose} carries up to {}, more than any the catalogue has for it is rated for.",
                sizing.area, sizing.carries
            ),
        )
        .seen("The wire gets warm and its insulation soft.")
        .mend("Add a thicker wire to the workbook, and its price.", None);
        findings.push(finding.try_for(Aim::WiresBear { scheme: sizing.scheme, per: sizing.per }));
    }
}

/// One finding for each section of a feed that no fuse protects.
pub(super) fn fuses(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for demand in &estimate.demands {
        for section in demand.sections.iter().filter(|section| section.fuse.is_none()) {
            let feed = demand.name();
            let where_it_is = if section.boards.is_empty() {
                String::new()
            } else {
                format!(" for board {}", names(section.boards.iter().map(|board| layout.board(*board).name.as_ref())))
            };
            let finding = Finding::new(
                "no-fuse-carries-it",
                Weight::Shortfall,
                format!(
                    "The feed of {feed}{where_it_is} draws {} at most and {} all the time: no fuse of the series carries that, and it cannot be divided \
                     further by boards and controllers.",
                    section.drawn.most(),
                    section.drawn.continuous
                ),
            )
            .seen("A fuse of the largest size opens in use; without one a pinched wire glows until the supply gives up.");
            findings.push(finding.try_for(Aim::AllFused).mend("Choose drives that draw less (`scheme`).", None));
        }
    }
    for check in estimate.supplies.iter().filter(|check| check.carries && check.section.is_some()) {
        let (Err(NoFuse::Unprotected { load, fuse, bears }), Some(demand)) =
            (check.fuse, estimate.demands.get(check.feed.index()))
        else {
            continue;
        };
        let feed = demand.name();
        let finding = if bears < check.rating {
            Finding::new(
                "fuse-does-not-protect",
                Weight::Shortfall,
                format!(
                    "The feed of {feed} draws {load}, so its fuse is {fuse}; but {} is rated for {bears} only.",
                    thin(catalogue, estimate, demand)
                ),
            )
            .seen("Nothing, until a thin wire is pinched: then it glows and the fuse stays whole.")
            .mend(apart(catalogue, estimate, check.feed), None)
            .mend("Use thicker wire for them: leave the sizes below that rating out of the catalogue.", None)
        } else {
            let finding = Finding::new(
                "fuse-above-the-supply",
                Weight::Note,
                format!(
                    "The feed of {feed} draws up to {load}, so its fuse is {fuse}, more than the {} of {}.",
                    check.rating, check.name
                ),
            )
            .seen("On a short the supply's own protection acts before the fuse does; an enclosed, certified supply has one.")
            .mend_by(format!("Use a supply of at least {fuse}."), Change::LargerSupply { feed: check.feed, least: fuse });
            finding.try_for(Aim::FusesWithin(check.feed)).mend("Choose drives that draw less (`scheme`).", None)
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

/// Whether a contact is the weakest on a branch.
fn by_contact(catalogue: &Catalogue, estimate: &Estimate, branch: &Branch) -> bool {
    branch.scheme.is_none() && contacts_bear(catalogue, &estimate.wiring).is_some_and(|rating| rating <= branch.bears)
}

/// The wires of a branch in words: `the wire of lights (15 pieces)`.
fn wires_of(catalogue: &Catalogue, estimate: &Estimate, branch: &Branch) -> String {
    let mine = estimate.wiring.runs.iter().filter(|run| run.scheme == branch.scheme && run.purpose != Use::Frog);
    let rating = |run: &Run| estimate.wiring.sizing_of(run).map(|sizing| sizing.rating);
    let thin = mine.filter(|run| rating(run).is_some_and(|rating| rating <= branch.bears));
    let pieces: usize = thin.map(|run| run.sections.len()).sum();
    let whose = branch.scheme.map_or("lights", |scheme| &catalogue.scheme(scheme).title);
    let is_set = estimate.demands.get(branch.feed.index()).is_some_and(|demand| {
        let mut mine = demand.loads.iter().filter(|load| load.through == branch.scheme);
        mine.any(|load| levers_bear(catalogue, load).is_some_and(|rating| rating <= branch.bears))
    });
    match (pieces, is_set) {
        _ if by_contact(catalogue, estimate, branch) => "what switches lights and lamps".to_owned(),
        (0, _) => format!("the thin wire behind the levers of {whose}"),
        (1, false) => format!("the wire of {whose} (1 piece)"),
        (_, false) => format!("the wire of {whose} ({pieces} pieces)"),
        (_, true) => format!("the wire of {whose} ({pieces} pieces, and what lies behind its levers)"),
    }
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
                    "On {} {} {} is rated for {} only, less than the fuse of the feed: {fuses}. {} up to {}.",
                    demand.voltage,
                    demand.waveform.word(),
                    wires_of(catalogue, estimate, branch),
                    branch.bears,
                    if branch.count == 1 { "It carries" } else { "All of them together carry" },
                    branch.load
                ),
            )
            .seen(if by_contact(catalogue, estimate, branch) {
                "Without it: nothing, until a wire behind the contact is pinched. Then the contact burns or sticks, and the large fuse stays whole."
            } else {
                "Without it: nothing, until a thin wire is pinched. Then it glows and the large fuse stays whole. It stands in the plus alone: a thin \
                 return pinched against the plus of thick wires still meets the large fuse, so bundle thin wires apart from thick ones."
            }),
        );
    }
}

fn is_fused(catalogue: &Catalogue, estimate: &Estimate, branch: &Branch) -> bool {
    estimate.takeoff.needs.iter().any(|need| {
        catalogue.kind(need.kind).role == Role::Fuse
            && need.reasons.iter().any(|reason| matches!(reason.subject, Subject::Branch(feed, _) if feed == branch.feed))
    })
}
