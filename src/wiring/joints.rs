//! What parts at each joint: conductors by use, and the plugs that carry them.

use crate::catalogue::{Asked, Attr, Catalogue, Measure, Per, Role};
use crate::layout::Layout;

use super::model::{JointLoad, Use, Wiring};

/// Counts the conductors of all runs and of all extension leads that cross a joint, and plans its plugs: as few as the largest connector sold
/// allows, all with the same number of ways.
pub(super) fn load_joints(layout: &Layout, catalogue: &Catalogue, wiring: &Wiring) -> Vec<JointLoad> {
    let mut joints = vec![JointLoad::default(); layout.joints.len()];
    for run in &wiring.runs {
        for joint in run.crosses.iter() {
            if let Some(load) = joints.get_mut(joint.index()) {
                *load.conductors.entry(run.purpose).or_default() += run.conductors;
            }
        }
    }
    for lead in wiring.leads.values() {
        for joint in lead.crosses.iter() {
            if let Some(load) = joints.get_mut(joint.index()) {
                *load.conductors.entry(Use::Drive).or_default() += lead.conductors;
            }
        }
    }
    let largest = largest_connector(catalogue).unwrap_or(u32::MAX);
    for load in joints.iter_mut().filter(|load| load.total() > 0) {
        let ways = layout.rules.spare_ways.value.on(load.total());
        load.plugs = ways.div_ceil(largest);
        load.ways = ways.div_ceil(load.plugs.max(1));
    }
    joints
}

/// The ways of the largest connector that the rule for joints can get.
fn largest_connector(catalogue: &Catalogue) -> Option<u32> {
    let rule = catalogue.rules.iter().find(|rule| {
        rule.per == Per::Joint
            && catalogue.kind(rule.kind).role == Role::Connector
            && rule.asks.contains(&(Attr::Ways, Asked::Measure(Measure::Ways)))
    })?;
    catalogue
        .parts_of(rule.kind)
        .filter(|(id, part)| part.stock > 0 || catalogue.offers_of(*id).next().is_some())
        .filter_map(|(_, part)| u32::try_from(part.measured(Attr::Ways)?.value()).ok())
        .filter(|ways| *ways > 0)
        .max()
}
