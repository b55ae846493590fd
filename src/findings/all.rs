//! All findings of a plan.

use super::less::Tried;
use super::{cautions, frogs, joints, mechanics, parts, power, stored, supplies, switch_on, wiring};
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::Finding;
use crate::layout::Layout;

/// What the builder should know about a plan, gravest first. What would mend it is told as far as that needs no trying.
pub fn findings(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate) -> Vec<Finding> {
    let mut findings = Vec::new();
    parts::nothing_moves(layout, catalogue, estimate, &mut findings);
    parts::unmet(layout, catalogue, estimate, &mut findings);
    power::supplies(layout, estimate, &mut findings);
    power::far_ends(layout, catalogue, estimate, &mut findings);
    stored::too_little(layout, catalogue, estimate, &mut findings);
    stored::at_low_mains(layout, catalogue, estimate, &mut findings);
    stored::rated_too_low(catalogue, estimate, &mut findings);
    stored::pulses_over_pins(layout, catalogue, estimate, &mut findings);
    power::fuses(layout, catalogue, estimate, &mut findings);
    joints::swapped(layout, catalogue, estimate, &mut findings);
    joints::worn(layout, catalogue, estimate, &mut findings);
    mechanics::depth(layout, catalogue, estimate, &mut findings);
    mechanics::screws(layout, estimate, &mut findings);
    mechanics::rods(layout, catalogue, estimate, &mut findings);
    mechanics::holes(layout, catalogue, estimate, &mut findings);
    mechanics::springs(layout, catalogue, estimate, &mut findings);
    frogs::frogs(layout, catalogue, estimate, &mut findings);
    power::branches(catalogue, estimate, &mut findings);
    wiring::leads(layout, catalogue, estimate, &mut findings);
    wiring::shared(layout, catalogue, estimate, &mut findings);
    wiring::mixed_levers(layout, catalogue, estimate, &mut findings);
    wiring::lamps(layout, catalogue, estimate, &mut findings);
    wiring::link_returns(catalogue, estimate, &mut findings);
    wiring::thicker_than_tags(catalogue, estimate, &mut findings);
    wiring::resistors(estimate, &mut findings);
    switch_on::switch_on(layout, catalogue, estimate, &mut findings);
    supplies::their_leads(catalogue, estimate, &mut findings);
    supplies::stuck_drives(layout, estimate, &mut findings);
    supplies::left_over(layout, estimate, &mut findings);
    switch_on::converters(layout, catalogue, estimate, &mut findings);
    wiring::estimated_lengths(layout, &mut findings);
    cautions::cautions(catalogue, estimate, &mut findings);
    findings.sort_by_key(|finding| finding.weight);
    findings
}

/// Adds to findings of a plan the mends that are known only by trying.
pub fn advise(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: Vec<Finding>) -> Vec<Finding> {
    let tried = Tried::new(layout, catalogue, estimate);
    findings.into_iter().map(|finding| tried.advise(finding)).collect()
}
