//! The network of a scheme's circuit, which remembers what each conductor and each load is.

use std::collections::BTreeMap;

use super::model::{Run, Use};
use crate::catalogue::Per;
use crate::power::feed::{Draws, Feed, Node, Solution};
use crate::quantity::{Current, LineResistance, Resistance, Voltage};
use crate::takeoff::Subject;

/// What a solution says: the lowest voltage and where, the most that flows in each sort, and what each sort loses on the way to the worst.
pub(super) struct Outcome {
    pub(super) worst: Subject,
    pub(super) arrives: Voltage,
    pub(super) carried: BTreeMap<Per, Current>,
    /// The most that flows in a conductor of each use of each subject.
    pub(super) flows: BTreeMap<(Subject, Use), Current>,
    pub(super) lost: BTreeMap<Per, f64>,
}

/// Going out from the supply, or coming back to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    /// Out.
    Out,
    /// Back.
    Back,
}

/// A feed with the sort of each of its conductors and the subject of each of its loads.
pub(super) struct Net {
    feed: Feed,
    sorts: Vec<(Per, Resistance)>,
    /// The run that each conductor is of; none for the lead of a supply.
    runs: Vec<Option<(Subject, Use)>>,
    loads: Vec<Subject>,
    lines: BTreeMap<Per, LineResistance>,
    /// One core of the lead of a supply.
    lead: Resistance,
    sockets: BTreeMap<(u32, Side), Node>,
}

impl Net {
    pub(super) fn new(fed: Voltage, lines: BTreeMap<Per, LineResistance>, lead: Resistance) -> Self {
        Self {
            feed: Feed::new(fed),
            sorts: Vec::new(),
            runs: Vec::new(),
            loads: Vec::new(),
            lines,
            lead,
            sockets: BTreeMap::new(),
        }
    }

    /// The socket of the supply of a section, at the end of its lead.
    pub(super) fn socket(&mut self, section: u32, side: Side) -> Node {
        if let Some(&known) = self.sockets.get(&(section, side)) {
            return known;
        }
        let root = if side == Side::Out { Feed::OUT } else { Feed::BACK };
        let node = if self.lead > Resistance::ZERO {
            self.sorts.push((Per::Supply, self.lead));
            self.runs.push(None);
            self.feed.extend(root, self.lead)
        } else {
            root
        };
        self.sockets.insert((section, side), node);
        node
    }

    /// A conductor from a node nearer the supply, of the wire of its sort. Out and back are alike: the feed knows which way current flows.
    pub(super) fn wire(&mut self, per: Per, near: Node, run: &Run) -> Node {
        let resistance = self.lines.get(&per).copied().unwrap_or_default() * run.length;
        self.sorts.push((per, resistance));
        self.runs.push(Some((run.subject, run.purpose)));
        self.feed.extend(near, resistance)
    }

    pub(super) fn load(&mut self, out: Node, back: Node, draws: Draws, subject: Subject) {
        self.feed.load(out, back, draws);
        self.loads.push(subject);
    }

    pub(super) fn outcome(self) -> Option<Outcome> {
        let &first = self.loads.first()?;
        let mut carried: BTreeMap<Per, Current> = BTreeMap::new();
        let Ok(solution) = self.feed.solve() else {
            // A collapse: nothing arrives; every sort shares the blame, so the thickening goes on with the first that can.
            let lost = self.sorts.iter().map(|&(per, ..)| (per, 1.0)).collect();
            return Some(Outcome { worst: first, arrives: Voltage::ZERO, carried, flows: BTreeMap::new(), lost });
        };
        let mut flows: BTreeMap<(Subject, Use), Current> = BTreeMap::new();
        for (run, current) in self.runs.iter().zip(&solution.conductors) {
            if let Some(run) = *run {
                let most = flows.entry(run).or_default();
                *most = most.max(Current(current.0.abs()));
            }
        }
        for (&(per, _), current) in self.sorts.iter().zip(&solution.conductors) {
            let most = carried.entry(per).or_default();
            *most = most.max(Current(current.0.abs()));
        }
        let (index, arrives) = solution.worst()?;
        let &worst = self.loads.get(index)?;
        Some(Outcome { worst, arrives, carried, flows, lost: self.lost(&solution) })
    }

    /// The power that the conductors of each sort lose: where thickening helps most.
    fn lost(&self, solution: &Solution) -> BTreeMap<Per, f64> {
        let mut lost: BTreeMap<Per, f64> = BTreeMap::new();
        for (&(per, resistance), current) in self.sorts.iter().zip(&solution.conductors) {
            *lost.entry(per).or_default() += current.0 * current.0 * resistance.0;
        }
        lost
    }
}
