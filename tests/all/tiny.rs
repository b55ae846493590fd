//! Random purchases so small that they can be solved by trying everything.

use underboard::buying::programme::{Need, Offer, Part, Programme, Supplier};

use crate::instances::Dice;

/// A tiny instance that can be solved by trying everything.
pub(crate) fn tiny(seed: u64) -> Programme {
    let mut dice = Dice::new(seed ^ 0xABCD_EF01);
    let mut programme = Programme::default();
    for _ in 0..dice.roll(1, 3) {
        programme.suppliers.push(Supplier {
            postage: dice.roll(0, 12),
            free_from: dice.chance(60).then(|| dice.roll(5, 40)),
            least_order: if dice.chance(30) { dice.roll(1, 25) } else { 0 },
        });
    }
    let parts = dice.roll(1, 3);
    let cut = dice.chance(25);
    for _ in 0..parts {
        let stock = if dice.chance(25) { dice.roll(1, 2) } else { 0 };
        let (length, kerf) = if cut { (dice.roll(6, 14), dice.roll(0, 1)) } else { (0, 0) };
        programme.parts.push(Part { stock, length, kerf });
    }
    for _ in 0..dice.roll(1, 3) {
        let mut eligible: Vec<usize> = (0..parts as usize).filter(|_| dice.chance(65)).collect();
        if eligible.is_empty() {
            eligible.push(dice.roll(0, parts - 1) as usize);
        }
        programme.needs.push(if cut {
            let longest = eligible.iter().map(|&part| programme.parts[part].length).max().unwrap();
            let mut pieces: Vec<(i64, i64)> = (0..dice.roll(1, 2)).map(|_| (dice.roll(2, longest), dice.roll(1, 2))).collect();
            pieces.sort_unstable_by(|a, b| b.cmp(a));
            pieces.dedup_by_key(|piece| piece.0);
            Need::Pieces { pieces, parts: eligible }
        } else {
            let sizes = dice.chance(30);
            let gains = eligible.into_iter().map(|part| (part, if sizes { dice.roll(1, 3) } else { 1 })).collect();
            Need::Amount { amount: dice.roll(1, 4), gains }
        });
    }
    for at in 0..dice.roll(parts, 5).max(parts) {
        programme.offers.push(Offer {
            part: if at < parts { at as usize } else { dice.roll(0, parts - 1) as usize },
            supplier: dice.roll(0, programme.suppliers.len() as i64 - 1) as usize,
            pack: dice.roll(1, 4),
            price: dice.roll(0, 15),
            at_least: if dice.chance(25) { dice.roll(2, 3) } else { 1 },
        });
    }
    if dice.chance(15) {
        programme.most_parcels = Some(1);
    }
    programme
}
