//! The network of a scheme's circuit, with all that resists on the way, which remembers what each conductor and each load is.

use std::collections::BTreeMap;

use super::crossing::Crossing;
use super::inlet::Inlet;
use super::run::{Run, Use};
use crate::catalogue::Per;
use crate::id::{BoardId, ControllerId, DriveId};
use crate::power::conductor::Wire;
use crate::power::feed::{Draws, Feed, FeedError, Grown, Node};
use crate::quantity::{Current, LineResistance, Resistance, Voltage};
use crate::takeoff::Subject;

/// What a solution says: the lowest voltage and where, and what flows.
pub(super) struct Outcome {
    pub(super) worst: Subject,
    pub(super) arrives: Voltage,
    /// By conductor; none where the feed collapses.
    pub(super) currents: Option<Vec<Current>>,
}

/// What a load of a network is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Loaded {
    /// What else hangs on a section of the feed, by its place.
    Beside(usize),
    /// A motor.
    Drive(DriveId),
    /// A controller with its motors.
    Controller(ControllerId),
    /// The encoders on a board.
    Encoders(BoardId),
}

impl Loaded {
    fn subject(self) -> Option<Subject> {
        match self {
            Self::Beside(_) | Self::Encoders(_) => None,
            Self::Drive(id) => Some(Subject::Drive(id)),
            Self::Controller(id) => Some(Subject::Controller(id)),
        }
    }
}

/// Going out from the supply, or coming back to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// Out.
    Out,
    /// Back.
    Back,
}

/// What the network is built of.
pub(super) struct Build<'a> {
    /// What is fed in.
    pub(super) fed: Voltage,
    /// The wire of each sort.
    pub(super) wires: BTreeMap<Per, Wire>,
    /// What plugs at joints resist.
    pub(super) crossing: &'a Crossing,
    /// The pins of each conductor, by subject and use; one where it is not named.
    pub(super) pins: &'a Pins,
    /// The sections of the feed.
    pub(super) inlets: Vec<Inlet>,
}

/// How many pins each conductor has at each joint.
pub(super) type Pins = BTreeMap<(Subject, Use), u32>;

/// A feed with the sort of each of its conductors and what each of its loads is: solved for one case after the other.
pub(super) struct Net<'a> {
    feed: Feed,
    build: Build<'a>,
    sorts: Vec<(Per, Resistance)>,
    /// The run that each conductor is of; none for the lead of a supply.
    runs: Vec<Option<(Subject, Use)>>,
    pub(super) loads: Vec<Loaded>,
    sockets: BTreeMap<usize, [Node; 2]>,
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
        if inlet.shared {
            self.load(fused, back, Loaded::Beside(index));
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
        let resistance = self.build.crossing.run(run, line, wire.map(|wire| wire.area), pins);
        self.sorts.push((per, resistance));
        self.runs.push(Some((run.subject, run.purpose)));
        self.feed.extend(near, resistance)
    }

    /// A load; what it draws is told when the network is solved.
    pub(super) fn load(&mut self, out: Node, back: Node, what: Loaded) {
        self.feed.load(out, back, Draws::Current(Current::ZERO));
        self.loads.push(what);
    }

    /// Makes it ready to be solved.
    pub(super) fn grow(&self) -> Result<Grown<'_>, FeedError> {
        self.feed.grow()
    }

    /// What comes of it when the loads draw so much; `None` where none of the circuit's own does.
    pub(super) fn outcome(&self, grown: &Result<Grown<'_>, FeedError>, draws: &[Draws]) -> Option<Outcome> {
        let drawing = || self.loads.iter().zip(draws).enumerate().filter(|(_, (_, draws))| draws.is_any());
        let first = drawing().find_map(|(_, (load, _))| load.subject())?;
        let Ok(solution) = grown.as_ref().map_err(|error| *error).and_then(|grown| grown.solve(draws)) else {
            return Some(Outcome { worst: first, arrives: Voltage::ZERO, currents: None });
        };
        let named = drawing().filter_map(|(at, (load, _))| Some((load.subject()?, *solution.voltages.get(at)?)));
        let (worst, arrives) = named.min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
        let currents = solution.conductors.into_iter().map(|current| Current(current.0.abs())).collect();
        Some(Outcome { worst, arrives, currents: Some(currents) })
    }

    /// By sort the most of these currents, and the conductor it flows in.
    pub(super) fn carried(&self, currents: &[Current]) -> BTreeMap<Per, (Current, usize)> {
        let mut carried: BTreeMap<Per, (Current, usize)> = BTreeMap::new();
        for (at, (&(per, _), &current)) in self.sorts.iter().zip(currents).enumerate() {
            let most = carried.entry(per).or_insert((current, at));
            if current > most.0 {
                *most = (current, at);
            }
        }
        carried
    }

    /// The most of these currents in a conductor of each use of each subject, where any flows.
    pub(super) fn flows(&self, currents: &[Current]) -> BTreeMap<(Subject, Use), Current> {
        let mut flows: BTreeMap<(Subject, Use), Current> = BTreeMap::new();
        for (run, &current) in self.runs.iter().zip(currents).filter(|(_, current)| **current > Current::ZERO) {
            if let Some(run) = *run {
                let most = flows.entry(run).or_default();
                *most = most.max(current);
            }
        }
        flows
    }

    /// The power that the conductors of each sort lose: where thickening helps most. Where the feed collapses every sort shares the blame.
    pub(super) fn lost(&self, outcome: &Outcome) -> BTreeMap<Per, f64> {
        let mut lost: BTreeMap<Per, f64> = BTreeMap::new();
        let Some(currents) = &outcome.currents else {
            return self.sorts.iter().map(|&(per, _)| (per, 1.0)).collect();
        };
        for (&(per, resistance), current) in self.sorts.iter().zip(currents) {
            *lost.entry(per).or_default() += current.0 * current.0 * resistance.0;
        }
        lost
    }
}
