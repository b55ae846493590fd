//! The cheapest order where every supplier's terms are settled.
//!
//! What couples the lots is that some suppliers are paid no less than their floor. Discounts at these give a bound as in
//! [`super::dual`]. Of each lot the covers are listed that cost no more by it than the gap allows; a lot with too many stays as it is,
//! and is asked for its cheapest cover whenever the discounts change. If all lots are listed and the lists are short, they are joined
//! exactly; otherwise the list most in dispute is divided in two, which narrows the gap of both parts.

use super::cover::{Cover, ONE, Prices, plus};
use super::join::Join;
use super::limits::Work;
use super::lots::Lot;
use super::near::{Label, Near};
use super::programme::Programme;

/// Lists are joined if they have no more combinations than this power of e.
const MOST_COMBINATIONS: f64 = 28.0;

/// The longest list.
const MOST_LISTED: usize = 3_000;

/// The longest list of a lot of which only the cheapest covers are tried.
const MOST_SKETCHED: usize = 500;

/// Divisions before an order is given up.
const MOST_DIVISIONS: usize = 5_000;

/// Divisions while only the cheapest covers of some lots are tried.
const MOST_SKETCHES: usize = 50;

/// The settling of one order.
pub(super) struct Settle<'a> {
    programme: &'a Programme,
    lots: &'a mut [Lot],
    /// Prices without discounts; suppliers not ordered from are left out.
    plain: Prices,
    /// Suppliers that are paid no less than a floor, and the floors.
    watch: Vec<usize>,
    floors: Vec<i64>,
    /// By lot, the covers that came up.
    labels: Vec<Labels>,
    /// The best cost known, goods and topping up together, and the cover of each lot it comes of if it was found here.
    best: (i64, Option<Vec<usize>>),
    /// Lists may be so many times as long as usual, and as many more divisions are made.
    room: usize,
    divisions: usize,
    work: &'a mut Work,
}

/// Covers of a lot, each in its place for good.
#[derive(Debug, Clone, Default)]
struct Labels(Vec<Label>);

impl Labels {
    /// Adds covers and returns their places.
    fn add(&mut self, found: Vec<Label>) -> Vec<usize> {
        let from = self.0.len();
        self.0.extend(found);
        (from..self.0.len()).collect()
    }
}

/// What is left of a lot.
#[derive(Debug, Clone)]
enum Left {
    /// All its covers; over this gap there were too many to list.
    Whole(i64),
    /// These, by their place among the labels.
    Listed(Vec<usize>),
}

/// A part of all orders: what is left of each lot, and discounts that bounded it before.
#[derive(Debug, Clone)]
struct Part {
    left: Vec<Left>,
    discounts: Vec<i64>,
}

/// A bound over a part.
struct Bound {
    /// In [`ONE`]s.
    value: i64,
    /// For each lot what its cheapest cover costs by it, and which it is.
    least: Vec<(i64, usize)>,
    /// What these spend at each supplier watched.
    watched: Vec<i64>,
}

/// There is too much to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TooMany;

impl<'a> Settle<'a> {
    /// The lots with prices that leave out closed suppliers, the suppliers watched with their floors, a cost to better, and how many
    /// times the usual room it may take.
    pub(super) fn new(
        programme: &'a Programme,
        lots: &'a mut [Lot],
        plain: Prices,
        watch: &[(usize, i64)],
        cost: i64,
        room: usize,
        work: &'a mut Work,
    ) -> Self {
        let (watch, floors) = watch.iter().copied().unzip();
        let labels = vec![Labels::default(); lots.len()];
        Self { programme, lots, plain, watch, floors, labels, best: (cost, None), room, divisions: room * MOST_DIVISIONS, work }
    }

    /// Seeks an order that costs less, from some discounts on. Returns the best found, and whether it is sure that there is no other.
    pub(super) fn run(mut self, discounts: &[i64]) -> (Option<Vec<Cover>>, bool) {
        let discounts = self.watch.iter().map(|&supplier| discounts[supplier]).collect();
        let all = Part { left: vec![Left::Whole(i64::MAX); self.lots.len()], discounts };
        let settled = self.sketch(all.clone()) && self.divide(all);
        let chosen = self.best.1.map(|chosen| {
            let labels = self.labels.iter_mut().zip(chosen).map(|(labels, at)| labels.0.swap_remove(at));
            labels.map(|label| label.cover(self.programme)).collect()
        });
        (chosen, settled)
    }

    /// The highest bound, in [`ONE`]s, below which something better may lie.
    fn target(&self) -> i64 {
        (self.best.0 - 1).saturating_mul(ONE)
    }

    /// Betters the best as far as a part allows. Returns whether it is sure that the part holds nothing better.
    fn divide(&mut self, mut part: Part) -> bool {
        let Some(bound) = self.climb(&mut part) else { return true };
        if bound.value > self.target() {
            return true;
        }
        self.list(&mut part, &bound);
        if self.join(&part, &bound) {
            return true;
        }
        if self.divisions == 0 || self.work.is_done() {
            return false;
        }
        self.divisions -= 1;
        if let Some(parts) = self.parts(&part, &bound) {
            let mut settled = true;
            for part in parts {
                settled &= self.divide(part);
            }
            return settled;
        }
        // Only lots too long to list are left. With a better order they may not be.
        let before = self.best.0;
        self.sketch(part.clone());
        self.best.0 < before && self.divide(part)
    }

    /// Seeks a better order in a part with only the cheapest covers of the lots that are too long to list. Returns false if there is
    /// no time.
    fn sketch(&mut self, mut part: Part) -> bool {
        let Some(bound) = self.climb(&mut part) else { return true };
        let gap = self.target() - bound.value;
        if gap < 0 {
            return true;
        }
        self.list(&mut part, &bound);
        let prices = self.prices(&part.discounts);
        for (lot, left) in part.left.iter_mut().enumerate() {
            let mut extra = gap / 3;
            while let Left::Whole(_) = left {
                let near =
                    Near { prices: &prices, watch: &self.watch, budget: plus(bound.least[lot].0, extra), most: MOST_SKETCHED };
                match self.lots[lot].near(near, self.work) {
                    Some(found) => *left = Left::Listed(self.labels[lot].add(found)),
                    None if extra == 0 || self.work.is_done() => return false,
                    None => extra /= 3,
                }
            }
        }
        let divisions = std::mem::replace(&mut self.divisions, MOST_SKETCHES);
        self.divide(part);
        self.divisions = divisions;
        true
    }

    /// Cost of a cover at some discounts, in [`ONE`]s.
    fn reduced(label: &Label, discounts: &[i64]) -> i64 {
        let off: i64 = label.watched.iter().zip(discounts).map(|(money, discount)| money * discount).sum();
        label.goods * ONE - off
    }

    fn prices(&self, discounts: &[i64]) -> Prices {
        let mut prices = self.plain.clone();
        for (&supplier, discount) in self.watch.iter().zip(discounts) {
            prices.keep[supplier] = Some(ONE - discount);
        }
        prices
    }

    /// The bound of a part; `None` if nothing is left.
    fn bound(&mut self, part: &Part, discounts: &[i64]) -> Option<Bound> {
        let prices = self.prices(discounts);
        let mut value: i64 = self.floors.iter().zip(discounts).map(|(floor, discount)| floor * discount).sum();
        let mut watched = vec![0; self.floors.len()];
        let mut least = Vec::with_capacity(part.left.len());
        for (lot, left) in part.left.iter().enumerate() {
            let (cost, at) = match left {
                Left::Listed(listed) => {
                    self.work.spend(listed.len() * 2);
                    listed.iter().map(|&at| (Self::reduced(&self.labels[lot].0[at], discounts), at)).min()?
                }
                Left::Whole(_) => {
                    let (cost, cover) = self.lots[lot].cheapest(self.programme, &prices, self.work)?;
                    (cost, self.label(lot, cover))
                }
            };
            value = plus(value, cost);
            watched.iter_mut().zip(&self.labels[lot].0[at].watched).for_each(|(sum, money)| *sum += money);
            least.push((cost, at));
        }
        self.consider(least.iter().map(|least| least.1).collect());
        Some(Bound { value, least, watched })
    }

    /// The place of a cover among the labels of a lot.
    fn label(&mut self, lot: usize, cover: Cover) -> usize {
        let labels = &mut self.labels[lot].0;
        labels.iter().position(|label| label.packs == cover.packs).unwrap_or_else(|| {
            let spent = |supplier: usize| cover.spend.iter().find(|spend| spend.0 == supplier).map_or(0, |spend| spend.1);
            let watched = self.watch.iter().map(|&supplier| spent(supplier)).collect();
            let goods = cover.spend.iter().map(|spend| spend.1).sum();
            labels.push(Label { reduced: 0, goods, watched, packs: cover.packs, slots: cover.slots });
            labels.len() - 1
        })
    }

    /// Takes a choice as the best if it is.
    fn consider(&mut self, chosen: Vec<usize>) {
        let labels = || self.labels.iter().zip(&chosen).map(|(labels, &at)| &labels.0[at]);
        let goods: i64 = labels().map(|label| label.goods).sum();
        let missing = |(at, floor): (usize, &i64)| (floor - labels().map(|label| label.watched[at]).sum::<i64>()).max(0);
        let cost = goods + self.floors.iter().enumerate().map(missing).sum::<i64>();
        if cost < self.best.0 {
            self.best = (cost, Some(chosen));
        }
    }

    /// Seeks the best discounts by subgradient steps, and keeps them; `None` if nothing is left.
    fn climb(&mut self, part: &mut Part) -> Option<Bound> {
        let mut best = self.bound(part, &part.discounts.clone())?;
        let mut at: Vec<f64> = part.discounts.iter().map(|&discount| discount as f64).collect();
        let (mut pace, mut slope) = (1.0, self.slope(&best.watched));
        let mut gap = (self.target() - best.value).max(ONE) as f64;
        for _ in 0..60 {
            // In money: a step of one moves a discount by one part in its floor.
            let length: f64 = slope.iter().zip(&self.floors).map(|(rise, &floor)| (rise / floor as f64).powi(2)).sum();
            if length < 1e-18 || best.value > self.target() || pace < 1e-3 {
                break;
            }
            for ((at, rise), &floor) in at.iter_mut().zip(&slope).zip(&self.floors) {
                let scale = floor as f64 * floor as f64;
                *at = (*at + pace * gap * rise / scale / length).clamp(0.0, ONE as f64);
            }
            #[expect(clippy::cast_possible_truncation, reason = "between none and ONE")]
            let discounts: Vec<i64> = at.iter().map(|discount| discount.round() as i64).collect();
            let next = self.bound(part, &discounts)?;
            slope = self.slope(&next.watched);
            gap = (self.target() - next.value).max(ONE) as f64;
            if next.value > best.value {
                (best, part.discounts) = (next, discounts);
            } else {
                pace *= 0.85;
            }
        }
        Some(best)
    }

    fn slope(&self, watched: &[i64]) -> Vec<f64> {
        self.floors.iter().zip(watched).map(|(floor, watched)| (floor - watched) as f64).collect()
    }

    /// Drops covers that cost more than the gap allows from the lists, and lists the lots that have few enough others.
    fn list(&mut self, part: &mut Part, bound: &Bound) {
        let gap = self.target() - bound.value;
        let prices = self.prices(&part.discounts);
        for (lot, left) in part.left.iter_mut().enumerate() {
            let budget = plus(bound.least[lot].0, gap);
            match left {
                Left::Listed(listed) => {
                    let labels = &self.labels[lot].0;
                    listed.retain(|&at| Self::reduced(&labels[at], &part.discounts) <= budget);
                }
                // Half as wide a gap is worth another try.
                Left::Whole(failed) if gap / 2 > *failed / 4 => {}
                Left::Whole(failed) => {
                    let near = Near { prices: &prices, watch: &self.watch, budget, most: self.room * MOST_LISTED };
                    match self.lots[lot].near(near, self.work) {
                        Some(found) => *left = Left::Listed(self.labels[lot].add(found)),
                        None => *failed = gap,
                    }
                }
            }
        }
    }

    /// Joins what is left, if that is little enough. Returns whether it is done.
    fn join(&mut self, part: &Part, bound: &Bound) -> bool {
        let mut lists = Vec::new();
        let mut combinations = 0.0;
        for left in &part.left {
            let Left::Listed(listed) = left else { return false };
            combinations += (listed.len() as f64).ln();
            lists.push(listed);
        }
        if combinations > MOST_COMBINATIONS {
            return false;
        }
        let labels: Vec<Vec<Label>> = self
            .labels
            .iter()
            .zip(&lists)
            .map(|(labels, listed)| {
                let label =
                    |&at: &usize| Label { reduced: Self::reduced(&labels.0[at], &part.discounts), ..labels.0[at].clone() };
                listed.iter().map(label).collect()
            })
            .collect();
        let least: i64 = bound.least.iter().map(|least| least.0).sum();
        let join = Join { lists: &labels, floors: &self.floors, budget: least + self.target() - bound.value };
        match join.run(self.work) {
            Err(TooMany) => false,
            Ok(found) => {
                if let Some((_, chosen)) = found {
                    self.consider(chosen.iter().zip(&lists).map(|(&at, listed)| listed[at]).collect());
                }
                true
            }
        }
    }

    /// Divides the list in which covers that cost about the same differ most in what they spend at a supplier watched. `None` if no
    /// list can be divided.
    fn parts(&self, part: &Part, bound: &Bound) -> Option<Vec<Part>> {
        let gap = self.target() - bound.value;
        let mut widest: Option<(i64, usize, usize, i64)> = None;
        for (lot, left) in part.left.iter().enumerate() {
            let Left::Listed(listed) = left else { continue };
            let (least, chosen) = bound.least[lot];
            for label in listed.iter().map(|&at| &self.labels[lot].0[at]) {
                let dearer = Self::reduced(label, &part.discounts) - least;
                for (supplier, money) in label.watched.iter().enumerate() {
                    let usual = self.labels[lot].0[chosen].watched[supplier];
                    let dispute = (money - usual).abs().saturating_mul(gap - dearer + 1) / (gap + 1);
                    if dispute > widest.map_or(0, |widest| widest.0) {
                        widest = Some((dispute, lot, supplier, i64::midpoint(*money, usual)));
                    }
                }
            }
        }
        let (_, lot, supplier, middle) = widest?;
        let Left::Listed(listed) = &part.left[lot] else { return None };
        let above = |at: usize| self.labels[lot].0[at].watched[supplier] > middle;
        let usual = above(bound.least[lot].1);
        let (with, without): (Vec<usize>, Vec<usize>) = listed.iter().partition(|&&at| above(at) == usual);
        let parts = [with, without].into_iter().filter(|listed| !listed.is_empty());
        Some(
            parts
                .map(|listed| {
                    let mut part = part.clone();
                    part.left[lot] = Left::Listed(listed);
                    part
                })
                .collect(),
        )
    }
}
