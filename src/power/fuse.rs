//! Fuses: the rating that carries a load and still protects what it feeds.

use crate::quantity::{Current, Share};

/// Ratings of miniature fuses in milliamperes: the R10 series as rounded in IEC 60127-1, 32 mA to 10 A
/// (those below 315 mA from memory).
const R10_MILLIAMPERES: [u32; 26] = [
    32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300,
    8000, 10_000,
];

/// Loads that differ by less than this part of themselves count as equal, so that a sum such as 0.1 + 0.2 A means 0.3 A.
const SAME: f64 = 1e-9;

/// All ratings, from the smallest.
pub fn ratings() -> impl Iterator<Item = Current> {
    R10_MILLIAMPERES.iter().map(|&rating| Current(f64::from(rating) / 1000.0))
}

/// The next rating of the R10 series strictly above a load: 250 mA for 0.2 A.
///
/// `None` above the series (10 A or more) and for what is no number.
pub fn next_r10(load: Current) -> Option<Current> {
    ratings().find(|rating| rating.0 > load.0 * (1.0 + SAME))
}

/// A fuse may carry so much of its rating all the time, or it opens in the end without a fault: NEC 210.20(A) asks of an overcurrent device
/// 125 % of the continuous load; good practice here, not a duty.
pub const STEADY: Share = Share(0.8);

/// The fuse that carries a load: the next rating above its most, of which the steady part takes no more than [`STEADY`].
///
/// `None` above the series.
pub fn carrying(most: Current, steady: Current) -> Option<Current> {
    let for_steady = steady / STEADY.0;
    ratings().find(|rating| rating.0 > most.0 * (1.0 + SAME) && rating.0 >= for_steady.0 * (1.0 - SAME))
}

/// The fuse to prefer for a load: the smallest of which even the most takes no more than [`STEADY`], so that it neither ages nor takes much of the
/// voltage; where that would let through more than wire and supply bear, the one that just carries the load.
///
/// `None` above the series.
pub fn preferred(most: Current, steady: Current, bears: Current) -> Option<Current> {
    let carries = carrying(most, steady)?;
    let easy = carrying(most, most.max(steady)).filter(|rating| rating.0 <= bears.0 * (1.0 + SAME));
    Some(easy.unwrap_or(carries))
}

/// What keeps a section of a feed from having a fuse that protects it.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoFuse {
    /// The load is beyond the series.
    #[error("no fuse of the series carries {load}")]
    LoadTooLarge {
        /// What the section carries.
        load: Current,
    },
    /// The smallest fuse that carries the load lets more through than wire or supply bear.
    #[error("a load of {load} needs a fuse of {fuse}, which does not protect what bears {bears} at most")]
    Unprotected {
        /// What the section carries.
        load: Current,
        /// The smallest rating that carries it.
        fuse: Current,
        /// What the weaker of wire and supply bears.
        bears: Current,
    },
}

/// A fuse, if it protects what it feeds: its thinnest wire and its supply.
///
/// # Errors
/// Says why it does not: the load is too large for any, or the fuse is above the weaker of wire and supply.
pub fn protecting(fuse: Option<Current>, most: Current, wire: Current, supply: Current) -> Result<Current, NoFuse> {
    let fuse = fuse.ok_or(NoFuse::LoadTooLarge { load: most })?;
    let bears = Current(wire.0.min(supply.0));
    if fuse.0 <= bears.0 * (1.0 + SAME) { Ok(fuse) } else { Err(NoFuse::Unprotected { load: most, fuse, bears }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rating_is_strictly_above_the_load() {
        assert_eq!(next_r10(Current(0.2)), Some(Current(0.25)));
        assert_eq!(next_r10(Current(0.21)), Some(Current(0.25)));
        assert_eq!(next_r10(Current::ZERO), Some(Current(0.032)));
        assert_eq!(next_r10(Current(9.9)), Some(Current(10.0)));
    }

    #[test]
    fn a_sum_that_should_be_a_rating_counts_as_that_rating() {
        assert_eq!(next_r10(Current(0.7 + 0.1)), Some(Current(1.0)));
    }

    #[test]
    fn beyond_the_series_there_is_none() {
        assert_eq!(next_r10(Current(10.0)), None);
        assert_eq!(next_r10(Current(f64::INFINITY)), None);
        assert_eq!(next_r10(Current(f64::NAN)), None);
    }

    #[test]
    fn it_protects_the_weaker_of_wire_and_supply() {
        let fuse = |most, wire, supply| {
            protecting(carrying(Current(most), Current::ZERO), Current(most), Current(wire), Current(supply))
        };
        assert_eq!(fuse(0.9, 1.4, 2.0), Ok(Current(1.0)));
        let unprotected = NoFuse::Unprotected { load: Current(1.3), fuse: Current(1.6), bears: Current(1.4) };
        assert_eq!(fuse(1.3, 1.4, 2.0), Err(unprotected));
        assert_eq!(fuse(12.0, 20.0, 20.0), Err(NoFuse::LoadTooLarge { load: Current(12.0) }));
    }

    #[test]
    fn the_most_leaves_a_fifth_free_where_wire_and_supply_allow_it() {
        let preferred = |most, steady, bears| preferred(Current(most), Current(steady), Current(bears));
        // By hand: 1.25 × 2.79 A = 3.49 A: 4 A; on wire of 3.15 A the smaller must do, and of one that carries already nothing changes.
        assert_eq!(preferred(2.79, 1.67, 4.5), Some(Current(4.0)));
        assert_eq!(preferred(2.79, 1.67, 3.15), Some(Current(3.15)));
        assert_eq!(preferred(0.5, 0.0, 1.0), Some(Current(0.63)));
        assert_eq!(preferred(9.0, 0.0, 100.0), Some(Current(10.0)), "beyond the series the one that carries it");
        assert_eq!(preferred(11.0, 0.0, 100.0), None);
    }

    #[test]
    fn a_steady_load_leaves_a_fifth_of_the_fuse_free() {
        // By hand: 1.25 × 1.7 A = 2.125 A, so 2 A would open in the end; 1.25 × 0.8 A = 1 A just holds.
        assert_eq!(carrying(Current(1.8), Current(1.7)), Some(Current(2.5)));
        assert_eq!(carrying(Current(0.85), Current(0.8)), Some(Current(1.0)));
        assert_eq!(carrying(Current(1.9), Current(0.1)), Some(Current(2.0)));
        assert_eq!(carrying(Current(8.5), Current(8.5)), None);
    }
}
