//! One cover for every lot, from lists of near-cheapest ones: exact where every supplier's terms are settled.
//!
//! The lots are dealt into two halves. Of each half all orders within the budget are made, lot by lot, leaving out those that another
//! is never dearer than; then each order of one half is tried with those of the other that the budget allows.

use super::limits::Work;
use super::near::{Label, dominates};
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
#[derive(Debug, Clone, Copy)]
struct Partial {
    reduced: i64,
    /// The cover of the lot just joined, and the order before.
    cover: usize,
    before: usize,
}

/// Orders in the making, all after the same lot.
#[derive(Debug)]
struct Stage {
    partials: Vec<Partial>,
    /// Row by row what each costs and what it spends at each supplier watched: side by side, for each is compared with many.
    money: Vec<i64>,
    width: usize,
}

/// A half of the lots.
struct Half {
    lots: Vec<usize>,
    /// Orders after each lot.
    stages: Vec<Stage>,
}

impl Stage {
    /// No orders, over so many suppliers watched.
    fn empty(watched: usize) -> Self {
        Self { partials: Vec::new(), money: Vec::new(), width: watched + 1 }
    }

    fn len(&self) -> usize {
        self.partials.len()
    }

    fn push(&mut self, partial: Partial, money: impl IntoIterator<Item = i64>) {
        self.partials.push(partial);
        self.money.extend(money);
    }

    /// What an order costs, and what it spends at each supplier watched.
    fn money(&self, at: usize) -> &[i64] {
        &self.money[at * self.width..][..self.width]
    }

    /// The same orders in another sequence, those not named left out.
    fn picked(&self, order: impl IntoIterator<Item = usize>) -> Self {
        let mut picked = Self { partials: Vec::new(), money: Vec::new(), ..*self };
        for at in order {
            picked.push(self.partials[at], self.money(at).iter().copied());
        }
        picked
    }

    /// Those that no other is never dearer than. Each is compared with some of the cheaper ones only, so a few may stay.
    fn undominated(&self, work: &mut Work) -> Self {
        const COMPARED: usize = 100;
        let mut order: Vec<usize> = (0..self.len()).collect();
        // Of those alike in goods the one that has spent most where it counts comes first, since it may dominate the others.
        let before = |a: &[i64], b: &[i64]| a[0].cmp(&b[0]).then_with(|| b[1..].cmp(&a[1..]));
        order.sort_by(|&a, &b| before(self.money(a), self.money(b)));
        let mut kept = Self { partials: Vec::new(), money: Vec::new(), ..*self };
        for at in order {
            let mine = self.money(at);
            let from = kept.len().saturating_sub(COMPARED);
            work.spend((kept.len() - from) * kept.width);
            let mut cheaper = kept.money[from * kept.width..].rchunks_exact(kept.width);
            if !cheaper.any(|better| dominates(better, mine)) {
                kept.push(self.partials[at], mine.iter().copied());
            }
        }
        kept
    }
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
        let (reduced, money) = self.settled();
        let first = self.half(first, money, &least, spare, work)?;
        let second = self.half(second, vec![0; self.floors.len() + 1], &least, spare, work)?;
        let (Some(ends), Some(others)) = (first.stages.last(), second.stages.last()) else { return Ok(None) };
        let Some((cost, pair)) = self.pair(ends, others, self.budget - reduced, work)? else { return Ok(None) };
        let mut covers = vec![0; self.lists.len()];
        first.trace(pair.0, &mut covers);
        second.trace(pair.1, &mut covers);
        Ok(Some((cost, covers)))
    }

    /// What the lots with but one cover left cost together at the prices of the bound, and the money of these covers.
    fn settled(&self) -> (i64, Vec<i64>) {
        let (mut reduced, mut money) = (0, vec![0; self.floors.len() + 1]);
        for list in self.lists {
            if let [only] = list.as_slice() {
                reduced += only.reduced;
                money.iter_mut().zip(only.money()).for_each(|(sum, more)| *sum += more);
            }
        }
        (reduced, money)
    }

    /// Deals the lots that leave a choice into two halves with about as many combinations each, the longest lists first.
    fn deal(&self) -> [Vec<usize>; 2] {
        let mut lots: Vec<usize> = (0..self.lists.len()).filter(|&lot| self.lists[lot].len() > 1).collect();
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

    /// All orders of some lots, beside money already spent, that cost at most `spare` more than the least.
    fn half(&self, lots: Vec<usize>, spent: Vec<i64>, least: &[i64], spare: i64, work: &mut Work) -> Result<Half, TooMany> {
        let mut start = Stage::empty(self.floors.len());
        start.push(Partial { reduced: 0, cover: 0, before: 0 }, spent);
        let mut stages = vec![start];
        let mut reached = 0;
        for &lot in &lots {
            reached += least[lot];
            let Some(last) = stages.last() else { break };
            let mut next = Stage::empty(self.floors.len());
            for (before, partial) in last.partials.iter().enumerate() {
                work.spend(self.lists[lot].len() * 4);
                for (cover, label) in self.lists[lot].iter().enumerate() {
                    let reduced = partial.reduced + label.reduced;
                    if reduced - reached <= spare {
                        let money = last.money(before).iter().zip(label.money()).map(|(a, b)| a + b);
                        next.push(Partial { reduced, cover, before }, money);
                    }
                }
                if next.len() > 10 * MOST_ORDERS || work.is_done() {
                    return Err(TooMany);
                }
            }
            let next = next.undominated(work);
            if next.len() > MOST_ORDERS {
                return Err(TooMany);
            }
            stages.push(next);
        }
        if let Some(last) = stages.pop() {
            let mut order: Vec<usize> = (0..last.len()).collect();
            order.sort_by_key(|&at| last.partials[at].reduced);
            stages.push(last.picked(order));
        }
        Ok(Half { lots, stages })
    }

    /// The cheapest pair of an order of each half, both sorted by what they cost at the prices of the bound.
    fn pair(
        &self,
        first: &Stage,
        second: &Stage,
        budget: i64,
        work: &mut Work,
    ) -> Result<Option<(i64, (usize, usize))>, TooMany> {
        let mut best: Option<(i64, (usize, usize))> = None;
        for (a, one) in first.partials.iter().enumerate() {
            let within = second.partials.partition_point(|other| one.reduced + other.reduced <= budget);
            if within == 0 {
                break;
            }
            work.spend(within);
            if work.is_done() {
                return Err(TooMany);
            }
            let mine = first.money(a);
            for (b, its) in second.money.chunks_exact(second.width).take(within).enumerate() {
                let goods = mine[0] + its[0];
                if best.is_some_and(|(cost, _)| goods >= cost) {
                    continue;
                }
                let watched = mine[1..].iter().zip(&its[1..]).zip(self.floors);
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
    /// Notes the covers that led to an order of the last stage.
    fn trace(&self, mut at: usize, covers: &mut [usize]) {
        for (&lot, stage) in self.lots.iter().zip(&self.stages[1..]).rev() {
            let Partial { cover, before, .. } = stage.partials[at];
            covers[lot] = cover;
            at = before;
        }
    }
}
