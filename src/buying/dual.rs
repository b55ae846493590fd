//! Lower bounds on the whole order: prices at which the lots can be covered each for itself.
//!
//! What couples the lots is the postage. A supplier's terms are `max(goods, floor) + fee`, if it is ordered from at all. For any
//! *discount* λ between none and the whole price, `max(goods, floor) ≥ (1 − λ)·goods + λ·floor`; and for any *charges* on the slots of
//! a supplier, either it is ordered from and all charges come back, or no slot is used. So
//!
//! Σ over suppliers of the least, over the options open to it, of `0` (nothing ordered) or `fee + λ·floor − Σ charges`
//! + Σ over lots of the cheapest cover at discounted prices and charges
//!
//! is never above the cost of an order (Lagrangian relaxation; the charges are those of the facility location problem). Discounts and
//! charges are sought in floating point by subgradient steps on the covers known; the bound itself is then worked out in whole
//! numbers over all covers.

use super::cover::{Cover, ONE, Prices, plus, times};
use super::pool::Pool;
use super::programme::Terms;

/// What may still become of a supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Options {
    /// Nothing may be ordered.
    pub(super) closed: bool,
    /// Terms under which something may be.
    pub(super) terms: Vec<Terms>,
}

impl Options {
    /// How many there are.
    pub(super) fn len(&self) -> usize {
        usize::from(self.closed) + self.terms.len()
    }

    /// Each alone.
    pub(super) fn each(&self) -> impl Iterator<Item = Self> + '_ {
        let closed = self.closed.then(|| Self { closed: true, terms: Vec::new() });
        closed.into_iter().chain(self.terms.iter().map(|&terms| Self { closed: false, terms: vec![terms] }))
    }
}

/// Discounts and charges, in [`ONE`]s.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Multipliers {
    /// By supplier.
    pub(super) discount: Vec<i64>,
    /// By slot.
    pub(super) charge: Vec<i64>,
    /// What each parcel costs on top, where their number is limited.
    pub(super) parcel: i64,
}

impl Multipliers {
    pub(super) fn none(suppliers: usize, slots: usize) -> Self {
        Self { discount: vec![0; suppliers], charge: vec![0; slots], parcel: 0 }
    }

    /// These, without discounts where there is no floor to reach.
    pub(super) fn within(&self, options: &[Options]) -> Self {
        let mut at = self.clone();
        for (discount, options) in at.discount.iter_mut().zip(options) {
            if options.terms.iter().all(|terms| terms.floor == 0) {
                *discount = 0;
            }
        }
        at
    }
}

/// The postage as the bound sees it: which slots belong to which supplier, and how many parcels there may be.
#[derive(Debug)]
pub(super) struct Postage {
    /// Slots by supplier.
    pub(super) slots: Vec<Vec<usize>>,
    /// The most parcels.
    pub(super) most_parcels: Option<i64>,
}

impl Postage {
    /// The suppliers' part of the bound, in [`ONE`]s.
    pub(super) fn bound(&self, options: &[Options], at: &Multipliers) -> i64 {
        let each = options.iter().enumerate().map(|(supplier, options)| {
            let back: i64 = if options.closed { self.slots[supplier].iter().map(|&slot| at.charge[slot]).sum() } else { 0 };
            let open = options
                .terms
                .iter()
                .map(|terms| plus(times(terms.fee, ONE), times(at.discount[supplier], terms.floor)) + at.parcel - back);
            open.chain(options.closed.then_some(0)).min().unwrap_or(0)
        });
        each.sum::<i64>() - at.parcel * self.most_parcels.unwrap_or(0)
    }

    /// The prices for covers.
    pub(super) fn prices(&self, options: &[Options], at: &Multipliers) -> Prices {
        let mut charge = vec![0; at.charge.len()];
        for (options, slots) in options.iter().zip(&self.slots) {
            if options.closed {
                slots.iter().for_each(|&slot| charge[slot] = at.charge[slot]);
            }
        }
        let keep =
            options.iter().zip(&at.discount).map(|(options, discount)| (!options.terms.is_empty()).then_some(ONE - discount));
        Prices { keep: keep.collect(), charge }
    }
}

/// A climb towards the best bound over the covers known, in floating point.
pub(super) struct Climb<'a> {
    postage: &'a Postage,
    pool: &'a Pool,
    options: &'a [Options],
    discount: Vec<f64>,
    charge: Vec<f64>,
    parcel: f64,
}

/// Which way the bound rises.
struct Slope {
    bound: f64,
    discount: Vec<f64>,
    charge: Vec<f64>,
    parcel: f64,
}

impl<'a> Climb<'a> {
    pub(super) fn new(postage: &'a Postage, pool: &'a Pool, options: &'a [Options], from: &Multipliers) -> Self {
        let real = |values: &[i64]| -> Vec<f64> { values.iter().map(|&value| value as f64 / ONE as f64).collect() };
        let mut charge = real(&from.charge);
        for (options, slots) in options.iter().zip(&postage.slots) {
            if !options.closed {
                slots.iter().for_each(|&slot| charge[slot] = 0.0);
            }
        }
        Self { postage, pool, options, discount: real(&from.discount), charge, parcel: from.parcel as f64 / ONE as f64 }
    }

    /// Takes steps towards `target`, a cost that the bound cannot pass, and returns the best multipliers found.
    pub(super) fn run(mut self, target: f64, steps: usize) -> Multipliers {
        let (mut pace, mut stalled) = (1.0, 0);
        let (mut best, mut best_bound) = (self.multipliers(), f64::NEG_INFINITY);
        for _ in 0..steps {
            let slope = self.slope();
            if slope.bound > best_bound + 1e-6 * target.abs() {
                stalled = 0;
            } else {
                stalled += 1;
                if stalled >= 5 {
                    (pace, stalled) = (pace * 0.6, 0);
                }
            }
            if slope.bound > best_bound {
                (best, best_bound) = (self.multipliers(), slope.bound);
            }
            let length = slope.length();
            if length < 1e-12 || pace < 1e-3 {
                break;
            }
            let gap = (target - slope.bound).max(target.abs() * 1e-5).max(0.01);
            self.step(&slope, pace * gap / length);
        }
        best
    }

    /// The scale of a supplier's discount: it is stepped in money, not in shares.
    fn scale(&self, supplier: usize) -> f64 {
        self.options[supplier].terms.iter().map(|terms| terms.floor).max().unwrap_or(0).max(1) as f64
    }

    fn slope(&self) -> Slope {
        let suppliers = self.options.len();
        let mut goods = vec![0.0; suppliers];
        let mut slope = Slope { bound: 0.0, discount: vec![0.0; suppliers], charge: vec![0.0; self.charge.len()], parcel: 0.0 };
        for covers in &self.pool.covers {
            let mut best: Option<(f64, &Cover)> = None;
            for cover in covers {
                let cost = self.cost(cover);
                if best.is_none_or(|(least, _)| cost < least) && cost < f64::INFINITY {
                    best = Some((cost, cover));
                }
            }
            let Some((cost, cover)) = best else { continue };
            slope.bound += cost;
            cover.spend.iter().for_each(|&(supplier, money)| goods[supplier] += money as f64);
            cover.slots.iter().for_each(|&slot| slope.charge[slot] += 1.0);
        }
        for (supplier, options) in self.options.iter().enumerate() {
            let slots = &self.postage.slots[supplier];
            let back: f64 = if options.closed { slots.iter().map(|&slot| self.charge[slot]).sum() } else { 0.0 };
            let open = options.terms.iter().map(|terms| {
                (terms.fee as f64 + self.discount[supplier] * terms.floor as f64 + self.parcel - back, terms.floor as f64)
            });
            let least = open.fold(None, |least: Option<(f64, f64)>, next| least.filter(|least| least.0 <= next.0).or(Some(next)));
            let ordered = least.filter(|least| !options.closed || least.0 < 0.0);
            let (cost, floor) = ordered.unwrap_or((0.0, 0.0));
            slope.bound += cost;
            slope.discount[supplier] = (floor - goods[supplier]) / self.scale(supplier);
            if ordered.is_some() {
                slope.parcel += 1.0;
                slots.iter().for_each(|&slot| slope.charge[slot] -= 1.0);
            }
            if !options.closed {
                slots.iter().for_each(|&slot| slope.charge[slot] = 0.0);
            }
            if options.terms.iter().all(|terms| terms.floor == 0) {
                slope.discount[supplier] = 0.0;
            }
        }
        match self.postage.most_parcels {
            Some(most) => {
                slope.bound -= self.parcel * most as f64;
                slope.parcel -= most as f64;
            }
            None => slope.parcel = 0.0,
        }
        self.clip(&mut slope);
        slope
    }

    /// Leaves out directions in which a multiplier is at its end.
    fn clip(&self, slope: &mut Slope) {
        for (rise, &at) in slope.discount.iter_mut().zip(&self.discount) {
            if (at <= 0.0 && *rise < 0.0) || (at >= 1.0 && *rise > 0.0) {
                *rise = 0.0;
            }
        }
        for (rise, &at) in slope.charge.iter_mut().zip(&self.charge) {
            if at <= 0.0 && *rise < 0.0 {
                *rise = 0.0;
            }
        }
        if self.parcel <= 0.0 && slope.parcel < 0.0 {
            slope.parcel = 0.0;
        }
    }

    fn cost(&self, cover: &Cover) -> f64 {
        let mut cost = 0.0;
        for &(supplier, money) in &cover.spend {
            if self.options[supplier].terms.is_empty() {
                return f64::INFINITY;
            }
            cost += money as f64 * (1.0 - self.discount[supplier]);
        }
        for &slot in &cover.slots {
            cost += self.charge[slot];
        }
        cost
    }

    fn step(&mut self, slope: &Slope, length: f64) {
        for supplier in 0..self.discount.len() {
            let moved = self.discount[supplier] + length * slope.discount[supplier] / self.scale(supplier);
            self.discount[supplier] = moved.clamp(0.0, 1.0);
        }
        for (charge, rise) in self.charge.iter_mut().zip(&slope.charge) {
            *charge = (*charge + length * rise).max(0.0);
        }
        self.parcel = (self.parcel + length * slope.parcel).max(0.0);
    }

    fn multipliers(&self) -> Multipliers {
        #[expect(clippy::cast_possible_truncation, reason = "any whole number is a valid multiplier; a cast saturates")]
        let whole = |value: f64| (value * ONE as f64).round().clamp(0.0, 1e15) as i64;
        Multipliers {
            discount: self.discount.iter().map(|&value| whole(value).min(ONE)).collect(),
            charge: self.charge.iter().map(|&value| whole(value)).collect(),
            parcel: whole(self.parcel),
        }
    }
}

impl Slope {
    fn length(&self) -> f64 {
        let squares = self.discount.iter().chain(&self.charge).chain([&self.parcel]);
        squares.map(|rise| rise * rise).sum()
    }
}
