//! The newtypes of the sums of physics: an `f64` each, in the unit it is named for, with the operators that mean something.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

use rust_decimal::prelude::FromPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::{Dimension, Length, Quantity, QuantityError};

macro_rules! physical {
    ($($(#[$doc:meta])* $name:ident, $dimension:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// None of it.
            pub const ZERO: Self = Self(0.0);

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The next value of three significant figures that is not below it: what is named as enough must be enough.
            #[must_use]
            pub fn rounded_up(self) -> Self {
                let value = self.quantity().value();
                let up = value.round_sf_with_strategy(3, RoundingStrategy::AwayFromZero).unwrap_or(value);
                Self(Quantity::new(Dimension::$dimension, up).to_f64())
            }

            /// The exact quantity, to six decimal places.
            pub fn quantity(self) -> Quantity {
                let value = Decimal::from_f64(self.0).unwrap_or_default().round_dp(6);
                Quantity::new(Dimension::$dimension, value)
            }
        }

        impl TryFrom<Quantity> for $name {
            type Error = QuantityError;
            fn try_from(quantity: Quantity) -> Result<Self, QuantityError> {
                if quantity.dimension == Dimension::$dimension {
                    Ok(Self(quantity.to_f64()))
                } else {
                    Err(QuantityError::WrongDimension { found: quantity.to_string(), dimension: quantity.dimension })
                }
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) { self.0 += other.0; }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, times: f64) -> Self { Self(self.0 * times) }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, by: f64) -> Self { Self(self.0 / by) }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, by: Self) -> f64 { self.0 / by.0 }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self { iter.fold(Self::ZERO, Add::add) }
        }
        impl fmt::Display for $name {
            /// In print three significant figures are enough.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let quantity = self.quantity();
                // Halves away from zero, as in tables: one value is printed alike in both.
                let rounded = quantity.value.round_sf_with_strategy(3, RoundingStrategy::MidpointAwayFromZero);
                let value = rounded.unwrap_or(quantity.value);
                Quantity::new(quantity.dimension, value).fmt(f)
            }
        }
    )+};
}

physical! {
    /// A voltage in volts.
    Voltage, Voltage;
    /// A current in amperes.
    Current, Current;
    /// A resistance in ohms.
    Resistance, Resistance;
    /// The resistance of a conductor in ohms per kilometre.
    LineResistance, LineResistance;
    /// A power in watts.
    Power, Power;
    /// An energy in joules.
    Energy, Energy;
    /// A capacitance in microfarads.
    Capacitance, Capacitance;
    /// A cross-section in square millimetres.
    Area, Area;
    /// A time in seconds.
    Seconds, Time;
    /// A force in newtons.
    Force, Force;
    /// A share of one; 20 % is 0.2.
    Share, Share;
}

impl Mul<Resistance> for Current {
    type Output = Voltage;
    /// Ohm's law.
    fn mul(self, resistance: Resistance) -> Voltage {
        Voltage(self.0 * resistance.0)
    }
}

impl Div<Resistance> for Voltage {
    type Output = Current;
    /// Ohm's law.
    fn div(self, resistance: Resistance) -> Current {
        Current(self.0 / resistance.0)
    }
}

impl Mul<Current> for Voltage {
    type Output = Power;
    fn mul(self, current: Current) -> Power {
        Power(self.0 * current.0)
    }
}

impl Mul<Length> for LineResistance {
    type Output = Resistance;
    fn mul(self, length: Length) -> Resistance {
        Resistance(self.0 * length.metres() / 1000.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_are_rounded_away_from_zero_in_sentences_as_in_tables() {
        assert_eq!((Current(0.4025).to_string(), Current(0.4035).to_string()), ("403 mA".to_owned(), "404 mA".to_owned()));
    }
}
