//! Lists made from the runs: wire by size and colour, labels by board, and which piece becomes which run.

use std::collections::{BTreeMap, BTreeSet};

use super::colour::Colour;
use super::model::{Use, Wiring};
use crate::id::BoardId;
use crate::quantity::{Area, Length, Quantity};
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

/// Gives each piece of wire that is cut the label of the run it becomes, every run once.
#[derive(Debug)]
pub struct Labels<'a> {
    wiring: &'a Wiring,
    given: BTreeSet<usize>,
}

impl<'a> Labels<'a> {
    /// No run has its piece yet.
    pub fn new(wiring: &'a Wiring) -> Self {
        Self { wiring, given: BTreeSet::new() }
    }

    /// The place among the runs of the next one of the subject that takes a piece of that length: of a cable, or of wire of that
    /// cross-section. `None` where the piece is no wire.
    pub fn next(&mut self, subject: Subject, length: Length, is_cable: bool, area: Option<Quantity>) -> Option<usize> {
        let runs = self.wiring.runs.iter().enumerate();
        let before = self.wiring.runs.partition_point(|run| run.subject < subject);
        let mut mine = runs.skip(before).take_while(|(_, run)| run.subject == subject);
        let (index, _) = mine.find(|(index, run)| {
            let size = self.wiring.area_of(run.subject, run.scheme).map(Area::quantity);
            run.length == length
                && (run.purpose == Use::Link) == is_cable
                && (is_cable || size.is_none() || size == area)
                && !self.given.contains(index)
        })?;
        self.given.insert(index);
        Some(index)
    }
}

impl Wiring {
    /// How much of each colour of each wire there is to lay: cables apart, thinnest first.
    pub fn by_colour(&self) -> Vec<Hue> {
        let mut hues: BTreeMap<(Option<Quantity>, Colour), (u32, Length)> = BTreeMap::new();
        for run in self.runs.iter().filter(|run| run.purpose != Use::Link) {
            let area = self.area_of(run.subject, run.scheme).map(Area::quantity);
            for colour in run.colours() {
                let (pieces, length) = hues.entry((area, colour)).or_default();
                *pieces += 1;
                *length += run.length;
            }
        }
        hues.into_iter().map(|((area, colour), (pieces, length))| Hue { area, colour, pieces, length }).collect()
    }

    /// The labels that belong on each board, each as often as a run ends there, board by board.
    pub fn labels(&self) -> BTreeMap<BoardId, Vec<&str>> {
        let mut labels: BTreeMap<BoardId, Vec<&str>> = BTreeMap::new();
        for run in &self.runs {
            for end in [run.from, run.to] {
                labels.entry(end.spot.board).or_default().push(&run.label);
            }
        }
        labels
    }
}
