//! What parts at each joint: conductors by use, the plugs that carry them, and which pin carries which.

use super::model::{Carried, JointLoad, Pin, Use, Wiring};
use crate::catalogue::{Asked, Attr, Catalogue, Measure, Part, Per, Role};
use crate::id::{JointId, SchemeId};
use crate::layout::Layout;
use crate::power::pulse::{Pulse, pins};
use crate::quantity::{Current, Seconds, Share};
use crate::scheme::Draw;
use crate::takeoff::Subject;

/// Paralleled pins never share alike, so each counts with this part of its rating. Common practice, no source.
const SHARING: Share = Share(0.8);

/// The shortest time in which a pulse comes again through the same pin. Common practice, no source: nobody throws faster by hand, and few
/// discharge units recharge faster.
const BETWEEN_PULSES: Seconds = Seconds(1.0);

/// The conductors of all runs and of all extension leads that cross each joint, pin by pin. Where a current is more than a pin bears, pins are
/// paralleled. The plugs are as few as the largest connector sold allows, all with the same number of ways.
pub(super) fn load_joints(layout: &Layout, catalogue: &Catalogue, wiring: &Wiring) -> Vec<JointLoad> {
    let mut joints = vec![JointLoad::default(); layout.joints.len()];
    let sold: Vec<&Part> = connectors(catalogue);
    let rating = sold.iter().filter_map(|part| part.measured(Attr::Current)).min().map(|rating| Current(rating.to_f64()));
    let mut cross = |joint: JointId, purpose: Use, heats: Current, carried: Carried| {
        if let Some(load) = joints.get_mut(joint.index()) {
            *load.conductors.entry(purpose).or_default() += 1;
            let parallel = rating.and_then(|rating| pins(heats, rating, SHARING)).unwrap_or(1);
            load.pins.extend(std::iter::repeat_n(Pin { plug: 0, number: 0, purpose, carried }, parallel as usize));
        }
    };
    for (index, run) in (0..).zip(&wiring.runs) {
        let heats = heating(catalogue, wiring, run.subject, run.scheme);
        for &joint in run.crosses.iter() {
            for core in 0..run.conductors {
                cross(joint, run.purpose, heats, Carried::Run { index, core });
            }
        }
    }
    for lead in wiring.leads.values() {
        for &joint in lead.crosses.iter() {
            for core in 0..lead.conductors {
                cross(joint, Use::Drive, Current::ZERO, Carried::Lead { drive: lead.drive, core });
            }
        }
    }
    let largest = sold.iter().filter_map(|part| ways_of(part)).max().unwrap_or(u32::MAX);
    for load in joints.iter_mut().filter(|load| !load.pins.is_empty()) {
        let used = u32::try_from(load.pins.len()).unwrap_or(u32::MAX);
        let ways = layout.rules.spare_ways.value.on(used);
        load.plugs = ways.div_ceil(largest);
        load.ways = ways.div_ceil(load.plugs.max(1));
        // What carries power comes first, so that it sits at the same end of every plug.
        load.pins.sort_by_key(|pin| (order(pin.purpose), pin.carried));
        // Every plug gets its share, and with it its share of the free ways.
        let each = used.div_ceil(load.plugs.max(1)).max(1);
        for (n, pin) in (0..).zip(&mut load.pins) {
            pin.plug = n / each + 1;
            pin.number = n % each + 1;
        }
    }
    joints
}

fn order(purpose: Use) -> usize {
    [Use::Power, Use::Return, Use::Link, Use::Drive, Use::Proving, Use::Light, Use::Frog]
        .iter()
        .position(|&other| other == purpose)
        .unwrap_or(usize::MAX)
}

/// The steady current that heats a pin as much as what its run carries: of a pulse, its r.m.s.
fn heating(catalogue: &Catalogue, wiring: &Wiring, subject: Subject, scheme: Option<SchemeId>) -> Current {
    let carries = wiring.sizing_of(subject, scheme).map(|sizing| sizing.carries).unwrap_or_default();
    match scheme.map(|scheme| catalogue.scheme(scheme).draw) {
        Some(Draw::Pulse { duration, .. }) => Pulse::rectangular(carries, duration).rms(BETWEEN_PULSES).unwrap_or(carries),
        _ => carries,
    }
}

/// The connectors that the rule for joints can get.
fn connectors(catalogue: &Catalogue) -> Vec<&Part> {
    let rule = catalogue.rules.iter().find(|rule| {
        rule.per == Per::Joint
            && catalogue.kind(rule.kind).role == Role::Connector
            && rule.asks.contains(&(Attr::Ways, Asked::Measure(Measure::Ways)))
    });
    let parts = rule.into_iter().flat_map(|rule| catalogue.parts_of(rule.kind));
    parts
        .filter(|(id, part)| (part.stock > 0 || catalogue.offers_of(*id).next().is_some()) && ways_of(part).is_some())
        .map(|(_, part)| part)
        .collect()
}

fn ways_of(part: &Part) -> Option<u32> {
    u32::try_from(part.measured(Attr::Ways)?.value()).ok().filter(|ways| *ways > 0)
}
