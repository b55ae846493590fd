//! The wires from lever to lever by which levers on a panel are fed in turn.

use std::collections::BTreeMap;

use super::ends::End;
use super::model::Wiring;
use super::run::{Run, Use};
use crate::id::{LeverId, SchemeId};
use crate::takeoff::Subject;

impl Wiring {
    /// The runs that bring a pole of a family's power to its levers on a panel, plus first: each after the one from which it goes on.
    pub(super) fn in_turn(&self, family: SchemeId, pole: u32) -> Vec<&Run> {
        let is_of = |run: &&Run| run.scheme == Some(family) && run.purpose == Use::Power && run.first == pole;
        self.runs_of(Subject::Layout).iter().filter(is_of).filter(|run| run.feeds_levers()).collect()
    }
}

/// What is found at each lever on the way along such runs: behind each run what `step` makes of it and of what was found where it begins, which
/// is nothing at the source.
pub(super) fn along<T: Copy>(in_turn: &[&Run], mut step: impl FnMut(Option<T>, &Run) -> T) -> BTreeMap<LeverId, T> {
    let mut found: BTreeMap<LeverId, T> = BTreeMap::new();
    let lever = |end: End| if let End::Lever(lever, ..) = end { Some(lever) } else { None };
    for run in in_turn {
        let near = lever(run.from.end).and_then(|before| found.get(&before).copied());
        let here = step(near, run);
        found.extend(lever(run.to.end).map(|lever| (lever, here)));
    }
    found
}
