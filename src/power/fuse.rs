//! Fuses: the rating that carries a load and still protects what it feeds.

use crate::quantity::Current;

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

/// What keeps a feed from having a fuse that protects it.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoFuse {
    /// The load is beyond the series.
    #[error("no fuse of the series carries {load}: split the feed")]
    LoadTooLarge {
        /// What the feed carries.
        load: Current,
    },
    /// The smallest fuse that carries the load lets more through than wire or supply bear.
    #[error("a load of {load} needs a fuse of {fuse}, which does not protect what bears {bears} at most")]
    Unprotected {
        /// What the feed carries.
        load: Current,
        /// The smallest rating above it.
        fuse: Current,
        /// What the weaker of wire and supply bears.
        bears: Current,
    },
}

/// The fuse of a feed: the next rating above its load, at most what its thinnest wire and its supply bear.
///
/// # Errors
/// Says why there is none: the load is too large, or the fuse would not protect the weaker of wire and supply.
pub fn fuse(load: Current, wire: Current, supply: Current) -> Result<Current, NoFuse> {
    let fuse = next_r10(load).ok_or(NoFuse::LoadTooLarge { load })?;
    let bears = Current(wire.0.min(supply.0));
    if fuse.0 <= bears.0 * (1.0 + SAME) { Ok(fuse) } else { Err(NoFuse::Unprotected { load, fuse, bears }) }
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
        assert_eq!(fuse(Current(0.9), Current(1.4), Current(2.0)), Ok(Current(1.0)));
        let unprotected = NoFuse::Unprotected { load: Current(1.3), fuse: Current(1.6), bears: Current(1.4) };
        assert_eq!(fuse(Current(1.3), Current(1.4), Current(2.0)), Err(unprotected));
        assert_eq!(fuse(Current(12.0), Current(20.0), Current(20.0)), Err(NoFuse::LoadTooLarge { load: Current(12.0) }));
    }
}
