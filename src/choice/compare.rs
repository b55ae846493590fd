//! Works out every scheme of the rules, side by side.

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::model::{Column, Comparison};
use super::next::next_turnout;
use super::verdict::verdict;
use crate::buying::Choices;
use crate::catalogue::Catalogue;
use crate::estimate::{Estimate, estimate};
use crate::id::SchemeId;
use crate::layout::Layout;
use crate::money::Money;
use crate::scheme::assign;

/// Works out every scheme of the rules and chooses. What mends its findings is sought for the chosen one only.
pub fn compare(layout: &Layout, catalogue: &Catalogue, choices: &Choices) -> Comparison {
    let mut columns: Vec<Column> = std::thread::scope(|scope| {
        // Each scheme is worked out on its own; joined in their order, so that threads never show in the result.
        let schemes = layout.rules.schemes.value.iter();
        let columns: Vec<_> = schemes.map(|&scheme| scope.spawn(move || column(layout, catalogue, scheme, choices))).collect();
        columns.into_iter().map(|column| column.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))).collect()
    });
    let verdict = verdict(&columns, layout.rules.decide_by.as_ref().map(|by| by.value));
    if let Some(column) = columns.get_mut(verdict.column()) {
        column.estimate.advise(layout, catalogue);
    }
    Comparison { columns, verdict }
}

fn column(layout: &Layout, catalogue: &Catalogue, scheme: SchemeId, choices: &Choices) -> Column {
    let estimate = estimate(layout, catalogue, assign(layout, catalogue, scheme), choices);
    let bought = layout.drive_ids().filter(|&drive| !layout.device_of(drive).owned).count();
    let can_be_built = estimate.can_be_built();
    Column {
        scheme,
        per_drive: estimate.purchase.total.per(bought).filter(|_| can_be_built),
        next: can_be_built.then(|| next_turnout(layout, catalogue, &estimate, choices)).flatten(),
        life_cost: life_cost(layout, &estimate).filter(|_| can_be_built),
        estimate,
    }
}

/// Purchase, building hours and minutes of all set-ups over the years at the value of an hour; `None` where none is set.
fn life_cost(layout: &Layout, estimate: &Estimate) -> Option<Money> {
    let hour = layout.rules.hour.as_ref()?.value;
    let set_ups = f64::from(layout.rules.years.value) * f64::from(layout.rules.set_ups.value);
    let hours = estimate.hours.mean.hours() + set_ups * estimate.hours.set_up.hours();
    let time = hour.amount().checked_mul(Decimal::from_f64(hours)?)?;
    Some(estimate.purchase.total + Money::from_decimal(time, hour.currency())?)
}
