//! The network of a scheme's circuit, with all that resists on the way, which remembers what each conductor and each load is.

use std::collections::BTreeMap;

use super::contacts::Contacts;
use super::ends::End;
use super::model::{Run, Use};
use crate::catalogue::Per;
use crate::power::conductor::Wire;
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

/// Where a section of a feed comes in.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Inlet {
    /// What the lead of its supply resists on the way out, with plug, fuse and holder.
    pub(super) out: Resistance,
    /// And on the way back.
    pub(super) back: Resistance,
    /// The fuses of a branch of it and their holders, all beside one another; nothing where the wires hang on the section's own.
    pub(super) branch: Resistance,
    /// What else of the section hangs right behind its fuse, or draws through it: encoders, lights, other schemes.
    pub(super) beside: Current,
}

/// What the network is built of.
pub(super) struct Build<'a> {
    /// What is fed in.
    pub(super) fed: Voltage,
    /// The wire of each sort.
    pub(super) wires: BTreeMap<Per, Wire>,
    /// What plugs resist.
    pub(super) contacts: &'a Contacts,
    /// The pins of each conductor, by subject and use; one where it is not named.
    pub(super) pins: &'a Pins,
    /// The sections of the feed.
    pub(super) inlets: Vec<Inlet>,
}

/// How many pins each conductor has at each joint.
pub(super) type Pins = BTreeMap<(Subject, Use), u32>;

/// A feed with the sort of each of its conductors and the subject of each of its loads.
pub(super) struct Net<'a> {
    feed: Feed,
    build: Build<'a>,
    sorts: Vec<(Per, Resistance)>,
    /// The run that each conductor is of; none for the lead of a supply.
    runs: Vec<Option<(Subject, Use)>>,
    /// What each load is; none for what only shares the way.
    loads: Vec<Option<Subject>>,
    sockets: BTreeMap<usize, [Node; 2]>,
    /// Where conductors that are shared end.
    laid: BTreeMap<(End, Side), Node>,
}

impl<'a> Net<'a> {
    pub(super) fn new(build: Build<'a>) -> Self {
        Self {
            feed: Feed::new(build.fed),
            build,
            sorts: Vec::new(),
            runs: Vec::new(),
            loads: Vec::new(),
            sockets: BTreeMap::new(),
            laid: BTreeMap::new(),
        }
    }

    /// The socket of the supply of a section by its number, behind its fuses, and where what it gave comes home.
    pub(super) fn socket(&mut self, section: u32, side: Side) -> Node {
        let index = section.saturating_sub(1) as usize;
        let [out, back] = self.sockets.get(&index).copied().unwrap_or_else(|| self.come_in(index));
        if side == Side::Out { out } else { back }
    }

    /// Lays the lead and the fuses of a section; what else hangs on it draws between them.
    fn come_in(&mut self, index: usize) -> [Node; 2] {
        let inlet = self.build.inlets.get(index).copied().unwrap_or_default();
        let fused = self.resistor(Per::Supply, Feed::OUT, inlet.out);
        let back = self.resistor(Per::Supply, Feed::BACK, inlet.back);
        if inlet.beside > Current::ZERO {
            self.feed.load(fused, back, Draws::Current(inlet.beside));
            self.loads.push(None);
        }
        let nodes = [self.resistor(Per::Branch, fused, inlet.branch), back];
        self.sockets.insert(index, nodes);
        nodes
    }

    /// What is no wire but resists.
    fn resistor(&mut self, per: Per, near: Node, resistance: Resistance) -> Node {
        if resistance <= Resistance::ZERO {
            return near;
        }
        self.sorts.push((per, resistance));
        self.runs.push(None);
        self.feed.extend(near, resistance)
    }

    /// A conductor from a node nearer the supply, of the wire of its sort. Out and back are alike: the feed knows which way current flows.
    pub(super) fn wire(&mut self, per: Per, near: Node, run: &Run) -> Node {
        let wire = self.build.wires.get(&per);
        let pins = self.build.pins.get(&(run.subject, run.purpose)).copied().unwrap_or(1);
        let line = wire.map_or(LineResistance::ZERO, |wire| wire.line);
        let resistance = self.build.contacts.run(run, line, wire.map(|wire| wire.area), pins);
        self.sorts.push((per, resistance));
        self.runs.push(Some((run.subject, run.purpose)));
        self.feed.extend(near, resistance)
    }

    /// A conductor that all which it feeds share; where it ends is known from then on.
    pub(super) fn shared(&mut self, per: Per, near: Node, run: &Run, side: Side) -> Node {
        let node = self.wire(per, near, run);
        self.laid.insert((run.to.end, side), node);
        node
    }

    /// Where a shared conductor ends, if it is laid.
    pub(super) fn known(&self, end: End, side: Side) -> Option<Node> {
        self.laid.get(&(end, side)).copied()
    }

    pub(super) fn load(&mut self, out: Node, back: Node, draws: Draws, subject: Subject) {
        self.feed.load(out, back, draws);
        self.loads.push(Some(subject));
    }

    pub(super) fn outcome(self) -> Option<Outcome> {
        let first = self.loads.iter().find_map(|load| *load)?;
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
        let named = self.loads.iter().zip(&solution.voltages).filter_map(|(load, &arrives)| Some(((*load)?, arrives)));
        let (worst, arrives) = named.min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
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
