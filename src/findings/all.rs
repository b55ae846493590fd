//! All findings of a plan.

use super::less::{Advice, Tried};
use super::{cautions, frogs, joints, mechanics, parts, power, stored, supplies, switch_on, wiring};
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::Finding;
use crate::layout::Layout;

/// What the builder should know about a plan, gravest first.
pub fn findings(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, advice: Advice) -> Vec<Finding> {
    let mut findings = Vec::new();
    let tried = Tried::new(layout, catalogue, estimate, advice);
    parts::nothing_moves(layout, catalogue, estimate, &mut findings);
    parts::unmet(layout, catalogue, estimate, &mut findings);
    power::supplies(layout, estimate, &tried, &mut findings);
    power::far_ends(layout, catalogue, estimate, &tried, &mut findings);
    stored::too_little(layout, catalogue, estimate, &mut findings);
    stored::rated_too_low(catalogue, estimate, &mut findings);
    stored::pulses_over_pins(layout, catalogue, estimate, &mut findings);
    power::fuses(layout, catalogue, estimate, &tried, &mut findings);
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
    wiring::resistors(estimate, &mut findings);
    switch_on::switch_on(layout, catalogue, estimate, &mut findings);
    supplies::stuck_drives(layout, estimate, &mut findings);
    supplies::left_over(layout, estimate, &mut findings);
    switch_on::converters(layout, catalogue, estimate, &mut findings);
    wiring::estimated_lengths(layout, &mut findings);
    cautions::cautions(catalogue, estimate, &mut findings);
    findings.sort_by_key(|finding| finding.weight);
    findings
}
