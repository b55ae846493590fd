//! What mending costs: each change that a finding proposes, put through the evaluator.

use crate::buying::{Choices, Proof, Purchase};
use crate::catalogue::Catalogue;
use crate::estimate::{Estimate, estimate};
use crate::finding::Change;
use crate::layout::{AtOnce, Layout, OwnedSupply};
use crate::money::Money;
use crate::scheme::split;

/// Works out the price differences of all mends that propose a change. A difference stays unknown where the search of
/// either order was stopped or the order leaves something out: it would be a guess.
pub fn price_mends(layout: &Layout, catalogue: &Catalogue, plan: &mut Estimate, choices: &Choices) {
    let mut worked_out: Vec<(Change, Option<Money>)> = Vec::new();
    let mut findings = std::mem::take(&mut plan.findings);
    for mend in findings.iter_mut().flat_map(|finding| &mut finding.mends) {
        let Some(change) = mend.change else { continue };
        let known = worked_out.iter().find(|(known, _)| *known == change).map(|(_, price)| *price);
        mend.price = known.unwrap_or_else(|| {
            let price = difference(layout, catalogue, plan, change, choices);
            worked_out.push((change, price));
            price
        });
    }
    plan.findings = findings;
}

fn difference(layout: &Layout, catalogue: &Catalogue, plan: &Estimate, change: Change, choices: &Choices) -> Option<Money> {
    let mut changed = layout.clone();
    let mut assignment = plan.assignment.clone();
    match change {
        Change::OneLeverAtOnce => changed.rules.at_once.value = AtOnce::Levers(1),
        Change::SplitController(controller) => split(layout, catalogue, &mut assignment, controller)?,
        Change::BuySupply(feed) => {
            let demand = plan.demands.get(feed.index())?;
            changed.supplies.push(OwnedSupply {
                name: "".into(),
                place: layout.supplies.first()?.place.clone(),
                voltage: demand.voltage,
                waveform: demand.waveform,
                current: demand.needed,
            });
        }
    }
    let other = estimate(&changed, catalogue, assignment, choices);
    let exact = |purchase: &Purchase| purchase.unmet.is_empty() && purchase.proof == Proof::Whole;
    if !exact(&plan.purchase) || !exact(&other.purchase) {
        return None;
    }
    let (with, without) = match change {
        Change::BuySupply(_) => (&plan.purchase, &other.purchase),
        Change::OneLeverAtOnce | Change::SplitController(_) => (&other.purchase, &plan.purchase),
    };
    let difference = with.total.amount().checked_sub(without.total.amount())?;
    Money::from_decimal(difference, catalogue.rates.home)
}
