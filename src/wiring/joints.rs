//! What parts at each joint: conductors by use, the plugs that carry them, and which pin carries which.

use std::collections::BTreeSet;

use super::model::{Carried, JointLoad, Pin, Wiring};
use super::paths::Paths;
use super::run::Use;
use super::sizing::moves_motors;
use crate::catalogue::{Asked, Attr, Catalogue, Measure, Part, Per, Role};
use crate::id::{DriveId, JointId, SchemeId};
use crate::layout::Layout;
use crate::quantity::{Current, Quantity};
use crate::scheme::{Assignment, Connection};

/// The conductors of all runs and of all extension leads that cross each joint, pin by pin. Where a current, or what the
/// fuse before it lets through, is more than a pin bears, pins are paralleled. The plugs are as few as the largest connector sold allows, all with the same number of ways.
pub(super) fn load_joints(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    paths: &mut Paths,
    wiring: &Wiring,
) -> Vec<JointLoad> {
    let mut joints = vec![JointLoad::default(); layout.joints.len()];
    if joints.is_empty() {
        return joints;
    }
    wired_direct(layout, catalogue, assignment, paths, &mut joints);
    let sold: Vec<&Part> = connectors(catalogue, layout.rules.matings());
    let mut cross = |joint: JointId, purpose: Use, (pins, by_tail): (u32, bool), carried: Carried, moves: bool| {
        if let Some(load) = joints.get_mut(joint.index()) {
            *load.conductors.entry(purpose).or_default() += 1;
            load.moving += u32::from(moves);
            load.pins.extend(std::iter::repeat_n(Pin { plug: 0, number: 0, purpose, carried, by_tail }, pins as usize));
        }
    };
    for (index, run) in (0..).zip(&wiring.runs) {
        let by_tail = wiring.crossing.by_tail(run.purpose, wiring.area_of(run), run.pins);
        let moves = moves_motors(run) || run.purpose == Use::Link;
        for &joint in run.crosses.iter() {
            for core in 0..run.conductors {
                cross(joint, run.purpose, (run.pins, by_tail), Carried::Run { index, core }, moves);
            }
        }
    }
    for lead in wiring.leads.values() {
        for &joint in lead.crosses.iter() {
            for core in 0..lead.conductors {
                cross(joint, Use::Drive, (1, false), Carried::Lead { drive: lead.drive, core }, true);
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
        let (plugs, ways) = (load.plugs, load.ways);
        deal(&mut load.pins, used, plugs, ways);
    }
    joints
}

/// Deals pins to plugs. Every plug gets its share, and with it its share of the free ways. What belongs together stays in one plug if there is
/// room, the cores of a cable and the pins of one conductor: a plug left out must not overload the pins of another.
fn deal(pins: &mut [Pin], used: u32, plugs: u32, ways: u32) {
    let each = used.div_ceil(plugs.max(1)).max(1);
    let (mut plug, mut number) = (1, 0);
    for group in pins.chunk_by_mut(|one, other| together(one.carried) == together(other.carried)) {
        let more = u32::try_from(group.len()).unwrap_or(u32::MAX);
        if plug < plugs && (number >= each || number.saturating_add(more) > ways) {
            (plug, number) = (plug + 1, 0);
        }
        for pin in group {
            number += 1;
            (pin.plug, pin.number) = (plug, number);
        }
    }
    // Where that leaves too many for the last plug, each takes its share whatever it is.
    if number > ways {
        for (n, pin) in (0..).zip(pins) {
            (pin.plug, pin.number) = (n / each + 1, n % each + 1);
        }
    }
}

/// What a pin's conductor is a part of: its run, or the lead of a drive.
fn together(carried: Carried) -> (Option<u32>, Option<DriveId>) {
    match carried {
        Carried::Run { index, .. } => (Some(index), None),
        Carried::Lead { drive, .. } => (None, Some(drive)),
    }
}

/// Counts what would cross if every drive's own conductors ran to its lever, and each family's shared return once beside them.
fn wired_direct(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, paths: &mut Paths, joints: &mut [JointLoad]) {
    let mut returns: BTreeSet<(JointId, SchemeId)> = BTreeSet::new();
    for drive in layout.drive_ids() {
        let Some(scheme) = assignment.of(drive) else { continue };
        let (own, shared) = match catalogue.scheme(scheme).connection {
            Connection::Direct { conductors, shared } => (conductors.saturating_sub(shared), shared),
            Connection::Local { conductors, .. } => (conductors, 0),
            Connection::None => continue,
        };
        let lever = layout.lever(layout.drive(drive).lever).spot;
        let Some(path) = paths.between(lever, layout.drive(drive).spot) else { continue };
        for &joint in path.crosses.iter() {
            let first = shared > 0 && returns.insert((joint, catalogue.family(scheme)));
            if let Some(load) = joints.get_mut(joint.index()) {
                load.direct += own + if first { shared } else { 0 };
            }
        }
    }
}

fn order(purpose: Use) -> usize {
    [Use::Power, Use::Return, Use::Link, Use::Reading, Use::Drive, Use::Proving, Use::Light, Use::Frog]
        .iter()
        .position(|&other| other == purpose)
        .unwrap_or(usize::MAX)
}

/// What a pin is rated for, the weakest of all connectors that the rule for joints can get; `None` where the catalogue does not say.
pub(super) fn pin_rating(catalogue: &Catalogue, matings: u32) -> Option<Current> {
    let stated = connectors(catalogue, matings).into_iter().filter_map(|part| part.measured(Attr::Current));
    stated.min().map(|rating| Current(rating.to_f64()))
}

/// The thickest wire that a pin takes of any connector that the rule for joints can get; `None` where the catalogue does not say. What is
/// thicker ends in a strip beside the plug.
pub fn pin_area(catalogue: &Catalogue, matings: u32) -> Option<Quantity> {
    connectors(catalogue, matings).into_iter().filter_map(|part| part.measured(Attr::Area)).min()
}

/// The connectors that the rule for joints can get; where it asks for a life, only those that live through so many matings.
fn connectors(catalogue: &Catalogue, matings: u32) -> Vec<&Part> {
    let rule = catalogue.rules.iter().find(|rule| {
        rule.per == Per::Joint
            && catalogue.kind(rule.kind).role == Role::Connector
            && rule.asks.contains(&(Attr::Ways, Asked::Measure(Measure::Ways)))
    });
    let lives = |part: &Part| {
        let asked = rule.is_some_and(|rule| rule.asks.contains(&(Attr::Life, Asked::Measure(Measure::Matings))));
        !asked || part.measured(Attr::Life).is_some_and(|life| life >= Quantity::count(matings))
    };
    let parts = rule.into_iter().flat_map(|rule| catalogue.to_be_had(rule.kind));
    parts.filter(|(_, part)| ways_of(part).is_some() && lives(part)).map(|(_, part)| part).collect()
}

fn ways_of(part: &Part) -> Option<u32> {
    u32::try_from(part.measured(Attr::Ways)?.value()).ok().filter(|ways| *ways > 0)
}
