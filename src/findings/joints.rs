//! Joints: plugs that could be swapped, connectors that wear out.

use super::names::names;
use super::price::part_difference;
use crate::catalogue::{Attr, Catalogue, Role};
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::{JointId, PartId};
use crate::layout::Layout;
use crate::money::Money;
use crate::quantity::Quantity;
use crate::takeoff::Subject;

/// The connectors used at a joint.
fn connectors(catalogue: &Catalogue, estimate: &Estimate, joint: JointId) -> Vec<PartId> {
    let needs = estimate.takeoff.needs.iter().filter(|need| {
        catalogue.kind(need.kind).role == Role::Connector
            && need.reasons.iter().any(|reason| reason.subject == Subject::Joint(joint))
    });
    needs.flat_map(|need| estimate.purchase.uses.iter().filter(|used| used.need == need.id)).map(|used| used.part).collect()
}

/// One finding for all joints with several plugs alike.
pub(super) fn swapped(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let several: Vec<(JointId, u32)> = (0..)
        .zip(&estimate.wiring.joints)
        .map(|(index, load)| (JointId(index), load))
        .filter(|(joint, load)| load.plugs > 1 && !layout.joint(*joint).keyed)
        .map(|(joint, load)| (joint, load.ways))
        .collect();
    let Some(&(first, ways)) = several.first() else { return };
    let which = names(several.iter().map(|&(joint, _)| layout.joint(joint).name.as_ref()));
    let bought = connectors(catalogue, estimate, first).first().copied();
    let one = several.len() == 1;
    let part = bought.map_or_else(|| format!("of {ways} ways or more"), |part| catalogue.part(part).title.clone());
    let alike = if one {
        format!("Joint {which} has two plugs or more that are alike ({part})")
    } else {
        format!("Joints {which} have two plugs or more each that are alike (at {}: {part})", layout.joint(first).name)
    };
    let mut finding = Finding::new("plugs-can-be-swapped", Weight::Doubt, format!("{alike}: each fits the other's socket."))
    .seen("After a hurried set-up the wrong turnouts throw, or a feed meets a conductor that is not made for it.")
    .mend(
        "Key them: in each socket close one hole, a different one each, and pull the pin that would enter it; there are spare ways for that. \
         Then write `keyed: yes` for the joint.",
        Some(Money::total([], catalogue.rates.home)),
    );
    if let Some(used) = bought {
        let count = |part: PartId| catalogue.part(part).measured(Attr::Ways);
        let kind = catalogue.part(used).kind;
        let priced = catalogue.parts_of(kind).filter(|(id, _)| count(*id) > count(used));
        let next = priced.filter_map(|(id, part)| Some((part_difference(catalogue, used, id, 1)?, id, part)));
        if let Some((price, _, part)) = next.min_by_key(|(price, id, _)| (price.amount(), *id)) {
            let more = format!("Take another size for one of them: {}, for each such joint.", part.title);
            finding = finding.mend(more, Some(price));
        }
    }
    findings.push(finding.mend("Mark both halves of each in a colour of its own.", None));
}

/// One finding for all joints whose connectors wear out before their time.
pub(super) fn worn(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let matings = layout.rules.matings();
    let lives = |part: PartId| catalogue.part(part).measured(Attr::Life);
    let mut short = Vec::new();
    for joint in (0..layout.joints.len()).map(JointId::at) {
        let part = connectors(catalogue, estimate, joint)
            .into_iter()
            .find(|part| lives(*part).is_some_and(|life| life < Quantity::count(matings)));
        short.extend(part.map(|part| (joint, part)));
    }
    let Some(&(_, part)) = short.iter().min_by_key(|(_, part)| lives(*part)) else { return };
    let Some(life) = lives(part) else { return };
    let which = names(short.iter().map(|&(joint, _)| layout.joint(joint).name.as_ref()));
    let mut finding = Finding::new(
        "connector-wears-out",
        Weight::Doubt,
        format!(
            "{} set-ups a year over {} years plug each joint {matings} times; {} lasts {life} matings. Joints: {which}.",
            layout.rules.set_ups.value,
            layout.rules.years.value,
            catalogue.part(part).title
        ),
    )
    .seen("After some years a turnout works only when somebody wiggles the plug.");
    let ways = catalogue.part(part).measured(Attr::Ways);
    let plugs: u32 =
        short.iter().filter_map(|(joint, _)| estimate.wiring.joints.get(joint.index())).map(|joint| joint.plugs).sum();
    let lasting = catalogue.parts_of(catalogue.part(part).kind).filter(|(id, other)| {
        lives(*id).is_some_and(|life| life >= Quantity::count(matings)) && other.measured(Attr::Ways) >= ways
    });
    let priced = lasting.filter_map(|(id, other)| Some((catalogue.unit_price(id)?, id, other)));
    if let Some((_, id, other)) = priced.min_by_key(|(price, id, _)| (*price, *id)) {
        let price = (short.iter().all(|(_, used)| *used == part)).then(|| part_difference(catalogue, part, id, plugs)).flatten();
        finding = finding.mend(format!("Use {} instead.", other.title), price);
    }
    findings.push(
        finding
            .mend("Ask for `life matings` in the rule for joints, so that the catalogue chooses by it.", None)
            .mend("Change plug and socket when they have worn: the labels stay.", None),
    );
}
