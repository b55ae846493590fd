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
    let numbered = columns.iter().enumerate();
    numbered.min_by_key(|(at, column)| (lacks(column), score(column, DecideBy::Money), *at)).map_or(0, |(at, _)| at)
}

/// Chooses by what the rules say; else by life cost where an hour has a value; else the one that leads in money, hours and conductors alike; else
/// it stays open. Only schemes that can be built take part, and one that falls short only where all do.
pub(super) fn verdict(columns: &[Column], by: Option<DecideBy>) -> Verdict {
    let mut fit: Vec<(usize, &Column)> =
        columns.iter().enumerate().filter(|(_, column)| column.estimate.can_be_built()).collect();
    let is_sound = |(_, column): &(usize, &Column)| column.estimate.shortfalls().next().is_none();
    if fit.iter().any(is_sound) {
        fit.retain(is_sound);
    }
    let has_hour = fit.iter().any(|(_, column)| column.life_cost.is_some());
    // At one score the cheaper, then the earlier in the rules.
    let mut ranked = |by: DecideBy| {
        fit.sort_by_key(|(index, column)| (score(column, by), score(column, DecideBy::Money), *index));
        fit.clone()
    };
    let by = by.filter(|&by| by != DecideBy::LifeCost || has_hour).or(has_hour.then_some(DecideBy::LifeCost));
    let order = ranked(by.unwrap_or(DecideBy::Money));
    let Some(&(first, leader)) = order.first() else {
        return Verdict::NoneFits { nearest: nearest(columns) };
    };
    let chosen = Verdict::Chosen { column: first, by, runner_up: order.get(1).map(|(column, _)| *column) };
    if by.is_some() {
        return chosen;
    }
    let mut best = |by: DecideBy| ranked(by).first().copied().unwrap_or((first, leader));
    let ((quickest, quick), (fewest, few)) = (best(DecideBy::Hours), best(DecideBy::Conductors));
    let leads = |best: &Column, by: DecideBy| score(leader, by) <= score(best, by);
    if leads(quick, DecideBy::Hours) && leads(few, DecideBy::Conductors) {
        return chosen;
    }
    Verdict::Open { cheapest: first, quickest, fewest }
}
