//! A part of a take-off: what some of the subjects need.

use rust_decimal::Decimal;

use super::count::spares;
use super::facts::Subject;
use super::model::{Need, Takeoff};
use crate::catalogue::{Catalogue, Form};
use crate::layout::Layout;

/// What the subjects kept need, with the spares that go with so much. Needs keep their places, those of which nothing is kept with no
/// reasons. What serves a place as a whole, such as an encoder or a panel plate, is kept as large as all subjects need it: bought by
/// how much the first ones need, it would have to be followed by a second.
pub fn part(takeoff: &Takeoff, catalogue: &Catalogue, layout: &Layout, keep: impl Fn(Subject) -> bool) -> Takeoff {
    let needs = takeoff.needs.iter().map(|need| {
        let reasons = need.reasons.iter().filter(|reason| keep(reason.subject)).cloned().collect();
        let mut part = Need { reasons, ..need.clone() };
        part.spares = match catalogue.kind(part.kind).form {
            Form::Capacity(_) => need.amount().saturating_sub(part.counted()),
            Form::AtLeast | Form::Pieces => spares(catalogue.kind(part.kind), &layout.rules, part.counted()),
        };
        if part.reasons.is_empty() {
            // A second set for exhibitions has no reasons of its own and comes with the layout.
            let is_set = need.reasons.is_empty() && keep(Subject::Layout);
            part.spares = if is_set { need.spares } else { Decimal::ZERO };
        }
        part
    });
    Takeoff { needs: needs.collect() }
}
