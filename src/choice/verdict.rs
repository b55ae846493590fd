//! Which scheme the rules choose.

use super::model::{Column, Verdict};
use crate::layout::DecideBy;

/// How a column stands by a measure, as whole numbers to compare: minor units, seconds, conductors. Less is better.
fn score(column: &Column, by: DecideBy) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a build is far shorter than i64 seconds")]
    match by {
        DecideBy::Money => column.estimate.purchase.total.minor(),
        DecideBy::Hours => (column.estimate.hours.mean.0 * 60.0).round() as i64,
        DecideBy::Conductors => i64::from(column.estimate.wiring.conductors()),
        DecideBy::LifeCost => column.life_cost.map_or(i64::MAX, crate::money::Money::minor),
    }
}

/// Of columns none of which can be built, the one that lacks least, then the cheapest, then the first.
fn nearest(columns: &[Column]) -> usize {
    let lacks = |column: &Column| {
        let still = column.estimate.assignment.schemes.iter().filter(|scheme| scheme.is_none()).count();
        column.estimate.purchase.unmet.len() + still
    };
    (0..columns.len()).min_by_key(|&at| (lacks(&columns[at]), score(&columns[at], DecideBy::Money), at)).unwrap_or_default()
}

/// Chooses by what the rules say; else by life cost where an hour has a value; else the one that leads in money, hours and conductors alike; else
/// it stays open. Only schemes that can be built take part.
pub(super) fn verdict(columns: &[Column], by: Option<DecideBy>) -> Verdict {
    let fit: Vec<usize> = (0..columns.len()).filter(|&index| columns[index].estimate.can_be_built()).collect();
    if fit.is_empty() {
        return Verdict::NoneFits { nearest: nearest(columns) };
    }
    // At one score the cheaper, then the earlier in the rules.
    let ranked = |by: DecideBy| {
        let mut order = fit.clone();
        order.sort_by_key(|&index| (score(&columns[index], by), score(&columns[index], DecideBy::Money), index));
        order
    };
    let has_hour = fit.iter().any(|&index| columns[index].life_cost.is_some());
    let by = by.filter(|&by| by != DecideBy::LifeCost || has_hour).or(has_hour.then_some(DecideBy::LifeCost));
    if let Some(by) = by {
        let order = ranked(by);
        let column = order.first().copied().unwrap_or_default();
        return Verdict::Chosen { column, by: Some(by), runner_up: order.get(1).copied() };
    }
    let first = |by: DecideBy| ranked(by).first().copied().unwrap_or_default();
    let (cheapest, quickest, fewest) = (first(DecideBy::Money), first(DecideBy::Hours), first(DecideBy::Conductors));
    let leads = |column: usize| {
        [DecideBy::Money, DecideBy::Hours, DecideBy::Conductors]
            .iter()
            .all(|&by| fit.iter().all(|&other| score(&columns[column], by) <= score(&columns[other], by)))
    };
    if leads(cheapest) {
        let runner_up = ranked(DecideBy::Money).get(1).copied();
        return Verdict::Chosen { column: cheapest, by: None, runner_up };
    }
    Verdict::Open { cheapest, quickest, fewest }
}
