//! One cover for every lot, from lists of near-cheapest ones: exact where every supplier's terms are settled.
//!
//! The lots are dealt into two halves. Of each half all orders within the budget are made, lot by lot, leaving out those that another
//! is never dearer than; then each order of one half is tried with those of the other that the budget allows.

use super::limits::Work;
use super::near::Label;
use super::settle::TooMany;

/// The most partial orders kept of a half.
const MOST_ORDERS: usize = 5_000;

/// What is joined: lists of covers by lot, and the floor to be reached at each supplier watched.
#[derive(Debug)]
pub(super) struct Join<'a> {
    /// By lot; none is empty.
    pub(super) lists: &'a [Vec<Label>],
    /// By supplier watched.
    pub(super) floors: &'a [i64],
    /// The most the covers together may cost at the prices of the bound.
    pub(super) budget: i64,
}

/// An order in the making.
#[derive(Debug, Clone)]
struct Partial {
    reduced: i64,
    goods: i64,
    watched: Vec<i64>,
    /// The cover of the lot just joined, and the order before.
    cover: usize,
    before: usize,
}

/// A half of the lots.
struct Half {
    lots: Vec<usize>,
    /// Orders after each lot.
    stages: Vec<Vec<Partial>>,
}

impl Join<'_> {
    /// The cheapest order within the budget, as what goods and topping up cost and a cover for each lot; `Ok(None)` if there is none.
    ///
    /// # Errors
    /// If there are too many to tell.
    pub(super) fn run(&self, work: &mut Work) -> Result<Option<(i64, Vec<usize>)>, TooMany> {
        let least: Vec<i64> = self.lists.iter().map(|list| list.iter().map(|label| label.reduced).min().unwrap_or(0)).collect();
        let spare = self.budget - least.iter().sum::<i64>();
        if spare < 0 {
            return Ok(None);
        }
        let [first, second] = self.deal();
        let first = self.half(first, &least, spare, work)?;
        let second = self.half(second, &least, spare, work)?;
        let Some((cost, pair)) = self.pair(first.last(), second.last(), work)? else { return Ok(None) };
        let mut covers = vec![0; self.lists.len()];
        first.trace(pair.0, &mut covers);
        second.trace(pair.1, &mut covers);
        Ok(Some((cost, covers)))
    }

    /// Deals the lots into two halves with about as many combinations each, the longest lists first.
    fn deal(&self) -> [Vec<usize>; 2] {
        let mut lots: Vec<usize> = (0..self.lists.len()).collect();
        lots.sort_by_key(|&lot| (std::cmp::Reverse(self.lists[lot].len()), lot));
        let mut halves = [Vec::new(), Vec::new()];
        let mut weight = [0.0; 2];
        for lot in lots {
            let lighter = usize::from(weight[1] < weight[0]);
            weight[lighter] += (self.lists[lot].len() as f64).ln();
            halves[lighter].push(lot);
        }
        halves
    }

    /// All orders of some lots that cost at most `spare` more than the least.
    fn half(&self, lots: Vec<usize>, least: &[i64], spare: i64, work: &mut Work) -> Result<Half, TooMany> {
        let start = Partial { reduced: 0, goods: 0, watched: vec![0; self.floors.len()], cover: 0, before: 0 };
        let mut stages = vec![vec![start]];
        let mut reached = 0;
        for &lot in &lots {
            reached += least[lot];
            let mut next = Vec::new();
            for (before, partial) in stages.last().into_iter().flatten().enumerate() {
                work.spend(self.lists[lot].len() * 4);
                for (cover, label) in self.lists[lot].iter().enumerate() {
                    let reduced = partial.reduced + label.reduced;
                    if reduced - reached <= spare {
                        let watched = partial.watched.iter().zip(&label.watched).map(|(a, b)| a + b).collect();
                        next.push(Partial { reduced, goods: partial.goods + label.goods, watched, cover, before });
                    }
                }
                if next.len() > 10 * MOST_ORDERS || work.is_done() {
                    return Err(TooMany);
                }
            }
            let next = undominated(next, work);
            if next.len() > MOST_ORDERS {
                return Err(TooMany);
            }
            stages.push(next);
        }
        if let Some(last) = stages.last_mut() {
            last.sort_by_key(|partial| partial.reduced);
        }
        Ok(Half { lots, stages })
    }

    /// The cheapest pair of an order of each half, both sorted by what they cost at the prices of the bound.
    fn pair(&self, first: &[Partial], second: &[Partial], work: &mut Work) -> Result<Option<(i64, (usize, usize))>, TooMany> {
        let mut best: Option<(i64, (usize, usize))> = None;
        for (a, one) in first.iter().enumerate() {
            let within = second.partition_point(|other| one.reduced + other.reduced <= self.budget);
            if within == 0 {
                break;
            }
            work.spend(within);
            if work.is_done() {
                return Err(TooMany);
            }
            for (b, other) in second[..within].iter().enumerate() {
                let goods = one.goods + other.goods;
                if best.is_some_and(|(cost, _)| goods >= cost) {
                    continue;
                }
                let watched = one.watched.iter().zip(&other.watched).zip(self.floors);
                let cost = goods + watched.map(|((a, b), floor)| (floor - a - b).max(0)).sum::<i64>();
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, (a, b)));
                }
            }
        }
        Ok(best)
    }
}

impl Half {
    fn last(&self) -> &[Partial] {
        self.stages.last().map_or(&[], Vec::as_slice)
    }

    /// Notes the covers that led to an order of the last stage.
    fn trace(&self, mut at: usize, covers: &mut [usize]) {
        for (&lot, stage) in self.lots.iter().zip(&self.stages[1..]).rev() {
            covers[lot] = stage[at].cover;
            at = stage[at].before;
        }
    }
}

/// Leaves out orders that another is never dearer than. Each is compared with some of the cheaper ones only, so a few may stay.
fn undominated(mut partials: Vec<Partial>, work: &mut Work) -> Vec<Partial> {
    const COMPARED: usize = 100;
    partials.sort_by(|a, b| (a.goods, &b.watched, a.before, a.cover).cmp(&(b.goods, &a.watched, b.before, b.cover)));
    let mut kept: Vec<Partial> = Vec::new();
    for partial in partials {
        let dominates = |better: &Partial| {
            let missing: i64 = better.watched.iter().zip(&partial.watched).map(|(mine, its)| (its - mine).max(0)).sum();
            better.goods + missing <= partial.goods
        };
        let compared = kept.len().min(COMPARED);
        work.spend(compared);
        if !kept[kept.len() - compared..].iter().rev().any(dominates) {
            kept.push(partial);
        }
    }
    kept
}
