//! Voltages along a feed that serves several loads, its return conductors included.
//!
//! A [`Feed`] is a network of nodes and conductors between the two terminals of a supply. Outgoing and return conductors are
//! separate, so a shared return carries what it carries. Loads draw a constant current, or a constant power as converters do.
//!
//! The sum is exact for constant currents. Conductors form two trees that grow from the terminals, down which currents follow from
//! Kirchhoff's current law and voltages from Ohm's law, each in one pass. A conductor beyond the trees closes a loop; the currents of
//! the loops follow from Kirchhoff's voltage law by elimination in `loops`. Constant powers are found by repeated substitution.
//!
//! ```
//! use underboard::power::feed::{Draws, Feed};
//! use underboard::quantity::{Current, Power, Resistance, Share, Voltage};
//!
//! // From the supply one pair of conductors goes on to a board, and from there on to the next.
//! let mut feed = Feed::new(Voltage(12.0));
//! let (out_a, back_a) = (feed.extend(Feed::OUT, Resistance(0.2)), feed.extend(Feed::BACK, Resistance(0.2)));
//! let (out_b, back_b) = (feed.extend(out_a, Resistance(0.2)), feed.extend(back_a, Resistance(0.2)));
//! feed.load(out_a, back_a, Draws::Current(Current(0.1)));
//! let far = feed.load(out_b, back_b, Draws::converter(Power(4.0), Share(0.8)));
//! let solution = feed.solve()?;
//! let (worst, voltage) = solution.worst().expect("there are loads");
//! // By hand: V = 12 − 0.4 × 0.1 − 0.8 × 5 ÷ V.
//! assert!(worst == far && (voltage.0 - 11.615_637).abs() < 1e-6);
//! # Ok::<(), underboard::power::feed::FeedError>(())
//! ```

mod loops;
mod tree;

use self::loops::Loops;
use self::tree::Forest;
use crate::quantity::{Current, Power, Resistance, Share, Voltage};

/// A place where conductors meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node(pub usize);

/// What a load draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draws {
    /// The same current at any voltage.
    Current(Current),
    /// The same power at any voltage, so the more current the lower the voltage.
    Power(Power),
}

impl Draws {
    /// What a converter draws to give `output` with an efficiency; nothing is known of it (no number) at an efficiency of zero.
    pub fn converter(output: Power, efficiency: Share) -> Self {
        Self::Power(output / efficiency.0)
    }

    fn amount(self) -> f64 {
        match self {
            Self::Current(Current(amount)) | Self::Power(Power(amount)) => amount,
        }
    }

    /// Whether it is anything at all.
    pub fn is_any(self) -> bool {
        self.amount() > 0.0
    }

    /// The current at a voltage above zero.
    fn at(self, voltage: f64) -> f64 {
        match self {
            Self::Current(current) => current.0,
            Self::Power(power) => power.0 / voltage,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Conductor {
    from: Node,
    to: Node,
    ohms: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Load {
    out: Node,
    back: Node,
    draws: Draws,
}

/// A supply with its conductors and loads. For alternating current all values are r.m.s. and all loads resistive.
#[derive(Debug, Clone, PartialEq)]
pub struct Feed {
    voltage: Voltage,
    nodes: usize,
    conductors: Vec<Conductor>,
    loads: Vec<Load>,
}

/// Why a feed has no solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FeedError {
    /// A voltage, resistance or load is negative or no number.
    #[error("a voltage, a resistance or a load is negative or no number")]
    NotPhysical,
    /// A node is not connected to the supply.
    #[error("node {} is not connected to the supply", .0.0)]
    Unconnected(Node),
    /// Conductors without resistance join the two terminals.
    #[error("the supply is short-circuited")]
    Short,
    /// The loads ask for more than the conductors can bring: the voltage at this load (by its place) falls without end.
    #[error("the feed collapses at load {0}")]
    Collapse(usize),
}

/// Voltages and currents of a feed.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Potential of each node against the return terminal.
    pub nodes: Vec<Voltage>,
    /// Current in each conductor, in the order added; negative where it flows against the direction given.
    pub conductors: Vec<Current>,
    /// Voltage at each load, in the order added.
    pub voltages: Vec<Voltage>,
    /// Current of each load, in the order added.
    pub currents: Vec<Current>,
    /// What the supply gives.
    pub total: Current,
}

impl Solution {
    /// The load with the lowest voltage (the first of equals) and that voltage; `None` without loads.
    pub fn worst(&self) -> Option<(usize, Voltage)> {
        self.voltages.iter().copied().enumerate().min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0))
    }

    /// The largest current in any conductor.
    pub fn most(&self) -> Current {
        self.conductors.iter().fold(Current::ZERO, |most, current| most.max(Current(current.0.abs())))
    }
}

impl Feed {
    /// The terminal from which current goes out.
    pub const OUT: Node = Node(0);
    /// The terminal to which it returns.
    pub const BACK: Node = Node(1);

    /// Substitutions for constant powers end when no voltage moves by more than this part of the supply's.
    pub const TOLERANCE: f64 = 1e-10;
    /// So many substitutions without an end are a collapse. They settle as a power series, so slowly only where the loads come within
    /// 0.01 % of the largest power the conductors can bring.
    pub const ROUNDS: usize = 1000;

    /// A supply with two terminals and nothing connected.
    pub fn new(voltage: Voltage) -> Self {
        Self { voltage, nodes: 2, conductors: Vec::new(), loads: Vec::new() }
    }

    /// A new place where conductors can meet.
    pub fn node(&mut self) -> Node {
        self.nodes += 1;
        Node(self.nodes - 1)
    }

    /// Lays a conductor; its place in [`Solution::conductors`] is returned.
    pub fn conductor(&mut self, from: Node, to: Node, resistance: Resistance) -> usize {
        self.conductors.push(Conductor { from, to, ohms: resistance.0 });
        self.conductors.len() - 1
    }

    /// Lays a conductor to a new node.
    pub fn extend(&mut self, from: Node, resistance: Resistance) -> Node {
        let to = self.node();
        self.conductor(from, to, resistance);
        to
    }

    /// Connects a load that takes current at `out` and gives it back at `back`; its place in [`Solution::voltages`] is returned.
    pub fn load(&mut self, out: Node, back: Node, draws: Draws) -> usize {
        self.loads.push(Load { out, back, draws });
        self.loads.len() - 1
    }

    /// Voltages and currents under all loads.
    ///
    /// # Errors
    /// Those of [`Feed::grow`] and [`Grown::solve`].
    pub fn solve(&self) -> Result<Solution, FeedError> {
        let draws: Vec<Draws> = self.loads.iter().map(|load| load.draws).collect();
        self.grow()?.solve(&draws)
    }

    /// Grows the trees and factors the loops once, for loads that then draw now this and now that.
    ///
    /// # Errors
    /// What is not physical or not connected, a short circuit.
    pub fn grow(&self) -> Result<Grown<'_>, FeedError> {
        self.check()?;
        let forest = Forest::grow(self)?;
        let loops = Loops::new(self, &forest);
        let mut grown = Grown { feed: self, forest, loops, idle: Vec::new() };
        grown.idle = grown.across(&grown.carry(&vec![0.0; self.loads.len()])?.nodes);
        Ok(grown)
    }

    fn check(&self) -> Result<(), FeedError> {
        let amounts = self.conductors.iter().map(|c| c.ohms).chain(self.loads.iter().map(|load| load.draws.amount()));
        if !(self.voltage.0 > 0.0 && self.voltage.0.is_finite())
            || amounts.into_iter().any(|amount| !(amount >= 0.0 && amount.is_finite()))
        {
            return Err(FeedError::NotPhysical);
        }
        let ends =
            self.conductors.iter().flat_map(|c| [c.from, c.to]).chain(self.loads.iter().flat_map(|load| [load.out, load.back]));
        ends.into_iter().find(|node| node.0 >= self.nodes).map_or(Ok(()), |node| Err(FeedError::Unconnected(node)))
    }
}

/// A feed whose trees are grown.
pub struct Grown<'a> {
    feed: &'a Feed,
    forest: Forest,
    loops: Loops,
    /// The voltage across each load when nothing draws.
    idle: Vec<f64>,
}

impl Grown<'_> {
    /// Voltages and currents when the loads, in the order they were connected, draw so much; one that is left out draws nothing.
    ///
    /// # Errors
    /// What is not physical, or the collapse of the feed: a load at which nothing is left of the voltage, or powers for which the substitution
    /// finds no end.
    pub fn solve(&self, draws: &[Draws]) -> Result<Solution, FeedError> {
        if draws.iter().any(|draws| !(draws.amount() >= 0.0 && draws.amount().is_finite())) {
            return Err(FeedError::NotPhysical);
        }
        let mut draws = draws.to_vec();
        draws.resize(self.feed.loads.len(), Draws::Current(Current::ZERO));
        let mut voltages = self.idle.clone();
        let mut settled = draws.is_empty();
        for _ in 0..Feed::ROUNDS {
            standing(&draws, &voltages)?;
            let currents: Vec<f64> = draws.iter().zip(&voltages).map(|(draws, &volts)| draws.at(volts)).collect();
            let carried = self.carry(&currents)?;
            let next = self.across(&carried.nodes);
            if settled {
                standing(&draws, &next)?;
                return Ok(carried.solution(next, currents));
            }
            settled = next.iter().zip(&voltages).all(|(a, b)| (a - b).abs() <= Feed::TOLERANCE * self.feed.voltage.0);
            voltages = next;
        }
        Err(FeedError::Collapse(lowest(&voltages)))
    }

    /// Voltage across each load.
    fn across(&self, nodes: &[f64]) -> Vec<f64> {
        self.feed.loads.iter().map(|load| nodes[load.out.0] - nodes[load.back.0]).collect()
    }

    /// Potentials and currents when each load draws a given current.
    fn carry(&self, currents: &[f64]) -> Result<Carried, FeedError> {
        let feed = self.feed;
        let mut leaving = vec![0.0; feed.nodes];
        for (load, current) in feed.loads.iter().zip(currents) {
            leaving[load.out.0] += current;
            leaving[load.back.0] -= current;
        }
        if self.forest.chords.is_empty() {
            return Ok(self.forest.carry(feed, leaving, feed.voltage.0));
        }
        let open = self.forest.carry(feed, leaving.clone(), feed.voltage.0);
        let around = self.loops.currents(feed, &self.forest, &open.nodes)?;
        for (&place, current) in self.forest.chords.iter().zip(&around) {
            leaving[feed.conductors[place].from.0] += current;
            leaving[feed.conductors[place].to.0] -= current;
        }
        let mut carried = self.forest.carry(feed, leaving, feed.voltage.0);
        for (&place, &current) in self.forest.chords.iter().zip(&around) {
            carried.conductors[place] = current;
        }
        Ok(carried)
    }
}

/// That something is left of the voltage at each load that draws at all.
fn standing(draws: &[Draws], voltages: &[f64]) -> Result<(), FeedError> {
    let falls = |(draws, &volts): (&Draws, &f64)| draws.amount() > 0.0 && (volts <= 0.0 || volts.is_nan());
    if draws.iter().zip(voltages).any(falls) { Err(FeedError::Collapse(lowest(voltages))) } else { Ok(()) }
}

/// The place of the lowest voltage.
fn lowest(voltages: &[f64]) -> usize {
    voltages.iter().enumerate().min_by(|(_, a), (_, b)| a.total_cmp(b)).map_or(0, |(place, _)| place)
}

/// Potentials and currents as bare numbers, in volts and amperes.
struct Carried {
    nodes: Vec<f64>,
    conductors: Vec<f64>,
    total: f64,
}

impl Carried {
    fn solution(self, voltages: Vec<f64>, currents: Vec<f64>) -> Solution {
        let volts = |values: Vec<f64>| values.into_iter().map(Voltage).collect();
        let amperes = |values: Vec<f64>| values.into_iter().map(Current).collect();
        Solution {
            nodes: volts(self.nodes),
            conductors: amperes(self.conductors),
            voltages: volts(voltages),
            currents: amperes(currents),
            total: Current(self.total),
        }
    }
}

#[cfg(test)]
mod tests;
