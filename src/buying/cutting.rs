//! Cutting pieces from stock of several lengths: whether so many of each length are enough, and how to cut them.

use std::collections::BTreeSet;

use super::limits::Work;
use super::mixed::{Row, Verdict};
use super::packing::pack;
use super::programme::{Need, Programme};

/// Pieces of one length for one need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece {
    /// The length.
    pub(super) length: i64,
    /// How many.
    pub(super) count: i64,
    /// The need, by its place in the lot.
    pub(super) need: usize,
    /// By class, whether it can be cut from it.
    pub(super) fits: Vec<bool>,
}

/// A class of stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stock {
    /// Its length.
    pub(super) length: i64,
    /// What a saw cut takes.
    pub(super) kerf: i64,
}

/// One stick or reel with what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stick {
    /// The class of stock.
    pub(super) class: usize,
    /// Pieces, by their index.
    pub(super) pieces: Vec<usize>,
}

/// Pieces and the stock they can be cut from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cutting {
    /// The most particular first, then the longest.
    pub(super) pieces: Vec<Piece>,
    /// By class.
    pub(super) stocks: Vec<Stock>,
}

impl Cutting {
    /// The pieces of some needs, with parts in classes.
    pub(super) fn new(programme: &Programme, needs: &[usize], classes: &[Vec<usize>]) -> Self {
        let stocks: Vec<Stock> = classes
            .iter()
            .map(|parts| {
                parts.first().map_or(Stock { length: 0, kerf: 0 }, |&part| {
                    let part = &programme.parts[part];
                    Stock { length: part.length, kerf: part.kerf }
                })
            })
            .collect();
        let mut all = Vec::new();
        for (at, &need) in needs.iter().enumerate() {
            let Need::Pieces { pieces, parts } = &programme.needs[need] else { continue };
            for &(length, count) in pieces {
                let fits = classes
                    .iter()
                    .zip(&stocks)
                    .map(|(class, stock)| length <= stock.length && class.first().is_some_and(|part| parts.contains(part)));
                all.push(Piece { length, count, need: at, fits: fits.collect() });
            }
        }
        all.sort_by_key(|piece| (piece.fits.iter().filter(|&&fits| fits).count(), std::cmp::Reverse(piece.length), piece.need));
        Self { pieces: all, stocks }
    }

    /// How many of each class alone are enough for all pieces that fit it.
    pub(super) fn most(&self) -> Vec<i64> {
        let fitting =
            |class: usize| -> i64 { self.pieces.iter().filter(|piece| piece.fits[class]).map(|piece| piece.count).sum() };
        (0..self.stocks.len()).map(|class| self.enough(class).unwrap_or_else(|| fitting(class))).collect()
    }

    /// How many of a class first-fit takes for all pieces that fit it.
    fn enough(&self, class: usize) -> Option<i64> {
        let stock = self.stocks[class];
        let mut fitting: Vec<(i64, i64)> =
            self.pieces.iter().filter(|piece| piece.fits[class]).map(|piece| (piece.length + stock.kerf, piece.count)).collect();
        fitting.sort_unstable_by(|a, b| b.cmp(a));
        // Sticks that are cut alike, as what is left of them and how many there are.
        let mut sticks: Vec<(i64, i64)> = Vec::new();
        for (size, mut count) in fitting {
            for at in 0..sticks.len() {
                let (left, n) = sticks[at];
                let each = (left / size).min(count);
                if each == 0 {
                    continue;
                }
                let full = (count / each).min(n);
                sticks[at] = (left - each * size, full);
                count -= full * each;
                if full < n {
                    let rest = count.min(each);
                    sticks.push((left - rest * size, 1));
                    count -= rest;
                    if n - full > 1 {
                        sticks.push((left, n - full - 1));
                    }
                    break;
                }
            }
            if count > 0 {
                let room = stock.length + stock.kerf;
                let each = (room / size).min(count);
                sticks.push((room - each * size, count / each));
                if count % each > 0 {
                    sticks.push((room - count % each * size, 1));
                }
            }
            if sticks.len() > 5_000 {
                return None;
            }
        }
        Some(sticks.iter().map(|stick| stick.1).sum())
    }

    /// Rows that right counts obey: for the pieces that only some classes can give, by length in all, and by number from each length up.
    pub(super) fn rows(&self) -> Vec<Row> {
        let sets: BTreeSet<&Vec<bool>> = self.pieces.iter().map(|piece| &piece.fits).collect();
        let mut rows = Vec::new();
        for set in sets {
            let within = |piece: &&Piece| piece.fits.iter().zip(set).all(|(fits, set)| !fits || *set);
            let pieces: Vec<&Piece> = self.pieces.iter().filter(within).collect();
            let due = pieces.iter().map(|piece| piece.length.saturating_mul(piece.count)).sum();
            let each = |gain: &dyn Fn(Stock) -> i64| -> Vec<i64> {
                self.stocks.iter().zip(set).map(|(&stock, &may)| if may { gain(stock) } else { 0 }).collect()
            };
            rows.push(Row { gains: each(&|stock| fill(stock, &pieces)), due });
            let mut lengths: Vec<i64> = pieces.iter().map(|piece| piece.length).collect();
            lengths.sort_unstable();
            lengths.dedup();
            // With many lengths a few of them say nearly as much.
            for &least in lengths.iter().step_by(lengths.len().div_ceil(12).max(1)) {
                let due = pieces.iter().filter(|piece| piece.length >= least).map(|piece| piece.count).sum();
                rows.push(Row { gains: each(&|stock| (stock.length + stock.kerf) / (least + stock.kerf)), due });
            }
        }
        rows
    }

    /// Whether all pieces can be cut from so many of each class.
    pub(super) fn verdict(&self, counts: &[i64], work: &mut Work) -> Verdict {
        match self.cut(counts, work) {
            Ok(_) => Verdict::Fits,
            Err(verdict) => verdict,
        }
    }

    /// How to cut all pieces from at most so many of each class.
    ///
    /// # Errors
    /// That it cannot be done, or that it is not settled.
    pub(super) fn cut(&self, counts: &[i64], work: &mut Work) -> Result<Vec<Stick>, Verdict> {
        pack(self, counts, work)
    }
}

/// The longest that can be cut from one stock in pieces of these lengths; its whole length where that is not known.
fn fill(stock: Stock, pieces: &[&Piece]) -> i64 {
    const MOST_SUMS: usize = 4_000;
    let room = stock.length + stock.kerf;
    // Sums with saw cuts that can be reached, each with the pure length.
    let mut sums = BTreeSet::from([(0, 0)]);
    for piece in pieces {
        let size = piece.length + stock.kerf;
        if size > room || piece.length > stock.length {
            continue;
        }
        let mut fresh = sums.clone();
        for &(sum, pure) in &sums {
            for n in 1..=piece.count.min((room - sum) / size) {
                fresh.insert((sum + n * size, pure + n * piece.length));
                if fresh.len() > MOST_SUMS {
                    return stock.length;
                }
            }
        }
        sums = fresh;
    }
    sums.iter().map(|sum| sum.1).max().unwrap_or(0)
}
