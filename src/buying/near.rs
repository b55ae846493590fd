//! All covers of a lot that cost little more than the cheapest, as far as they differ in what matters: the goods in all, and the goods
//! at suppliers where a threshold must be reached.

use super::chain::{Chain, Table};
use super::cover::{Cover, Prices, plus, times};
use super::limits::Work;
use super::programme::Programme;

/// The most beginnings of covers listed at a rung, for each cover that may be listed in the end.
const PARTIALS: usize = 20;

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

/// Whether what costs so much, and spends so much of it at each supplier watched, is never dearer than the other, whatever else is bought: making up
/// at these suppliers for what the other has spent more there costs no more than the difference.
fn is_never_dearer((goods, watched): (i64, &[i64]), (other, its): (i64, &[i64])) -> bool {
    let missing: i64 = watched.iter().zip(its).map(|(mine, its)| (its - mine).max(0)).sum();
    plus(goods, missing) <= other
}

/// The same of rows as [`Label::money`] gives them.
pub(super) fn dominates(better: &[i64], other: &[i64]) -> bool {
    let (Some((&goods, watched)), Some((&its, others))) = (better.split_first(), other.split_first()) else { return false };
    is_never_dearer((goods, watched), (its, others))
}

impl Label {
    /// Nothing bought.
    pub(super) fn empty(watch: usize) -> Self {
        Self { reduced: 0, goods: 0, watched: vec![0; watch], packs: Vec::new(), slots: Vec::new() }
    }

    /// What its goods cost, and what of it is spent at each supplier watched.
    pub(super) fn money(&self) -> impl Iterator<Item = i64> {
        [self.goods].into_iter().chain(self.watched.iter().copied())
    }

    /// Whether this is never dearer, whatever else is bought.
    pub(super) fn dominates(&self, other: &Self) -> bool {
        is_never_dearer((self.goods, &self.watched), (other.goods, &other.watched))
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
    /// The most covers listed.
    pub(super) most: usize,
}

impl Near<'_> {
    /// The covers of a chain from `have` on; `None` if there are too many.
    pub(super) fn chain(&self, chain: &Chain, table: &Table, have: usize, work: &mut Work) -> Option<Vec<Label>> {
        let start = Partial { have, reduced: 0, goods: 0, watched: 0, trail: None };
        let mut lister =
            Lister { near: self, chain, table, watched: vec![0; self.watch.len()], trails: Vec::new(), out: Vec::new(), work };
        let mut partials = vec![start];
        for at in 0..chain.rungs.len() {
            for partial in partials {
                lister.skip(at, partial);
                lister.buy(at, partial, 0);
                if lister.out.len() > self.most * PARTIALS || lister.work.is_done() {
                    return None;
                }
            }
            partials = lister.undominated();
        }
        (partials.len() <= self.most).then(|| undominated(partials.into_iter().map(|partial| lister.label(partial)).collect()))
    }
}

/// The beginning of a cover.
#[derive(Debug, Clone, Copy)]
struct Partial {
    /// How much there is so far.
    have: usize,
    reduced: i64,
    goods: i64,
    /// Where the goods at the suppliers watched stand in [`Lister::watched`].
    watched: usize,
    /// The last thing bought, in [`Lister::trails`].
    trail: Option<usize>,
}

/// A thing bought, and the one before.
#[derive(Debug, Clone, Copy)]
struct Trail {
    offer: usize,
    packs: i64,
    slot: usize,
    before: Option<usize>,
}

/// Lists the covers of a chain, rung by rung.
struct Lister<'a, 'b> {
    near: &'a Near<'a>,
    chain: &'a Chain,
    table: &'a Table,
    watched: Vec<i64>,
    trails: Vec<Trail>,
    out: Vec<Partial>,
    work: &'b mut Work,
}

impl Lister<'_, '_> {
    /// Leaves a rung as it is.
    fn skip(&mut self, at: usize, partial: Partial) {
        if plus(partial.reduced, self.table.complete(at + 1, partial.have)) <= self.near.budget {
            self.out.push(partial);
        }
    }

    /// Buys of the offers of a rung from `first` on, some of at least one of them.
    fn buy(&mut self, at: usize, partial: Partial, first: usize) {
        let (chain, due) = (self.chain, self.chain.due);
        let rung = &chain.rungs[at];
        let Some(keep) = self.near.prices.keep[rung.supplier] else { return };
        for (index, buy) in rung.buys.iter().enumerate().skip(first) {
            let mut n = buy.at_least;
            loop {
                let before = partial.have.saturating_add(buy.gain.saturating_mul(n - 1));
                if (n > buy.at_least && before >= due) || partial.have >= due || self.out.len() > self.near.most * PARTIALS {
                    break;
                }
                self.work.spend(4);
                let to = before.saturating_add(buy.gain).min(due);
                let packs = i64::try_from(n).unwrap_or(i64::MAX);
                let goods = times(buy.price, packs);
                let reduced = plus(partial.reduced, times(goods, keep));
                let rest = self.table.complete(at + 1, to).min(self.table.inside(at, to));
                if plus(reduced, rest) <= self.near.budget {
                    let watched = self.spend(partial.watched, rung.supplier, goods);
                    self.trails.push(Trail { offer: buy.offer, packs, slot: rung.slot, before: partial.trail });
                    let trail = Some(self.trails.len() - 1);
                    let next = Partial { have: to, reduced, goods: plus(partial.goods, goods), watched, trail };
                    self.skip(at, next);
                    self.buy(at, next, index + 1);
                } else if buy.at_least == 1 {
                    // One pack more never lowers what it comes to.
                    break;
                }
                n += 1;
            }
        }
    }

    /// Where the goods at the suppliers watched stand after spending some more.
    fn spend(&mut self, watched: usize, supplier: usize, goods: i64) -> usize {
        let Some(at) = self.near.watch.iter().position(|&watched| watched == supplier) else { return watched };
        let fresh = self.watched.len();
        self.watched.extend_from_within(watched..watched + self.near.watch.len());
        self.watched[fresh + at] += goods;
        fresh
    }

    /// The goods at the suppliers watched.
    fn watched(&self, partial: &Partial) -> &[i64] {
        &self.watched[partial.watched..][..self.near.watch.len()]
    }

    /// Takes what was listed, without what something listed is never dearer than that has got as far. Each is compared with some of
    /// the others only, so a few may stay.
    fn undominated(&mut self) -> Vec<Partial> {
        const COMPARED: usize = 128;
        let mut all = std::mem::take(&mut self.out);
        all.sort_by(|a, b| {
            let watched = || self.watched(b).cmp(self.watched(a));
            b.have.cmp(&a.have).then(a.goods.cmp(&b.goods)).then_with(watched).then(a.trail.cmp(&b.trail))
        });
        let (mut kept, mut looks) = (Vec::<Partial>::new(), 0);
        for partial in all {
            let its = self.watched(&partial);
            let dominates = |better: &Partial| {
                let pairs = self.watched(better).iter().zip(its);
                better.goods + pairs.map(|(mine, its)| (its - mine).max(0)).sum::<i64>() <= partial.goods
            };
            let compared = kept.len().min(COMPARED);
            looks += compared;
            if !kept[kept.len() - compared..].iter().rev().any(dominates) {
                kept.push(partial);
            }
        }
        self.work.spend(looks);
        kept
    }

    /// A finished cover.
    fn label(&self, partial: Partial) -> Label {
        let (mut packs, mut slots, mut at) = (Vec::new(), Vec::new(), partial.trail);
        while let Some(trail) = at.map(|at| self.trails[at]) {
            packs.push((trail.offer, trail.packs));
            slots.push(trail.slot);
            at = trail.before;
        }
        Label { reduced: partial.reduced, goods: partial.goods, watched: self.watched(&partial).to_vec(), packs, slots }
    }
}
