//! How each supply stands: the owned ones, and those that are bought.

use super::fuse::fuse;
use super::model::{Demand, SupplyCheck};
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Per, Role};
use crate::layout::{Layout, Waveform};
use crate::quantity::{Current, Share};
use crate::takeoff::{Subject, Takeoff};
use crate::wiring::Wiring;

/// Every supply that feeds, or could feed, a demand: first those owned, with the ones too small among them, then those bought.
pub fn check(
    layout: &Layout,
    catalogue: &Catalogue,
    demands: &[Demand],
    takeoff: &Takeoff,
    purchase: &Purchase,
    wiring: &Wiring,
) -> Vec<SupplyCheck> {
    let mut checks = Vec::new();
    for demand in demands {
        let thinnest = thinnest(catalogue, demand, wiring);
        let fitting =
            layout.supplies.iter().enumerate().filter(|(_, supply)| {
                supply.waveform == demand.waveform && supply.voltage.quantity() == demand.voltage.quantity()
            });
        for (index, supply) in fitting {
            if demand.owned.is_none_or(|owned| owned.index() == index) {
                checks.push(stand(demand, supply.name.to_string(), true, supply.current, thinnest, 1));
            }
        }
        if demand.owned.is_none() {
            for (title, rating) in bought(catalogue, demand, takeoff, purchase) {
                checks.push(stand(demand, title, false, rating, thinnest, demand.sections));
            }
        }
    }
    checks
}

/// How a supply stands that carries one of so many equal sections of a feed; one that is owned carries it all or does not serve.
fn stand(demand: &Demand, name: String, is_owned: bool, rating: Current, thinnest: Current, sections: u32) -> SupplyCheck {
    let sections = f64::from(sections.max(1));
    let (most, needed) = (demand.most() / sections, demand.needed / sections);
    let fuse = fuse(most, thinnest, rating);
    let headroom = if rating > Current::ZERO { Share((rating - most) / rating) } else { Share(-1.0) };
    SupplyCheck { feed: demand.id, name, is_owned, rating, headroom, carries: rating >= needed, fuse }
}

/// What the thinnest wire behind the fuse of a feed is rated for. Wires behind a discharge unit are not: it gives no more than its charge.
fn thinnest(catalogue: &Catalogue, demand: &Demand, wiring: &Wiring) -> Current {
    let fed = wiring.sizings.iter().filter(|sizing| {
        let feed = match sizing.scheme {
            Some(scheme) => match catalogue.scheme(scheme).electrics {
                Some(electrics) if !electrics.stored => (electrics.voltage, electrics.waveform),
                _ => return false,
            },
            None => (catalogue.rates.light_voltage, Waveform::Dc),
        };
        sizing.per != Per::Frog && feed.0.quantity() == demand.voltage.quantity() && feed.1 == demand.waveform
    });
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
