//! Lists made from the runs: wire by size and colour, labels by board, and which piece becomes which section.

use std::collections::{BTreeMap, VecDeque};

use super::colour::Colour;
use super::ends::{End, Source, Stop};
use super::model::Wiring;
use super::run::{Run, Section, Use};
use crate::id::{BoardId, SchemeId};
use crate::power::{Branch, Demand, OnFuse};
use crate::quantity::{Area, Current, Length, Quantity, Share};
use crate::takeoff::Subject;

/// How much wire of one size and colour there is to lay.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hue {
    /// The cross-section; `None` where none was chosen.
    pub area: Option<Quantity>,
    /// The colour.
    pub colour: Colour,
    /// Pieces.
    pub pieces: u32,
    /// Their length together.
    pub length: Length,
}

/// A section of a run, by its place among the runs and among the sections of that run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SectionId {
    /// The run's place in [`Wiring::runs`].
    pub run: usize,
    /// The section's place in [`Run::sections`].
    pub section: usize,
}

/// Gives each piece of wire that is cut the section it becomes, every section once.
#[derive(Debug)]
pub struct Unlaid {
    /// Sections that have no piece yet, in their order, by what a piece for them must be.
    waiting: BTreeMap<(Subject, Length, Stuff), VecDeque<SectionId>>,
}

/// What a section is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Stuff {
    Cable,
    /// Wire of that cross-section; `None` where none was chosen, so that any serves.
    Wire(Option<Quantity>),
}

impl Unlaid {
    /// No section has its piece yet.
    pub fn new(wiring: &Wiring) -> Self {
        let mut waiting: BTreeMap<_, VecDeque<SectionId>> = BTreeMap::new();
        for (at, run) in wiring.runs.iter().enumerate() {
            let stuff = match run.purpose {
                Use::Link => Stuff::Cable,
                _ => Stuff::Wire(wiring.area_of(run).map(Area::quantity)),
            };
            for (section, piece) in run.sections.iter().enumerate() {
                waiting.entry((run.subject, piece.length, stuff)).or_default().push_back(SectionId { run: at, section });
            }
        }
        Self { waiting }
    }

    /// The next section of the subject that takes a piece of that length: of a cable, or of wire of that cross-section. `None` where the piece is
    /// no wire.
    pub fn take(&mut self, subject: Subject, length: Length, is_cable: bool, area: Option<Quantity>) -> Option<SectionId> {
        let stuffs = if is_cable { [Stuff::Cable; 2] } else { [area, None].map(Stuff::Wire) };
        let first = |stuff: &Stuff| self.waiting.get(&(subject, length, *stuff)).and_then(VecDeque::front).copied();
        let stuff = stuffs.into_iter().filter(|stuff| first(stuff).is_some()).min_by_key(first)?;
        self.waiting.get_mut(&(subject, length, stuff))?.pop_front()
    }
}

/// A wire behind a fuse of a branch.
#[derive(Debug, Clone, Copy)]
struct Dealt {
    /// The fuse, from 0.
    fuse: u32,
    /// The run that begins there, by its place.
    run: usize,
    /// What flows in it.
    carries: Current,
}

impl Wiring {
    /// Lets the wires of each branch begin behind its own fuse, which hangs on the fuse of its section.
    pub fn begin_behind(&mut self, branches: &[Branch], demands: &[Demand]) {
        for branch in branches {
            let Some(demand) = demands.get(branch.feed.index()) else { continue };
            let source = demand.source(branch.section as usize);
            for Dealt { fuse, run, .. } in self.dealt(source, branch.scheme, branch.count) {
                let Some(run) = self.runs.get_mut(run) else { continue };
                let number = if branch.count < 2 { 0 } else { fuse + 1 };
                let (before, own) = (Stop::At(run.from.end), End::Branch(source, branch.scheme, number));
                run.from.end = own;
                run.sections
                    .iter_mut()
                    .take(1)
                    .filter(|section| section.from == before)
                    .for_each(|section| section.from = Stop::At(own));
            }
        }
    }

    /// What of a family's wires, or of the lights', is on the fuse with the most, when those that begin at the fuse of a section are dealt among so many
    /// fuses of their own; `None` where some would have no wires.
    pub fn fullest(&self, source: Source, scheme: Option<SchemeId>, fuses: u32) -> Option<OnFuse> {
        let mut on_fuse = vec![(Current::ZERO, 0_u32); fuses as usize];
        for dealt in self.dealt(source, scheme, fuses) {
            let (load, wires) = on_fuse.get_mut(dealt.fuse as usize)?;
            *load += dealt.carries;
            *wires += 1;
        }
        let all: Current = on_fuse.iter().map(|(load, _)| *load).sum();
        let carries = on_fuse.iter().map(|(load, _)| *load).fold(Current::ZERO, Current::max);
        let part = Share(if all > Current::ZERO { carries / all } else { 1.0 });
        on_fuse.iter().all(|(_, wires)| *wires > 0).then_some(OnFuse { carries, part })
    }

    /// The runs that begin at the fuse of a section, dealt among so many fuses. Levers in turn are parted into as many chains, one after the other, where
    /// they are as many; other wires, those that carry most first, each go to the fuse with the least on it.
    fn dealt(&self, source: Source, scheme: Option<SchemeId>, fuses: u32) -> Vec<Dealt> {
        let begins = |run: &Run| run.scheme == scheme && run.from.end == End::Fuse(source);
        let mut whole: Vec<(usize, &Run)> = self.runs.iter().enumerate().filter(|(_, run)| begins(run)).collect();
        let mut on_fuse = vec![(Current::ZERO, 0_u32); fuses.max(1) as usize];
        let mut dealt = Vec::new();
        whole.retain(|&(index, head)| {
            let pieces = self.in_turn_from(index, head);
            if fuses < 2 || pieces < on_fuse.len() {
                return true;
            }
            for (fuse, (number, (load, wires))) in (0..fuses).zip(on_fuse.iter_mut().enumerate()) {
                let [first, next] = [number, number + 1].map(|number| pieces * number / fuses as usize);
                let mine = u32::try_from(next - first).unwrap_or(u32::MAX);
                let carries = head.carries * f64::from(mine) / f64::from(u32::try_from(pieces).unwrap_or(u32::MAX));
                (*load, *wires) = (*load + carries, *wires + 1);
                dealt.push(Dealt { fuse, run: index + first, carries });
            }
            false
        });
        whole.sort_by(|a, b| b.1.carries.0.total_cmp(&a.1.carries.0).then(a.0.cmp(&b.0)));
        for (index, head) in whole {
            let least = (0_u32..).zip(on_fuse.iter_mut()).min_by(|(_, a), (_, b)| a.0.0.total_cmp(&b.0.0).then(a.1.cmp(&b.1)));
            let Some((fuse, (load, wires))) = least else { continue };
            (*load, *wires) = (*load + head.carries, *wires + 1);
            dealt.push(Dealt { fuse, run: index, carries: head.carries });
        }
        dealt
    }

    /// How many pieces go on from lever to lever where a chain of them begins; none where a run is not the head of one.
    fn in_turn_from(&self, index: usize, head: &Run) -> usize {
        if !matches!(head.to.end, End::Lever(..)) {
            return 0;
        }
        let from_here = self.runs.iter().skip(index).enumerate();
        let one_after_the_other = from_here.take_while(|(n, run)| {
            (*n == 0 || !run.from.end.is_source())
                && matches!(run.to.end, End::Lever(..))
                && run.first == head.first
                && run.subject == head.subject
        });
        one_after_the_other.count()
    }

    /// All pieces with their runs, run by run.
    pub fn sections(&self) -> impl Iterator<Item = (&Run, &Section)> {
        self.runs.iter().flat_map(|run| run.sections.iter().map(move |section| (run, section)))
    }

    /// How much of each colour of each wire there is to lay: cables apart, thinnest first.
    pub fn by_colour(&self) -> Vec<Hue> {
        let mut hues: BTreeMap<(Option<Quantity>, Colour), (u32, Length)> = BTreeMap::new();
        for (run, section) in self.sections().filter(|(run, _)| run.purpose != Use::Link) {
            let area = self.area_of(run).map(Area::quantity);
            for colour in run.colours() {
                let (pieces, length) = hues.entry((area, colour)).or_default();
                *pieces += 1;
                *length += section.length;
            }
        }
        hues.into_iter().map(|((area, colour), (pieces, length))| Hue { area, colour, pieces, length }).collect()
    }

    /// The labels that belong on each board, one for each end of each piece that lies there, board by board.
    pub fn labels(&self) -> BTreeMap<BoardId, Vec<&str>> {
        let mut labels: BTreeMap<BoardId, Vec<&str>> = BTreeMap::new();
        for (run, section) in self.sections() {
            labels.entry(section.board).or_default().extend([run.label.as_str(); 2]);
        }
        labels
    }
}
