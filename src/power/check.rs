//! How each supply stands: the owned ones, and those that are bought.

use super::branch::{behind, fuses_branches};
use super::fuse::{preferred, protecting};
use super::model::{Branch, Demand, Section, SupplyCheck};
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Role};
use crate::id::{OwnedSupplyId, SchemeId};
use crate::layout::Layout;
use crate::quantity::Current;
use crate::scheme::Assignment;
use crate::takeoff::{Subject, Takeoff};
use crate::wiring::Wiring;

/// Every supply that feeds, or could feed, a demand: for each section its own, owned or bought; and where one must be bought, the owned ones
/// that serve no section.
pub fn check(layout: &Layout, catalogue: &Catalogue, fitted: Fitted<'_>) -> Vec<SupplyCheck> {
    let mut checks = Vec::new();
    for demand in fitted.demands {
        let serves = |id: usize| demand.sections.iter().any(|section| section.owned.is_some_and(|owned| owned.index() == id));
        let left = layout
            .supplies
            .iter()
            .enumerate()
            .filter(|(index, supply)| demand.is_bought() && demand.is_of(supply.voltage, supply.waveform) && !serves(*index));
        for (_, supply) in left {
            let rated = Rated { name: supply.name.to_string(), is_owned: true, rating: supply.current };
            let fuse = preferred(demand.drawn.most(), demand.drawn.continuous, supply.current);
            let whole = Section { drawn: demand.drawn.clone(), needed: demand.needed, fuse, ..Section::default() };
            checks.push(rated.under(demand, (None, &whole), Current(f64::INFINITY)));
        }
        for (n, section) in (0_u32..).zip(&demand.sections) {
            let rated = match section.owned {
                Some(id) => Some(owned(layout, id)),
                None => bought(catalogue, demand, n, fitted),
            };
            let thinnest = thinnest(catalogue, demand, (n, section), fitted);
            checks.extend(rated.map(|rated| rated.under(demand, (Some(n), section), thinnest)));
        }
    }
    checks
}

/// A plan with its purchase, as far as supplies hang on it.
#[derive(Debug, Clone, Copy)]
pub struct Fitted<'a> {
    /// The schemes.
    pub assignment: &'a Assignment,
    /// What each feed draws.
    pub demands: &'a [Demand],
    /// Wires with fuses of their own.
    pub branches: &'a [Branch],
    /// The wiring.
    pub wiring: &'a Wiring,
    /// What is needed.
    pub takeoff: &'a Takeoff,
    /// What is bought.
    pub purchase: &'a Purchase,
}

/// A supply and what it gives.
struct Rated {
    name: String,
    is_owned: bool,
    rating: Current,
}

impl Rated {
    /// Held against a section, or against the whole of a feed.
    fn under(self, demand: &Demand, (n, section): (Option<u32>, &Section), thinnest: Current) -> SupplyCheck {
        let Section { drawn, needed, fuse, .. } = section;
        let Self { name, is_owned, rating } = self;
        SupplyCheck {
            feed: demand.id,
            section: n,
            name,
            is_owned,
            rating,
            most: drawn.most(),
            fault: Some(drawn.fault).filter(|fault| *fault > drawn.peak),
            carries: rating.0 >= needed.0 * (1.0 - 1e-9),
            fuse: protecting(*fuse, drawn.most(), thinnest, rating),
        }
    }
}

fn owned(layout: &Layout, id: OwnedSupplyId) -> Rated {
    let supply = layout.supply(id);
    Rated { name: supply.name.to_string(), is_owned: true, rating: supply.current }
}

/// What the thinnest wire behind the fuse of a section is rated for, those behind fuses of their own left out.
fn thinnest(catalogue: &Catalogue, demand: &Demand, (n, section): (u32, &Section), fitted: Fitted<'_>) -> Current {
    let Fitted { branches, wiring, .. } = fitted;
    let is_branch = |scheme: Option<SchemeId>| branches.iter().any(|branch| branch.is_of(demand.id, n as usize, scheme));
    let fused_apart = |&(scheme, rating): &(Option<SchemeId>, Current)| {
        fuses_branches(catalogue) && section.leaves_bare(rating) && is_branch(scheme)
    };
    let bare = behind(catalogue, demand, section, wiring).filter(|wire| !fused_apart(wire));
    bare.map(|(_, rating)| rating).fold(Current(f64::INFINITY), |least, rating| Current(least.0.min(rating.0)))
}

/// The supply the purchase uses for a section of a feed.
fn bought(catalogue: &Catalogue, demand: &Demand, section: u32, fitted: Fitted<'_>) -> Option<Rated> {
    let Fitted { takeoff, purchase, .. } = fitted;
    let mut needs = takeoff.needs.iter().filter(|need| {
        catalogue.kind(need.kind).role == Role::Supply
            && need.reasons.iter().any(|reason| reason.subject == Subject::Supply(demand.id, section))
    });
    let used = needs.find_map(|need| purchase.uses.iter().find(|used| used.need == need.id))?;
    let part = catalogue.part(used.part);
    let rating = Current::try_from(part.measured(Attr::Current)?).ok()?;
    Some(Rated { name: part.title.clone(), is_owned: false, rating })
}
