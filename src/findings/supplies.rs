//! Supplies: their leads, what a drive that sticks does to those that feed it, and which of those the user has feed nothing.

use std::collections::BTreeMap;

use super::names::names;
use crate::catalogue::{Asked, Attr, Catalogue, Measure};
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::{FeedId, PartId};
use crate::layout::Layout;
use crate::power::{Demand, SupplyCheck};
use crate::quantity::Current;
use crate::takeoff::Subject;

/// One finding for each supply that a drive which sticks while the most moves takes beyond its rating, with all that hangs on it.
pub(super) fn stuck_drives(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let felled = |check: &&SupplyCheck| check.section.is_some() && check.carries && !check.bears_a_blocked_one();
    for check in estimate.supplies.iter().filter(felled) {
        let (Some(fault), Some(demand)) = (check.fault, estimate.demands.get(check.feed.index())) else { continue };
        let boards = check.section.filter(|_| demand.sections.len() > 1).and_then(|n| demand.sections.get(n as usize));
        let what = match boards {
            Some(section) => {
                format!(" for board {}", names(section.boards.iter().map(|board| layout.board(*board).name.as_ref())))
            }
            None => String::new(),
        };
        findings.push(
            Finding::new(
                "stuck-drive-stops-all",
                Weight::Note,
                format!(
                    "{} gives {}. If a drive sticks while the most moves{what}, {fault} are drawn from it.",
                    check.name, check.rating
                ),
            )
            .seen("Its voltage falls or it switches itself off: all that hangs on it stops or starts anew, not only the drive that sticks.")
            .mend("Switch off, and free the drive before its motor gets hot.", None)
            .mend(
                format!("Or use a supply of at least {}, and keep the same fuse.", fault.rounded_up()),
                None,
            ),
        );
    }
}

/// A section of a feed, and the lead that brings it from its supply to its fuse.
struct Fed<'a> {
    demand: &'a Demand,
    section: usize,
    lead: PartId,
}

/// The leads of all supplies.
fn leads<'a>(catalogue: &Catalogue, estimate: &'a Estimate) -> Vec<Fed<'a>> {
    let asked = (Attr::Current, Asked::Measure(Measure::SupplyCurrent));
    let mut leads = Vec::new();
    for need in &estimate.takeoff.needs {
        let of = need.reasons.iter().filter(|reason| catalogue.rule(reason.rule).asks.contains(&asked));
        let Some(used) = estimate.purchase.uses.iter().find(|used| used.need == need.id && used.count > 0) else { continue };
        leads.extend(of.filter_map(|reason| match reason.subject {
            Subject::Supply(feed, n) => {
                Some(Fed { demand: estimate.demands.get(feed.index())?, section: n as usize, lead: used.part })
            }
            _ => None,
        }));
    }
    leads
}

/// One finding for feeds whose leads are alike, so that each supply fits the other's lead, and one for each lead that bears less than its supply may give.
pub(super) fn their_leads(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let leads = leads(catalogue, estimate);
    let mut of_each: BTreeMap<PartId, BTreeMap<FeedId, &Demand>> = BTreeMap::new();
    for fed in &leads {
        of_each.entry(fed.lead).or_default().insert(fed.demand.id, fed.demand);
    }
    for (lead, feeds) in of_each.into_iter().filter(|(_, feeds)| feeds.len() > 1) {
        let feeds: Vec<String> = feeds.into_values().map(Demand::name).collect();
        findings.push(
            Finding::new(
                "supplies-can-be-swapped",
                Weight::Doubt,
                format!(
                    "The supplies of {} are brought in by leads that are alike ({}): the plug of each supply fits the lead of the other.",
                    names(feeds.iter().map(String::as_str)),
                    catalogue.part(lead).title
                ),
            )
            .seen("After a hurried set-up what is made for the lower voltage gets the higher one, and is destroyed at once.")
            .mend("Give one of them another sort of plug, on supply and lead.", None)
            .mend("Join them with screws for good, and plug on the mains side alone.", None)
            .mend("At the least mark supply, plug and socket of each in a colour of its own.", None),
        );
    }
    for fed in leads {
        let is_of = |check: &&SupplyCheck| check.feed == fed.demand.id && check.section == u32::try_from(fed.section).ok();
        let Some(gives) = estimate.supplies.iter().find(is_of).map(|check| check.rating) else { continue };
        let bears = catalogue.part(fed.lead).measured(Attr::Current).and_then(|rating| Current::try_from(rating).ok());
        let Some(bears) = bears.filter(|bears| bears.0 < gives.0 * (1.0 - 1e-9)) else { continue };
        findings.push(
            Finding::new(
                "lead-below-the-supply",
                Weight::Doubt,
                format!(
                    "The supply of {} may give {gives}, and its lead is rated for {bears}: the fuse stands behind the lead and does not protect it.",
                    fed.demand.name()
                ),
            )
            .seen("Nothing, until the lead is crushed or pulled off its screws: then it glows.")
            .mend("Fit the fuse in line, at the end of the lead where the supply is, close to it.", None)
            .mend(format!("Use a supply that gives no more than {bears}."), None)
            .mend(format!("Add a lead to the workbook that is rated for {gives}, and its price."), None),
        );
    }
}

/// One finding on all supplies of the user that feed nothing in the plan, and why.
pub(super) fn left_over(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    if estimate.demands.is_empty() {
        return;
    }
    let feeds: Vec<String> = estimate.demands.iter().map(Demand::name).collect();
    let left = layout.supplies.iter().filter_map(|supply| {
        let gives = format!("{} {}", supply.voltage, supply.waveform.word());
        let mine = |check: &&SupplyCheck| check.is_owned && check.name == supply.name.as_ref();
        let of_it = |demand: &&Demand| demand.is_of(supply.voltage, supply.waveform);
        match estimate.demands.iter().find(of_it) {
            None => Some(format!("{} gives {gives}, which nothing in the plan draws", supply.name)),
            // One that is too small for its feed is told with that.
            Some(demand) => {
                let told = estimate.supplies.iter().filter(mine).any(|check| check.feed == demand.id);
                (!told).then(|| format!("{} gives {gives}, which others of yours carry without it", supply.name))
            }
        }
    });
    let left: Vec<String> = left.collect();
    if !left.is_empty() {
        findings.push(Finding::new(
            "supply-not-used",
            Weight::Note,
            format!(
                "This plan does not use all the supplies that you have: {}. Its feeds are {}, and a supply serves no voltage and no sort of current but \
                 its own.",
                left.join("; "),
                names(feeds.iter().map(String::as_str))
            ),
        ));
    }
}
