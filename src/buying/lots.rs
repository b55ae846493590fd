//! Lots: needs that share parts, so that they must be covered together. Lots meet only in the postage.

use std::collections::{BTreeMap, BTreeSet};

use super::chain::{Buy, Chain, Rung};
use super::cover::{Cover, Prices};
use super::limits::Work;
use super::mixed::Mixed;
use super::near::{Label, Near};
use super::programme::{Need, Offer, Programme};

/// Needs that are covered together.
#[derive(Debug)]
pub(super) struct Lot {
    /// The needs, by their index in the programme.
    pub(super) needs: Vec<usize>,
    /// How covers are found.
    pub(super) form: Form,
}

/// How the covers of a lot are found.
#[derive(Debug)]
pub(super) enum Form {
    /// By the table of a row of needs.
    Chain(Chain),
    /// By counts of parts.
    Mixed(Box<Mixed>),
}

impl Lot {
    /// The cheapest cover and a cost at these prices that no cover is below; `None` if there is none.
    pub(super) fn cheapest(&mut self, programme: &Programme, prices: &Prices, work: &mut Work) -> Option<(i64, Cover)> {
        match &mut self.form {
            Form::Chain(chain) => chain.cheapest(programme, prices, work),
            Form::Mixed(mixed) => mixed.cheapest(programme, prices, work),
        }
    }

    /// All covers within a budget, as far as they differ in what matters; `None` if that is too much to list.
    pub(super) fn near(&mut self, near: Near, work: &mut Work) -> Option<Vec<Label>> {
        match &mut self.form {
            Form::Chain(chain) => near.chain(chain, &chain.table(near.prices, work), 0, work),
            Form::Mixed(mixed) => mixed.near(near, work),
        }
    }
}

/// All lots of a programme.
#[derive(Debug)]
pub(super) struct Lots {
    /// The lots.
    pub(super) lots: Vec<Lot>,
    /// Who sells in each slot.
    pub(super) slots: Vec<usize>,
}

impl Lots {
    /// Splits a programme into lots.
    pub(super) fn of(programme: &Programme) -> Self {
        let mut slots = Slots::new(programme);
        let lots = groups(programme)
            .into_iter()
            .map(|needs| {
                let form = match rows(programme, &needs) {
                    Some(rows) => Form::Chain(slots.chain(&rows)),
                    None => Form::Mixed(Box::new(Mixed::new(programme, &needs, &mut slots))),
                };
                Lot { needs, form }
            })
            .collect();
        Self { lots, slots: slots.suppliers }
    }
}

/// Parts that are bought one by one, in any number and from no stock, do not tie the needs they serve to each other.
fn ties(programme: &Programme, part: usize) -> bool {
    programme.parts[part].stock > 0
        || programme.parts[part].length > 0
        || programme.offers.iter().any(|offer| offer.part == part && (offer.pack > 1 || offer.at_least > 1))
}

/// Needs in groups that share parts which tie them.
fn groups(programme: &Programme) -> Vec<Vec<usize>> {
    let mut group: Vec<usize> = (0..programme.needs.len()).collect();
    let mut first_with: BTreeMap<usize, usize> = BTreeMap::new();
    let root = |group: &[usize], mut at: usize| {
        while group[at] != at {
            at = group[at];
        }
        at
    };
    let tied: Vec<bool> = (0..programme.parts.len()).map(|part| ties(programme, part)).collect();
    for (need, wanted) in programme.needs.iter().enumerate() {
        for part in wanted.parts().filter(|&part| tied[part]) {
            let other = *first_with.entry(part).or_insert(need);
            let (a, b) = (root(&group, need), root(&group, other));
            group[a.max(b)] = a.min(b);
        }
    }
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for need in 0..programme.needs.len() {
        groups.entry(root(&group, need)).or_default().push(need);
    }
    groups.into_values().collect()
}

/// A class of parts in a row of needs: parts with what one gives, their stock, and how much there must be once it is bought.
struct Row {
    gains: Vec<(usize, i64)>,
    due: i64,
}

/// The needs as a row, from the most asking down; `None` where they do not stand in one.
fn rows(programme: &Programme, needs: &[usize]) -> Option<Vec<Row>> {
    let mut amounts = Vec::new();
    for &need in needs {
        let Need::Amount { amount, gains } = &programme.needs[need] else { return None };
        let gains: BTreeMap<usize, i64> = gains.iter().copied().collect();
        amounts.push((gains, *amount));
    }
    if amounts.len() > 1 && amounts.iter().any(|(gains, _)| gains.values().any(|&gain| gain != 1)) {
        return None;
    }
    amounts.sort_by_key(|(gains, _)| gains.len());
    let (mut taken, mut due, mut rows) = (BTreeSet::new(), 0, Vec::<Row>::new());
    for (gains, amount) in amounts {
        if taken.iter().any(|part| !gains.contains_key(part)) {
            return None;
        }
        let fresh: Vec<_> = gains.into_iter().filter(|(part, _)| taken.insert(*part)).collect();
        let stock: i64 = fresh.iter().map(|&(part, gain)| programme.parts[part].stock.saturating_mul(gain)).sum();
        due += amount - stock;
        rows.push(Row { gains: fresh, due });
    }
    Some(rows)
}

/// Numbers the slots while lots are built.
pub(super) struct Slots<'a> {
    programme: &'a Programme,
    offers_of: Vec<Vec<usize>>,
    suppliers: Vec<usize>,
}

impl<'a> Slots<'a> {
    fn new(programme: &'a Programme) -> Self {
        let mut offers_of = vec![Vec::new(); programme.parts.len()];
        for (at, offer) in programme.offers.iter().enumerate() {
            offers_of[offer.part].push(at);
        }
        Self { programme, offers_of, suppliers: Vec::new() }
    }

    /// The chain of some rows. Amounts are counted in the greatest unit that divides every pack.
    fn chain(&mut self, rows: &[Row]) -> Chain {
        let mut unit = 0;
        for &(part, gain) in rows.iter().flat_map(|row| &row.gains) {
            for &offer in &self.offers_of[part] {
                unit = gcd(unit, self.programme.offers[offer].pack.saturating_mul(gain));
            }
        }
        let unit = unit.max(1);
        let due = rows.iter().map(|row| row.due).max().unwrap_or(0).max(0).div_euclid(unit) + 1;
        let in_units = |amount: i64| usize::try_from((amount + unit - 1).div_euclid(unit)).unwrap_or(0);
        let limit = usize::try_from(due).unwrap_or(usize::MAX);
        let mut chain = Chain::default();
        for row in rows {
            let rungs = self.rungs(&row.gains, unit, limit);
            chain.rungs.extend(rungs);
            if let Some(last) = chain.rungs.last_mut() {
                last.due = last.due.max(in_units(row.due));
            }
            chain.due = chain.due.max(in_units(row.due));
        }
        for buy in chain.rungs.iter_mut().flat_map(|rung| &mut rung.buys) {
            buy.gain = buy.gain.min(chain.due.max(1));
        }
        chain
    }

    /// A chain that buys up to `most` of like parts.
    pub(super) fn like_parts(&mut self, parts: &[usize], most: usize) -> Chain {
        let gains: Vec<_> = parts.iter().map(|&part| (part, 1)).collect();
        let mut rungs = self.rungs(&gains, 1, most.max(1));
        if let Some(last) = rungs.last_mut() {
            last.due = most;
        }
        Chain { rungs, due: most }
    }

    /// The slots of some parts, by supplier.
    fn rungs(&mut self, gains: &[(usize, i64)], unit: i64, limit: usize) -> Vec<Rung> {
        let mut by_supplier: BTreeMap<usize, Vec<Buy>> = BTreeMap::new();
        for &(part, gain) in gains {
            for &at in &self.offers_of[part] {
                let Offer { supplier, pack, price, at_least, .. } = self.programme.offers[at];
                let gain = usize::try_from(pack.saturating_mul(gain) / unit).unwrap_or(usize::MAX).min(limit);
                let at_least = usize::try_from(at_least).unwrap_or(usize::MAX).max(1);
                by_supplier.entry(supplier).or_default().push(Buy { offer: at, gain, price, at_least });
            }
        }
        by_supplier
            .into_iter()
            .map(|(supplier, buys)| {
                self.suppliers.push(supplier);
                Rung { slot: self.suppliers.len() - 1, supplier, buys: undominated(buys, limit), due: 0 }
            })
            .collect()
    }
}

/// Leaves out offers of a slot beside which another never costs more, for any number of packs that can be wanted.
fn undominated(buys: Vec<Buy>, limit: usize) -> Vec<Buy> {
    let mut kept: Vec<Buy> = Vec::new();
    let serves = |better: &Buy, worse: &Buy| {
        let most = worse.at_least.max(limit.div_ceil(worse.gain.max(1)));
        (worse.at_least..=most).all(|n| {
            let packs = n.saturating_mul(worse.gain).min(limit).div_ceil(better.gain.max(1)).max(better.at_least);
            let cost = |n: usize, price: i64| i128::from(price) * n as i128;
            cost(packs, better.price) <= cost(n, worse.price)
        })
    };
    for (at, buy) in buys.iter().enumerate() {
        if kept.iter().any(|other| serves(other, buy))
            || buys[at + 1..].iter().any(|other| serves(other, buy) && !serves(buy, other))
        {
            continue;
        }
        kept.push(*buy);
    }
    kept
}

/// The greatest number that divides both.
fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
