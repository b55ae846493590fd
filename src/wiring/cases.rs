//! Which drives of a scheme may move together: the cases for which its circuit is solved.

use std::collections::BTreeMap;

use super::circuit::{Circuit, runs_of};
use super::net::Pins;
use super::run::Use;
use crate::id::{BoardId, ControllerId, DriveId, LeverId, SchemeId};
use crate::layout::AtOnce;
use crate::quantity::{Current, Length};
use crate::scheme::Draw;

/// Who moves.
pub(super) enum Case {
    /// These, the others at rest.
    Moving(Vec<DriveId>),
    /// All twitch together.
    SwitchOn,
}

/// Where the drives of a case get their current from; of those of other schemes, by which they move.
type Places = Vec<Result<(BoardId, Option<ControllerId>), Option<SchemeId>>>;

impl Circuit<'_> {
    /// The sets of drives that may move together: by lever or by route, and all of them at switch-on where they twitch. A discharge unit
    /// throws one lever after another, whatever the rules say of the rest.
    pub(super) fn cases(&self) -> Vec<Case> {
        let thrown = |levers: &[LeverId]| -> Vec<DriveId> {
            levers.iter().flat_map(|&lever| &self.layout.lever(lever).drives).copied().collect()
        };
        let at_once = if self.electrics.stored { AtOnce::Levers(1) } else { self.layout.rules.at_once.value };
        let cases: Vec<Vec<DriveId>> = match at_once {
            // A lever that is on no route is thrown by itself.
            AtOnce::Routes => {
                let routes = self.layout.routes.iter().map(|route| thrown(&route.levers));
                routes.chain((0..self.layout.levers.len()).map(|lever| thrown(&[LeverId::at(lever)]))).collect()
            }
            AtOnce::Levers(n) if n > 1 => {
                // With several levers at once the worst is not known before all are solved; those that leave the least when thrown by themselves
                // stand for it.
                let thickest = self.sold.iter().map(|(&per, wires)| (per, wires.len().saturating_sub(1))).collect();
                let pins = Pins::new();
                let net = self.net(&thickest, &pins);
                let grown = net.as_ref().map(|net| (net, net.grow()));
                let arrives = |drives: &[DriveId]| {
                    let (net, grown) = grown.as_ref()?;
                    Some(net.outcome(grown, &self.draws(&net.loads, &Case::Moving(drives.to_vec())))?.arrives.0)
                };
                let mut left: BTreeMap<Places, f64> = BTreeMap::new();
                let levers = (0..self.layout.levers.len()).map(|lever| thrown(&[LeverId::at(lever)]));
                let mut levers: Vec<(f64, Length, Vec<DriveId>)> = levers
                    .map(|drives| {
                        let alone = || arrives(&drives).unwrap_or(f64::INFINITY);
                        (*left.entry(self.places(&drives)).or_insert_with(alone), self.longest(&drives), drives)
                    })
                    .collect();
                levers.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
                levers.truncate(n as usize);
                vec![levers.into_iter().flat_map(|(.., drives)| drives).collect()]
            }
            AtOnce::Levers(_) => (0..self.layout.levers.len()).map(|lever| thrown(&[LeverId::at(lever)])).collect(),
        };
        // Of sets that move as many drives fed from the same places, the one whose own wires resist most is the worst.
        let mut worst: BTreeMap<Places, (Length, Vec<DriveId>)> = BTreeMap::new();
        for drives in cases.into_iter().filter(|drives| drives.iter().any(|&drive| self.is_mine(drive))) {
            let places = self.places(&drives);
            let longest = self.longest(&drives);
            if worst.get(&places).is_none_or(|(length, _)| *length < longest) {
                worst.insert(places, (longest, drives));
            }
        }
        let mut cases: Vec<Case> = worst.into_values().map(|(_, drives)| Case::Moving(drives)).collect();
        if self.draw.switch_on() > Current::ZERO && !matches!(self.draw, Draw::Pulse { .. }) {
            cases.push(Case::SwitchOn);
        }
        cases
    }

    fn places(&self, drives: &[DriveId]) -> Places {
        let place = |&drive: &DriveId| {
            self.is_mine(drive).then(|| (self.board_feeding(drive), self.controller_of(drive))).ok_or(self.assignment.of(drive))
        };
        let mut places: Places = drives.iter().map(place).collect();
        places.sort_unstable();
        places
    }

    /// The longest way of a drive's own current, out and home again: wires of one sort resist by their length.
    fn longest(&self, drives: &[DriveId]) -> Length {
        drives.iter().filter(|drive| self.is_mine(**drive)).map(|&drive| self.own_way(drive)).max().unwrap_or_default()
    }

    fn own_way(&self, drive: DriveId) -> Length {
        let runs = runs_of(&self.runs, self.fed_by(drive));
        let of = |purpose: Use| runs.iter().find(|run| run.purpose == purpose).map(|run| run.length);
        match of(Use::Drive) {
            // Without a shared return a second conductor of its own brings the current back.
            Some(going) => going + of(Use::Return).unwrap_or(going),
            None => runs.iter().map(|run| run.length).max().unwrap_or_default(),
        }
    }
}
