//! What stands before a wire: the most that may flow through it, and what it meets on its way, before anything opens.

use super::model::{Branch, Demand};
use super::pulse::heats;
use crate::catalogue::Catalogue;
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
        let (voltage, waveform) = self.catalogue.fed_from(run.scheme)?;
        let demand = self.demands.iter().find(|demand| demand.is_of(voltage, waveform))?;
        let section = demand.section_behind(run.subject);
        let is_before =
            |branch: &&Branch| branch.feed == demand.id && branch.section as usize == section && branch.scheme == run.scheme;
        let own = self.branches.iter().find(is_before).map(|branch| branch.fuse);
        own.or_else(|| demand.sections.get(section)?.fuse)
    }

    /// The most that the screws and bridges of a strip must bear.
    pub fn strip(self, wiring: &Wiring, strip: &Strip) -> Option<Current> {
        let at = self.source(strip.at);
        let wires = strip.ways.iter().filter_map(|way| wiring.runs.get(way.wire?.0));
        at.or_else(|| wires.filter_map(|run| self.run(run)).reduce(Current::max))
    }

    /// The fuse at an end where a feed comes in.
    fn source(self, end: End) -> Option<Current> {
        let section = |source: Source| {
            let mut mine = self.demands.iter().flat_map(|demand| (0..).zip(&demand.sections).map(move |it| (demand, it)));
            mine.find(|(demand, (n, _))| demand.source(*n) == source)
        };
        match end {
            End::Socket(source) | End::Fuse(source) => section(source)?.1.1.fuse,
            End::Branch(source, scheme, _) => {
                let (demand, (n, _)) = section(source)?;
                let is_it =
                    |branch: &&Branch| branch.feed == demand.id && branch.section as usize == n && branch.scheme == scheme;
                self.branches.iter().find(is_it).map(|branch| branch.fuse)
            }
            _ => None,
        }
    }
}
