//! The cheapest choice of one cover a lot from lists, where every supplier's terms are settled.
//!
//! What couples the lists is that each supplier watched is paid no less than its floor. Discounts at the watched suppliers give a
//! bound as in [`super::dual`]; covers that cost more by it than the gap allows drop out; what is left is joined exactly if it is
//! little, and otherwise divided at the list that is most in dispute.

use super::cover::ONE;
use super::join::Join;
use super::limits::Work;
use super::near::Label;

/// What to choose from.
#[derive(Debug)]
pub(super) struct Settle<'a> {
    /// By lot; none is empty.
    pub(super) lists: &'a [Vec<Label>],
    /// By supplier watched.
    pub(super) floors: &'a [i64],
    /// The best cost known, goods and topping up together, and the covers it comes of, if they are from these lists.
    pub(super) best: (i64, Option<Vec<usize>>),
    /// Divisions left before it is given up.
    pub(super) divisions: usize,
}

/// The covers left of each list, by index, with the discounts that bounded them before.
#[derive(Debug, Clone)]
struct Left {
    covers: Vec<Vec<usize>>,
    discounts: Vec<i64>,
}

/// A bound over what is left.
struct Bound {
    /// In [`ONE`]s.
    value: i64,
    /// The cheapest cover of each list by it, and what it costs.
    least: Vec<(i64, usize)>,
    /// What the cheapest covers spend at each supplier watched.
    watched: Vec<i64>,
}

/// There is too much to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TooMany;

impl Settle<'_> {
    /// Betters `best` as far as the lists allow, starting from some discounts.
    ///
    /// # Errors
    /// If it is given up.
    pub(super) fn run(&mut self, discounts: Vec<i64>, work: &mut Work) -> Result<(), TooMany> {
        let covers = self.lists.iter().map(|list| (0..list.len()).collect()).collect();
        self.divide(Left { covers, discounts }, work)
    }

    /// The highest bound, in [`ONE`]s, below which something better may lie.
    fn target(&self) -> i64 {
        (self.best.0 - 1).saturating_mul(ONE)
    }

    fn divide(&mut self, mut left: Left, work: &mut Work) -> Result<(), TooMany> {
        let bound = self.climb(&mut left, work);
        if bound.value > self.target() {
            return Ok(());
        }
        self.drop_dear(&mut left, &bound);
        if let Some(done) = self.join(&left, &bound, work) {
            return done;
        }
        if self.divisions == 0 || work.is_done() {
            return Err(TooMany);
        }
        self.divisions -= 1;
        for part in self.parts(&left, &bound) {
            self.divide(part, work)?;
        }
        Ok(())
    }

    /// Cost of a cover at some discounts, in [`ONE`]s.
    fn reduced(label: &Label, discounts: &[i64]) -> i64 {
        let off: i64 = label.watched.iter().zip(discounts).map(|(money, discount)| money * discount).sum();
        label.goods * ONE - off
    }

    fn bound(&self, left: &Left, discounts: &[i64], work: &mut Work) -> Bound {
        let mut value: i64 = self.floors.iter().zip(discounts).map(|(floor, discount)| floor * discount).sum();
        let mut watched = vec![0; self.floors.len()];
        let mut least = Vec::with_capacity(self.lists.len());
        for (list, covers) in self.lists.iter().zip(&left.covers) {
            work.spend(covers.len() * 2);
            let costs = covers.iter().map(|&at| (Self::reduced(&list[at], discounts), at));
            let Some((cost, at)) = costs.min() else { continue };
            value += cost;
            watched.iter_mut().zip(&list[at].watched).for_each(|(sum, money)| *sum += money);
            least.push((cost, at));
        }
        Bound { value, least, watched }
    }

    /// Seeks the best discounts by subgradient steps, and keeps them.
    fn climb(&mut self, left: &mut Left, work: &mut Work) -> Bound {
        let mut best = self.bound(left, &left.discounts, work);
        self.offer(&best);
        let mut at: Vec<f64> = left.discounts.iter().map(|&discount| discount as f64).collect();
        let (mut pace, mut slope) = (1.0, self.slope(&best.watched));
        let mut gap = (self.target() - best.value).max(ONE) as f64;
        for _ in 0..60 {
            // In money: a step of one moves a discount by one part in its floor.
            let length: f64 = slope.iter().zip(self.floors).map(|(rise, &floor)| (rise / floor as f64).powi(2)).sum();
            if length < 1e-18 || best.value > self.target() || pace < 1e-3 {
                break;
            }
            for ((at, rise), &floor) in at.iter_mut().zip(&slope).zip(self.floors) {
                let scale = floor as f64 * floor as f64;
                *at = (*at + pace * gap * rise / scale / length).clamp(0.0, ONE as f64);
            }
            #[expect(clippy::cast_possible_truncation, reason = "between none and ONE")]
            let discounts: Vec<i64> = at.iter().map(|discount| discount.round() as i64).collect();
            let next = self.bound(left, &discounts, work);
            self.offer(&next);
            slope = self.slope(&next.watched);
            gap = (self.target() - next.value).max(ONE) as f64;
            if next.value > best.value {
                (best, left.discounts) = (next, discounts);
            } else {
                pace *= 0.85;
            }
        }
        best
    }

    fn slope(&self, watched: &[i64]) -> Vec<f64> {
        self.floors.iter().zip(watched).map(|(floor, watched)| (floor - watched) as f64).collect()
    }

    /// Takes the cheapest covers of a bound as the best choice, if they are.
    fn offer(&mut self, bound: &Bound) {
        if bound.least.len() == self.lists.len() {
            self.consider(bound.least.iter().map(|least| least.1).collect());
        }
    }

    fn consider(&mut self, covers: Vec<usize>) {
        let chosen = || self.lists.iter().zip(&covers).map(|(list, &at)| &list[at]);
        let goods: i64 = chosen().map(|label| label.goods).sum();
        let missing = |(at, floor): (usize, &i64)| (floor - chosen().map(|label| label.watched[at]).sum::<i64>()).max(0);
        let cost = goods + self.floors.iter().enumerate().map(missing).sum::<i64>();
        if cost < self.best.0 {
            self.best = (cost, Some(covers));
        }
    }

    /// Drops covers that cost more than the gap allows.
    fn drop_dear(&self, left: &mut Left, bound: &Bound) {
        let gap = self.target() - bound.value;
        for ((list, covers), &(least, _)) in self.lists.iter().zip(&mut left.covers).zip(&bound.least) {
            covers.retain(|&at| Self::reduced(&list[at], &left.discounts) - least <= gap);
        }
    }

    /// Joins what is left, if it is little enough.
    fn join(&mut self, left: &Left, bound: &Bound, work: &mut Work) -> Option<Result<(), TooMany>> {
        let combinations: f64 = left.covers.iter().map(|covers| (covers.len() as f64).ln()).sum();
        if combinations > 28.0 {
            return None;
        }
        let lists: Vec<Vec<Label>> = self
            .lists
            .iter()
            .zip(&left.covers)
            .map(|(list, covers)| {
                let label = |&at: &usize| Label { reduced: Self::reduced(&list[at], &left.discounts), ..list[at].clone() };
                covers.iter().map(label).collect()
            })
            .collect();
        let least: i64 = bound.least.iter().map(|least| least.0).sum();
        let join = Join { lists: &lists, floors: self.floors, budget: least + self.target() - bound.value };
        let found = join.run(work).ok()?;
        if let Some((_, covers)) = found {
            self.consider(covers.iter().zip(&left.covers).map(|(&at, covers)| covers[at]).collect());
        }
        Some(Ok(()))
    }

    /// Divides the list in which near-cheapest covers differ most in what they spend at a supplier watched.
    fn parts(&self, left: &Left, bound: &Bound) -> Vec<Left> {
        let gap = self.target() - bound.value;
        let mut widest: Option<(i64, usize, usize, i64)> = None;
        for (lot, (list, covers)) in self.lists.iter().zip(&left.covers).enumerate() {
            let (least, chosen) = bound.least[lot];
            for &at in covers {
                let dearer = Self::reduced(&list[at], &left.discounts) - least;
                for (supplier, money) in list[at].watched.iter().enumerate() {
                    let apart = (money - list[chosen].watched[supplier]).abs();
                    // What lies far apart and costs about the same is most in dispute.
                    let dispute = apart.saturating_mul(gap - dearer + 1) / (gap + 1);
                    if widest.is_none_or(|widest| dispute > widest.0) {
                        widest = Some((dispute, lot, supplier, i64::midpoint(*money, list[chosen].watched[supplier])));
                    }
                }
            }
        }
        let Some((_, lot, supplier, middle)) = widest else { return Vec::new() };
        let chosen = self.lists[lot][bound.least[lot].1].watched[supplier];
        let (mut with, mut without) = (left.clone(), left.clone());
        let above = |&at: &usize| self.lists[lot][at].watched[supplier] > middle;
        with.covers[lot].retain(|at| above(at) == (chosen > middle));
        without.covers[lot].retain(|at| above(at) != (chosen > middle));
        [with, without].into_iter().filter(|part| !part.covers[lot].is_empty()).collect()
    }
}
