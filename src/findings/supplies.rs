//! Supplies: what a drive that sticks does to those that feed it, and which of those the user has feed nothing.

use super::names::names;
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::layout::Layout;
use crate::power::{Demand, SupplyCheck};

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
                    "If a drive sticks while the most moves, {fault} are drawn from {}{what}, which gives {}.",
                    check.name, check.rating
                ),
            )
            .seen("Its voltage falls or it switches itself off: all that hangs on it stops or starts anew, not only the drive that sticks.")
            .mend("Switch off, and free the drive before its motor gets hot.", None)
            .mend(
                format!("For a supply that bears it, take one that gives {} at least, as long as its fuse stays as it is.", fault.rounded_up()),
                None,
            ),
        );
    }
}

/// One finding on all supplies of the user that feed nothing in the plan, and why.
pub(super) fn left_over(layout: &Layout, estimate: &Estimate, findings: &mut Vec<Finding>) {
    if estimate.demands.is_empty() {
        return;
    }
    let feeds: Vec<String> = estimate.demands.iter().map(feed_name).collect();
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

fn feed_name(demand: &Demand) -> String {
    format!("{} {}", demand.voltage, demand.waveform.word())
}
