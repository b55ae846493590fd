//! The terminal strips screw by screw: which wire is under which, and which ways are bridged.

use std::collections::BTreeMap;

use super::colour::{Colour, colour, link_core};
use super::ends::{End, Stop};
use super::model::{Run, Use, Wiring};
use crate::id::{BoardId, SchemeId};

/// What the ways of a strip are joined for: all of one sort are bridged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Common {
    /// What goes out.
    Plus,
    /// What comes home: a return ends where minus does.
    Minus,
    /// One core of a link, from 0.
    Core(u32),
}

/// One conductor under a screw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screw {
    /// What it is bridged with.
    pub common: Common,
    /// The run's place in [`Wiring::runs`].
    pub run: usize,
    /// The core of that run, from 0.
    pub core: u32,
    /// Where its piece on this board ends that begins or ends here.
    pub other: Stop,
}

impl Wiring {
    /// The screws of each strip of a board: ways that are bridged stand together, what comes in stands first.
    pub fn screws(&self, board: BoardId) -> BTreeMap<Option<SchemeId>, Vec<Screw>> {
        let mut strips: BTreeMap<Option<SchemeId>, Vec<(Screw, bool)>> = BTreeMap::new();
        for (index, run) in self.runs.iter().enumerate() {
            let ends = [
                (run.to.end, true, run.sections.last().map(|section| section.from)),
                (run.from.end, false, run.sections.first().map(|section| section.to)),
            ];
            for (end, comes_in, other) in ends {
                let (End::Strip(on, serves), Some(other)) = (end, other) else { continue };
                if on != board {
                    continue;
                }
                let screws =
                    (0..run.conductors).map(|core| (Screw { common: common(run, core), run: index, core, other }, comes_in));
                strips.entry(serves).or_default().extend(screws);
            }
        }
        let ordered = strips.into_iter().map(|(serves, mut screws)| {
            screws.sort_by_key(|(screw, comes_in)| (screw.common, !comes_in, screw.run, screw.core));
            (serves, screws.into_iter().map(|(screw, _)| screw).collect())
        });
        ordered.collect()
    }

    /// The label and colour of a conductor of a run; those of a cable by the number of the core, as at the pins of a joint.
    pub fn core(&self, run: usize, core: u32) -> Option<(String, Colour)> {
        let run = self.runs.get(run)?;
        Some(match run.purpose {
            Use::Link => (format!("{} {}", run.label, run.core_name(core)), link_core(core, run.conductors).1),
            purpose => (run.label.clone(), colour(purpose, run.first.saturating_add(core))),
        })
    }
}

fn common(run: &Run, core: u32) -> Common {
    match run.purpose {
        Use::Link => Common::Core(core),
        Use::Return => Common::Minus,
        Use::Power if run.first.saturating_add(core) > 0 => Common::Minus,
        _ => Common::Plus,
    }
}
