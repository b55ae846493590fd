//! Needs of which the counts of parts decide: pieces to cut, capacities at several places that share packs, needs that stand in no row.
//!
//! What so many of one class of parts cost is a table of that class alone. Which counts do is asked of a [`Rule`], which may be hard
//! to answer (cutting is), so counts are tried from the cheapest up, and linear rows that every right answer obeys keep most away.

use std::collections::BTreeMap;

use super::chain::{Chain, Table};
use super::cover::{Cover, NEVER, Prices, plus};
use super::cutting::Cutting;
use super::limits::{Limits, Work};
use super::lots::Slots;
use super::near::{Label, Near, undominated};
use super::packing::packs_at_once;
use super::programme::{Need, Programme};
use super::share::Sharing;

/// The most counts, and covers of some counts, that are listed where no more covers are wanted.
const MOST_COUNTS: usize = 5_000;

/// Whether some counts do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Verdict {
    /// They do.
    Fits,
    /// They do not, nor do any less.
    Fails,
    /// Not settled within the steps allowed.
    Open,
}

/// What the counts must satisfy.
#[derive(Debug)]
pub(super) enum Rule {
    /// Amounts at several places.
    Sharing(Sharing),
    /// Pieces.
    Cutting(Cutting),
}

/// Parts that are alike to all needs of the lot.
#[derive(Debug)]
struct Class {
    /// The parts.
    parts: Vec<usize>,
    /// How many are in stock.
    stock: i64,
    /// How to buy them.
    chain: Chain,
}

/// A row that right counts obey: the coefficients times the counts are at least what is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// By class.
    pub(super) gains: Vec<i64>,
    /// What is due.
    pub(super) due: i64,
}

/// A lot of which counts decide.
#[derive(Debug)]
pub(super) struct Mixed {
    classes: Vec<Class>,
    rows: Vec<Row>,
    rule: Rule,
    /// Counts known to do, and known not to do, stock included.
    fits: Vec<Vec<i64>>,
    fails: Vec<Vec<i64>>,
}

impl Mixed {
    /// Work steps for the first counts that do.
    const SEEDING: u64 = 2_000_000;

    pub(super) fn new(programme: &Programme, needs: &[usize], slots: &mut Slots) -> Self {
        let cut = needs.iter().any(|&need| matches!(programme.needs[need], Need::Pieces { .. }));
        let classes = classes(programme, needs);
        let (rule, rows, most) = if cut {
            let cutting = Cutting::new(programme, needs, &classes);
            let (rows, most) = (cutting.rows(), cutting.most());
            (Rule::Cutting(cutting), rows, most)
        } else {
            let sharing = Sharing::new(programme, needs, &classes);
            let (rows, most) = (sharing.rows(), sharing.most());
            (Rule::Sharing(sharing), rows, most)
        };
        let classes: Vec<Class> = classes
            .into_iter()
            .zip(&most)
            .map(|(parts, &most)| {
                let stock = parts.iter().map(|&part| programme.parts[part].stock).sum::<i64>().min(most);
                let chain = slots.like_parts(&parts, usize::try_from(most - stock).unwrap_or(0));
                Class { parts, stock, chain }
            })
            .collect();
        let mut mixed = Self { classes, rows, rule, fits: Vec::new(), fails: Vec::new() };
        mixed.seed(&most);
        mixed
    }

    /// Finds counts that do before anything is searched, so that there is a cover however soon the search is stopped: each class alone,
    /// one less of it with a few of a smaller class, and if need be all of all.
    fn seed(&mut self, most: &[i64]) {
        let mut work = Work::new(Limits::steps(Self::SEEDING));
        let none: Vec<i64> = self.classes.iter().map(|class| class.stock).collect();
        for (class, &enough) in most.iter().enumerate() {
            let mut alone = none.clone();
            alone[class] = enough;
            if !self.does_at_once(&alone, &mut work) {
                continue;
            }
            for smaller in class + 1..most.len() {
                let mut mix = alone.clone();
                mix[class] = (enough - 1).max(none[class]);
                for _ in 0..3 {
                    mix[smaller] += 1;
                    if self.does_at_once(&mix, &mut work) {
                        break;
                    }
                }
            }
        }
        if self.fits.is_empty() {
            let all: Vec<i64> = most.iter().zip(&none).map(|(most, stock)| *most.max(stock)).collect();
            self.verdict(&all, &mut work);
        }
    }

    /// Whether counts are seen to do without a search; those that do are kept.
    fn does_at_once(&mut self, counts: &[i64], work: &mut Work) -> bool {
        let does = match &self.rule {
            Rule::Sharing(sharing) => sharing.verdict(counts, work) == Verdict::Fits,
            Rule::Cutting(cutting) => packs_at_once(cutting, counts, work),
        };
        if does {
            self.fits.push(counts.to_vec());
        }
        does
    }

    /// The cheapest cover and a cost at these prices that no cover is below; `None` if there is none.
    pub(super) fn cheapest(&mut self, programme: &Programme, prices: &Prices, work: &mut Work) -> Option<(i64, Cover)> {
        let tables = Tables::new(&self.classes, prices, true, work);
        let (mut best, mut counts, mut open) = (NEVER, None, NEVER);
        for fit in &self.fits {
            let cost = tables.cost(&self.classes, fit);
            if cost < best {
                (best, counts) = (cost, Some(fit.clone()));
            }
        }
        let mut walk = Walk::new(self, &tables);
        walk.run(best - 1, work, &mut |bought, cost, verdict| {
            match verdict {
                Verdict::Fits => (best, counts) = (cost, Some(bought.to_vec())),
                _ => open = open.min(cost),
            }
            best - 1
        });
        let counts = counts?;
        Some((best.min(open), tables.cover(programme, &self.classes, prices, &counts)))
    }

    /// All covers within a budget, as far as they differ in what matters; `None` if that is too much to list.
    pub(super) fn near(&mut self, near: Near, work: &mut Work) -> Option<Vec<Label>> {
        let tables = Tables::new(&self.classes, near.prices, false, work);
        let (mut found, mut settled) = (Vec::new(), true);
        let most = near.most.max(MOST_COUNTS);
        Walk::new(self, &tables).run(near.budget, work, &mut |counts, _, verdict| {
            settled &= verdict == Verdict::Fits && found.len() < most;
            found.push(counts.to_vec());
            near.budget
        });
        if !settled || work.is_done() {
            return None;
        }
        let mut all = Vec::new();
        for counts in found {
            let slack = near.budget - tables.cost(&self.classes, &counts);
            let mut labels = vec![Label::empty(near.watch.len())];
            for ((class, table), &count) in self.classes.iter().zip(&tables.tables).zip(&counts) {
                let start = class.start(count);
                let within = Near { budget: plus(table.complete(0, start), slack), ..near };
                let of_class = within.chain(&class.chain, table, start, work)?;
                labels = labels.iter().flat_map(|label| of_class.iter().map(|next| label.and(next))).collect();
                if labels.len() > most {
                    return None;
                }
            }
            all.extend(labels.into_iter().filter(|label| label.reduced <= near.budget));
        }
        Some(undominated(all))
    }

    /// How pieces are cut from what a cover and the stock give: the part of each stick, and its pieces by need and length; `None`
    /// where nothing is cut.
    pub(super) fn sticks(&self, programme: &Programme, cover: &Cover) -> Option<Vec<(usize, Vec<(usize, i64)>)>> {
        let Rule::Cutting(cutting) = &self.rule else { return None };
        let mut at_hand: Vec<Vec<i64>> = self.classes.iter().map(|class| cover.at_hand(programme, &class.parts)).collect();
        let counts: Vec<i64> = at_hand.iter().map(|parts| parts.iter().sum()).collect();
        let fit = self.fits.iter().find(|fit| fit.iter().zip(&counts).all(|(fit, count)| fit <= count)).unwrap_or(&counts);
        let mut work = Work::new(Limits::steps(u64::MAX));
        let sticks = cutting.cut(fit, &mut work).ok()?;
        let mut out = Vec::new();
        for stick in sticks {
            let parts = &mut at_hand[stick.class];
            let at = parts.iter().position(|&left| left > 0)?;
            parts[at] -= 1;
            let pieces = stick.pieces.iter().map(|&piece| (cutting.pieces[piece].need, cutting.pieces[piece].length));
            out.push((self.classes[stick.class].parts[at], pieces.collect()));
        }
        Some(out)
    }

    /// Whether counts do, stock included. Answers are kept.
    fn verdict(&mut self, counts: &[i64], work: &mut Work) -> Verdict {
        let covers = |a: &[i64], b: &[i64]| a.iter().zip(b).all(|(a, b)| a >= b);
        if self.fits.iter().any(|fit| covers(counts, fit)) {
            return Verdict::Fits;
        }
        if self.fails.iter().any(|fail| covers(fail, counts)) {
            return Verdict::Fails;
        }
        let verdict = match &self.rule {
            Rule::Sharing(sharing) => sharing.verdict(counts, work),
            Rule::Cutting(cutting) => cutting.verdict(counts, work),
        };
        let known = match verdict {
            Verdict::Fits => &mut self.fits,
            Verdict::Fails => &mut self.fails,
            Verdict::Open => return verdict,
        };
        known.push(counts.to_vec());
        verdict
    }
}

/// Parts in classes of those alike to every need: they give the same to each, and are of one length and saw cut.
fn classes(programme: &Programme, needs: &[usize]) -> Vec<Vec<usize>> {
    let mut gains: BTreeMap<usize, Vec<i64>> = BTreeMap::new();
    for (at, &need) in needs.iter().enumerate() {
        let mut give = |part, gain| gains.entry(part).or_insert_with(|| vec![0; needs.len()])[at] = gain;
        match &programme.needs[need] {
            Need::Amount { gains, .. } => gains.iter().for_each(|&(part, gain)| give(part, gain)),
            Need::Pieces { parts, .. } => parts.iter().for_each(|&part| give(part, 1)),
        }
    }
    let mut classes: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (part, gains) in gains {
        let plain = &programme.parts[part];
        // The largest first: the last class, of which the count follows from the others, is then the finest.
        classes.entry((std::cmp::Reverse((plain.length, gains)), plain.kerf)).or_default().push(part);
    }
    classes.into_values().collect()
}

/// What so many of each class cost at some prices.
struct Tables {
    tables: Vec<Table>,
    /// For each class the counts bought that are looked at, with what they cost.
    steps: Vec<Vec<(i64, i64)>>,
}

impl Tables {
    /// The tables. With `ends`, only counts are looked at that cost less than one more: the others are never the cheapest.
    fn new(classes: &[Class], prices: &Prices, ends: bool, work: &mut Work) -> Self {
        let tables: Vec<Table> = classes.iter().map(|class| class.chain.table(prices, work)).collect();
        let steps = classes
            .iter()
            .zip(&tables)
            .map(|(class, table)| {
                let most = class.chain.due;
                let cost = |n: usize| table.complete(0, most - n);
                let looked_at = (0..=most).filter(|&n| cost(n) < NEVER && (!ends || n == most || cost(n) < cost(n + 1)));
                looked_at.map(|n| (i64::try_from(n).unwrap_or(NEVER), cost(n))).collect()
            })
            .collect();
        Self { tables, steps }
    }

    /// What the cheapest way to have `counts` costs.
    fn cost(&self, classes: &[Class], counts: &[i64]) -> i64 {
        let each = classes.iter().zip(&self.tables).zip(counts);
        each.fold(0, |sum, ((class, table), &count)| plus(sum, table.complete(0, class.start(count))))
    }

    /// The cheapest cover with `counts`.
    fn cover(&self, programme: &Programme, classes: &[Class], prices: &Prices, counts: &[i64]) -> Cover {
        let (mut packs, mut slots) = (Vec::new(), Vec::new());
        for ((class, table), &count) in classes.iter().zip(&self.tables).zip(counts) {
            let trace = class.chain.trace(table, prices, class.start(count));
            packs.extend(trace.packs);
            slots.extend(trace.slots);
        }
        Cover::new(programme, packs, slots)
    }
}

impl Class {
    /// Where in the table of the class the cost of having `count` stands.
    fn start(&self, count: i64) -> usize {
        self.chain.due.saturating_sub(usize::try_from(count - self.stock).unwrap_or(0))
    }
}

/// A walk over counts within a budget.
struct Walk<'a> {
    mixed: &'a mut Mixed,
    tables: &'a Tables,
    /// For each class on, what a unit of each row costs at least by the classes from there on, in fractions `1 << SHIFT`; `None`
    /// where nothing more gives to the row.
    weights: Vec<Vec<Option<i128>>>,
    counts: Vec<i64>,
    budget: i64,
    /// Whether the counts last looked at do.
    found: bool,
}

/// What a walk calls: counts, their cost, the verdict on them; it answers with the budget from there on.
type Visit<'v> = dyn FnMut(&[i64], i64, Verdict) -> i64 + 'v;

impl<'a> Walk<'a> {
    const SHIFT: u32 = 40;

    fn new(mixed: &'a mut Mixed, tables: &'a Tables) -> Self {
        let weights = (0..=mixed.classes.len()).map(|from| weights(&mixed.rows, &tables.steps, from)).collect();
        let counts = mixed.classes.iter().map(|class| class.stock).collect();
        Self { mixed, tables, weights, counts, budget: NEVER, found: false }
    }

    /// Visits counts that cost no more than the budget, each only where fewer would not do.
    fn run(&mut self, budget: i64, work: &mut Work, visit: &mut Visit) {
        self.budget = budget;
        let mut left: Vec<i64> = self.mixed.rows.iter().map(|row| row.due).collect();
        for (at, class) in self.mixed.classes.iter().enumerate() {
            for (left, row) in left.iter_mut().zip(&self.mixed.rows) {
                *left = left.saturating_sub(row.gains[at].saturating_mul(class.stock));
            }
        }
        self.from(0, 0, &left, work, visit);
    }

    /// The least cost of what is left of the rows, by the classes from `at` on.
    fn bound(&self, at: usize, left: &[i64]) -> i64 {
        let mut sum: i128 = 0;
        for (&left, weight) in left.iter().zip(&self.weights[at]) {
            if left > 0 {
                let Some(weight) = weight else { return NEVER };
                sum += weight * i128::from(left);
            }
        }
        i64::try_from(sum >> Self::SHIFT).unwrap_or(NEVER).min(NEVER)
    }

    fn from(&mut self, at: usize, spent: i64, left: &[i64], work: &mut Work, visit: &mut Visit) {
        if plus(spent, self.bound(at, left)) > self.budget || work.is_done() {
            return;
        }
        work.spend(left.len() + 1);
        if at == self.mixed.classes.len() {
            let verdict = self.mixed.verdict(&self.counts, work);
            self.found = verdict == Verdict::Fits;
            if verdict != Verdict::Fails {
                self.budget = visit(&self.counts, spent, verdict);
            }
            return;
        }
        let last = at + 1 == self.mixed.classes.len();
        let tables = self.tables;
        self.found = false;
        for &(bought, cost) in &tables.steps[at] {
            if plus(spent, cost) > self.budget {
                break;
            }
            self.counts[at] = self.mixed.classes[at].stock + bought;
            let rows = left.iter().zip(&self.mixed.rows);
            let less: Vec<i64> = rows.map(|(left, row)| left.saturating_sub(row.gains[at].saturating_mul(bought))).collect();
            if last && less.iter().any(|&left| left > 0) {
                continue;
            }
            self.from(at + 1, plus(spent, cost), &less, work, visit);
            // More of the last class only costs more once enough was found.
            if last && self.found {
                break;
            }
        }
        self.counts[at] = self.mixed.classes[at].stock;
    }
}

/// What a unit of each row costs at least, by the classes from `from` on: a weight for each row such that no class gives more weight
/// than it costs. Rows that most classes serve are weighed first.
fn weights(rows: &[Row], steps: &[Vec<(i64, i64)>], from: usize) -> Vec<Option<i128>> {
    let mut price: Vec<Option<i128>> = steps
        .iter()
        .map(|steps| {
            steps.iter().filter(|step| step.0 > 0).map(|&(n, cost)| (i128::from(cost) << Walk::SHIFT) / i128::from(n)).min()
        })
        .collect();
    let serving = |row: &Row, price: &[Option<i128>]| -> Vec<usize> {
        (from..steps.len()).filter(|&class| row.gains[class] > 0 && price[class].is_some()).collect()
    };
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|&row| (std::cmp::Reverse(serving(&rows[row], &price).len()), row));
    let mut weights = vec![None; rows.len()];
    for row in order {
        let classes = serving(&rows[row], &price);
        let weight =
            classes.iter().filter_map(|&class| price[class].map(|price| price / i128::from(rows[row].gains[class]))).min();
        weights[row] = weight;
        for class in classes {
            if let (Some(price), Some(weight)) = (&mut price[class], weight) {
                *price -= weight * i128::from(rows[row].gains[class]);
            }
        }
    }
    weights
}
