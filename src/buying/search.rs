//! The search over what becomes of each supplier: not ordered from, ordered from with postage, or up to the threshold without.
//!
//! Nodes are taken up in the order of their bounds, so that the least bound of those left bounds the whole. Where all suppliers are
//! settled only thresholds couple the lots, and the lists of near-cheapest covers are joined exactly.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::cover::{ONE, plus};
use super::dual::{Climb, Multipliers, Options, Postage};
use super::limits::Work;
use super::lots::Lots;
use super::pool::{Choice, Pool};
use super::programme::Programme;
use super::settle::Settle;

/// The search.
pub(super) struct Search<'a> {
    programme: &'a Programme,
    pub(super) lots: Lots,
    pub(super) pool: Pool,
    postage: Postage,
    /// The best order found, with its cost.
    pub(super) best: Option<(i64, Choice)>,
    pub(super) work: Work,
}

/// A bound in minor units, rounded up.
fn whole(bound: i64) -> i64 {
    bound.div_euclid(ONE) + i64::from(bound.rem_euclid(ONE) > 0)
}

/// A node: what may still become of the suppliers.
#[derive(Debug, PartialEq, Eq)]
struct Node {
    options: Vec<Options>,
    /// Good multipliers, from the node before.
    at: Multipliers,
    /// How many times the usual room it may take to settle it.
    room: usize,
}

/// The most room it may take to settle a node, as a multiple of the usual.
const MOST_ROOM: usize = 64;

/// A bound with the multipliers that give it.
struct Bound {
    /// In [`ONE`]s.
    value: i64,
    at: Multipliers,
    /// The cheapest cover of each lot by it.
    choice: Choice,
    /// Whether a cover came up that was not known.
    fresh: bool,
}

impl<'a> Search<'a> {
    pub(super) fn new(programme: &'a Programme, lots: Lots, work: Work) -> Self {
        let mut slots = vec![Vec::new(); programme.suppliers.len()];
        for (slot, &supplier) in lots.slots.iter().enumerate() {
            slots[supplier].push(slot);
        }
        let most_parcels = programme.most_parcels.and_then(|most| i64::try_from(most).ok());
        let pool = Pool::new(lots.lots.len());
        Self { programme, lots, pool, postage: Postage { slots, most_parcels }, best: None, work }
    }

    /// Runs the search and returns a cost that no order is below; `None` if there is no order.
    pub(super) fn run(&mut self) -> Option<i64> {
        let options: Vec<Options> = self
            .programme
            .suppliers
            .iter()
            .zip(&self.postage.slots)
            .map(|(supplier, slots)| {
                let terms = if slots.is_empty() { Vec::new() } else { supplier.terms().collect() };
                Options { closed: true, terms }
            })
            .collect();
        let root = Node { options, at: Multipliers::none(self.programme.suppliers.len(), self.lots.slots.len()), room: 1 };
        // The least bound of what was given up unsettled.
        let mut unsettled = i64::MAX;
        let mut open = BinaryHeap::new();
        let mut nodes = vec![Some(root)];
        open.push(Reverse((0, 0)));
        while let Some(Reverse((bound, at))) = open.pop() {
            if bound > self.target() {
                break;
            }
            if let Some((best, _)) = &self.best {
                self.work.tell(*best, whole(bound.min(unsettled)));
            }
            if self.work.is_done() {
                unsettled = unsettled.min(bound);
                break;
            }
            let Some(node) = nodes[at].take() else { continue };
            let Some(found) = self.bound(&node, if at == 0 { 12 } else { 4 }) else { continue };
            let value = found.value.max(bound);
            if value > self.target() {
                continue;
            }
            match self.branch(&node, &found) {
                None => {
                    let left = self.leaf(&node, &found).max(bound);
                    if left < i64::MAX && node.room < MOST_ROOM && !self.work.is_done() {
                        // Put off until all easier ones are done that may matter as much.
                        open.push(Reverse((left, nodes.len())));
                        nodes.push(Some(Node { at: found.at, room: 4 * node.room, ..node }));
                    } else {
                        unsettled = unsettled.min(left);
                    }
                }
                Some(supplier) => {
                    let children: Vec<Options> = node.options[supplier].each().collect();
                    for child in children {
                        let mut options = node.options.clone();
                        options[supplier] = child;
                        if self.settle_parcels(&mut options) {
                            // Later nodes first among equals: they are deeper.
                            open.push(Reverse((value, nodes.len())));
                            nodes.push(Some(Node { options, at: found.at.clone(), room: 1 }));
                        }
                    }
                }
            }
        }
        let total = self.best.as_ref()?.0;
        Some(if unsettled == i64::MAX { total } else { whole(unsettled).clamp(0, total) })
    }

    /// The highest bound, in [`ONE`]s, below which a better order may lie.
    fn target(&self) -> i64 {
        self.best.as_ref().map_or(i64::MAX, |(cost, _)| cost.saturating_sub(1).saturating_mul(ONE))
    }

    /// Where all parcels are taken, closes the other suppliers. False if there are too many.
    fn settle_parcels(&self, options: &mut [Options]) -> bool {
        let Some(most) = self.programme.most_parcels else { return true };
        let taken = options.iter().filter(|options| !options.closed).count();
        if taken == most {
            options.iter_mut().filter(|options| options.closed).for_each(|options| options.terms.clear());
        }
        taken <= most
    }

    /// The bound of a node, climbing in turns: over the covers known, then over all. `None` if it cannot lead to an order.
    fn bound(&mut self, node: &Node, turns: usize) -> Option<Bound> {
        let mut best = self.evaluate(node, node.at.within(&node.options))?;
        let steps = if turns > 4 { 150 } else { 40 };
        for _ in 0..turns {
            if best.value > self.target() || self.work.is_done() {
                break;
            }
            let target = match &self.best {
                Some((cost, _)) => *cost as f64,
                None => best.value as f64 / ONE as f64 * 1.05,
            };
            let covers: usize = self.pool.covers.iter().map(Vec::len).sum();
            self.work.spend(covers * steps * 4);
            let at = Climb::new(&self.postage, &self.pool, &node.options, &best.at).run(target, steps);
            if at == best.at {
                break;
            }
            let next = self.evaluate(node, at)?;
            let (gain, fresh) = (next.value - best.value, next.fresh);
            if gain > 0 {
                best = next;
            }
            if !fresh && gain < ONE.max(best.value / 20_000) {
                break;
            }
        }
        Some(best)
    }

    /// The bound at some multipliers, in whole numbers. The covers it finds are kept, and tried as an order.
    fn evaluate(&mut self, node: &Node, at: Multipliers) -> Option<Bound> {
        let prices = self.postage.prices(&node.options, &at);
        let mut value = self.postage.bound(&node.options, &at);
        let (mut choice, mut any_fresh) = (Vec::new(), false);
        for (lot, of) in self.lots.lots.iter_mut().enumerate() {
            let (cost, cover) = of.cheapest(self.programme, &prices, &mut self.work)?;
            let (place, fresh) = self.pool.add(lot, cover);
            value = plus(value, cost);
            choice.push(place);
            any_fresh |= fresh;
        }
        self.offer(choice.clone());
        Some(Bound { value, at, choice, fresh: any_fresh })
    }

    /// Takes a choice as the best order if it is better, after improving it.
    fn offer(&mut self, mut choice: Choice) {
        self.work.spend(self.pool.covers.iter().map(Vec::len).sum::<usize>() * 6);
        self.pool.improve(self.programme, &mut choice);
        let Some(cost) = self.pool.cost(self.programme, &choice) else { return };
        if self.best.as_ref().is_none_or(|(best, _)| cost < *best) {
            self.best = Some((cost, choice));
        }
    }

    /// The supplier to branch on: the one for which what the bound reckons falls farthest behind what its order would cost. `None`
    /// if all are settled.
    fn branch(&self, node: &Node, bound: &Bound) -> Option<usize> {
        let mut goods = vec![None; node.options.len()];
        let mut charged = vec![0; node.options.len()];
        for (covers, &at) in self.pool.covers.iter().zip(&bound.choice) {
            for &(supplier, money) in &covers[at].spend {
                *goods[supplier].get_or_insert(0) += money;
            }
            for &slot in &covers[at].slots {
                charged[self.lots.slots[slot]] += bound.at.charge[slot];
            }
        }
        let behind = |supplier: usize| {
            let options = &node.options[supplier];
            let discount = bound.at.discount[supplier];
            let back: i64 =
                if options.closed { self.postage.slots[supplier].iter().map(|&slot| bound.at.charge[slot]).sum() } else { 0 };
            let open = options.terms.iter().map(|terms| terms.fee * ONE + discount * terms.floor - back);
            let reckoned = open.chain(options.closed.then_some(0)).min().unwrap_or(0);
            let charged = if options.closed { charged[supplier] } else { 0 };
            let order = options.terms.iter().map(|terms| terms.cost(goods[supplier].unwrap_or(0)) * ONE);
            let unused = options.closed && goods[supplier].is_none();
            let cost = order.chain(unused.then_some(0)).min().unwrap_or(0);
            cost - (ONE - discount) * goods[supplier].unwrap_or(0) - charged - reckoned
        };
        let unsettled = (0..node.options.len()).filter(|&supplier| node.options[supplier].len() > 1);
        unsettled.max_by_key(|&supplier| (behind(supplier), Reverse(supplier)))
    }

    /// Solves a node with all suppliers settled. Returns [`i64::MAX`] if that is done, else the bound it is given up with.
    fn leaf(&mut self, node: &Node, bound: &Bound) -> i64 {
        let fees: i64 = node.options.iter().flat_map(|options| &options.terms).map(|terms| terms.fee).sum();
        let floors: Vec<i64> = node.options.iter().map(|options| options.terms.first().map_or(0, |terms| terms.floor)).collect();
        let plain = self.postage.prices(&node.options, &Multipliers::none(floors.len(), self.lots.slots.len()));
        // Where there is no discount the floor is most likely reached by itself; if it is not, it is watched from then on.
        let mut watched: Vec<bool> = bound.at.discount.iter().map(|&discount| discount > 0).collect();
        loop {
            let Some(cost) = self.best.as_ref().map(|(cost, _)| cost - fees) else { return bound.value };
            let watch: Vec<(usize, i64)> = (0..floors.len()).filter(|&at| watched[at]).map(|at| (at, floors[at])).collect();

            let settle = Settle::new(self.programme, &mut self.lots.lots, plain.clone(), &watch, cost, node.room, &mut self.work);
            let (covers, settled) = settle.run(&bound.at.discount);

            let Some(covers) = covers else { return if settled { i64::MAX } else { bound.value } };
            let choice: Choice = covers.into_iter().enumerate().map(|(lot, cover)| self.pool.add(lot, cover).0).collect();
            let goods = self.pool.goods(self.programme, &choice);
            self.offer(choice);
            let missed: Vec<usize> = (0..floors.len()).filter(|&at| goods[at] < floors[at] && !watched[at]).collect();
            if missed.is_empty() {
                return if settled { i64::MAX } else { bound.value };
            }
            missed.into_iter().for_each(|at| watched[at] = true);
        }
    }
}
