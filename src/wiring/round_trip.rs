//! What a drive's current meets on its way out and home again: wires, and the plugs where they part.

use std::collections::BTreeMap;

use super::ends::End;
use super::model::{Run, Use, Wiring};
use crate::id::{DriveId, SchemeId};
use crate::layout::Layout;
use crate::quantity::{Length, LineResistance, Resistance};
use crate::takeoff::Subject;

/// A stretch of the way between the origin and one drive, out and back together.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Stretch {
    /// Its wire.
    pub(super) length: Length,
    /// The joints it crosses, each as often as it does.
    pub(super) joints: u32,
}

impl Stretch {
    fn add(&mut self, run: &Run, times: u32) {
        self.length += run.length * i64::from(times);
        self.joints += u32::try_from(run.crosses.len()).unwrap_or(u32::MAX).saturating_mul(times);
    }

    /// What it resists of such a wire, where each joint takes so much.
    pub(super) fn resists(self, line: LineResistance, crossing: Resistance) -> Resistance {
        line * self.length + crossing * f64::from(self.joints)
    }
}

/// The way between the origin and one drive, out and back.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Way<'a> {
    /// The runs it shares with all others, from the supply to the levers on a panel.
    pub(super) feed: Vec<&'a Run>,
    /// Those it shares with others of its boards: the trunk from board to board, each as often as it is passed.
    pub(super) shared: Vec<(&'a Run, u32)>,
    /// Its own.
    pub(super) own: Vec<(&'a Run, u32)>,
}

impl Way<'_> {
    pub(super) fn stretch(runs: &[(&Run, u32)]) -> Stretch {
        let mut stretch = Stretch::default();
        runs.iter().for_each(|(run, times)| stretch.add(run, *times));
        stretch
    }
}

/// The resistance of the way between the origin and one drive, out and back.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RoundTrip {
    /// What it shares with others: from the supply to the levers, and the trunk from board to board.
    pub shared: Resistance,
    /// Its own.
    pub own: Resistance,
}

impl Wiring {
    /// The way of a drive that is wired direct under a family of schemes; nothing for one that is not.
    pub(super) fn way(&self, layout: &Layout, scheme: SchemeId, drive: DriveId) -> Way<'_> {
        let mine = |run: &&Run| run.scheme == Some(scheme);
        let of_drive = |purpose: Use| self.runs_of(Subject::Drive(drive)).iter().filter(mine).find(|run| run.purpose == purpose);
        let Some(going) = of_drive(Use::Drive) else { return Way::default() };
        // Without a shared return a second conductor of its own brings it back.
        let home = of_drive(Use::Return).unwrap_or(going);
        let lever = Subject::Lever(layout.drive(drive).lever);
        let poles = self.runs_of(lever).iter().filter(mine);
        let own = poles.chain([going, home]).map(|run| (run, 1)).collect();
        let feed = self.chain_to(going);
        // With no panel a pair leads from board to board, else one return.
        let (purpose, along) = if layout.panel.is_none() { (Use::Power, 2) } else { (Use::Return, 1) };
        let mut shared = Vec::new();
        let mut board = layout.drive(drive).spot.board;
        // A trunk passes each board once.
        for _ in &layout.boards {
            let subject = Subject::Board(board);
            let hop = self.runs_of(subject).iter().filter(mine).find(|run| run.purpose == purpose);
            let Some(hop) = hop else { break };
            shared.push((hop, along));
            if hop.from.end.is_source() {
                break;
            }
            board = hop.from.spot.board;
        }
        Way { feed, shared, own }
    }

    /// The runs from the source to the lever on a panel where a run begins, from lever to lever, the last first.
    fn chain_to(&self, going: &Run) -> Vec<&Run> {
        let mine = |run: &&Run| run.scheme == going.scheme && run.purpose == Use::Power && run.first == 0;
        let lever = |end: End| if let End::Lever(lever, family, _) = end { Some((lever, family)) } else { None };
        let to: BTreeMap<_, &Run> =
            self.runs_of(Subject::Layout).iter().filter(mine).filter_map(|run| Some((lever(run.to.end)?, run))).collect();
        let before = |run: &&Run| to.get(&lever(run.from.end)?).copied();
        std::iter::successors(before(&going), before).take(to.len()).collect()
    }

    /// What one conductor of a run resists from end to end, of the wire chosen for it and with the plugs on its way.
    pub fn resistance(&self, run: &Run) -> Resistance {
        let sizing = self.sizing_of(run);
        let line = sizing.map(|sizing| sizing.line).unwrap_or_default();
        self.contacts.run(run, line, sizing.map(|sizing| sizing.area), run.pins)
    }

    /// The resistance of the way of a drive that is wired direct under a family of schemes; nothing for one that is not.
    pub fn round_trip(&self, layout: &Layout, scheme: SchemeId, drive: DriveId) -> RoundTrip {
        let Way { feed, shared, own } = self.way(layout, scheme, drive);
        let resists = |runs: &[(&Run, u32)]| runs.iter().map(|(run, times)| self.resistance(run) * f64::from(*times)).sum();
        let feed: Resistance = feed.into_iter().map(|run| self.resistance(run)).sum();
        let shared: Resistance = resists(&shared);
        RoundTrip { shared: feed + shared, own: resists(&own) }
    }
}
