//! What flows in runs that move nothing: of lights, of contacts, of frogs, at the panel.

use std::collections::BTreeMap;

use super::ends::End;
use super::model::{Run, Use};
use super::sizing::{moves_motors, trip_current};
use crate::catalogue::Catalogue;
use crate::id::{BoardId, DriveId, SchemeId};
use crate::layout::{Layout, Lever};
use crate::quantity::Current;
use crate::scheme::Assignment;
use crate::takeoff::Subject;

/// Writes into each such run the most that flows in it. A trunk carries what every board behind it takes.
pub(super) fn small_currents(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, runs: &mut [Run]) {
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
    for run in runs.iter().filter(|run| run.purpose == Use::Return && matches!(run.subject, Subject::Lamp(..))) {
        add(run.scheme, Use::Return, run.to.spot.board, lamps);
    }
    for run in runs.iter_mut().filter(|run| !moves_motors(run)) {
        run.carries = match (run.purpose, run.subject) {
            (Use::Link, _) => Current::ZERO,
            (Use::Frog, _) => trip_current(catalogue).unwrap_or_default(),
            (Use::Proving, _) => rates.lamp_current,
            (_, Subject::Layout) => at_panel(layout, catalogue, assignment, run),
            (purpose, Subject::Board(board)) => behind.get(&(run.scheme, purpose, board)).copied().unwrap_or_default(),
            (_, Subject::Lamp(..)) => lamps,
            (_, Subject::Signal(device)) => rates.light_current * f64::from(layout.device(device).lit.max(1)),
            _ => rates.light_current,
        };
    }
}

/// A conductor at the panel: what the encoder or discharge unit takes, what a lever's motors or coils do, what all lights do.
fn at_panel(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, run: &Run) -> Current {
    let Some(family) = run.scheme else {
        let lit: u32 = layout.devices.iter().filter(|device| device.drives.is_empty()).map(|device| device.lit).sum();
        return catalogue.rates.light_current * f64::from(lit);
    };
    let scheme = catalogue.scheme(family);
    match run.to.end {
        End::Levers => {
            let mine = |drive: &&DriveId| assignment.of(**drive).is_some_and(|scheme| catalogue.family(scheme) == family);
            let driven = |lever: &Lever| scheme.draw.moving() * lever.drives.iter().filter(mine).map(|_| 1.0).sum::<f64>();
            let most = layout.levers.iter().map(driven).fold(Current::ZERO, Current::max);
            // What rests, rests with all.
            let all: Vec<DriveId> = layout.drive_ids().collect();
            most.max(scheme.draw.rest() * all.iter().filter(mine).map(|_| 1.0).sum::<f64>())
        }
        _ => scheme.electrics.map(|electrics| electrics.panel).unwrap_or_default(),
    }
}
