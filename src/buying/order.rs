//! From the covers chosen to the purchase: orders by supplier, what is used for what, the cutting list.

use std::collections::{BTreeMap, VecDeque};

use super::compile::Compiled;
use super::cover::Cover;
use super::lots::{Form, Lot};
use super::model::{Beyond, Cut, LeftOver, Line, Parcel, Piece, Purchase, UseOfPart};
use super::programme::Programme;
use super::share::Sharing;
use super::solve::Solution;
use crate::catalogue::Catalogue;
use crate::id::NeedId;
use crate::money::{Currency, Money};
use crate::quantity::Length;
use crate::takeoff::{Subject, Takeoff};

/// Writes out a solution.
pub(super) fn order(takeoff: &Takeoff, catalogue: &Catalogue, compiled: Compiled, solution: &Solution) -> Purchase {
    let home = catalogue.rates.home;
    let programme = &compiled.programme;
    let packs = solution.packs(programme);
    let parcels = parcels(catalogue, &compiled, &packs, home);
    let uses = uses(programme, solution);
    let sum = |of: &dyn Fn(&Parcel) -> Money| Money::total(parcels.iter().map(of), home);
    let goods = sum(&|parcel| parcel.goods);
    let postage = sum(&|parcel| parcel.postage);
    let total = goods + postage + sum(&|parcel| parcel.top_up.unwrap_or(Money::zero(home)));
    let used = used(&compiled, &uses);
    Purchase {
        left_over: left_over(&compiled, &packs, &used),
        cuts: cuts(takeoff, &compiled, &uses),
        uses: used,
        parcels,
        goods,
        postage,
        total,
        bound: Money::from_minor(solution.bound, home),
        proof: solution.proof,
        unmet: compiled.unmet,
    }
}

/// Orders by supplier.
fn parcels(catalogue: &Catalogue, compiled: &Compiled, packs: &[i64], home: Currency) -> Vec<Parcel> {
    let programme = &compiled.programme;
    let goods = programme.goods(packs);
    let mut parcels = Vec::new();
    for (supplier, &id) in compiled.suppliers.iter().enumerate() {
        let offers = (0..packs.len()).filter(|&offer| packs[offer] > 0 && programme.offers[offer].supplier == supplier);
        let lines: Vec<Line> = offers
            .map(|at| {
                let offer = catalogue.offer(compiled.offers[at]);
                let count = u32::try_from(packs[at]).unwrap_or(u32::MAX);
                Line {
                    offer: compiled.offers[at],
                    packs: count,
                    parts: count.saturating_mul(offer.pack),
                    total: offer.price * packs[at],
                }
            })
            .collect();
        let Some(spent) = goods[supplier] else { continue };
        let postage = programme.suppliers[supplier].terms_for(spent).fee;
        let added = programme.suppliers[supplier].cost(spent) - spent - postage;
        parcels.push(Parcel {
            supplier: id,
            goods: Money::total(lines.iter().map(|line| line.total), home),
            lines,
            postage: Money::from_minor(postage, home),
            top_up: (added > 0).then(|| Money::from_minor(added, home)),
        });
    }
    parcels
}

/// Parts used and sticks cut, by index in the programme.
#[derive(Debug, Default)]
pub(super) struct Uses {
    /// Need, part, how many.
    pub(super) shares: Vec<(usize, usize, i64)>,
    /// Part, and the pieces cut from one of it: need and length.
    pub(super) sticks: Vec<(usize, Vec<(usize, i64)>)>,
}

/// What each lot uses of what it has.
fn uses(programme: &Programme, solution: &Solution) -> Uses {
    let mut uses = Uses::default();
    for (lot, cover) in solution.lots.lots.iter().zip(&solution.covers) {
        share_out(programme, lot, cover, &mut uses);
    }
    uses.shares.sort_unstable();
    uses
}

/// What one lot uses.
fn share_out(programme: &Programme, lot: &Lot, cover: &Cover, uses: &mut Uses) {
    if let Form::Mixed(mixed) = &lot.form
        && let Some(sticks) = mixed.sticks(programme, cover)
    {
        for (part, pieces) in sticks {
            let pieces: Vec<(usize, i64)> = pieces.into_iter().map(|(need, length)| (lot.needs[need], length)).collect();
            let mut needs: Vec<usize> = pieces.iter().map(|piece| piece.0).collect();
            needs.sort_unstable();
            needs.dedup();
            // A stick counts for the need of its longest piece.
            let first = pieces.iter().max_by_key(|piece| piece.1).map_or(lot.needs[0], |piece| piece.0);
            match uses.shares.iter_mut().find(|share| share.0 == first && share.1 == part) {
                Some(share) => share.2 += 1,
                None => uses.shares.push((first, part, 1)),
            }
            uses.sticks.push((part, pieces));
        }
        return;
    }
    let mut parts: Vec<usize> = lot.needs.iter().flat_map(|&need| programme.needs[need].parts()).collect();
    parts.sort_unstable();
    parts.dedup();
    let singles: Vec<Vec<usize>> = parts.iter().map(|&part| vec![part]).collect();
    let counts = cover.at_hand(programme, &parts);
    let Some(shares) = Sharing::new(programme, &lot.needs, &singles).share(&counts) else { return };
    for (&need, shares) in lot.needs.iter().zip(&shares) {
        let used = parts.iter().zip(shares).filter(|(_, n)| **n > 0);
        uses.shares.extend(used.map(|(&part, &n)| (need, part, n)));
    }
}

/// The uses with what of them comes from stock.
fn used(compiled: &Compiled, uses: &Uses) -> Vec<UseOfPart> {
    let mut stock: Vec<i64> = compiled.programme.parts.iter().map(|part| part.stock).collect();
    let whole = |n: i64| u32::try_from(n).unwrap_or(u32::MAX);
    uses.shares
        .iter()
        .map(|&(need, part, count)| {
            let from_stock = count.min(stock[part]);
            stock[part] -= from_stock;
            UseOfPart {
                need: compiled.needs[need],
                part: compiled.parts[part],
                count: whole(count),
                from_stock: whole(from_stock),
            }
        })
        .collect()
}

/// What is bought beyond what is used, and why.
fn left_over(compiled: &Compiled, packs: &[i64], uses: &[UseOfPart]) -> Vec<LeftOver> {
    let offers = &compiled.programme.offers;
    let mut left = Vec::new();
    for (at, &part) in compiled.parts.iter().enumerate() {
        let of_part = || offers.iter().zip(packs).filter(|(offer, _)| offer.part == at);
        let bought: i64 = of_part().map(|(offer, n)| offer.pack * n).sum();
        let used = uses.iter().filter(|used| used.part == part).map(|used| i64::from(used.count - used.from_stock));
        let count = bought - used.sum::<i64>();
        let least = of_part().map(|(offer, _)| offer.pack * offer.at_least).min().unwrap_or(0);
        let by_break = of_part().find(|(offer, n)| offer.at_least > 1 && **n == offer.at_least);
        let whole = |n: i64| u32::try_from(n).unwrap_or(u32::MAX);
        let why = match by_break {
            _ if count < least => Beyond::LeastPack(whole(least)),
            Some((offer, _)) => Beyond::Break(whole(offer.at_least)),
            None => Beyond::Cheaper,
        };
        if count > 0 {
            left.push(LeftOver { part, count: whole(count), why });
        }
    }
    left
}

/// The cutting list: pieces of like length go to their subjects in the order of the take-off.
fn cuts(takeoff: &Takeoff, compiled: &Compiled, uses: &Uses) -> Vec<Cut> {
    let mut waiting: BTreeMap<(NeedId, Length), VecDeque<Subject>> = BTreeMap::new();
    for &need in &compiled.needs {
        for (length, subject) in takeoff.need(need).pieces() {
            waiting.entry((need, length)).or_default().push_back(subject);
        }
    }
    let mut cuts: Vec<Cut> = Vec::new();
    for (part, cut) in &uses.sticks {
        let plain = &compiled.programme.parts[*part];
        let mut pieces: Vec<Piece> = cut
            .iter()
            .filter_map(|&(need, length)| {
                let (need, length) = (compiled.needs[need], Length::from_um(length));
                let subject = waiting.get_mut(&(need, length))?.pop_front()?;
                Some(Piece { need, length, subject })
            })
            .collect();
        pieces.sort_by_key(|piece| (std::cmp::Reverse(piece.length), piece.subject));
        let taken: i64 = pieces.iter().map(|piece| piece.length.um() + plain.kerf).sum();
        let left = Length::from_um((plain.length - taken).max(0));
        cuts.push(Cut { part: compiled.parts[*part], stock: Length::from_um(plain.length), pieces, left });
    }
    cuts
}
