//! Needs that stand in a row, each met by everything that meets the one before: longer leads serve shorter runs.
//!
//! Of such a row only one number matters while buying from the most able parts down: how many there are so far. So the cheapest
//! cover at any prices is a small table, exact in whole numbers. A single need, or one capacity at one place, is the shortest row.

use super::cover::{Cover, NEVER, Prices, plus, times};
use super::limits::Work;
use super::programme::Programme;

/// An offer as a row of needs sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Buy {
    /// The offer's index in the programme.
    pub(super) offer: usize,
    /// What one pack gives.
    pub(super) gain: usize,
    /// The price of a pack.
    pub(super) price: i64,
    /// The least number of packs.
    pub(super) at_least: usize,
}

impl Buy {
    /// The price of `n` packs in units of `keep`.
    fn cost(&self, n: usize, keep: i64) -> i64 {
        times(times(self.price, i64::try_from(n).unwrap_or(NEVER)), keep)
    }
}

/// The offers of one supplier for one class of parts, and how much there must be once they are bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Rung {
    /// The slot.
    pub(super) slot: usize,
    /// Who sells.
    pub(super) supplier: usize,
    /// The offers.
    pub(super) buys: Vec<Buy>,
    /// How much there must be after this rung.
    pub(super) due: usize,
}

/// A row of needs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Chain {
    /// From the most able class of parts down.
    pub(super) rungs: Vec<Rung>,
    /// How much there must be in the end.
    pub(super) due: usize,
}

/// What it costs to complete a row from every amount at every rung.
#[derive(Debug)]
pub(super) struct Table {
    width: usize,
    /// `complete[rung * width + have]`: from before the rung to the end.
    complete: Vec<i64>,
    /// `inside[rung * width + have]`: likewise, buying at least one pack more at the rung, its charge left out.
    inside: Vec<i64>,
}

impl Table {
    /// The least cost from before `rung`, with `have` at hand.
    pub(super) fn complete(&self, rung: usize, have: usize) -> i64 {
        self.complete[rung * self.width + have]
    }

    /// The least cost from `have`, buying more at `rung`.
    pub(super) fn inside(&self, rung: usize, have: usize) -> i64 {
        self.inside[rung * self.width + have]
    }
}

impl Chain {
    /// The table for some prices.
    pub(super) fn table(&self, prices: &Prices, work: &mut Work) -> Table {
        let width = self.due + 1;
        let mut complete = vec![NEVER; (self.rungs.len() + 1) * width];
        let mut inside = vec![NEVER; self.rungs.len() * width];
        let mut started = vec![NEVER; width];
        complete[self.rungs.len() * width + self.due] = 0;
        for (at, rung) in self.rungs.iter().enumerate().rev() {
            let (here, next) = complete[at * width..].split_at_mut(width);
            let after = &mut next[..width];
            after[..rung.due].fill(NEVER);
            let Some(keep) = prices.keep[rung.supplier] else {
                here.copy_from_slice(after);
                continue;
            };
            let more = &mut inside[at * width..][..width];
            for buy in &rung.buys {
                buy.extend(keep, after, more, &mut started);
            }
            work.spend(width * (rung.buys.len() + 1));
            let charge = prices.charge[rung.slot];
            for ((here, &after), &more) in here.iter_mut().zip(&*after).zip(&*more) {
                *here = after.min(plus(more, charge));
            }
        }
        Table { width, complete, inside }
    }

    /// The cheapest cover from `have` on, by its table.
    pub(super) fn trace(&self, table: &Table, prices: &Prices, mut have: usize) -> Trace {
        let mut trace = Trace::default();
        for (at, rung) in self.rungs.iter().enumerate() {
            if table.complete(at, have) == table.complete(at + 1, have) {
                continue;
            }
            let Some(keep) = prices.keep[rung.supplier] else { continue };
            trace.slots.push(rung.slot);
            loop {
                let value = table.inside(at, have);
                let step = rung.buys.iter().find_map(|buy| {
                    let most = if buy.at_least == 1 { 1 } else { buy.at_least.max((self.due - have).div_ceil(buy.gain)) };
                    (buy.at_least..=most).find_map(|n| {
                        let to = have.saturating_add(n.saturating_mul(buy.gain)).min(self.due);
                        let cost = buy.cost(n, keep);
                        let stop = plus(cost, table.complete(at + 1, to)) == value;
                        (stop || plus(cost, table.inside(at, to)) == value).then_some((buy.offer, n, to, stop))
                    })
                });
                let Some((offer, n, to, stop)) = step else { break };
                trace.packs.push((offer, i64::try_from(n).unwrap_or(NEVER)));
                have = to;
                if stop {
                    break;
                }
            }
        }
        trace
    }

    /// The cheapest cover and what it costs at these prices; `None` if none is allowed.
    pub(super) fn cheapest(&self, programme: &Programme, prices: &Prices, work: &mut Work) -> Option<(i64, Cover)> {
        let table = self.table(prices, work);
        let cost = table.complete(0, 0);
        let trace = self.trace(&table, prices, 0);
        (cost < NEVER).then(|| (cost, Cover::new(programme, trace.packs, trace.slots)))
    }
}

/// Packs and slots of a cover.
#[derive(Debug, Default)]
pub(super) struct Trace {
    /// Packs by offer, in any order.
    pub(super) packs: Vec<(usize, i64)>,
    /// Slots.
    pub(super) slots: Vec<usize>,
}

impl Buy {
    /// Betters `more` by this offer: `after` is the cost once the rung is left, `more` the cost when at least one more pack is bought.
    fn extend(&self, keep: i64, after: &[i64], more: &mut [i64], started: &mut [i64]) {
        let due = after.len() - 1;
        let price = self.cost(1, keep);
        if self.at_least == 1 {
            for have in (0..due).rev() {
                let to = (have + self.gain).min(due);
                more[have] = more[have].min(plus(price, after[to].min(more[to])));
            }
            return;
        }
        // Once the least number is bought, single packs follow at the same price.
        started[due] = after[due];
        for have in (0..due).rev() {
            let to = (have + self.gain).min(due);
            started[have] = after[have].min(more[have]).min(plus(price, started[to]));
        }
        let (jump, cost) = (self.gain.saturating_mul(self.at_least), self.cost(self.at_least, keep));
        for have in 0..due {
            more[have] = more[have].min(plus(cost, started[have.saturating_add(jump).min(due)]));
        }
    }
}
