//! The plan that the verbs of one scheme are about.

use super::files::Inputs;
use super::named::{Label, named};
use super::progress::watched;
use crate::catalogue::Catalogue;
use crate::choice::{Comparison, Verdict, compare};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::estimate::{Estimate, estimate};
use crate::id::SchemeId;
use crate::mends::price_mends;
use crate::report::view::{Pick, Plan};
use crate::scheme::assign;

/// A plan worked out, and why it is this one.
#[derive(Debug)]
pub(super) struct Chosen {
    estimate: Estimate,
    pick: Pick,
}

impl Chosen {
    /// With what it costs to mend what is wrong with it.
    fn priced(inputs: &Inputs, mut estimate: Estimate, pick: Pick) -> Self {
        price_mends(&inputs.layout, &inputs.catalogue, &mut estimate, &inputs.choices);
        Self { estimate, pick }
    }

    pub(super) fn estimate_mut(&mut self) -> &mut Estimate {
        &mut self.estimate
    }

    pub(super) fn plan<'a>(&'a self, inputs: &'a Inputs) -> Plan<'a> {
        Plan {
            layout: &inputs.layout,
            catalogue: &inputs.catalogue,
            choices: &inputs.choices,
            estimate: &self.estimate,
            pick: self.pick,
        }
    }
}

/// The scheme named, else the one that the comparison chooses, else the cheapest.
pub(super) fn choose(inputs: &Inputs, named: Option<&str>) -> Result<Chosen, Diagnostic> {
    watched(inputs.catalogue.rates.home, || choose_unwatched(inputs, named))
}

fn choose_unwatched(inputs: &Inputs, named: Option<&str>) -> Result<Chosen, Diagnostic> {
    let Inputs { layout, catalogue, choices, .. } = inputs;
    if let Some(name) = named {
        let assignment = assign(layout, catalogue, offered(catalogue, name)?);
        let mut estimate = estimate(layout, catalogue, assignment, choices);
        estimate.advise(layout, catalogue);
        return Ok(Chosen::priced(inputs, estimate, Pick::Named));
    }
    Ok(chosen_of(inputs, compare(layout, catalogue, choices)))
}

/// The scheme that a comparison chooses, else the cheapest.
pub(super) fn chosen_of(inputs: &Inputs, mut comparison: Comparison) -> Chosen {
    let pick = match comparison.verdict {
        Verdict::Chosen { by, .. } => Pick::Chosen(by),
        Verdict::Open { .. } => Pick::Cheapest,
        Verdict::NoneFits { .. } => Pick::NoneFits,
    };
    Chosen::priced(inputs, comparison.columns.swap_remove(comparison.verdict.column()).estimate, pick)
}

/// The option that names a scheme.
const FLAG: &str = "--scheme";

/// A scheme that is offered for choice.
fn offered(catalogue: &Catalogue, name: &str) -> Result<SchemeId, Diagnostic> {
    let offered = || catalogue.schemes.iter().enumerate().filter(|(_, scheme)| scheme.offered);
    let labels: Vec<Label> = offered().map(|(_, scheme)| (&*scheme.name, &*scheme.title)).collect();
    let found = named(name, FLAG, &labels, &format!("the catalogue has no scheme named `{name}`"));
    let not_offered = catalogue.scheme_named(name).is_some_and(|id| !catalogue.scheme(id).offered);
    match found.map(|nth| offered().nth(nth)) {
        Ok(Some((id, _))) => Ok(SchemeId::at(id)),
        Err(unknown) if !not_offered => Err(unknown),
        _ => {
            let what = format!("the catalogue does not offer `{name}`: it only holds what other schemes share");
            let names = labels.iter().map(|(name, _)| *name);
            Err(Diagnostic::error(Code::Contradiction, Place::Flag(FLAG.into()), what).one_of(name, names))
        }
    }
}
