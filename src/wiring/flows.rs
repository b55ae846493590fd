//! What flows in runs that move nothing: of lights, of contacts, of frogs, at the panel.

use std::collections::BTreeMap;

use super::ends::End;
use super::plan::open_families;
use super::run::{Run, Use};
use super::sizing::{moves_motors, trip_current};
use crate::catalogue::Catalogue;
use crate::id::{BoardId, SchemeId};
use crate::layout::{Layout, Lever};
use crate::power::{Demand, Load, feed_of};
use crate::quantity::Current;
use crate::scheme::{Assignment, Connection};
use crate::takeoff::Subject;

/// Writes into each such run the most that flows in it. A trunk carries what every board behind it takes.
pub(super) fn small_currents(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    demands: &[Demand],
    runs: &mut [Run],
) {
    let rates = &catalogue.rates;
    let mut behind: BTreeMap<(Option<SchemeId>, Use, BoardId), Current> = BTreeMap::new();
    let before: BTreeMap<(Option<SchemeId>, Use, BoardId), BoardId> = runs
        .iter()
        .filter_map(|run| match run.subject {
            Subject::Board(board) if !run.from.end.is_source() => Some(((run.scheme, run.purpose, board), run.from.spot.board)),
            _ => None,
        })
        .collect();
    let mut add = |scheme: Option<SchemeId>, purpose: Use, board: BoardId, current: Current| {
        let mut at = board;
        // A trunk passes each board once.
        for _ in &layout.boards {
            let sum = behind.entry((scheme, purpose, at)).or_default();
            *sum += current;
            let Some(&next) = before.get(&(scheme, purpose, at)) else { break };
            at = next;
        }
    };
    for device in layout.devices.iter().filter(|device| device.lights > 0) {
        let current = rates.light_current * f64::from(device.lit.max(1));
        add(None, Use::Return, device.spot.value.board, current);
        if !device.drives.is_empty() || layout.panel.is_none() {
            add(None, Use::Power, device.spot.value.board, current);
        }
    }
    let lamps = rates.lamp_current * f64::from(rates.lamps_lit);
    let families = open_families(catalogue, assignment).into_iter();
    let at_levers: BTreeMap<SchemeId, Current> =
        families.map(|family| (family, at_levers(layout, catalogue, assignment, family))).collect();
    for run in runs.iter().filter(|run| run.purpose == Use::Return && matches!(run.subject, Subject::Lamp(..))) {
        add(run.scheme, Use::Return, run.to.spot.board, lamps);
    }
    for run in runs.iter_mut().filter(|run| !moves_motors(run)) {
        run.carries = match (run.purpose, run.subject) {
            (Use::Link, _) => Current::ZERO,
            (Use::Frog, _) => trip_current(catalogue).unwrap_or_default(),
            (Use::Proving | Use::Reading, _) => rates.lamp_current,
            (_, Subject::Layout) => at_panel(layout, catalogue, demands, &at_levers, run),
            (_, Subject::Lever(lever)) => thrown(layout, catalogue, assignment, run.scheme, layout.lever(lever)),
            (purpose, Subject::Board(board)) => behind.get(&(run.scheme, purpose, board)).copied().unwrap_or_default(),
            (_, Subject::Lamp(..)) => lamps,
            (_, Subject::Signal(device)) => rates.light_current * f64::from(layout.device(device).lit.max(1)),
            _ => rates.light_current,
        };
    }
}

/// A conductor at the panel: what the encoders or the discharge unit take, what the levers of a family do, what all lights do, and what the lamps take
/// that are lit on its way.
fn at_panel(
    layout: &Layout,
    catalogue: &Catalogue,
    demands: &[Demand],
    at_levers: &BTreeMap<SchemeId, Current>,
    run: &Run,
) -> Current {
    let lamps = |load: &Load| matches!(load.subject, Subject::Lever(_));
    let encoders = |load: &Load| matches!(load.subject, Subject::Panel) || load.subject == Subject::Board(layout.origin().board);
    let steady = |is_fed: &dyn Fn(&Load) -> bool| -> Current {
        let section = run.from.end.section().saturating_sub(1) as usize;
        let section = feed_of(catalogue, demands, run.scheme).and_then(|feed| feed.sections.get(section));
        let fed = section.into_iter().flat_map(|section| &section.loads).filter(|load| load.through == run.scheme);
        fed.filter(|load| is_fed(load)).map(|load| load.continuous).sum()
    };
    match (run.to.end, run.scheme) {
        (End::Lamp(..) | End::Latch(..), _) => steady(&lamps),
        (_, None) => {
            let lit: u32 = layout.devices.iter().filter(|device| device.drives.is_empty()).map(|device| device.lit).sum();
            catalogue.rates.light_current * f64::from(lit)
        }
        (End::Lever(..), Some(family)) => at_levers.get(&family).copied().unwrap_or_default() + steady(&lamps),
        (End::Encoder(..), Some(_)) => steady(&|load: &Load| encoders(load) || lamps(load)),
        (_, Some(family)) => catalogue.scheme(family).electrics.map(|electrics| electrics.panel).unwrap_or_default(),
    }
}

/// What comes to the levers of a family in any of the pieces from lever to lever: what the motors or coils of one take, and what rests, rests with
/// all.
fn at_levers(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, family: SchemeId) -> Current {
    let driven = layout.levers.iter().map(|lever| thrown(layout, catalogue, assignment, Some(family), lever));
    let mine = layout.drive_ids().filter(|&drive| assignment.family_of(catalogue, drive) == Some(family));
    driven.fold(Current::ZERO, Current::max).max(catalogue.scheme(family).draw.rest() * mine.map(|_| 1.0).sum::<f64>())
}

/// What a lever's drives of a family take together at the most, or the lights that it switches.
fn thrown(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, family: Option<SchemeId>, lever: &Lever) -> Current {
    let Some(family) = family else {
        let lit: u32 = lever.lights.iter().map(|&device| layout.device(device).lit.max(1)).sum();
        return catalogue.rates.light_current * f64::from(lit);
    };
    let scheme = catalogue.scheme(family);
    // The motors of controllers draw over their leads: what comes to the levers feeds the encoder beside them.
    if let Connection::Local { .. } = scheme.connection {
        return scheme.electrics.map(|electrics| electrics.panel).unwrap_or_default();
    }
    let draw = scheme.draw;
    let mine = lever.drives.iter().filter(|&&drive| assignment.family_of(catalogue, drive) == Some(family));
    draw.moving().max(draw.rest()) * mine.map(|_| 1.0).sum::<f64>()
}
