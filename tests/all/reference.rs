//! The purchase by trying everything: slow, short, and written apart from the code it checks.

use underboard::buying::programme::{Need, Programme};

/// The least cost, by trying all packs up to what any need could want; `None` if the needs cannot be met.
pub(crate) fn cheapest(programme: &Programme) -> Option<i64> {
    let mut packs = vec![0; programme.offers.len()];
    let mut best = None;
    try_packs(programme, 0, &mut packs, &mut best);
    best
}

fn try_packs(programme: &Programme, offer: usize, packs: &mut Vec<i64>, best: &mut Option<i64>) {
    if offer == packs.len() {
        let parcels = programme.goods_by_supplier(packs).iter().filter(|goods| goods.is_some()).count();
        let cost = cost(programme, packs);
        let may = programme.most_parcels.is_none_or(|most| parcels <= most);
        if may && best.is_none_or(|best| cost < best) && meets(programme, packs) {
            *best = Some(cost);
        }
        return;
    }
    let plain = programme.offers[offer];
    let most = (total_wanted(programme) + plain.pack - 1) / plain.pack;
    for n in std::iter::once(0).chain(plain.at_least..=most.max(plain.at_least)) {
        packs[offer] = n;
        try_packs(programme, offer + 1, packs, best);
    }
    packs[offer] = 0;
}

fn total_wanted(programme: &Programme) -> i64 {
    let wanted = programme.needs.iter().map(|need| match need {
        Need::Amount { amount, .. } => *amount,
        Need::Pieces { pieces, .. } => pieces.iter().map(|piece| piece.1).sum(),
    });
    wanted.sum()
}

trait Goods {
    fn goods_by_supplier(&self, packs: &[i64]) -> Vec<Option<i64>>;
}

impl Goods for Programme {
    fn goods_by_supplier(&self, packs: &[i64]) -> Vec<Option<i64>> {
        let mut goods = vec![None; self.suppliers.len()];
        for (offer, &n) in self.offers.iter().zip(packs) {
            if n > 0 {
                *goods[offer.supplier].get_or_insert(0) += n * offer.price;
            }
        }
        goods
    }
}

/// What packs cost: goods, topped up to the least order; then postage, or topping up to where it falls away.
fn cost(programme: &Programme, packs: &[i64]) -> i64 {
    let mut sum = 0;
    for (goods, supplier) in programme.goods_by_supplier(packs).into_iter().zip(&programme.suppliers) {
        let Some(goods) = goods else { continue };
        let goods = goods.max(supplier.least_order);
        let missing = supplier.free_from.map_or(i64::MAX, |threshold| (threshold - goods).max(0));
        sum += goods + missing.min(supplier.postage);
    }
    sum
}

/// Whether packs and stock meet all needs.
pub(crate) fn meets(programme: &Programme, packs: &[i64]) -> bool {
    let mut have: Vec<i64> = programme.parts.iter().map(|part| part.stock).collect();
    for (offer, &n) in programme.offers.iter().zip(packs) {
        have[offer.part] += offer.pack * n;
    }
    if programme.needs.iter().any(|need| matches!(need, Need::Pieces { .. })) {
        let mut pieces: Vec<(i64, &[usize])> = Vec::new();
        for need in &programme.needs {
            if let Need::Pieces { pieces: all, parts } = need {
                for &(length, count) in all {
                    pieces.extend(std::iter::repeat_n((length, parts.as_slice()), count as usize));
                }
            }
        }
        pieces.sort_by_key(|piece| std::cmp::Reverse(piece.0));
        let bins = have.iter().enumerate().flat_map(|(part, &n)| {
            let room = programme.parts[part].length + programme.parts[part].kerf;
            std::iter::repeat_n((part, room), n.min(pieces.len() as i64) as usize)
        });
        return packs_into(programme, &pieces, &mut bins.collect());
    }
    shares(programme, 0, &mut have)
}

fn packs_into(programme: &Programme, pieces: &[(i64, &[usize])], bins: &mut Vec<(usize, i64)>) -> bool {
    let Some((&(length, parts), rest)) = pieces.split_first() else { return true };
    for at in 0..bins.len() {
        let (part, room) = bins[at];
        let size = length + programme.parts[part].kerf;
        if parts.contains(&part) && room >= size && !bins[..at].contains(&(part, room)) {
            bins[at].1 -= size;
            if packs_into(programme, rest, bins) {
                return true;
            }
            bins[at].1 += size;
        }
    }
    false
}

fn shares(programme: &Programme, need: usize, have: &mut Vec<i64>) -> bool {
    let Some(Need::Amount { amount, gains }) = programme.needs.get(need) else { return true };
    uses(programme, need, *amount, gains, have)
}

fn uses(programme: &Programme, need: usize, missing: i64, gains: &[(usize, i64)], have: &mut Vec<i64>) -> bool {
    if missing <= 0 {
        return shares(programme, need + 1, have);
    }
    let Some((&(part, gain), rest)) = gains.split_first() else { return false };
    for n in 0..=have[part].min((missing + gain - 1) / gain) {
        have[part] -= n;
        if uses(programme, need, missing - n * gain, rest, have) {
            return true;
        }
        have[part] += n;
    }
    false
}
