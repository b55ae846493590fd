//! What stands before a wire: the most that may flow through it, and what it meets on its way, before anything opens.

use super::demand::feed_of;
use super::model::{Branch, Demand};
use super::pulse::heats;
use crate::catalogue::Catalogue;
use crate::id::SchemeId;
use crate::quantity::Current;
use crate::wiring::{End, Run, Source, Strip, Use, Wiring};

/// The fuses of a plan, as far as one asks which of them stands before a wire.
#[derive(Debug, Clone, Copy)]
pub struct Before<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// What each feed draws.
    pub demands: &'a [Demand],
    /// Wires with fuses of their own.
    pub branches: &'a [Branch],
}

impl Before<'_> {
    /// The most that a run, and what it meets, must bear for as long as it lasts: what the fuse before it lets through. Behind a discharge unit, which
    /// gives no more than its charge, what its pulses heat like. `None` where neither stands before it: for the link, which brings signals, for a
    /// frog, which belongs to the track, and where a feed has no fuse.
    pub fn run(self, run: &Run) -> Option<Current> {
        if matches!(run.purpose, Use::Link | Use::Frog) {
            return None;
        }
        // What comes home ends at the socket: before it stands the fuse of what went out.
        if !matches!(run.from.end, End::Socket(_))
            && let Some(fuse) = self.source(run.from.end)
        {
            return Some(fuse);
        }
        if let Some(family) = run.scheme.filter(|_| self.catalogue.is_stored(run.scheme)) {
            return Some(heats(self.catalogue.scheme(family).draw, run.carries));
        }
        let demand = feed_of(self.catalogue, self.demands, run.scheme)?;
        let section = demand.section_behind(run.subject);
        self.branch(demand, section, run.scheme).or_else(|| demand.sections.get(section)?.fuse)
    }

    /// The most that the screws and bridges of a strip must bear.
    pub fn strip(self, wiring: &Wiring, strip: &Strip) -> Option<Current> {
        let at = self.source(strip.at);
        let wires = strip.ways.iter().filter_map(|way| wiring.runs.get(way.wire?.0));
        at.or_else(|| wires.filter_map(|run| self.run(run)).reduce(Current::max))
    }

    /// The fuse at an end where a feed comes in.
    fn source(self, end: End) -> Option<Current> {
        let fed_at = |source: Source| {
            let sections =
                self.demands.iter().flat_map(|demand| (0..demand.sections.len()).map(move |section| (demand, section)));
            sections.into_iter().find(|(demand, section)| demand.source(*section) == source)
        };
        match end {
            End::Socket(source) | End::Fuse(source) => {
                let (demand, section) = fed_at(source)?;
                demand.sections.get(section)?.fuse
            }
            End::Branch(source, scheme, _) => {
                let (demand, section) = fed_at(source)?;
                self.branch(demand, section, scheme)
            }
            _ => None,
        }
    }

    /// The fuse of a branch.
    fn branch(self, demand: &Demand, section: usize, scheme: Option<SchemeId>) -> Option<Current> {
        self.branches.iter().find(|branch| branch.is_of(demand.id, section, scheme)).map(|branch| branch.fuse)
    }
}
