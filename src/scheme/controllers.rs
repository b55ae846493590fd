//! Which sizes of controller cover so many channels for the least money.

use rust_decimal::Decimal;

use crate::id::PartId;

/// A size of controller that can be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Size {
    /// Its channels.
    pub(crate) channels: u32,
    /// The price of one.
    pub(crate) price: Decimal,
    /// The part, for one that lies in stock: it can be taken once. Bought ones can be taken any number of times.
    pub(crate) stocked: Option<PartId>,
}

/// A cover of a number of channels: its price, how many controllers, their channels together, and the last one taken.
#[derive(Debug, Clone)]
struct Cover {
    price: Decimal,
    sizes: Vec<Size>,
    channels: u32,
}

impl Cover {
    /// Cheaper first; at one price fewer controllers, then fewer channels.
    fn rank(&self) -> (Decimal, usize, u32) {
        (self.price, self.sizes.len(), self.channels)
    }

    fn with(&self, size: Size) -> Self {
        let mut sizes = self.sizes.clone();
        sizes.push(size);
        Self { price: self.price.saturating_add(size.price), sizes, channels: self.channels.saturating_add(size.channels) }
    }
}

/// The cheapest sizes with `wanted` channels together, largest first; none where nothing can be had. A dynamic programme over the channels
/// still wanted: stocked ones first, once each, then bought ones.
#[expect(clippy::indexing_slicing, reason = "from 0 to `wanted`, which has its place")]
pub(crate) fn cheapest_sizes(sizes: &[Size], wanted: u32) -> Vec<Size> {
    let wanted = wanted as usize;
    let mut best: Vec<Option<Cover>> = vec![None; wanted + 1];
    best[0] = Some(Cover { price: Decimal::ZERO, sizes: Vec::new(), channels: 0 });
    let improve = |best: &mut Vec<Option<Cover>>, have: usize, size: Size| {
        let Some(cover) = best[have].as_ref().map(|cover| cover.with(size)) else { return };
        let reached = (have + size.channels as usize).min(wanted);
        if best[reached].as_ref().is_none_or(|old| cover.rank() < old.rank()) {
            best[reached] = Some(cover);
        }
    };
    for &size in sizes.iter().filter(|size| size.stocked.is_some()) {
        for have in (0..wanted).rev() {
            improve(&mut best, have, size);
        }
    }
    for have in 0..wanted {
        for &size in sizes.iter().filter(|size| size.stocked.is_none()) {
            improve(&mut best, have, size);
        }
    }
    let mut chosen = best.pop().flatten().map(|cover| cover.sizes).unwrap_or_default();
    chosen.sort_by_key(|size| std::cmp::Reverse(size.channels));
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sold(channels: u32, price: i64) -> Size {
        Size { channels, price: Decimal::from(price), stocked: None }
    }

    fn channels(sizes: &[Size], wanted: u32) -> Vec<u32> {
        cheapest_sizes(sizes, wanted).iter().map(|size| size.channels).collect()
    }

    #[test]
    fn a_second_one_or_a_larger_one_whichever_is_cheaper() {
        assert_eq!(channels(&[sold(4, 9), sold(12, 20), sold(16, 30)], 16), [12, 4]);
        assert_eq!(channels(&[sold(4, 9), sold(12, 20), sold(16, 27)], 16), [16]);
        assert_eq!(channels(&[sold(4, 9), sold(12, 20), sold(16, 29)], 16), [16], "at one price the fewer");
    }

    #[test]
    fn one_in_stock_is_taken_once() {
        let stocked = Size { stocked: Some(PartId(0)), ..sold(4, 0) };
        assert_eq!(channels(&[stocked, sold(4, 9)], 8), [4, 4]);
        assert_eq!(cheapest_sizes(&[stocked, sold(4, 9)], 8).iter().filter(|size| size.stocked.is_some()).count(), 1);
    }

    #[test]
    fn nothing_sold_covers_nothing() {
        assert!(channels(&[], 3).is_empty());
    }
}
