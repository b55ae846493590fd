//! What a drive's current meets on its way out and home again: wires, and the plugs where they part.

use std::collections::BTreeMap;

use super::in_turn::along;
use super::model::Wiring;
use super::run::{Run, Use};
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
    /// The stretch of such runs together, each as often as it is passed.
    pub(super) fn of(leg: &[(&Run, u32)]) -> Self {
        leg.iter().fold(Self::default(), |stretch, (run, times)| stretch.with(run, *times))
    }

    /// With a run that is passed so often.
    pub(super) fn with(mut self, run: &Run, times: u32) -> Self {
        self.length += run.length * i64::from(times);
        self.joints += u32::try_from(run.crosses.len()).unwrap_or(u32::MAX).saturating_mul(times);
        self
    }

    /// What it resists of such a wire, where each joint takes so much.
    pub(super) fn resists(self, line: LineResistance, crossing: Resistance) -> Resistance {
        line * self.length + crossing * f64::from(self.joints)
    }
}

/// The legs of the round trip of one drive beyond what brings power to its lever, each run as often as it is passed.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Legs<'a> {
    /// Those it shares with others of its boards: the trunk from board to board.
    pub(super) shared: Vec<(&'a Run, u32)>,
    /// Its own.
    pub(super) own: Vec<(&'a Run, u32)>,
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
    /// The legs of a drive that is wired direct under a family of schemes; none for one that is not.
    pub(super) fn legs(&self, layout: &Layout, family: SchemeId, drive: DriveId) -> Option<Legs<'_>> {
        let mine = |run: &&Run| run.scheme == Some(family);
        let of_drive = |purpose: Use| self.runs_of(Subject::Drive(drive)).iter().filter(mine).find(|run| run.purpose == purpose);
        let going = of_drive(Use::Drive)?;
        // Without a shared return a second conductor of its own brings it back.
        let home = of_drive(Use::Return).unwrap_or(going);
        let lever = Subject::Lever(layout.drive(drive).lever);
        let poles = self.runs_of(lever).iter().filter(mine);
        let own = poles.chain([going, home]).map(|run| (run, 1)).collect();
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
        Some(Legs { shared, own })
    }

    /// What one conductor of a run resists from end to end, of the wire chosen for it and with the plugs on its way.
    pub fn resistance(&self, run: &Run) -> Resistance {
        let sizing = self.sizing_of(run);
        let line = sizing.map(|sizing| sizing.line).unwrap_or_default();
        self.crossing.run(run, line, sizing.map(|sizing| sizing.area), run.pins)
    }

    /// What the round trips of a family's drives resist, of those that are wired direct.
    pub fn round_trips(&self, layout: &Layout, family: SchemeId) -> BTreeMap<DriveId, RoundTrip> {
        let feeds =
            along(&self.in_turn(family, 0), |near: Option<Resistance>, run| near.unwrap_or_default() + self.resistance(run));
        let resists = |leg: &[(&Run, u32)]| leg.iter().map(|(run, times)| self.resistance(run) * f64::from(*times)).sum();
        let trips = layout.drive_ids().filter_map(|drive| {
            let Legs { shared, own } = self.legs(layout, family, drive)?;
            let feed = feeds.get(&layout.drive(drive).lever).copied().unwrap_or_default();
            let shared: Resistance = resists(&shared);
            Some((drive, RoundTrip { shared: feed + shared, own: resists(&own) }))
        });
        trips.collect()
    }
}
