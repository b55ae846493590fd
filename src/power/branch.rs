//! Branches of a feed: wires and contacts that the feed's fuse does not protect, behind fuses of their own.

use std::collections::BTreeMap;

use super::fuse::{carrying, ratings};
use super::model::{Branch, Demand, Load, Section};
use crate::catalogue::{Attr, Catalogue, Condition, Measure, Per, Role};
use crate::id::SchemeId;
use crate::quantity::{Current, Share};
use crate::scheme::{Action, Connection};
use crate::takeoff::Subject;
use crate::wiring::{End, LatchTag, Sizing, Switch, Wiring};

/// The most branches of one sort: what would take more is told as unprotected.
const MOST: u32 = 64;

/// The branches of all feeds, section by section. Wires behind a discharge unit are none: it gives no more than its charge. Those of a frog
/// belong to the track. Where no fuse of the series carries a section, all its wires want fuses of their own.
pub fn branches(catalogue: &Catalogue, demands: &[Demand], wiring: &Wiring) -> Vec<Branch> {
    let mut branches = Vec::new();
    for demand in demands {
        for (n, section) in (0_u32..).zip(&demand.sections) {
            let mut thin: BTreeMap<Option<SchemeId>, Current> = BTreeMap::new();
            for (scheme, rating) in behind(catalogue, demand, section, wiring).filter(|(_, rating)| section.leaves_bare(*rating))
            {
                let least = thin.entry(scheme).or_insert(rating);
                *least = Current(least.0.min(rating.0));
            }
            let split = thin.into_iter().filter_map(|(scheme, bears)| {
                let source = demand.source(n as usize);
                let hung = Hung::of(section, scheme);
                let (fuse, count) = hung.fuses(bears, |count| wiring.fullest(source, scheme, count))?;
                Some(Branch { feed: demand.id, section: n, scheme, bears, load: hung.most, fuse, count })
            });
            branches.extend(split);
        }
    }
    branches
}

/// What is on one of the fuses among which wires are dealt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnFuse {
    /// The most that its wires may carry together, if all did at once.
    pub carries: Current,
    /// What part that is of what all the wires may carry.
    pub part: Share,
}

impl OnFuse {
    /// One of so many among which wires are dealt evenly.
    pub fn even(fuses: u32) -> Self {
        Self { carries: Current::ZERO, part: Share(1.0 / f64::from(fuses.max(1))) }
    }
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
    /// What hangs on a section through the wires of a family of schemes, or of the lights.
    pub fn of(section: &Section, scheme: Option<SchemeId>) -> Self {
        let mine: Vec<&Load> = section.loads.iter().filter(|load| load.through == scheme).collect();
        let most = mine.iter().map(|load| load.start_up.max(load.continuous + load.moving)).sum::<Current>();
        Self { most: Current(most.0.min(section.drawn.most().0)), steady: mine.iter().map(|load| load.continuous).sum() }
    }

    /// The fuses of a branch for it whose thinnest wire bears so much, and how many of them. `fullest` tells what is on the fuse with the most when the
    /// wires are dealt among so many; `None` where there are not as many wires. `None` where nothing hangs there, or no fuses carry it.
    pub fn fuses(self, bears: Current, fullest: impl Fn(u32) -> Option<OnFuse>) -> Option<(Current, u32)> {
        if self.most <= Current::ZERO {
            return None;
        }
        let fuse = ratings().take_while(|rating| *rating <= bears).last()?;
        let carried = |count: u32| {
            let Some(OnFuse { carries, part: Share(part) }) = fullest(count) else { return false };
            // Not all that hangs there moves at once, but what does may all be on one fuse.
            let most = (self.most * part).max(Current(self.most.0.min(carries.0)));
            carrying(most, self.steady * part).is_some_and(|rating| rating <= bears)
        };
        Some((fuse, (1..=MOST).find(|&count| carried(count))?))
    }
}

/// What the wires behind the fuse of a section are for, and what they bear: those of runs by their sizes, and those behind its levers; and the contacts
/// that switch its lights and lamps. The minus that supplies have in common is no branch.
pub(super) fn behind<'a>(
    catalogue: &'a Catalogue,
    demand: &'a Demand,
    section: &'a Section,
    wiring: &'a Wiring,
) -> impl Iterator<Item = (Option<SchemeId>, Current)> + use<'a> {
    let hangs_here = move |sizing: &&Sizing| {
        let fed = catalogue.fed_from(sizing.scheme).filter(|_| !catalogue.is_stored(sizing.scheme));
        !matches!(sizing.per, Per::Frog | Per::Supply)
            && fed.is_some_and(|(voltage, waveform)| demand.is_of(voltage, waveform))
            && section.loads.iter().any(|load| load.through == sizing.scheme)
    };
    let runs = wiring.sizings.iter().filter(hangs_here).map(|sizing| (sizing.scheme, sizing.rating));
    let is_lit = catalogue.fed_from(None).is_some_and(|(voltage, waveform)| demand.is_of(voltage, waveform))
        && section.loads.iter().any(|load| load.through.is_none());
    let contacts = is_lit.then(|| contacts_bear(catalogue, wiring)).flatten().map(|rating| (None, rating));
    runs.chain(contacts).chain(section.loads.iter().filter_map(|load| Some((load.through, levers_bear(catalogue, load)?))))
}

/// What the contacts bear through which lights and lamps are fed before their resistors: those of selectors and of latches, the weakest to be had. A contact
/// that proves a drive lies behind the resistor of its lamp. `None` where there are none, or the catalogue does not say.
pub(crate) fn contacts_bear(catalogue: &Catalogue, wiring: &Wiring) -> Option<Current> {
    let ends = || wiring.runs.iter().flat_map(|run| [run.from.end, run.to.end]);
    let selects = ends().any(|end| matches!(end, End::Lever(_, None, Switch::Selector | Switch::Position(_))));
    let latches = ends().any(|end| matches!(end, End::Latch(_, LatchTag::Contact(_))));
    let rules = catalogue.rules.iter().filter(|rule| {
        rule.per == Per::Lever
            && (selects && rule.when.contains(&Condition::LightsOnly)
                || latches && rule.when.contains(&Condition::LampsCommanded))
    });
    let parts = rules.flat_map(|rule| catalogue.to_be_had(rule.kind)).map(|(_, part)| part);
    let ratings = parts.filter_map(|part| Current::try_from(part.measured(Attr::Current)?).ok());
    ratings.reduce(|a, b| Current(a.0.min(b.0)))
}

/// What the wires behind a lever bear through which a load is fed: those of its lamps, and the crossed pair of a lever that reverses. `None` where a
/// load is fed past them, through an encoder or a controller, and where the catalogue does not say.
pub(crate) fn levers_bear(catalogue: &Catalogue, load: &Load) -> Option<Current> {
    let family = load.through.map(|family| catalogue.scheme(family));
    let is_direct = family.is_none_or(|family| matches!(family.connection, Connection::Direct { .. }));
    let is_behind = match load.subject {
        Subject::Lever(_) => true,
        Subject::Drive(_) => family.is_some_and(|family| family.action == Action::Reversing),
        _ => false,
    };
    let sets = catalogue.rules.iter().filter(|rule| rule.per == Per::Lever && rule.measure == Some(Measure::PanelWires));
    let parts = sets.flat_map(|rule| catalogue.to_be_had(rule.kind)).map(|(_, part)| part);
    let ratings = parts.filter_map(|part| Current::try_from(part.measured(Attr::Current)?).ok());
    if is_direct && is_behind { ratings.reduce(|a, b| Current(a.0.min(b.0))) } else { None }
}

/// Whether the catalogue has a fuse for branches; without one their wires are not protected.
pub(crate) fn fuses_branches(catalogue: &Catalogue) -> bool {
    catalogue.rules.iter().any(|rule| rule.per == Per::Branch && catalogue.kind(rule.kind).role == Role::Fuse)
}

#[cfg(test)]
mod tests {
    use super::super::model::Drawn;
    use super::*;
    use crate::id::{BoardId, DriveId, LeverId};

    fn load(subject: Subject, through: Option<SchemeId>, amperes: f64) -> Load {
        let current = Current(amperes);
        Load { subject, through, continuous: current, start_up: current, moving: Current::ZERO, blocked: Current::ZERO }
    }

    fn section(loads: Vec<Load>) -> Section {
        let continuous = loads.iter().map(|load| load.continuous).sum();
        let drawn = Drawn { continuous, peak: continuous, start_up: continuous, fault: continuous, peak_of: String::new() };
        Section { loads, drawn, ..Section::default() }
    }

    #[test]
    fn what_an_encoder_takes_and_lights_is_on_the_branch_that_feeds_it() {
        let (mine, other) = (Some(SchemeId::at(0)), Some(SchemeId::at(1)));
        let section = section(vec![
            load(Subject::Panel, mine, 0.04),
            load(Subject::Board(BoardId::at(0)), mine, 0.08),
            load(Subject::Lever(LeverId::at(0)), mine, 0.005),
            load(Subject::Drive(DriveId::at(0)), other, 0.2),
            load(Subject::Lever(LeverId::at(1)), None, 0.005),
        ]);
        let of = |scheme| Hung::of(&section, scheme).most.0;
        assert!((of(mine) - 0.125).abs() < 1e-9);
        assert!((of(other) - 0.2).abs() < 1e-9);
        assert!((of(None) - 0.005).abs() < 1e-9);
    }

    #[test]
    fn no_more_fuses_are_bought_than_have_wires_and_each_carries_its_part() {
        let section = section((0..4).map(|drive| load(Subject::Drive(DriveId::at(drive)), None, 0.4)).collect());
        let evenly = |count: u32| Some(OnFuse::even(count));
        let count = |fullest: &dyn Fn(u32) -> Option<OnFuse>| {
            Hung::of(&section, None).fuses(Current(1.0), fullest).map(|(_, count)| count)
        };
        // By hand: 1.6 A steady are two times 0.8 A, 80 % of 1 A; where one fuse has 60 % of it, 0.96 A, two do not do, and of three each has 0.53 A.
        assert_eq!(count(&evenly), Some(2));
        let uneven =
            |count: u32| Some(if count == 2 { OnFuse { part: Share(0.6), ..OnFuse::even(2) } } else { OnFuse::even(count) });
        assert_eq!(count(&uneven), Some(3));
        // A single wire is on a single fuse, which does not carry it: the wire stays unprotected, and no fuse is bought for nothing.
        let single = |count: u32| (count == 1).then_some(OnFuse::even(1));
        assert_eq!(count(&single), None);
    }
}
