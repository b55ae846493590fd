//! Quantities with units: exact ones as people write them, and the newtypes of `physical` that the sums of physics use.
//!
//! [`Quantity`] keeps what was written as an exact decimal in the base unit of its [`Dimension`]; it is what files hold and what
//! parts are compared by. [`Length`] is whole micrometres, so that pieces add and cut exactly. The electrical newtypes hold an
//! `f64` in the unit they are named for and offer only the operators that mean something.

mod length;
mod physical;

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

pub use self::length::Length;
pub use self::physical::*;

/// What a quantity measures. Each has one base unit in which a [`Quantity`] is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// A number of things.
    Count,
    /// Millimetres.
    Length,
    /// Square millimetres.
    Area,
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// Ohms.
    Resistance,
    /// Ohms per kilometre of conductor.
    LineResistance,
    /// Watts, or volt-amperes where the current alternates.
    Power,
    /// Microfarads.
    Capacitance,
    /// Joules.
    Energy,
    /// Seconds.
    Time,
    /// Newtons.
    Force,
    /// A share of one; 20 % is 0.2.
    Share,
}

/// Every unit that may be written: its symbols (the first is the one printed), what it measures, and how many base units it is as
/// mantissa and decimal scale.
const UNITS: &[(&[&str], Dimension, i64, u32)] = &[
    (&["mm"], Dimension::Length, 1, 0),
    (&["cm"], Dimension::Length, 10, 0),
    (&["m", "metre", "metres"], Dimension::Length, 1000, 0),
    (&["in", "inch", "inches", "\"", "″"], Dimension::Length, 254, 1),
    (&["ft", "foot", "feet"], Dimension::Length, 3048, 1),
    (&["mm²", "mm2"], Dimension::Area, 1, 0),
    (&["V", "volt", "volts"], Dimension::Voltage, 1, 0),
    (&["mV"], Dimension::Voltage, 1, 3),
    (&["A", "amp", "amps"], Dimension::Current, 1, 0),
    (&["mA"], Dimension::Current, 1, 3),
    (&["ohm/km", "Ω/km"], Dimension::LineResistance, 1, 0),
    (&["ohm", "ohms", "Ω"], Dimension::Resistance, 1, 0),
    (&["kohm", "kΩ"], Dimension::Resistance, 1000, 0),
    (&["W", "VA"], Dimension::Power, 1, 0),
    (&["mW"], Dimension::Power, 1, 3),
    (&["µF", "uF"], Dimension::Capacitance, 1, 0),
    (&["J"], Dimension::Energy, 1, 0),
    (&["s", "second", "seconds"], Dimension::Time, 1, 0),
    (&["ms"], Dimension::Time, 1, 3),
    (&["min", "minute", "minutes"], Dimension::Time, 60, 0),
    (&["N"], Dimension::Force, 1, 0),
    (&["%"], Dimension::Share, 1, 2),
];

impl Dimension {
    /// The name used in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Count => "number",
            Self::Length => "length",
            Self::Area => "cross-section",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Resistance => "resistance",
            Self::LineResistance => "resistance per length",
            Self::Power => "power",
            Self::Capacitance => "capacitance",
            Self::Energy => "energy",
            Self::Time => "time",
            Self::Force => "force",
            Self::Share => "share",
        }
    }

    /// The symbol of the base unit; empty for a number.
    pub fn base_symbol(self) -> &'static str {
        match self {
            Self::Count => "",
            Self::Length => "mm",
            Self::Area => "mm²",
            Self::Voltage => "V",
            Self::Current => "A",
            Self::Resistance => "ohm",
            Self::LineResistance => "ohm/km",
            Self::Power => "W",
            Self::Capacitance => "µF",
            Self::Energy => "J",
            Self::Time => "s",
            Self::Force => "N",
            Self::Share => "%",
        }
    }

    /// An example of how to write one, for messages.
    pub fn example(self) -> &'static str {
        match self {
            Self::Count => "4",
            Self::Length => "9 mm",
            Self::Area => "0.22 mm2",
            Self::Voltage => "12 V",
            Self::Current => "1.5 A",
            Self::Resistance => "150 ohm",
            Self::LineResistance => "134 ohm/km",
            Self::Power => "60 mW",
            Self::Capacitance => "4700 µF",
            Self::Energy => "1.1 J",
            Self::Time => "2 s",
            Self::Force => "0.5 N",
            Self::Share => "20 %",
        }
    }
}

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    /// The part before the unit is no decimal number.
    #[error("`{0}` is not a number")]
    NotANumber(String),
    /// A comma stands in the number.
    #[error("`{0}` has a comma; a decimal point is read, and nothing between thousands")]
    Comma(String),
    /// The unit is not known.
    #[error("`{0}` is not a unit")]
    UnknownUnit(String),
    /// The unit measures something else.
    #[error("`{found}` is a {}", .dimension.name())]
    WrongDimension {
        /// The text found.
        found: String,
        /// What it measures.
        dimension: Dimension,
    },
    /// There is no unit where one is needed.
    #[error("`{0}` has no unit")]
    NoUnit(String),
    /// The number is too large to keep exactly.
    #[error("`{0}` is out of range")]
    OutOfRange(String),
}

/// An exact amount of something measurable, in the base unit of its dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quantity {
    dimension: Dimension,
    value: Decimal,
}

impl Quantity {
    /// The largest magnitude accepted, in base units: far above anything a model railway holds, far below overflow.
    pub const LIMIT: i64 = 1_000_000_000;

    /// A quantity of `value` base units.
    pub fn new(dimension: Dimension, value: Decimal) -> Self {
        Self { dimension, value: value.normalize() }
    }

    /// A whole number of things.
    pub fn count(n: u32) -> Self {
        Self::new(Dimension::Count, Decimal::from(n))
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.dimension
    }

    /// The amount in base units.
    pub fn value(self) -> Decimal {
        self.value
    }

    /// The amount in base units as a float, for physics.
    pub fn to_f64(self) -> f64 {
        self.value.to_f64().unwrap_or(f64::NAN)
    }

    /// Reads `text` as a quantity of the given dimension: a decimal number and a unit, such as `1.5 A` or `9mm`. A count has no unit.
    ///
    /// # Errors
    /// Says what is wrong: no number, an unknown unit, a unit of another dimension, or no unit.
    pub fn parse(text: &str, dimension: Dimension) -> Result<Self, QuantityError> {
        let (number, unit) = split_number(text);
        if unit.is_empty() && dimension != Dimension::Count {
            let value = decimal(number, text)?;
            return if value.is_zero() {
                Ok(Self::new(dimension, value))
            } else {
                Err(QuantityError::NoUnit(text.trim().to_owned()))
            };
        }
        Self::parse_parts(text, number, unit, dimension)
    }

    /// Reads `text` as a quantity of the given dimension where a bare number is in `unit`, as in a column whose heading holds the unit.
    ///
    /// # Errors
    /// As [`Quantity::parse`].
    pub fn parse_in(text: &str, dimension: Dimension, unit: &str) -> Result<Self, QuantityError> {
        let (number, written) = split_number(text);
        let unit = if written.is_empty() { unit } else { written };
        Self::parse_parts(text, number, unit, dimension)
    }

    fn parse_parts(text: &str, number: &str, unit: &str, dimension: Dimension) -> Result<Self, QuantityError> {
        // What follows the number begins as no unit does: `9,5 mm`, `1_000`, `1 000`.
        if unit.starts_with(',') {
            return Err(QuantityError::Comma(text.trim().to_owned()));
        }
        if unit.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '_' | '\'' | '’' | '.')) {
            return Err(QuantityError::NotANumber(text.trim().to_owned()));
        }
        let value = decimal(number, text)?;
        if unit.is_empty() {
            return Ok(Self::new(dimension, value));
        }
        let (found, mantissa, scale) = unit_of(unit).ok_or_else(|| QuantityError::UnknownUnit(unit.to_owned()))?;
        if found != dimension {
            return Err(QuantityError::WrongDimension { found: text.trim().to_owned(), dimension: found });
        }
        let out_of_range = || QuantityError::OutOfRange(text.trim().to_owned());
        let value = value.checked_mul(Decimal::new(mantissa, scale)).ok_or_else(out_of_range)?;
        if value.abs() > Decimal::from(Self::LIMIT) {
            return Err(out_of_range());
        }
        Ok(Self::new(dimension, value))
    }
}

/// The dimension and scale of a unit by its symbol, if it is known.
pub fn unit_dimension(symbol: &str) -> Option<Dimension> {
    unit_of(symbol).map(|(dimension, _, _)| dimension)
}

/// The symbols of all units of a dimension, for messages.
pub fn unit_symbols(dimension: Dimension) -> impl Iterator<Item = &'static str> {
    UNITS.iter().filter(move |unit| unit.1 == dimension).filter_map(|unit| unit.0.first().copied())
}

fn unit_of(symbol: &str) -> Option<(Dimension, i64, u32)> {
    UNITS.iter().find(|unit| unit.0.contains(&symbol)).map(|&(_, dimension, mantissa, scale)| (dimension, mantissa, scale))
}

/// Splits `1.5 A` into the number and the unit, both trimmed.
fn split_number(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|&(at, c)| !(c.is_ascii_digit() || c == '.' || (at == 0 && (c == '-' || c == '+'))))
        .map_or(text.len(), |(at, _)| at);
    let (number, unit) = text.split_at(end);
    (number, unit.trim())
}

/// A plain decimal number: digits, at most one point, a sign.
fn decimal(number: &str, text: &str) -> Result<Decimal, QuantityError> {
    let not = || QuantityError::NotANumber(text.trim().to_owned());
    if !number.bytes().any(|b| b.is_ascii_digit()) {
        return Err(not());
    }
    let value = Decimal::from_str_exact(number).map_err(|_| not())?;
    if value.abs() > Decimal::from(Quantity::LIMIT) {
        return Err(QuantityError::OutOfRange(text.trim().to_owned()));
    }
    Ok(value)
}

impl fmt::Display for Quantity {
    /// Prints the quantity in the unit a person would choose: `150 mA`, `1.2 m`, `20 %`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let is_small = self.value.abs() < Decimal::ONE && !self.value.is_zero();
        let (factor, unit) = match self.dimension {
            Dimension::Share => (Decimal::from(100), "%"),
            Dimension::Current if is_small => (Decimal::from(1000), "mA"),
            Dimension::Power if is_small => (Decimal::from(1000), "mW"),
            Dimension::Time if is_small => (Decimal::from(1000), "ms"),
            Dimension::Resistance if self.value.abs() >= Decimal::from(1000) => (Decimal::new(1, 3), "kohm"),
            Dimension::Length if self.value.abs() >= Decimal::from(1000) => (Decimal::new(1, 3), "m"),
            other => (Decimal::ONE, other.base_symbol()),
        };
        // What is too large for the unit is told in the base unit.
        let (value, unit) =
            self.value.checked_mul(factor).map_or((self.value, self.dimension.base_symbol()), |value| (value, unit));
        let value = value.normalize();
        if unit.is_empty() { write!(f, "{value}") } else { write!(f, "{value} {unit}") }
    }
}

/// Working time in minutes, as the `Tasks` sheet and the hours report count it.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct Minutes(pub f64);

impl Minutes {
    /// No time.
    pub const ZERO: Self = Self(0.0);

    /// Hours.
    pub fn hours(self) -> f64 {
        self.0 / 60.0
    }
}

impl Add for Minutes {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Minutes {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Mul<f64> for Minutes {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self(self.0 * times)
    }
}

impl Sum for Minutes {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str, dimension: Dimension) -> String {
        Quantity::parse(text, dimension).map_or_else(|e| e.to_string(), |q| q.to_string())
    }

    #[test]
    fn reads_what_people_write() {
        assert_eq!(parse("1.5 A", Dimension::Current), "1.5 A");
        assert_eq!(parse("150mA", Dimension::Current), "150 mA");
        assert_eq!(parse(" 2.5 m ", Dimension::Length), "2.5 m");
        assert_eq!(parse("0.5 in", Dimension::Length), "12.7 mm");
        assert_eq!(parse("0.5\"", Dimension::Length), "12.7 mm");
        assert_eq!(parse("20 %", Dimension::Share), "20 %");
        for written in ["1 kohm", "1.2 kohm", "999 ohm", "4.5 ohm"] {
            assert_eq!(parse(written, Dimension::Resistance), written);
        }
        assert_eq!(parse("1000 ohm", Dimension::Resistance), "1 kohm");
        assert_eq!(parse("-3 mm", Dimension::Length), "-3 mm");
    }

    #[test]
    fn says_what_is_wrong() {
        assert_eq!(parse("12 V", Dimension::Length), "`12 V` is a voltage");
        assert_eq!(parse("12", Dimension::Length), "`12` has no unit");
        assert_eq!(parse("x mm", Dimension::Length), "`x mm` is not a number");
        assert_eq!(parse("12 furlong", Dimension::Length), "`furlong` is not a unit");
        assert_eq!(
            parse("9,5 mm", Dimension::Length),
            "`9,5 mm` has a comma; a decimal point is read, and nothing between thousands"
        );
        for grouped in ["1_000 mm", "1 000 mm", "1'000 mm", "1.000.000 mm"] {
            assert_eq!(parse(grouped, Dimension::Length), format!("`{grouped}` is not a number"));
        }
        assert_eq!(parse("99999999999 mm", Dimension::Length), "`99999999999 mm` is out of range");
    }

    #[test]
    fn zero_needs_no_unit_and_equal_lengths_compare_equal() {
        assert_eq!(parse("0", Dimension::Length), "0 mm");
        let a = Quantity::parse("1.15 m", Dimension::Length);
        let b = Quantity::parse("1150 mm", Dimension::Length);
        assert_eq!(a, b);
    }
}
