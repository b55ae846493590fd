//! What is joined to what: by the wires of the schedule, at strips, by short wires, and inside things as they stand.

use std::collections::{BTreeMap, BTreeSet};

use underboard::wiring::{End, LatchTag, Port, Run, Strip, Switch, Tap, Use};

use super::{Bench, Stand};

/// A point at which wires meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Point {
    /// A terminal.
    At(End),
    /// The ways of a strip that are bridged to the first of them.
    Way(End, usize),
    /// A terminal of a controller or encoder that several sorts of wire share: by sort, and by core or pole.
    Port(End, bool, u32),
}

/// Which points are joined, and by which wires of a common minus.
pub(super) struct Graph {
    edges: BTreeMap<Point, Vec<(Point, bool)>>,
}

impl Graph {
    fn join(&mut self, one: Point, other: Point, is_common_minus: bool) {
        self.edges.entry(one).or_default().push((other, is_common_minus));
        self.edges.entry(other).or_default().push((one, is_common_minus));
    }

    /// All points.
    pub(super) fn points(&self) -> impl Iterator<Item = &Point> {
        self.edges.keys()
    }

    /// All that is joined to a point.
    pub(super) fn from(&self, start: Point, over_common_minus: bool) -> BTreeSet<Point> {
        let mut seen = BTreeSet::from([start]);
        let mut next = vec![start];
        while let Some(at) = next.pop() {
            for &(other, is_common) in self.edges.get(&at).into_iter().flatten() {
                if (over_common_minus || !is_common) && seen.insert(other) {
                    next.push(other);
                }
            }
        }
        seen
    }

    pub(super) fn joined(&self, one: End, other: End) -> bool {
        self.from(Point::At(one), true).contains(&Point::At(other))
    }
}

impl Bench<'_> {
    /// Where core `core` of a run meets other wires at one of its ends.
    fn point(&self, index: usize, run: &Run, end: End, core: u32) -> Point {
        if let Some(strip) = self.strips.iter().find(|strip| strip.at == end) {
            let at = strip.ways.iter().position(|way| way.wire == Some((index, core))).expect("every wire at a strip has a way");
            return Point::Way(end, bridged(strip, at));
        }
        Self::plain(run, end, core)
    }

    fn plain(run: &Run, end: End, core: u32) -> Point {
        match end {
            End::Controller(_) | End::Encoder(_, Port::Link) if run.purpose == Use::Link => Point::Port(end, true, core),
            End::Controller(_) => Point::Port(end, false, run.first),
            _ => Point::At(end),
        }
    }

    /// All that is joined while things stand so.
    pub(super) fn graph(&self, stand: &Stand) -> Graph {
        let mut graph = Graph { edges: BTreeMap::new() };
        for (index, run) in self.wiring.runs.iter().enumerate() {
            let is_common = matches!((run.from.end, run.to.end), (End::Socket(_), End::Socket(_) | End::Store(_)));
            for core in 0..run.conductors {
                let ends = [run.from.end, run.to.end].map(|end| self.point(index, run, end, core));
                graph.join(ends[0], ends[1], is_common);
            }
        }
        for strip in self.strips {
            for (at, way) in strip.ways.iter().enumerate().filter(|(_, way)| way.wire.is_none()) {
                let here = Point::Way(strip.at, bridged(strip, at));
                let underboard::wiring::Stop::At(end) = way.to else { panic!("a terminal") };
                // The first way of each bridged group beside a thing is its own terminal; which one, its wires say.
                let wire = strip
                    .ways
                    .iter()
                    .enumerate()
                    .find(|(n, other)| other.wire.is_some() && bridged(strip, *n) == bridged(strip, at));
                let plain = match wire.and_then(|(_, way)| way.wire) {
                    Some((run, core)) if end == strip.at => Self::plain(&self.wiring.runs[run], end, core),
                    _ => Point::At(end),
                };
                graph.join(here, plain, false);
            }
        }
        for jumper in self.jumpers {
            let cores = if matches!(jumper.from, End::Encoder(_, Port::Link)) { 4 } else { 1 };
            for core in 0..cores {
                let point = |end: End| if cores > 1 { Point::Port(end, true, core) } else { Point::At(end) };
                graph.join(point(jumper.from), point(jumper.to), false);
            }
        }
        self.inside(&mut graph, stand);
        graph
    }

    /// What things join inside.
    fn inside(&self, graph: &mut Graph, stand: &Stand) {
        let ends: BTreeSet<End> = graph
            .points()
            .map(|point| match *point {
                Point::At(end) | Point::Way(end, _) | Point::Port(end, ..) => end,
            })
            .collect();
        let tap = |is_reversed: bool| if is_reversed { Tap::Reverse } else { Tap::Normal };
        for &end in &ends {
            let common = match end {
                End::Lever(id, family, Switch::Single(at)) if at == tap(stand.levers.contains(&id)) => {
                    End::Lever(id, family, Switch::Single(Tap::Common))
                }
                End::Lever(id, family, Switch::Pole(n, at)) if at == tap(stand.levers.contains(&id)) => {
                    End::Lever(id, family, Switch::Pole(n, Tap::Common))
                }
                End::Lever(id, family, Switch::Position(n)) if n == stand.position => End::Lever(id, family, Switch::Selector),
                End::Contact(id, n, at) if at == tap(stand.drives.contains(&id)) => End::Contact(id, n, Tap::Common),
                End::Latch(id, LatchTag::Contact(at)) if at == tap(stand.levers.contains(&id)) => {
                    End::Latch(id, LatchTag::Contact(Tap::Common))
                }
                // Minus of an encoder's feed is the common of its inputs and lamps.
                End::Encoder(n, Port::Minus) => End::Encoder(n, Port::Common),
                // A branch fuse hangs on the fuse of its feed, over its strip where that has one.
                End::Branch(source, ..) if !self.strips.iter().any(|strip| strip.at == End::Fuse(source)) => End::Fuse(source),
                _ => continue,
            };
            graph.join(Point::At(end), Point::At(common), false);
        }
    }
}

/// The first of the ways that are bridged with one.
fn bridged(strip: &Strip, at: usize) -> usize {
    (0..=at).rev().find(|&way| !strip.ways[way].is_bridged).expect("the first way is bridged to none")
}
