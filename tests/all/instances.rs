//! Random purchases from a fixed seed: invented parts, suppliers and prices, in the three sizes that tests, bench and the outside
//! reference share.

use underboard::buying::programme::{Need, Offer, Part, Programme, Supplier};

/// A small generator of numbers that is the same everywhere (splitmix64).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from `low` to `high`, both included.
    pub(crate) fn roll(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    /// True in `percent` of a hundred.
    pub(crate) fn chance(&mut self, percent: i64) -> bool {
        self.roll(1, 100) <= percent
    }

    /// One of a list.
    pub(crate) fn pick(&mut self, list: &[i64]) -> i64 {
        list[self.roll(0, list.len() as i64 - 1) as usize]
    }
}

/// How large an instance is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Size {
    pub(crate) name: &'static str,
    pub(crate) needs: usize,
    pub(crate) suppliers: usize,
    pub(crate) offers: usize,
}

pub(crate) const SIZES: [Size; 3] = [
    Size { name: "small", needs: 30, suppliers: 3, offers: 90 },
    Size { name: "medium", needs: 60, suppliers: 6, offers: 400 },
    Size { name: "large", needs: 120, suppliers: 10, offers: 1500 },
];

/// Many suppliers, each with postage to pay.
pub(crate) const TWENTY: Size = Size { name: "twenty suppliers", needs: 80, suppliers: 20, offers: 800 };

/// An instance with everything a catalogue has: substitutes, longer leads for shorter ones, packs shared over places, pieces, price
/// breaks, stock, postage with thresholds, least orders.
pub(crate) fn instance(size: Size, seed: u64) -> Programme {
    let mut dice = Dice::new(seed);
    let mut programme = Programme::default();
    let mut worth = Vec::new();
    while programme.needs.len() < size.needs {
        let kind = dice.roll(1, 100);
        let room = size.needs - programme.needs.len();
        match kind {
            1..=22 if room >= 4 => row(&mut dice, &mut programme, &mut worth),
            23..=30 if room >= 3 => places(&mut dice, &mut programme, &mut worth),
            31..=34 => pieces(&mut dice, &mut programme, &mut worth),
            _ => single(&mut dice, &mut programme, &mut worth),
        }
    }
    let total: i64 = programme.needs.iter().map(|need| wanted(need, &worth)).sum();
    suppliers(&mut dice, &mut programme, size.suppliers, total);
    offers(&mut dice, &mut programme, &worth, size.offers);
    programme
}

fn part(dice: &mut Dice, programme: &mut Programme, worth: &mut Vec<i64>, price: i64, length: i64) -> usize {
    let stock = if dice.chance(12) { dice.roll(1, 6) } else { 0 };
    programme.parts.push(Part { stock, length, kerf: if length > 0 && length <= 2_000_000 { 1_000 } else { 0 } });
    worth.push(price.max(2));
    programme.parts.len() - 1
}

fn price(dice: &mut Dice) -> i64 {
    dice.pick(&[1, 1, 3, 3, 10, 30]) * dice.roll(10, 60)
}

/// A need with up to three parts that would do.
fn single(dice: &mut Dice, programme: &mut Programme, worth: &mut Vec<i64>) {
    let base = price(dice);
    let gains = (0..dice.roll(1, 3))
        .map(|_| {
            let price = base * dice.roll(85, 130) / 100;
            (part(dice, programme, worth, price, 0), 1)
        })
        .collect();
    programme.needs.push(Need::Amount { amount: dice.roll(1, 40), gains });
}

/// Needs in a row: each part serves its own need and those before.
fn row(dice: &mut Dice, programme: &mut Programme, worth: &mut Vec<i64>) {
    let base = price(dice);
    let levels = dice.roll(2, 4) as usize;
    let parts: Vec<usize> =
        (0..levels).map(|level| part(dice, programme, worth, base * (100 + 20 * level as i64) / 100, 0)).collect();
    for level in 0..levels {
        let gains = parts[level..].iter().map(|&part| (part, 1)).collect();
        programme.needs.push(Need::Amount { amount: dice.roll(1, 25), gains });
    }
}

/// Capacities at two or three places, made up of parts of several sizes that share packs.
fn places(dice: &mut Dice, programme: &mut Programme, worth: &mut Vec<i64>) {
    let base = price(dice);
    let gains: Vec<(usize, i64)> = [4, 8, 12, 16][..dice.roll(2, 4) as usize]
        .iter()
        .map(|&ways| (part(dice, programme, worth, base * (ways + 3) / 4, 0), ways))
        .collect();
    for _ in 0..dice.roll(2, 3) {
        programme.needs.push(Need::Amount { amount: dice.roll(3, 40), gains: gains.clone() });
    }
}

/// Pieces from reels or sticks of two or three lengths.
fn pieces(dice: &mut Dice, programme: &mut Programme, worth: &mut Vec<i64>) {
    let base = dice.roll(20, 80);
    let lengths: &[i64] = if dice.chance(50) { &[1, 2] } else { &[10, 25, 50] };
    let parts = lengths.iter().map(|&m| part(dice, programme, worth, base * m + 40, m * 1_000_000)).collect();
    let longest = lengths[0] * 1_000_000;
    let mut pieces: Vec<(i64, i64)> =
        (0..dice.roll(2, 6)).map(|_| (dice.roll(longest / 20_000, longest / 2_000) * 1_000, dice.roll(1, 8))).collect();
    pieces.sort_unstable_by(|a, b| b.cmp(a));
    pieces.dedup_by_key(|piece| piece.0);
    programme.needs.push(Need::Pieces { pieces, parts });
}

/// About what a need costs.
fn wanted(need: &Need, worth: &[i64]) -> i64 {
    match need {
        Need::Amount { amount, gains } => amount * worth[gains[0].0] / gains[0].1,
        Need::Pieces { parts, .. } => 2 * worth[parts[0]],
    }
}

fn suppliers(dice: &mut Dice, programme: &mut Programme, count: usize, total: i64) {
    for _ in 0..count {
        let share = total / count as i64;
        programme.suppliers.push(Supplier {
            postage: dice.roll(25, 95) * 10,
            free_from: dice.chance(75).then(|| share * dice.roll(40, 220) / 100),
            least_order: if dice.chance(20) { share * dice.roll(5, 60) / 100 } else { 0 },
        });
    }
}

fn offers(dice: &mut Dice, programme: &mut Programme, worth: &[i64], count: usize) {
    let level: Vec<i64> = programme.suppliers.iter().map(|_| dice.roll(90, 112)).collect();
    let mut part = 0;
    while programme.offers.len() < count || part < programme.parts.len() {
        // Every part once, then parts at random.
        let of = if part < programme.parts.len() { part } else { dice.roll(0, programme.parts.len() as i64 - 1) as usize };
        part += 1;
        let supplier = dice.roll(0, programme.suppliers.len() as i64 - 1) as usize;
        let whole = programme.parts[of].length > 0;
        let pack = if whole { 1 } else { dice.pick(&[1, 1, 1, 2, 5, 5, 10, 20, 25, 50]) };
        let discount = match pack {
            1 => 100,
            2..=5 => dice.roll(88, 100),
            6..=20 => dice.roll(78, 96),
            _ => dice.roll(65, 92),
        };
        let price = (worth[of] * pack * level[supplier] * discount * dice.roll(93, 107) / 1_000_000).max(1);
        programme.offers.push(Offer { part: of, supplier, pack, price, at_least: 1 });
        if pack == 1 && dice.chance(15) {
            let at_least = dice.roll(3, 12);
            programme.offers.push(Offer { part: of, supplier, pack, price: (price * dice.roll(85, 97) / 100).max(1), at_least });
        }
    }
}
