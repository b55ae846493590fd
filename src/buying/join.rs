//! One cover for every lot, from lists of near-cheapest ones: exact where every supplier's terms are settled.

use super::limits::Work;
use super::near::Label;

/// The most partial orders kept.
const MOST_ORDERS: usize = 100_000;

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

/// What lists give at least, from each lot on.
struct Rest {
    reduced: i64,
    watched: Vec<i64>,
}

impl Join<'_> {
    /// The cheapest order within the budget, as what goods and topping up cost and a cover for each lot; `Ok(None)` if there is none,
    /// `Err` if there are too many to tell.
    pub(super) fn run(&self, work: &mut Work) -> Result<Option<(i64, Vec<usize>)>, TooMany> {
        let rests = self.rests();
        let start = Partial { reduced: 0, goods: 0, watched: vec![0; self.floors.len()], cover: 0, before: 0 };
        let mut stages = vec![vec![start]];
        for (lot, list) in self.lists.iter().enumerate() {
            let (rest, partials) = (&rests[lot + 1], &stages[lot]);
            let mut next = Vec::new();
            for (before, partial) in partials.iter().enumerate() {
                work.spend(list.len() * (4 + self.floors.len()));
                for (cover, label) in list.iter().enumerate() {
                    let reduced = partial.reduced + label.reduced;
                    if reduced + rest.reduced > self.budget {
                        continue;
                    }
                    let enough = self.floors.iter().zip(&rest.watched).map(|(floor, rest)| (floor - rest).max(0));
                    let watched = partial.watched.iter().zip(&label.watched).zip(enough).map(|((a, b), most)| (a + b).min(most));
                    let watched = watched.collect();
                    next.push(Partial { reduced, goods: partial.goods + label.goods, watched, cover, before });
                }
                if next.len() > 4 * MOST_ORDERS || work.is_done() {
                    return Err(TooMany);
                }
            }
            let next = undominated(next, work);
            if next.len() > MOST_ORDERS {
                return Err(TooMany);
            }
            stages.push(next);
        }
        Ok(self.best(&stages))
    }

    fn rests(&self) -> Vec<Rest> {
        let mut rests = vec![Rest { reduced: 0, watched: vec![0; self.floors.len()] }];
        for list in self.lists.iter().rev() {
            let last = &rests[rests.len() - 1];
            let least = |of: &dyn Fn(&Label) -> i64| list.iter().map(of).min().unwrap_or(0);
            let watched = (0..self.floors.len()).map(|at| last.watched[at] + least(&|label| label.watched[at])).collect();
            rests.push(Rest { reduced: last.reduced + least(&|label| label.reduced), watched });
        }
        rests.reverse();
        rests
    }

    fn best(&self, stages: &[Vec<Partial>]) -> Option<(i64, Vec<usize>)> {
        let cost = |partial: &Partial| {
            let missing = self.floors.iter().zip(&partial.watched).map(|(floor, watched)| (floor - watched).max(0));
            partial.goods + missing.sum::<i64>()
        };
        let last = stages.last()?;
        let (mut at, cost) = last.iter().map(cost).enumerate().min_by_key(|&(at, cost)| (cost, at))?;
        let mut covers = Vec::new();
        for stage in stages[1..].iter().rev() {
            covers.push(stage[at].cover);
            at = stage[at].before;
        }
        covers.reverse();
        Some((cost, covers))
    }
}

/// There are too many orders within the budget.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TooMany;

/// Leaves out orders that another is never dearer than. With no supplier watched one is left; with one, those are left that spend
/// more there than any cheaper; with several, each is compared with some of the cheaper ones.
fn undominated(mut partials: Vec<Partial>, work: &mut Work) -> Vec<Partial> {
    const COMPARED: usize = 300;
    partials.sort_by(|a, b| (a.goods, &b.watched, a.before, a.cover).cmp(&(b.goods, &a.watched, b.before, b.cover)));
    let mut kept: Vec<Partial> = Vec::new();
    for partial in partials {
        let dominates = |better: &Partial| {
            let missing: i64 = better.watched.iter().zip(&partial.watched).map(|(mine, its)| (its - mine).max(0)).sum();
            better.goods + missing <= partial.goods
        };
        let compared = kept.len().min(COMPARED);
        work.spend(compared * partial.watched.len() / 2);
        if !kept[kept.len() - compared..].iter().rev().any(dominates) && !kept.first().is_some_and(dominates) {
            kept.push(partial);
        }
    }
    kept
}
