//! Packing pieces into given sticks: a quick way first, then a search stick by stick.

use std::collections::{BTreeMap, HashSet};

use super::cutting::{Cutting, Stick};
use super::limits::Work;
use super::mixed::Verdict;

/// The most sticks filled in one search.
const MOST_NODES: usize = 100_000;

/// The most ways looked at to fill one stick, in steps.
const MOST_FILLS: usize = 20_000;

/// The most pieces for which a packing is searched. The search goes as deep as there are sticks and looks at every piece in each; of
/// more pieces than this the quick way fills reels to within a piece, and the rows of the cutting bound what is left.
const MOST_SEARCHED: i64 = 400;

/// A stick being cut.
#[derive(Debug, Clone)]
struct Bin {
    class: usize,
    /// Room left, one saw cut more than there is: the last piece may end with the stick.
    left: i64,
    pieces: Vec<usize>,
}

/// Packs all pieces of `cutting` into at most so many sticks of each class.
///
/// # Errors
/// [`Verdict::Fails`] if it cannot be done, [`Verdict::Open`] if that is not settled.
pub(super) fn pack(cutting: &Cutting, counts: &[i64], work: &mut Work) -> Result<Vec<Stick>, Verdict> {
    let bins = uncut(cutting, counts);
    let mut tight = bins.clone();
    if best_fit(cutting, &mut tight, work) {
        return Ok(sticks(tight));
    }
    if cutting.pieces.iter().map(|piece| piece.count).sum::<i64>() > MOST_SEARCHED {
        return Err(Verdict::Open);
    }
    let mut search = Search::new(cutting, bins);
    let found = search.from(0, work);
    match found {
        true => Ok(sticks(search.bins)),
        false if search.whole && !work.is_done() => Err(Verdict::Fails),
        false => Err(Verdict::Open),
    }
}

/// Whether the quick way packs all pieces into so many sticks of each class.
pub(super) fn packs_at_once(cutting: &Cutting, counts: &[i64], work: &mut Work) -> bool {
    best_fit(cutting, &mut uncut(cutting, counts), work)
}

/// So many sticks of each class, the longest first.
fn uncut(cutting: &Cutting, counts: &[i64]) -> Vec<Bin> {
    let mut bins: Vec<Bin> = Vec::new();
    for (class, (stock, &count)) in cutting.stocks.iter().zip(counts).enumerate() {
        let bin = Bin { class, left: stock.length + stock.kerf, pieces: Vec::new() };
        bins.extend(std::iter::repeat_n(bin, usize::try_from(count).unwrap_or(0)));
    }
    bins.sort_by_key(|bin| (std::cmp::Reverse(bin.left), bin.class));
    bins
}

/// The sticks with anything cut from them.
fn sticks(bins: Vec<Bin>) -> Vec<Stick> {
    let used = bins.into_iter().filter(|bin| !bin.pieces.is_empty());
    used.map(|bin| Stick { class: bin.class, pieces: bin.pieces }).collect()
}

/// Puts each piece, the most particular and longest first, where it leaves least.
fn best_fit(cutting: &Cutting, bins: &mut [Bin], work: &mut Work) -> bool {
    // By class the sticks by the room they have left, so that thousands of pieces find theirs at once, and sticks with as much are filled alike.
    let mut rooms: Vec<BTreeMap<i64, Vec<usize>>> = vec![BTreeMap::new(); cutting.stocks.len()];
    for (at, bin) in bins.iter().enumerate().rev() {
        rooms[bin.class].entry(bin.left).or_default().push(at);
    }
    work.spend(8 * bins.len());
    for (piece, asked) in cutting.pieces.iter().enumerate() {
        let mut missing = asked.count;
        while missing > 0 {
            let fitting = cutting.stocks.iter().enumerate().filter(|(class, _)| asked.fits[*class]);
            let each = fitting.filter_map(|(class, stock)| {
                let size = asked.length + stock.kerf;
                let (&left, _) = rooms[class].range(size..).next()?;
                Some((left - size, class, left))
            });
            let Some((rest, class, left)) = each.min() else { return false };
            // Where the next one like it still fits, nowhere does it leave less; and then it goes to the next stick like that one.
            let size = left - rest;
            let each = if size > 0 { missing.min(left / size) } else { missing };
            let Some(alike) = rooms[class].get_mut(&left) else { return false };
            let taken = alike.len().min(usize::try_from(missing / each).unwrap_or(usize::MAX));
            let filled = alike.split_off(alike.len() - taken);
            if alike.is_empty() {
                rooms[class].remove(&left);
            }
            for &at in &filled {
                bins[at].left = left - each * size;
                bins[at].pieces.extend(std::iter::repeat_n(piece, usize::try_from(each).unwrap_or(0)));
            }
            let pieces = filled.len() * usize::try_from(each).unwrap_or(0);
            work.spend(64 * (rooms.len() + filled.len()) + pieces);
            missing -= each * i64::try_from(filled.len()).unwrap_or(0);
            rooms[class].entry(left - each * size).or_default().extend(filled);
        }
    }
    true
}

/// A search that fills one stick after the other, each with as much as fits: more in a stick never hurts those after it.
struct Search<'a> {
    cutting: &'a Cutting,
    bins: Vec<Bin>,
    /// For each set of classes that some piece is bound to, the room in its sticks from each place on.
    rooms: Vec<(Vec<bool>, Vec<i64>)>,
    /// How many of each piece are still to be cut.
    missing: Vec<i64>,
    /// What was found not to do: a place, and what is missing there.
    failed: HashSet<(usize, Vec<i64>)>,
    nodes: usize,
    /// Whether nothing was left out so far.
    whole: bool,
}

impl<'a> Search<'a> {
    fn new(cutting: &'a Cutting, bins: Vec<Bin>) -> Self {
        let mut sets: Vec<Vec<bool>> = cutting.pieces.iter().map(|piece| piece.fits.clone()).collect();
        sets.push(vec![true; cutting.stocks.len()]);
        sets.sort();
        sets.dedup();
        let rooms = sets
            .into_iter()
            .map(|set| {
                let mut rooms = vec![0; bins.len() + 1];
                for (at, bin) in bins.iter().enumerate().rev() {
                    rooms[at] = rooms[at + 1] + if set[bin.class] { bin.left } else { 0 };
                }
                (set, rooms)
            })
            .collect();
        let missing = cutting.pieces.iter().map(|piece| piece.count).collect();
        Self { cutting, bins, rooms, missing, failed: HashSet::new(), nodes: MOST_NODES, whole: true }
    }

    /// The least room a piece takes in any stick.
    fn least_size(&self, piece: usize) -> i64 {
        let asked = &self.cutting.pieces[piece];
        let kerfs = asked.fits.iter().zip(&self.cutting.stocks).filter(|(fits, _)| **fits).map(|(_, stock)| stock.kerf);
        asked.length + kerfs.min().unwrap_or(0)
    }

    /// The room that may still be lost from a stick on, by the tightest set of classes; negative if there is too little.
    fn slack(&self, at: usize) -> i64 {
        let each = self.rooms.iter().map(|(set, rooms)| {
            let bound = |piece: &usize| self.cutting.pieces[*piece].fits.iter().zip(set).all(|(fits, set)| !fits || *set);
            let asked = (0..self.missing.len()).filter(bound).map(|piece| self.least_size(piece) * self.missing[piece]);
            rooms[at] - asked.sum::<i64>()
        });
        each.min().unwrap_or(0)
    }

    /// Fills the sticks from `at` on.
    fn from(&mut self, at: usize, work: &mut Work) -> bool {
        if self.missing.iter().all(|&missing| missing == 0) {
            return true;
        }
        work.spend(self.missing.len() * self.rooms.len());
        if at == self.bins.len() || self.slack(at) < 0 {
            return false;
        }
        if self.nodes == 0 || work.is_done() {
            self.whole = false;
            return false;
        }
        if self.failed.contains(&(at, self.missing.clone())) {
            return false;
        }
        self.nodes -= 1;
        for fill in self.fills(at, work) {
            for &(piece, n) in &fill {
                self.missing[piece] -= n;
                self.bins[at].pieces.extend(std::iter::repeat_n(piece, usize::try_from(n).unwrap_or(0)));
            }
            let done = self.from(at + 1, work);
            if done {
                return true;
            }
            self.bins[at].pieces.clear();
            for &(piece, n) in &fill {
                self.missing[piece] += n;
            }
        }
        self.failed.insert((at, self.missing.clone()));
        false
    }

    /// Ways to fill a stick so that nothing missing fits on top, the fullest first.
    fn fills(&mut self, at: usize, work: &mut Work) -> Vec<Vec<(usize, i64)>> {
        let class = self.bins[at].class;
        let alike = self.bins[at..].iter().all(|bin| bin.class == class);
        let able: Vec<usize> =
            (0..self.missing.len()).filter(|&piece| self.missing[piece] > 0 && self.cutting.pieces[piece].fits[class]).collect();
        let mut filling = Filling {
            search: self,
            able: &able,
            kerf: self.cutting.stocks[class].kerf,
            most_lost: self.slack_of(class, at),
            chosen: Vec::new(),
            found: Vec::new(),
            steps: MOST_FILLS,
        };
        // Where all sticks left are alike, one of them holds the longest piece: let it be this one.
        filling.from(0, self.bins[at].left, alike);
        let (mut found, steps) = (filling.found, filling.steps);
        work.spend(MOST_FILLS - steps);
        self.whole &= steps > 0;
        found.sort_by_key(|(lost, _)| *lost);
        found.into_iter().map(|(_, fill)| fill).collect()
    }

    /// The room that may be lost in a stick of a class: what is lost there is lost to every set the class is of.
    fn slack_of(&self, class: usize, at: usize) -> i64 {
        let each = self.rooms.iter().filter(|(set, _)| set.iter().all(|&in_set| in_set) && set[class]).map(|(set, rooms)| {
            let bound = |piece: &usize| self.cutting.pieces[*piece].fits.iter().zip(set).all(|(fits, set)| !fits || *set);
            let asked = (0..self.missing.len()).filter(bound).map(|piece| self.least_size(piece) * self.missing[piece]);
            rooms[at] - asked.sum::<i64>()
        });
        each.min().unwrap_or(0)
    }
}

/// Listing the ways to fill one stick.
struct Filling<'a> {
    search: &'a Search<'a>,
    able: &'a [usize],
    kerf: i64,
    most_lost: i64,
    chosen: Vec<(usize, i64)>,
    found: Vec<(i64, Vec<(usize, i64)>)>,
    steps: usize,
}

impl Filling<'_> {
    fn from(&mut self, index: usize, left: i64, must: bool) {
        if self.steps == 0 {
            return;
        }
        self.steps -= 1;
        let (pieces, kerf) = (&self.search.cutting.pieces, self.kerf);
        let size = |piece: usize| pieces[piece].length + kerf;
        let Some(&piece) = self.able.get(index) else {
            // Looking at every piece once more is work as well.
            self.steps = self.steps.saturating_sub(self.able.len());
            let taken = |piece: usize| self.chosen.iter().find(|chosen| chosen.0 == piece).map_or(0, |chosen| chosen.1);
            let more_fits = self.able.iter().any(|&piece| taken(piece) < self.search.missing[piece] && size(piece) <= left);
            if left <= self.most_lost && !more_fits {
                self.found.push((left, self.chosen.clone()));
            }
            return;
        };
        let most = self.search.missing[piece].min(left / size(piece));
        for n in (i64::from(must && most > 0)..=most).rev() {
            if n > 0 {
                self.chosen.push((piece, n));
            }
            self.from(index + 1, left - n * size(piece), false);
            if n > 0 {
                self.chosen.pop();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::cutting::{Piece, Stock};
    use super::super::limits::Limits;
    use super::*;

    /// Best fit piece by piece, as its definition says: what is left of each stick, by class; `None` where a piece finds no room.
    fn one_by_one(cutting: &Cutting, counts: &[i64]) -> Option<Vec<(usize, i64)>> {
        let mut left: Vec<(usize, i64)> = uncut(cutting, counts).into_iter().map(|bin| (bin.class, bin.left)).collect();
        for piece in &cutting.pieces {
            for _ in 0..piece.count {
                let rest = |&(class, left): &(usize, i64)| left - piece.length - cutting.stocks[class].kerf;
                let fitting = left.iter_mut().filter(|stick| piece.fits[stick.0] && rest(stick) >= 0);
                let tightest = fitting.min_by_key(|stick| (rest(stick), stick.0))?;
                tightest.1 = rest(tightest);
            }
        }
        left.sort_unstable();
        Some(left)
    }

    proptest! {
        #[test]
        fn like_sticks_filled_at_once_are_filled_as_one_by_one(
            stocks in prop::collection::vec((1_i64..60, 0_i64..3, 0_i64..6), 1..4),
            pieces in prop::collection::vec((0_i64..40, 1_i64..9, prop::collection::vec(any::<bool>(), 3)), 1..8),
        ) {
            let counts: Vec<i64> = stocks.iter().map(|stock| stock.2).collect();
            let stocks: Vec<Stock> = stocks.into_iter().map(|(length, kerf, _)| Stock { length, kerf }).collect();
            let fits = |length: i64, may: &[bool]| stocks.iter().zip(may).map(|(stock, may)| *may && length <= stock.length).collect();
            let pieces =
                pieces.iter().map(|(length, count, may)| Piece { length: *length, count: *count, need: 0, fits: fits(*length, may) });
            let cutting = Cutting { pieces: pieces.collect(), stocks };
            let mut bins = uncut(&cutting, &counts);
            let fit = best_fit(&cutting, &mut bins, &mut Work::new(Limits::steps(u64::MAX)));
            let mut left: Vec<(usize, i64)> = bins.iter().map(|bin| (bin.class, bin.left)).collect();
            left.sort_unstable();
            prop_assert_eq!(fit.then_some(left), one_by_one(&cutting, &counts));
            if fit {
                for bin in &bins {
                    let stock = cutting.stocks[bin.class];
                    let cut: i64 = bin.pieces.iter().map(|&piece| cutting.pieces[piece].length + stock.kerf).sum();
                    prop_assert_eq!(bin.left, stock.length + stock.kerf - cut, "what is left is what was not cut");
                }
            }
        }
    }
}
