//! Packing pieces into given sticks: quick ways first, then a search.

use std::collections::BTreeSet;

use super::cutting::{Cutting, Stick, Stock};
use super::limits::Work;
use super::mixed::Verdict;

/// Sticks to cut from, by class.
#[derive(Debug, Clone)]
pub(super) struct Bins {
    bins: Vec<Bin>,
}

/// A stick being cut.
#[derive(Debug, Clone)]
struct Bin {
    class: usize,
    /// Room left, one saw cut more than there is: the last piece may end with the stick.
    left: i64,
    kerf: i64,
    pieces: Vec<usize>,
}

impl Bins {
    /// So many sticks of each class, shortest first.
    pub(super) fn new(stocks: &[Stock], counts: &[i64]) -> Self {
        let mut bins = Vec::new();
        for (class, (stock, &count)) in stocks.iter().zip(counts).enumerate() {
            let bin = Bin { class, left: stock.length + stock.kerf, kerf: stock.kerf, pieces: Vec::new() };
            bins.extend(std::iter::repeat_n(bin, usize::try_from(count).unwrap_or(0)));
        }
        bins.sort_by_key(|bin| (bin.left, bin.class));
        Self { bins }
    }

    /// The sticks with anything cut from them.
    fn sticks(self) -> Vec<Stick> {
        let used = self.bins.into_iter().filter(|bin| !bin.pieces.is_empty());
        used.map(|bin| Stick { class: bin.class, pieces: bin.pieces }).collect()
    }
}

/// The most pieces for which a packing is searched; the search goes as deep as there are pieces.
const MOST_SEARCHED: usize = 1_000;

/// Packs all pieces of `cutting`.
///
/// # Errors
/// [`Verdict::Fails`] if it cannot be done, [`Verdict::Open`] if that is not settled.
pub(super) fn pack(cutting: &Cutting, bins: &Bins, work: &mut Work) -> Result<Vec<Stick>, Verdict> {
    let pieces: Vec<usize> = (0..cutting.pieces.len()).flat_map(|at| many(at, cutting.pieces[at].count)).collect();
    let mut tight = bins.clone();
    if best_fit(cutting, &pieces, &mut tight, work) {
        return Ok(tight.sticks());
    }
    if pieces.len() > MOST_SEARCHED {
        return Err(Verdict::Open);
    }
    let mut shortest = vec![i64::MAX; pieces.len() + 1];
    for (at, &piece) in pieces.iter().enumerate().rev() {
        shortest[at] = shortest[at + 1].min(cutting.pieces[piece].length);
    }
    let mut search = Search { cutting, pieces: &pieces, shortest, nodes: 20_000 };
    let mut searched = bins.clone();
    let room: i64 = bins.bins.iter().map(|bin| bin.left).sum();
    let asked: i64 = pieces.iter().map(|&piece| cutting.pieces[piece].length).sum();
    if search.place(0, room - asked, &mut searched, work) {
        Ok(searched.sticks())
    } else if search.nodes > 0 && !work.is_done() {
        Err(Verdict::Fails)
    } else {
        Err(Verdict::Open)
    }
}

/// An index, so many times.
fn many(at: usize, count: i64) -> impl Iterator<Item = usize> {
    std::iter::repeat_n(at, usize::try_from(count).unwrap_or(0))
}

/// Puts each piece, longest first, where it leaves least.
fn best_fit(cutting: &Cutting, pieces: &[usize], bins: &mut Bins, work: &mut Work) -> bool {
    // By class the sticks in the order of the room they have left, so that thousands of pieces find theirs at once.
    let mut rooms: Vec<BTreeSet<(i64, usize)>> = vec![BTreeSet::new(); cutting.stocks.len()];
    for (at, bin) in bins.bins.iter().enumerate() {
        rooms[bin.class].insert((bin.left, at));
    }
    for &piece in pieces {
        work.spend(rooms.len());
        let asked = &cutting.pieces[piece];
        let fitting = cutting.stocks.iter().enumerate().filter(|(class, _)| asked.fits[*class]).filter_map(|(class, stock)| {
            let size = asked.length + stock.kerf;
            let &(left, at) = rooms[class].range((size, 0)..).next()?;
            Some((left - size, class, left, at))
        });
        let Some((rest, class, left, at)) = fitting.min() else { return false };
        rooms[class].remove(&(left, at));
        rooms[class].insert((rest, at));
        bins.bins[at].left = rest;
        bins.bins[at].pieces.push(piece);
    }
    true
}

/// A search for a packing, piece by piece, longest first.
struct Search<'a> {
    cutting: &'a Cutting,
    pieces: &'a [usize],
    /// The shortest of the pieces from each place on.
    shortest: Vec<i64>,
    nodes: u32,
}

impl Search<'_> {
    /// Places the pieces from `at` on; `spare` is the room that may still be lost.
    fn place(&mut self, at: usize, spare: i64, bins: &mut Bins, work: &mut Work) -> bool {
        let Some(&piece) = self.pieces.get(at) else { return true };
        if self.nodes == 0 || spare < 0 || work.is_done() {
            return false;
        }
        self.nodes -= 1;
        work.spend(bins.bins.len());
        let asked = &self.cutting.pieces[piece];
        let mut tried: Vec<(usize, i64)> = Vec::new();
        for bin in 0..bins.bins.len() {
            let Bin { class, left, kerf, .. } = bins.bins[bin];
            if !asked.fits[class] || left < asked.length + kerf || tried.contains(&(class, left)) {
                continue;
            }
            tried.push((class, left));
            bins.bins[bin].left -= asked.length + kerf;
            bins.bins[bin].pieces.push(piece);
            // A rest shorter than every piece to come is lost.
            let rest = bins.bins[bin].left;
            let lost = kerf + if rest < self.shortest[at + 1] { rest } else { 0 };
            if self.place(at + 1, spare - lost, bins, work) {
                return true;
            }
            bins.bins[bin].left += asked.length + kerf;
            bins.bins[bin].pieces.pop();
        }
        false
    }
}
