//! The covers met so far, and the best order that can be made of them.

use super::cover::Cover;
use super::programme::Programme;

/// Covers of every lot.
#[derive(Debug)]
pub(super) struct Pool {
    /// By lot.
    pub(super) covers: Vec<Vec<Cover>>,
}

/// A cover for every lot, by its place in the pool.
pub(super) type Choice = Vec<usize>;

impl Pool {
    pub(super) fn new(lots: usize) -> Self {
        Self { covers: vec![Vec::new(); lots] }
    }

    /// Adds a cover unless it is there, and says where it is and whether it is new.
    pub(super) fn add(&mut self, lot: usize, cover: Cover) -> (usize, bool) {
        let covers = &mut self.covers[lot];
        if let Some(at) = covers.iter().position(|known| known.packs == cover.packs) {
            return (at, false);
        }
        covers.push(cover);
        (covers.len() - 1, true)
    }

    /// What a choice spends at each supplier, and in how many lots it buys there.
    fn ledger(&self, programme: &Programme, choice: &[usize]) -> Ledger {
        let mut ledger = Ledger { goods: vec![0; programme.suppliers.len()], lots: vec![0; programme.suppliers.len()] };
        for (covers, &at) in self.covers.iter().zip(choice) {
            ledger.add(&covers[at], 1);
        }
        ledger
    }

    /// What a choice spends at each supplier.
    pub(super) fn goods(&self, programme: &Programme, choice: &[usize]) -> Vec<i64> {
        self.ledger(programme, choice).goods
    }

    /// What a choice costs; `None` if it takes too many parcels.
    pub(super) fn cost(&self, programme: &Programme, choice: &[usize]) -> Option<i64> {
        self.ledger(programme, choice).cost(programme)
    }

    /// Betters a choice lot by lot until no single change helps.
    pub(super) fn improve(&self, programme: &Programme, choice: &mut Choice) {
        let mut ledger = self.ledger(programme, choice);
        let mut changed = true;
        while changed {
            changed = false;
            for (lot, covers) in self.covers.iter().enumerate() {
                ledger.add(&covers[choice[lot]], -1);
                let price = |cover: &Cover| {
                    (ledger.parcels_with(cover) > programme.most_parcels.unwrap_or(usize::MAX), ledger.extra(programme, cover))
                };
                let now = price(&covers[choice[lot]]);
                let best = covers.iter().enumerate().map(|(at, cover)| (price(cover), at)).min();
                if let Some((cost, at)) = best.filter(|(cost, _)| *cost < now) {
                    debug_assert!(cost < now);
                    choice[lot] = at;
                    changed = true;
                }
                ledger.add(&covers[choice[lot]], 1);
            }
        }
    }
}

/// Orders in the making.
#[derive(Debug)]
struct Ledger {
    goods: Vec<i64>,
    lots: Vec<i64>,
}

impl Ledger {
    fn add(&mut self, cover: &Cover, sign: i64) {
        for &(supplier, money) in &cover.spend {
            self.goods[supplier] += sign * money;
            self.lots[supplier] += sign;
        }
    }

    /// What an order at a supplier costs with `more` goods in `lots` more lots.
    fn order(&self, programme: &Programme, supplier: usize, more: i64, lots: i64) -> i64 {
        if self.lots[supplier] + lots == 0 { 0 } else { programme.suppliers[supplier].cost(self.goods[supplier] + more) }
    }

    /// What a cover adds to the cost.
    fn extra(&self, programme: &Programme, cover: &Cover) -> i64 {
        let orders = cover.spend.iter();
        orders.map(|&(supplier, money)| self.order(programme, supplier, money, 1) - self.order(programme, supplier, 0, 0)).sum()
    }

    /// How many parcels there are with a cover.
    fn parcels_with(&self, cover: &Cover) -> usize {
        let used = |supplier: usize| self.lots[supplier] > 0 || cover.spend.iter().any(|spend| spend.0 == supplier);
        (0..self.lots.len()).filter(|&supplier| used(supplier)).count()
    }

    fn cost(&self, programme: &Programme) -> Option<i64> {
        let parcels = self.lots.iter().filter(|&&lots| lots > 0).count();
        let orders = (0..self.lots.len()).map(|supplier| self.order(programme, supplier, 0, 0));
        programme.most_parcels.is_none_or(|most| parcels <= most).then(|| orders.sum())
    }
}
