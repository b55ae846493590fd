//! All covers of a lot that cost little more than the cheapest, as far as they differ in what matters: the goods in all, and the goods
//! at suppliers where a threshold must be reached.

use super::chain::{Chain, Table};
use super::cover::{Cover, Prices, plus, times};
use super::limits::Work;
use super::programme::Programme;

/// The most partial covers kept for a lot.
const MOST_LABELS: usize = 20_000;

/// A cover, or the beginning of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Label {
    /// What it costs at the prices of the bound.
    pub(super) reduced: i64,
    /// What its goods cost.
    pub(super) goods: i64,
    /// Of that, at each supplier watched.
    pub(super) watched: Vec<i64>,
    /// Packs and slots.
    pub(super) packs: Vec<(usize, i64)>,
    /// Slots used.
    pub(super) slots: Vec<usize>,
}

impl Label {
    /// Nothing bought.
    pub(super) fn empty(watch: usize) -> Self {
        Self { reduced: 0, goods: 0, watched: vec![0; watch], packs: Vec::new(), slots: Vec::new() }
    }

    /// Whether this is never dearer, whatever else is bought: making up at the watched suppliers for what the other has spent more
    /// there costs no more than the difference.
    pub(super) fn dominates(&self, other: &Self) -> bool {
        let missing: i64 = self.watched.iter().zip(&other.watched).map(|(mine, its)| (its - mine).max(0)).sum();
        plus(self.goods, missing) <= other.goods
    }

    /// Both together.
    pub(super) fn and(&self, other: &Self) -> Self {
        Self {
            reduced: plus(self.reduced, other.reduced),
            goods: plus(self.goods, other.goods),
            watched: self.watched.iter().zip(&other.watched).map(|(a, b)| a + b).collect(),
            packs: self.packs.iter().chain(&other.packs).copied().collect(),
            slots: self.slots.iter().chain(&other.slots).copied().collect(),
        }
    }

    /// As a cover.
    pub(super) fn cover(self, programme: &Programme) -> Cover {
        Cover::new(programme, self.packs, self.slots)
    }
}

/// Leaves out labels that another dominates.
pub(super) fn undominated(mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort_by(|a, b| (a.goods, &b.watched, &a.packs).cmp(&(b.goods, &a.watched, &b.packs)));
    let mut kept: Vec<Label> = Vec::new();
    for label in labels {
        if !kept.iter().any(|better| better.dominates(&label)) {
            kept.push(label);
        }
    }
    kept
}

/// What covers are listed by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near<'a> {
    /// The prices of the bound, without charges.
    pub(super) prices: &'a Prices,
    /// Suppliers where a threshold must be reached.
    pub(super) watch: &'a [usize],
    /// The most a cover may cost at these prices.
    pub(super) budget: i64,
}

impl Near<'_> {
    /// The covers of a chain from `have` on; `None` if there are too many.
    pub(super) fn chain(&self, chain: &Chain, table: &Table, have: usize, work: &mut Work) -> Option<Vec<Label>> {
        let mut labels = vec![(have, Label::empty(self.watch.len()))];
        for at in 0..chain.rungs.len() {
            let mut lister = Lister { near: self, chain, table, at, out: Vec::new(), work };
            for (have, label) in labels {
                lister.skip(have, &label);
                lister.buy(have, &label, 0);
                if lister.out.len() > MOST_LABELS || lister.work.is_done() {
                    return None;
                }
            }
            labels = by_amount(lister.out);
        }
        Some(undominated(labels.into_iter().map(|(_, label)| label).collect()))
    }
}

/// Keeps of the labels with the same amount those that no other dominates.
fn by_amount(mut labels: Vec<(usize, Label)>) -> Vec<(usize, Label)> {
    labels.sort_by_key(|label| label.0);
    let mut kept = Vec::new();
    let mut labels = labels.into_iter().peekable();
    while let Some((have, first)) = labels.next() {
        let mut same = vec![first];
        while let Some((_, label)) = labels.next_if(|label| label.0 == have) {
            same.push(label);
        }
        kept.extend(undominated(same).into_iter().map(|label| (have, label)));
    }
    kept
}

/// Lists what can be bought at one rung.
struct Lister<'a, 'b> {
    near: &'a Near<'a>,
    chain: &'a Chain,
    table: &'a Table,
    at: usize,
    out: Vec<(usize, Label)>,
    work: &'b mut Work,
}

impl Lister<'_, '_> {
    fn skip(&mut self, have: usize, label: &Label) {
        if plus(label.reduced, self.table.complete(self.at + 1, have)) <= self.near.budget {
            self.out.push((have, label.clone()));
        }
    }

    /// Buys of the offers of the rung from `first` on, some of at least one of them.
    fn buy(&mut self, have: usize, label: &Label, first: usize) {
        let rung = &self.chain.rungs[self.at];
        let Some(keep) = self.near.prices.keep[rung.supplier] else { return };
        for (index, buy) in rung.buys.iter().enumerate().skip(first) {
            let mut n = buy.at_least;
            loop {
                let before = have.saturating_add(buy.gain.saturating_mul(n - 1));
                if (n > buy.at_least && before >= self.chain.due) || have >= self.chain.due || self.out.len() > MOST_LABELS {
                    break;
                }
                self.work.spend(8);
                let to = before.saturating_add(buy.gain).min(self.chain.due);
                let packs = i64::try_from(n).unwrap_or(i64::MAX);
                let goods = times(buy.price, packs);
                let reduced = plus(label.reduced, times(goods, keep));
                let rest = self.table.complete(self.at + 1, to).min(self.table.inside(self.at, to));
                if plus(reduced, rest) <= self.near.budget {
                    let mut next = label.clone();
                    next.reduced = reduced;
                    next.goods = plus(next.goods, goods);
                    for (watched, &supplier) in next.watched.iter_mut().zip(self.near.watch) {
                        *watched += if supplier == rung.supplier { goods } else { 0 };
                    }
                    next.packs.push((buy.offer, packs));
                    next.slots.push(rung.slot);
                    self.skip(to, &next);
                    self.buy(to, &next, index + 1);
                } else if buy.at_least == 1 {
                    // One pack more never lowers what it comes to.
                    break;
                }
                n += 1;
            }
        }
    }
}
