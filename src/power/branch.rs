//! Branches of a feed: wires thinner than the feed's fuse protects, behind fuses of their own.

use std::collections::BTreeMap;

use super::fuse::{carrying, ratings};
use super::model::{Branch, Demand, Load, Section};
use crate::catalogue::{Catalogue, Per, Role};
use crate::id::SchemeId;
use crate::layout::Layout;
use crate::quantity::Current;
use crate::scheme::Assignment;
use crate::takeoff::Subject;
use crate::wiring::{Shown, Sizing, Wiring, shown};

/// The most branches of one sort: what would take more is told as unprotected.
const MOST: u32 = 64;

/// The branches of all feeds, section by section. Wires behind a discharge unit are none: it gives no more than its charge. Those of a frog
/// belong to the track. Where no fuse of the series carries a section, all its wires want fuses of their own.
pub fn branches(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    demands: &[Demand],
    wiring: &Wiring,
) -> Vec<Branch> {
    let mut branches = Vec::new();
    for demand in demands {
        for (n, section) in (0_u32..).zip(&demand.sections) {
            let mut thin: BTreeMap<Option<SchemeId>, Current> = BTreeMap::new();
            for sizing in behind(catalogue, demand, wiring).filter(|sizing| section.leaves_bare(sizing.rating)) {
                let least = thin.entry(sizing.scheme).or_insert(sizing.rating);
                *least = Current(least.0.min(sizing.rating.0));
            }
            let split = thin.into_iter().filter_map(|(scheme, bears)| {
                let hung = hung(layout, catalogue, assignment, section, scheme);
                let (fuse, count) = hung.fuses(bears)?;
                Some(Branch { feed: demand.id, section: n, scheme, bears, load: hung.most, fuse, count })
            });
            branches.extend(split);
        }
    }
    branches
}

/// What hangs on a section through the wires of one sort.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hung {
    /// The most that it draws.
    most: Current,
    /// What of it flows all the time.
    steady: Current,
}

impl Hung {
    /// The fuses of a branch for it whose thinnest wire bears so much, and how many of them; `None` where nothing hangs there, or none carry it.
    pub fn fuses(self, bears: Current) -> Option<(Current, u32)> {
        if self.most <= Current::ZERO {
            return None;
        }
        let fuse = ratings().take_while(|rating| *rating <= bears).last()?;
        let carried = |count: u32| {
            let each = f64::from(count);
            carrying(self.most / each, self.steady / each).is_some_and(|rating| rating <= bears)
        };
        Some((fuse, (1..=MOST).find(|&count| carried(count))?))
    }
}

/// What hangs on a section through the wires of a family of schemes, or of the lights.
pub fn hung(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    section: &Section,
    scheme: Option<SchemeId>,
) -> Hung {
    let mine: Vec<&Load> =
        section.loads.iter().filter(|load| hangs_on(layout, catalogue, assignment, load.subject, scheme)).collect();
    let most = mine.iter().map(|load| load.start_up.max(load.continuous + load.moving)).sum::<Current>();
    Hung { most: Current(most.0.min(section.drawn.most().0)), steady: mine.iter().map(|load| load.continuous).sum() }
}

/// The sizes of wire that hang on a feed, behind its fuse; the minus that its supplies have in common is no branch.
pub(super) fn behind<'a>(
    catalogue: &'a Catalogue,
    demand: &'a Demand,
    wiring: &'a Wiring,
) -> impl Iterator<Item = &'a Sizing> + use<'a> {
    wiring.sizings.iter().filter(move |sizing| {
        let fed = catalogue.fed_from(sizing.scheme).filter(|_| !catalogue.is_stored(sizing.scheme));
        !matches!(sizing.per, Per::Frog | Per::Supply) && fed.is_some_and(|(voltage, waveform)| demand.is_of(voltage, waveform))
    })
}

/// Whether the catalogue has a fuse for branches; without one their wires are not protected.
pub(crate) fn fuses_branches(catalogue: &Catalogue) -> bool {
    catalogue.rules.iter().any(|rule| rule.per == Per::Branch && catalogue.kind(rule.kind).role == Role::Fuse)
}

/// Whether a load is fed through the wires of a family of schemes; with none, through those of the lights.
pub(super) fn hangs_on(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    subject: Subject,
    family: Option<SchemeId>,
) -> bool {
    match subject {
        Subject::Drive(drive) => family.is_some() && assignment.family_of(catalogue, drive) == family,
        Subject::Controller(id) => {
            family.is_some() && assignment.controllers.get(id.index()).map(|controller| controller.scheme) == family
        }
        Subject::Signal(_) => family.is_none(),
        // Lamps across the poles of a lever draw through its wires, others through those of the lights or of the encoder.
        Subject::Lever(id) => match shown(layout, catalogue, assignment, id) {
            Some((by, Shown::Poles | Shown::Reversed)) => family == Some(by),
            Some((_, Shown::Latch | Shown::Contact)) => family.is_none(),
            Some((_, Shown::Encoder)) | None => false,
        },
        _ => false,
    }
}
