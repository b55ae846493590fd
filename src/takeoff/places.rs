//! Lists boards and joints: what ends on a board's strips and what its wires are labelled with, what parts at a joint.

use std::collections::{BTreeMap, BTreeSet};

use super::facts::{Facts, Screws, Subject, Under};
use super::model::{Guard, Site};
use super::subjects::{Lister, least_bearing};
use crate::catalogue::{Condition, Measure, Per};
use crate::id::{BoardId, JointId, SchemeId};
use crate::layout::BoardRole;
use crate::quantity::{Current, Length, Quantity};
use crate::wiring::{Carried, End, JointLoad, pin_area};

impl Lister<'_> {
    pub(super) fn boards(&mut self) {
        for (index, _) in self.layout.boards.iter().enumerate().filter(|(_, board)| board.role == BoardRole::Baseboard) {
            let id = BoardId::at(index);
            let under = Under::Several(self.schemes_at(id));
            let mut facts = Facts::new(Subject::Board(id), under, Site::Board(id));
            let controllers = &self.assignment.controllers;
            facts.strips = self.strips(|end| match end {
                End::Strip(board, _) => board == id,
                End::Controller(at) => controllers.get(at.index()).is_some_and(|controller| controller.spot.board == id),
                _ => false,
            });
            self.wire_ends(id, &mut facts);
            self.list(Per::Board, facts);
        }
    }

    /// The strips at ends of such a sort, by what they serve.
    pub(super) fn strips(&self, is_wanted: impl Fn(End) -> bool) -> BTreeMap<Option<SchemeId>, Screws> {
        let mut screws: BTreeMap<Option<SchemeId>, Screws> = BTreeMap::new();
        for strip in self.strips.iter().filter(|strip| is_wanted(strip.at)) {
            let counted = screws.entry(strip.serves).or_default();
            counted.ways += count(strip.ways.len());
            counted.bridges += count(strip.bridges());
            counted.current = counted.current.max(Some(self.strip_rating(self.before.strip(self.wiring, strip))));
        }
        screws
    }

    /// What strips are to be rated for that must bear a current: the least rating to be had that bears it, so that strips of one sort serve all that
    /// they can; the current itself where none does.
    pub(super) fn strip_rating(&self, borne: Option<Current>) -> Quantity {
        let borne = borne.unwrap_or_default();
        least_bearing(&self.strip_ratings, borne).unwrap_or(borne).quantity()
    }

    /// How many ends of wire are to be labelled on a board.
    pub(super) fn wire_ends(&self, board: BoardId, facts: &mut Facts) {
        if let Some(pieces) = self.pieces.get(&board) {
            facts.measures.insert(Measure::WireEnds, Quantity::count(count(pieces * 2)));
        }
    }

    /// Schemes whose drives stand on a board, and families whose trunk passes through it.
    fn schemes_at(&self, board: BoardId) -> Vec<SchemeId> {
        let standing = self.layout.drive_ids().filter(|&drive| self.layout.drive(drive).spot.board == board);
        let mut schemes: BTreeSet<SchemeId> = standing.filter_map(|drive| self.assignment.of(drive)).collect();
        schemes.extend(self.runs.get(&Subject::Board(board)).into_iter().flatten().filter_map(|(_, run)| run.scheme));
        schemes.into_iter().collect()
    }

    pub(super) fn joints(&mut self) {
        let matings = self.layout.rules.matings();
        let takes = pin_area(self.catalogue, matings);
        let wiring = self.wiring;
        for (index, load) in wiring.joints.iter().enumerate().filter(|(_, load)| load.total() > 0) {
            let id = JointId::at(index);
            let (schemes, pins) = self.crossing(id, load);
            let mut facts = Facts::new(Subject::Joint(id), Under::Several(schemes), Site::Joint(id));
            let (lead, tails) = (self.layout.joint(id).lead, load.tails());
            let ended: BTreeSet<Carried> = load.pins.iter().filter(|pin| pin.by_tail).map(|pin| pin.carried).collect();
            let bridged = tails.saturating_sub(count(ended.len()));
            let run = |carried: &Carried| match carried {
                Carried::Run { index, .. } => wiring.runs.get(*index as usize),
                Carried::Lead { .. } => None,
            };
            let borne = ended.iter().filter_map(run).filter_map(|run| self.before.run(run)).reduce(Current::max);
            let measured = [
                (Measure::Conductors, Some(Quantity::count(load.total()))),
                (Measure::Plugs, Some(Quantity::count(load.plugs))),
                (Measure::Ways, Some(Quantity::count(load.ways))),
                (Measure::Matings, Some(Quantity::count(matings))),
                (Measure::PinArea, takes),
                (Measure::Tails, (tails > 0).then(|| Quantity::count(tails))),
                (Measure::StripBridges, (bridged > 0).then(|| Quantity::count(bridged))),
                (Measure::StripCurrent, (tails > 0).then(|| self.strip_rating(borne))),
                (Measure::TailLength, (tails > 0).then(|| (self.catalogue.rates.end_tail * 2).quantity())),
                (Measure::LeadLength, (lead > Length::ZERO).then(|| lead.quantity())),
            ];
            facts.measures.extend(measured.into_iter().filter_map(|(measure, value)| Some((measure, value?))));
            if lead > Length::ZERO {
                facts.holds.push(Condition::FlyingLead);
            }
            for (group, (guard, times)) in (0..).zip(pins) {
                self.list(Per::JointPin, Facts { subject: Subject::Pins(id, group), times, guard, ..facts.clone() });
            }
            self.list(Per::Joint, facts);
        }
    }

    /// The schemes whose conductors cross a joint, and its pins in use by the choice they are there for.
    fn crossing(&self, joint: JointId, load: &JointLoad) -> (Vec<SchemeId>, BTreeMap<Guard, u32>) {
        let mut schemes: BTreeSet<SchemeId> = BTreeSet::new();
        let mut pins: BTreeMap<Guard, u32> = BTreeMap::new();
        for pin in &load.pins {
            let (of_drive, family) = match pin.carried {
                Carried::Lead { drive, .. } => (Some(drive), self.assignment.of(drive)),
                Carried::Run { index, .. } => {
                    let Some(run) = self.wiring.runs.get(index as usize) else { continue };
                    let drive = match run.subject {
                        Subject::Drive(drive) => Some(drive),
                        Subject::Lamp(lever, _) => self.layout.lever(lever).drives.first().copied(),
                        _ => None,
                    };
                    (drive, run.scheme)
                }
            };
            schemes.extend(family);
            let guard = match (of_drive.and_then(|drive| Some((drive, self.assignment.of(drive)?))), family) {
                (Some((drive, scheme)), _) => Guard::Chosen(drive, scheme),
                (None, None) => Guard::Always,
                (None, Some(family)) => Guard::Open(Site::Joint(joint), family),
            };
            *pins.entry(guard).or_default() += 1;
        }
        (schemes.into_iter().collect(), pins)
    }
}

fn count(things: usize) -> u32 {
    u32::try_from(things).unwrap_or(u32::MAX)
}
