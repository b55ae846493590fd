//! How each supply stands: the owned ones, and those that are bought.

use super::branch::{behind, fuses_branches};
use super::fuse::fuse;
use super::model::{Branch, Demand, SupplyCheck};
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Role};
use crate::layout::Layout;
use crate::quantity::{Current, Share};
use crate::takeoff::{Subject, Takeoff};
use crate::wiring::{Sizing, Wiring};

/// Every supply that feeds, or could feed, a demand: first those owned, with the ones too small among them, then those bought.
pub fn check(
    layout: &Layout,
    catalogue: &Catalogue,
    demands: &[Demand],
    takeoff: &Takeoff,
    purchase: &Purchase,
    branches: &[Branch],
    wiring: &Wiring,
) -> Vec<SupplyCheck> {
    let mut checks = Vec::new();
    for demand in demands {
        let thinnest = thinnest(catalogue, demand, branches, wiring);
        let fitting =
            layout.supplies.iter().enumerate().filter(|(_, supply)| {
                supply.waveform == demand.waveform && supply.voltage.quantity() == demand.voltage.quantity()
            });
        for (index, supply) in fitting {
            if demand.owned.is_empty() {
                checks.push(stand(demand, supply.name.to_string(), true, supply.current, thinnest, 1));
            } else if demand.owned.iter().any(|owned| owned.index() == index) {
                checks.push(stand(demand, supply.name.to_string(), true, supply.current, thinnest, demand.sections));
            }
        }
        if demand.owned.is_empty() {
            for (title, rating) in bought(catalogue, demand, takeoff, purchase) {
                checks.push(stand(demand, title, false, rating, thinnest, demand.sections));
            }
        }
    }
    checks
}

/// How a supply stands that carries one of so many equal sections of a feed; with an owned one that does not serve, how it would stand under all of it.
fn stand(demand: &Demand, name: String, is_owned: bool, rating: Current, thinnest: Current, sections: u32) -> SupplyCheck {
    let sections = f64::from(sections.max(1));
    let (most, needed) = (demand.most() / sections, demand.needed / sections);
    let fuse = fuse(most, thinnest, rating);
    let headroom = if rating > Current::ZERO { Share((rating - most) / rating) } else { Share(-1.0) };
    SupplyCheck { feed: demand.id, name, is_owned, rating, headroom, carries: rating.0 >= needed.0 * (1.0 - 1e-9), fuse }
}

/// What the thinnest wire behind the fuse of a feed is rated for, those behind fuses of their own left out.
fn thinnest(catalogue: &Catalogue, demand: &Demand, branches: &[Branch], wiring: &Wiring) -> Current {
    let fused_apart = |sizing: &Sizing| {
        fuses_branches(catalogue)
            && demand.fuse.is_some_and(|fuse| sizing.rating < fuse)
            && branches.iter().any(|branch| branch.feed == demand.id && branch.scheme == sizing.scheme)
    };
    let fed = behind(catalogue, demand, wiring).filter(|sizing| !fused_apart(sizing));
    fed.map(|sizing| sizing.rating).fold(Current(f64::INFINITY), |least, rating| Current(least.0.min(rating.0)))
}

/// The supplies the purchase uses for a feed, with their ratings.
fn bought(catalogue: &Catalogue, demand: &Demand, takeoff: &Takeoff, purchase: &Purchase) -> Vec<(String, Current)> {
    let needs = takeoff.needs.iter().filter(|need| {
        catalogue.kind(need.kind).role == Role::Supply
            && need.reasons.iter().any(|reason| matches!(reason.subject, Subject::Supply(feed, _) if feed == demand.id))
    });
    let mut bought: Vec<(String, Current)> = needs
        .flat_map(|need| purchase.uses.iter().filter(|used| used.need == need.id))
        .filter_map(|used| {
            let part = catalogue.part(used.part);
            let rating = Current::try_from(part.measured(Attr::Current)?).ok()?;
            Some((part.title.clone(), rating))
        })
        .collect();
    bought.dedup();
    bought
}
