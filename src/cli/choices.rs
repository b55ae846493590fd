//! What the user asks of the order, by the catalogue.

use std::collections::BTreeSet;
use std::time::Duration;

use super::args::Buying;
use super::named::{Label, named};
use crate::buying::{Choices, Limits};
use crate::catalogue::Catalogue;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::id::SupplierId;

/// Finds the suppliers named; all that are not there are told.
pub(super) fn choices(asked: &Buying, catalogue: &Catalogue) -> Result<Choices, Vec<Diagnostic>> {
    let mut problems = Vec::new();
    let only = suppliers("--only", &asked.only, catalogue, &mut problems);
    let without = suppliers("--without", &asked.without, catalogue, &mut problems);
    let choices = Choices {
        only: (!asked.only.is_empty()).then_some(only),
        without,
        most_parcels: asked.parcels.map(usize::from),
        limits: asked.patience.map_or_else(Limits::default, |seconds| Limits::patience(Duration::from_secs(seconds.into()))),
    };
    let none_left = !(0..catalogue.suppliers.len()).any(|supplier| choices.allow(SupplierId::at(supplier)));
    if problems.is_empty() && none_left && !catalogue.suppliers.is_empty() {
        let what = "no supplier is left to order from";
        problems.push(Diagnostic::error(Code::Contradiction, Place::Flag("--without".into()), what));
    }
    if problems.is_empty() { Ok(choices) } else { Err(problems) }
}

fn suppliers(flag: &str, names: &[String], catalogue: &Catalogue, problems: &mut Vec<Diagnostic>) -> BTreeSet<SupplierId> {
    let all: Vec<Label> = catalogue.suppliers.iter().map(|supplier| (&*supplier.name, &*supplier.title)).collect();
    let mut found = BTreeSet::new();
    for name in names {
        match named(name, flag, &all, "the catalogue has no such supplier") {
            Ok(supplier) => drop(found.insert(SupplierId::at(supplier))),
            Err(unknown) => problems.push(unknown),
        }
    }
    found
}
