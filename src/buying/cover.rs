//! Covers: ways to meet the needs of a lot, and the prices by which they are compared.

use super::programme::Programme;

/// Prices inside the search are counted in this fraction of a minor unit, so that shares of a price stay whole numbers.
pub(super) const ONE: i64 = 1 << 16;

/// More than any sum of prices; sums of two stay in range.
pub(super) const NEVER: i64 = i64::MAX / 4;

/// A sum that stays at [`NEVER`].
pub(super) fn plus(a: i64, b: i64) -> i64 {
    a.saturating_add(b).min(NEVER)
}

/// A product that stays at [`NEVER`].
pub(super) fn times(a: i64, b: i64) -> i64 {
    a.saturating_mul(b).min(NEVER)
}

/// Prices as a bound sees them. A *slot* is the offers of one supplier for one class of parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Prices {
    /// For each supplier, how much of each minor unit spent counts, in [`ONE`]s; `None` where nothing may be bought.
    pub(super) keep: Vec<Option<i64>>,
    /// For each slot, what using it at all costs on top.
    pub(super) charge: Vec<i64>,
}

/// One way to meet the needs of a lot.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Cover {
    /// Packs by offer, in the order of offers.
    pub(super) packs: Vec<(usize, i64)>,
    /// Money by supplier, in the order of suppliers.
    pub(super) spend: Vec<(usize, i64)>,
    /// Slots used, in order.
    pub(super) slots: Vec<usize>,
}

impl Cover {
    /// A cover from packs in any order and the slots they belong to.
    pub(super) fn new(programme: &Programme, mut packs: Vec<(usize, i64)>, mut slots: Vec<usize>) -> Self {
        packs.sort_unstable();
        packs.dedup_by(|next, kept| {
            next.0 == kept.0 && {
                kept.1 += next.1;
                true
            }
        });
        slots.sort_unstable();
        slots.dedup();
        let mut spend: Vec<(usize, i64)> =
            packs.iter().map(|&(offer, n)| (programme.offers[offer].supplier, times(programme.offers[offer].price, n))).collect();
        spend.sort_unstable();
        spend.dedup_by(|next, kept| {
            next.0 == kept.0 && {
                kept.1 = plus(kept.1, next.1);
                true
            }
        });
        Self { packs, spend, slots }
    }

    /// How many of some parts there are with the packs of this cover and the stock.
    pub(super) fn at_hand(&self, programme: &Programme, parts: &[usize]) -> Vec<i64> {
        let bought = |part: usize| -> i64 {
            let offers = self.packs.iter().map(|&(offer, n)| (&programme.offers[offer], n));
            offers.filter(|(offer, _)| offer.part == part).map(|(offer, n)| offer.pack.saturating_mul(n)).sum()
        };
        parts.iter().map(|&part| programme.parts[part].stock + bought(part)).collect()
    }
}
