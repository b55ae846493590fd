//! Lists made from the runs: wire by size and colour, labels by board, and which piece becomes which section.

use std::collections::{BTreeMap, BTreeSet};

use super::colour::Colour;
use super::ends::{End, Stop};
use super::model::{Run, Section, Use, Wiring};
use crate::id::BoardId;
use crate::power::{Branch, Demand};
use crate::quantity::{Area, Current, Length, Quantity};
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
pub struct Labels<'a> {
    wiring: &'a Wiring,
    given: BTreeSet<SectionId>,
}

impl<'a> Labels<'a> {
    /// No section has its piece yet.
    pub fn new(wiring: &'a Wiring) -> Self {
        Self { wiring, given: BTreeSet::new() }
    }

    /// The next section of the subject that takes a piece of that length: of a cable, or of wire of that cross-section. `None` where the piece is
    /// no wire.
    pub fn next(&mut self, subject: Subject, length: Length, is_cable: bool, area: Option<Quantity>) -> Option<SectionId> {
        let before = self.wiring.runs.partition_point(|run| run.subject < subject);
        let mine = self.wiring.runs.iter().enumerate().skip(before).take_while(|(_, run)| run.subject == subject);
        let fits = |run: &Run| {
            let size = self.wiring.area_of(run).map(Area::quantity);
            (run.purpose == Use::Link) == is_cable && (is_cable || size.is_none() || size == area)
        };
        let mut pieces = mine.filter(|(_, run)| fits(run)).flat_map(|(at, run)| {
            let sections = run.sections.iter().enumerate().filter(|(_, section)| section.length == length);
            sections.map(move |(section, _)| SectionId { run: at, section })
        });
        let piece = pieces.find(|piece| !self.given.contains(piece))?;
        self.given.insert(piece);
        Some(piece)
    }
}

impl Wiring {
    /// Lets the wires of each branch begin behind its own fuse, which hangs on the fuse of its section.
    pub fn begin_behind(&mut self, branches: &[Branch], demands: &[Demand]) {
        for branch in branches {
            let Some(demand) = demands.get(branch.feed.index()) else { continue };
            let source = demand.source(branch.section as usize);
            for (number, index) in self.dealt(branch, End::Fuse(source)) {
                let Some(run) = self.runs.get_mut(index) else { continue };
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

    /// The runs that begin behind the fuses of a branch, with the number of the fuse. Where there are several fuses, levers in turn are parted into
    /// as many chains, one after the other; other wires each go to the fuse with the least on it.
    fn dealt(&self, branch: &Branch, main: End) -> Vec<(u32, usize)> {
        let begins = |run: &Run| run.scheme == branch.scheme && run.from.end == main;
        let heads: Vec<(usize, &Run)> = self.runs.iter().enumerate().filter(|(_, run)| begins(run)).collect();
        if branch.count < 2 {
            return heads.into_iter().map(|(index, _)| (0, index)).collect();
        }
        let mut on_fuse = vec![Current::ZERO; branch.count as usize];
        let mut dealt = Vec::new();
        for (index, head) in heads {
            let chain: Vec<&Run> = match head.to.end {
                End::Lever(..) => self
                    .runs
                    .iter()
                    .skip(index)
                    .enumerate()
                    .take_while(|(n, run)| *n == 0 || !run.from.end.is_source())
                    .map(|(_, run)| run)
                    .take_while(|run| {
                        matches!(run.to.end, End::Lever(..)) && run.first == head.first && run.subject == head.subject
                    })
                    .collect(),
                _ => Vec::new(),
            };
            if chain.len() < on_fuse.len() {
                let Some((least, load)) = on_fuse.iter_mut().enumerate().min_by(|a, b| a.1.0.total_cmp(&b.1.0)) else { continue };
                *load += head.carries;
                dealt.push((u32::try_from(least + 1).unwrap_or(u32::MAX), index));
                continue;
            }
            for number in 0..branch.count {
                let first = chain.len() * number as usize / branch.count as usize;
                dealt.push((number + 1, index + first));
            }
        }
        dealt
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
