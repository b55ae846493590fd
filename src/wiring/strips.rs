//! Terminal strips: which wire is under which screw, and which ways are bridged.

use std::collections::BTreeMap;

use super::colour::Colour;
use super::ends::{Clamp, End, Port, Stop};
use super::model::Wiring;
use super::run::{Run, Use};
use crate::catalogue::Rates;
use crate::id::SchemeId;

/// A row of screws in which wires meet: on a board, or where power comes in and one terminal feeds several wires.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strip {
    /// The strip, or the terminal beside which it stands.
    pub at: End,
    /// The family of schemes it serves; `None` for lights, and at the sockets and fuses of a feed.
    pub serves: Option<SchemeId>,
    /// Its ways, in order: the number of the first is 1.
    pub ways: Vec<Way>,
}

/// A way of a strip, with one wire under its screw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// The run that ends there, by its place among the runs, and its core; `None` for what comes from the terminal that the strip stands beside.
    pub wire: Option<(usize, u32)>,
    /// Where the other end of that piece is.
    pub to: Stop,
    /// Its colour.
    pub colour: Colour,
    /// Whether it is bridged to the way before it.
    pub is_bridged: bool,
}

/// What is joined to what at a strip: wires of one pole, or one core of a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Node {
    Plus,
    Minus,
    Other(u32),
    Core(u32),
}

impl Node {
    fn of(run: &Run, core: u32) -> Self {
        match (run.purpose, run.first) {
            (Use::Link, _) => Self::Core(core),
            (Use::Return, _) | (Use::Power, 1) => Self::Minus,
            (Use::Power, 0) | (Use::Light, _) => Self::Plus,
            (_, n) => Self::Other(n),
        }
    }
}

/// The strip at which an end of a run is one of several: that of a board, or that beside a terminal where power or commands come in.
fn strip_at(end: End) -> Option<End> {
    match end {
        End::Strip(..)
        | End::Socket(_)
        | End::Fuse(_)
        | End::Branch(..)
        | End::Controller(_)
        | End::Encoder(_, Port::Link | Port::Common)
        | End::Store(Clamp::Plus | Clamp::Minus) => Some(end),
        _ => None,
    }
}

impl Strip {
    /// Bridges between ways side by side.
    pub fn bridges(&self) -> usize {
        self.ways.iter().filter(|way| way.is_bridged).count()
    }

    /// The numbers of the ways, from 1, at which a run ends.
    pub fn ways_of(&self, run: usize) -> impl Iterator<Item = usize> {
        (1..).zip(&self.ways).filter(move |(_, way)| way.wire.is_some_and(|(of, _)| of == run)).map(|(number, _)| number)
    }
}

impl Wiring {
    /// All strips. A terminal where power comes in has one if more than one wire goes on from there; its first way is joined to the terminal.
    pub fn strips(&self, rates: &Rates) -> Vec<Strip> {
        let mut strips: BTreeMap<End, Vec<(Node, Way)>> = BTreeMap::new();
        for (index, run) in self.runs.iter().enumerate() {
            let (Some(first), Some(last)) = (run.sections.first(), run.sections.last()) else { continue };
            for (end, to) in [(run.from.end, first.to), (run.to.end, last.from)] {
                let Some(strip) = strip_at(end) else { continue };
                for (core, colour) in (0..).zip(run.colours()) {
                    let way = Way { wire: Some((index, core)), to, colour, is_bridged: false };
                    strips.entry(strip).or_default().push((Node::of(run, core), way));
                }
                // Behind the fuse of a feed hang those of its branches.
                if let End::Branch(source, ..) = end {
                    let colour = super::colour::colour(Use::Power, 0);
                    let fuse = Way { wire: None, to: Stop::At(end), colour, is_bridged: false };
                    let ways = strips.entry(End::Fuse(source)).or_default();
                    if !ways.iter().any(|(_, way)| *way == fuse) {
                        ways.push((Node::Plus, fuse));
                    }
                }
            }
        }
        let kept = strips.into_iter().filter_map(|(at, ways)| strip(self, at, ways, takes(rates, at)));
        kept.collect()
    }
}

/// How many wires of one sort the thing itself takes.
fn takes(rates: &Rates, at: End) -> usize {
    if matches!(at, End::Controller(_) | End::Encoder(_, Port::Common)) { rates.wires_per_terminal as usize } else { 1 }
}

/// A strip with its ways in order; none beside a terminal that feeds one wire of each sort.
fn strip(wiring: &Wiring, at: End, mut ways: Vec<(Node, Way)>, takes: usize) -> Option<Strip> {
    if !matches!(at, End::Strip(..)) {
        let mut nodes: Vec<(Node, Colour)> = ways.iter().map(|(node, way)| (*node, way.colour)).collect();
        nodes.sort_unstable();
        nodes.dedup_by_key(|(node, _)| *node);
        let most = nodes.iter().map(|(node, _)| ways.iter().filter(|(of, _)| of == node).count()).max();
        if most.is_none_or(|most| most <= takes) {
            return None;
        }
        let from =
            nodes.into_iter().map(|(node, colour)| (node, Way { wire: None, to: Stop::At(at), colour, is_bridged: false }));
        ways.splice(0..0, from);
    }
    // What comes in is first.
    let comes = |way: &Way| way.wire.and_then(|(run, _)| wiring.runs.get(run)).is_none_or(|run| run.to.end == at);
    ways.sort_by_key(|(node, way)| (*node, !comes(way), way.wire));
    let mut before = None;
    for (node, way) in &mut ways {
        way.is_bridged = before == Some(*node);
        before = Some(*node);
    }
    let run = ways.iter().find_map(|(_, way)| wiring.runs.get(way.wire?.0));
    let serves = match at {
        End::Strip(_, serves) => serves,
        End::Store(_) | End::Encoder(..) | End::Controller(_) => run.and_then(|run| run.scheme),
        _ => None,
    };
    Some(Strip { at, serves, ways: ways.into_iter().map(|(_, way)| way).collect() })
}
