//! Lengths that add and cut exactly.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{Dimension, Quantity, QuantityError, Share};

/// A length in whole micrometres, so that lengths add, compare and cut exactly. Never negative where it measures a thing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// A length of whole millimetres.
    pub const fn from_mm(mm: i64) -> Self {
        Self(mm.saturating_mul(1000))
    }

    /// A length of whole micrometres.
    pub const fn from_um(um: i64) -> Self {
        Self(um)
    }

    /// Whole micrometres.
    pub const fn um(self) -> i64 {
        self.0
    }

    /// Millimetres, rounded up to the next whole one: what a piece is cut to.
    pub const fn mm_up(self) -> i64 {
        self.0.saturating_add(999).div_euclid(1000)
    }

    /// The length rounded up to whole millimetres.
    #[must_use]
    pub const fn ceil_mm(self) -> Self {
        Self(self.mm_up().saturating_mul(1000))
    }

    /// Millimetres.
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e3
    }

    /// Metres.
    pub fn metres(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The exact quantity.
    pub fn quantity(self) -> Quantity {
        Quantity::new(Dimension::Length, Decimal::new(self.0, 3))
    }

    /// The distance between two coordinates.
    #[must_use]
    pub const fn abs_diff(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0).saturating_abs())
    }

    /// The length grown by a share (0.1 adds a tenth), rounded up to a micrometre.
    #[must_use]
    pub fn grown(self, share: Share) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "lengths are bounded by Quantity::LIMIT millimetres")]
        Self((self.0 as f64 * (1.0 + share.0)).ceil() as i64)
    }
}

impl TryFrom<Quantity> for Length {
    type Error = QuantityError;

    fn try_from(quantity: Quantity) -> Result<Self, QuantityError> {
        if quantity.dimension != Dimension::Length {
            return Err(QuantityError::WrongDimension { found: quantity.to_string(), dimension: quantity.dimension });
        }
        let um = quantity.value.checked_mul(Decimal::from(1000)).and_then(|um| um.round().to_i64());
        um.map(Self).ok_or_else(|| QuantityError::OutOfRange(quantity.to_string()))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self(self.0.saturating_mul(times))
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.quantity().fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_cut_to_whole_millimetres() {
        assert_eq!(Length::from_um(1_500_001).mm_up(), 1501);
        assert_eq!(Length::from_mm(1000).grown(Share(0.1)), Length::from_mm(1100));
    }
}
