//! Several layouts in one order: what it saves against separate orders, and what each one's share of it is.

use std::collections::BTreeMap;

use crate::buying::{Choices, Purchase, purchase};
use crate::catalogue::{Ask, Catalogue, Form};
use crate::id::{KindId, NeedId};
use crate::money::Money;
use crate::phases::restock;
use crate::takeoff::{Need, Takeoff};

/// One order for several layouts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pooled {
    /// What all need together.
    pub takeoff: Takeoff,
    /// For each need of `takeoff`, how much of it is for which layout, by their places.
    pub amounts: Vec<BTreeMap<usize, rust_decimal::Decimal>>,
    /// What to buy.
    pub purchase: Purchase,
    /// For each layout, what its own order would cost alone.
    pub alone: Vec<Purchase>,
    /// What the separate orders cost together.
    pub apart: Money,
    /// For each layout, its share of the order, in proportion to its own order alone.
    pub shares: Vec<Money>,
}

/// Puts the needs of several layouts into one order. What is in stock goes to the layouts in their order when each orders alone.
pub fn pooled(takeoffs: &[&Takeoff], catalogue: &Catalogue, choices: &Choices) -> Pooled {
    let mut shelf = catalogue.clone();
    let mut alone = Vec::new();
    for takeoff in takeoffs {
        let order = purchase(takeoff, &shelf, choices);
        for used in &order.uses {
            restock(&mut shelf, used.part, |stock| stock.saturating_sub(used.from_stock));
        }
        alone.push(order);
    }
    let (takeoff, amounts) = together(takeoffs, catalogue);
    let purchase = purchase(&takeoff, catalogue, choices);
    let home = catalogue.rates.home;
    let weights: Vec<i64> = alone.iter().map(|order| order.total.minor()).collect();
    let shares =
        in_proportion(purchase.total.minor(), &weights).into_iter().map(|minor| Money::from_minor(minor, home)).collect();
    let apart = Money::total(alone.iter().map(|order| order.total), home);
    Pooled { takeoff, amounts, purchase, alone, apart, shares }
}

/// What is asked for alike is one need, save capacities, which stand at places of their own.
fn together(takeoffs: &[&Takeoff], catalogue: &Catalogue) -> (Takeoff, Vec<BTreeMap<usize, rust_decimal::Decimal>>) {
    let mut places: BTreeMap<(KindId, Vec<Ask>), usize> = BTreeMap::new();
    let mut needs: Vec<Need> = Vec::new();
    let mut amounts: Vec<BTreeMap<usize, rust_decimal::Decimal>> = Vec::new();
    for (layout, takeoff) in takeoffs.iter().enumerate() {
        for need in &takeoff.needs {
            let is_shared = !matches!(catalogue.kind(need.kind).form, Form::Capacity(_));
            let known = places.get(&(need.kind, need.asks.clone())).copied().filter(|_| is_shared);
            let at = known.unwrap_or(needs.len());
            if let Some(of_all) = needs.get_mut(at) {
                of_all.reasons.extend(need.reasons.iter().cloned());
                of_all.spares = of_all.spares.saturating_add(need.spares);
            } else {
                places.insert((need.kind, need.asks.clone()), at);
                needs.push(Need { id: NeedId::at(at), ..need.clone() });
                amounts.push(BTreeMap::new());
            }
            if let Some(amounts) = amounts.get_mut(at) {
                amounts.insert(layout, need.amount());
            }
        }
    }
    (Takeoff { needs }, amounts)
}

/// Shares out a whole in proportion to weights: rounded down, then one more each for those who lost most by it, the first before the
/// last (the method of largest remainders). The shares add up to the whole; where no weight is positive, the first bears it all.
fn in_proportion(whole: i64, weights: &[i64]) -> Vec<i64> {
    let weights: Vec<i128> = weights.iter().map(|&weight| i128::from(weight.max(0))).collect();
    let sum: i128 = weights.iter().sum();
    let exact = |weight: i128| i128::from(whole) * weight;
    let down = |weight: i128| if sum == 0 { 0 } else { i64::try_from(exact(weight) / sum).unwrap_or(i64::MAX) };
    let mut shares: Vec<i64> = weights.iter().map(|&weight| down(weight)).collect();
    let left = whole - shares.iter().sum::<i64>();
    if sum == 0 {
        shares.iter_mut().take(1).for_each(|share| *share = whole);
        return shares;
    }
    let mut order: Vec<(&mut i64, i128)> =
        shares.iter_mut().zip(&weights).map(|(share, &weight)| (share, exact(weight) % sum)).collect();
    order.sort_by_key(|(_, lost)| std::cmp::Reverse(*lost));
    for (share, _) in order.into_iter().take(usize::try_from(left).unwrap_or(0)) {
        *share += 1;
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_add_up_and_follow_the_weights() {
        assert_eq!(in_proportion(100, &[1, 1, 1]), [34, 33, 33]);
        assert_eq!(in_proportion(10_000, &[7_500, 2_500]), [7_500, 2_500]);
        assert_eq!(in_proportion(5, &[0, 0]), [5, 0]);
        assert_eq!(in_proportion(0, &[3, 4]), [0, 0]);
        assert_eq!(in_proportion(101, &[10, 0, 20]), [34, 0, 67]);
    }

    proptest::proptest! {
        #[test]
        fn no_share_is_a_coin_off(whole in 0_i64..1_000_000, weights in proptest::collection::vec(0_i64..100_000, 1..6)) {
            let shares = in_proportion(whole, &weights);
            proptest::prop_assert_eq!(shares.iter().sum::<i64>(), whole);
            let sum: i64 = weights.iter().sum();
            for (share, weight) in shares.iter().zip(&weights).filter(|_| sum > 0) {
                proptest::prop_assert!((share * sum - whole * weight).abs() < sum);
            }
        }
    }
}
