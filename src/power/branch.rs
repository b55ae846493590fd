//! Branches of a feed: wires thinner than the feed's fuse protects, behind fuses of their own.

use std::collections::BTreeMap;

use super::fuse::{next_r10, ratings};
use super::model::{Branch, Demand, Load};
use crate::catalogue::{Catalogue, Per, Role};
use crate::id::SchemeId;
use crate::layout::Waveform;
use crate::quantity::Current;
use crate::scheme::Assignment;
use crate::takeoff::Subject;
use crate::wiring::{Sizing, Wiring};

/// The most branches of one sort: what would take more is told as unprotected.
const MOST: u32 = 64;

/// The branches of all feeds. Wires behind a discharge unit are none: it gives no more than its charge. Those of a frog belong to the track.
pub fn branches(catalogue: &Catalogue, assignment: &Assignment, demands: &[Demand], wiring: &Wiring) -> Vec<Branch> {
    let mut branches = Vec::new();
    for demand in demands {
        let Some(main) = demand.fuse else { continue };
        let mut thin: BTreeMap<Option<SchemeId>, Current> = BTreeMap::new();
        for sizing in behind(catalogue, demand, wiring).filter(|sizing| sizing.rating < main) {
            let least = thin.entry(sizing.scheme).or_insert(sizing.rating);
            *least = Current(least.0.min(sizing.rating.0));
        }
        for (scheme, bears) in thin {
            let mine = demand.loads.iter().filter(|load| hangs_on(catalogue, assignment, load.subject, scheme));
            let most = |load: &Load| load.start_up.max(load.continuous + load.moving);
            let load = Current(mine.map(most).sum::<Current>().0.min(demand.most().0));
            let fuse = ratings().take_while(|rating| *rating <= bears).last();
            let carried = |count: u32| next_r10(load / f64::from(count)).is_some_and(|rating| rating <= bears);
            let count = (1..=MOST).find(|&count| carried(count));
            if let (Some(fuse), Some(count)) = (fuse, count) {
                branches.push(Branch { feed: demand.id, scheme, bears, load, fuse, count });
            }
        }
    }
    branches
}

/// The sizes of wire that hang on a feed, behind its fuse.
pub(super) fn behind<'a>(
    catalogue: &'a Catalogue,
    demand: &'a Demand,
    wiring: &'a Wiring,
) -> impl Iterator<Item = &'a Sizing> + use<'a> {
    wiring.sizings.iter().filter(move |sizing| {
        let feed = match sizing.scheme {
            Some(scheme) => match catalogue.scheme(scheme).electrics {
                Some(electrics) if !electrics.stored => (electrics.voltage, electrics.waveform),
                _ => return false,
            },
            None => (catalogue.rates.light_voltage, Waveform::Dc),
        };
        sizing.per != Per::Frog && feed.0.quantity() == demand.voltage.quantity() && feed.1 == demand.waveform
    })
}

/// Whether the catalogue has a fuse for branches; without one their wires are not protected.
pub(super) fn fuses_branches(catalogue: &Catalogue) -> bool {
    catalogue.rules.iter().any(|rule| rule.per == Per::Branch && catalogue.kind(rule.kind).role == Role::Fuse)
}

/// Whether a load is fed through the wires of a family of schemes; with none, through those of the lights.
fn hangs_on(catalogue: &Catalogue, assignment: &Assignment, subject: Subject, family: Option<SchemeId>) -> bool {
    match subject {
        Subject::Drive(drive) => family.is_some() && assignment.of(drive).map(|scheme| catalogue.family(scheme)) == family,
        Subject::Controller(id) => {
            family.is_some() && assignment.controllers.get(id.index()).map(|controller| controller.scheme) == family
        }
        Subject::Signal(_) => family.is_none(),
        _ => false,
    }
}
