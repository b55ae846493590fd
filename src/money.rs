//! An amount of money in an ISO 4217 currency, in whole minor units.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

/// Currencies by ISO 4217 code with the decimal places of their minor unit.
/// Source: ISO 4217 list one; checked in `tests/outside` against a reference library.
const CURRENCIES: &[(&str, u32)] = &[
    ("AUD", 2),
    ("BHD", 3),
    ("BRL", 2),
    ("CAD", 2),
    ("CHF", 2),
    ("CLP", 0),
    ("CNY", 2),
    ("CZK", 2),
    ("DKK", 2),
    ("EUR", 2),
    ("GBP", 2),
    ("HKD", 2),
    ("HUF", 2),
    ("IDR", 2),
    ("ILS", 2),
    ("INR", 2),
    ("ISK", 0),
    ("JOD", 3),
    ("JPY", 0),
    ("KRW", 0),
    ("KWD", 3),
    ("MXN", 2),
    ("NOK", 2),
    ("NZD", 2),
    ("OMR", 3),
    ("PLN", 2),
    ("RON", 2),
    ("SEK", 2),
    ("SGD", 2),
    ("THB", 2),
    ("TND", 3),
    ("TRY", 2),
    ("TWD", 2),
    ("UAH", 2),
    ("USD", 2),
    ("VND", 0),
    ("ZAR", 2),
];

/// A currency of ISO 4217.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency {
    code: &'static str,
    places: u32,
}

impl Currency {
    /// The currency with the given three-letter code.
    pub fn from_code(code: &str) -> Option<Self> {
        let code = code.trim();
        CURRENCIES.iter().find(|(known, _)| known.eq_ignore_ascii_case(code)).map(|&(code, places)| Self { code, places })
    }

    /// All codes known, for messages.
    pub fn codes() -> impl Iterator<Item = &'static str> {
        CURRENCIES.iter().map(|(code, _)| *code)
    }

    /// The three letters.
    pub fn code(self) -> &'static str {
        self.code
    }

    /// Decimal places of the minor unit: 2 for cents, 0 where there is none.
    pub fn places(self) -> u32 {
        self.places
    }
}

/// Whole minor units of a currency. Prices read from files are bounded by [`Money::LIMIT`], so that sums of any plan fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

impl Money {
    /// The largest single amount accepted from a file, in minor units.
    pub const LIMIT: i64 = 10_000_000_000;

    /// An amount in minor units.
    pub const fn from_minor(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// Nothing, in a currency.
    pub const fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// The amount rounded to the minor unit, halves away from zero as in trade. `None` beyond [`Money::LIMIT`].
    pub fn from_decimal(amount: Decimal, currency: Currency) -> Option<Self> {
        let scale = Decimal::from(10_i64.checked_pow(currency.places)?);
        let minor = amount.checked_mul(scale)?.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero).to_i64()?;
        (minor.checked_abs()? <= Self::LIMIT).then_some(Self { minor, currency })
    }

    /// Whole minor units.
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// The currency.
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// The exact amount in major units.
    pub fn amount(self) -> Decimal {
        Decimal::new(self.minor, self.currency.places)
    }

    /// Shared out over `n`, rounded to the minor unit; `None` for none.
    pub fn per(self, n: usize) -> Option<Self> {
        let n = i64::try_from(n).ok().filter(|n| *n > 0)?;
        Self::from_decimal(self.amount().checked_div(Decimal::from(n))?, self.currency)
    }

    fn with(self, other: Self, sum: impl Fn(i64, i64) -> i64) -> Self {
        debug_assert_eq!(self.currency, other.currency, "amounts are brought to the home currency before they are added");
        Self { minor: sum(self.minor, other.minor), currency: self.currency }
    }

    /// The sum of amounts in one currency.
    pub fn total(amounts: impl IntoIterator<Item = Self>, currency: Currency) -> Self {
        amounts.into_iter().fold(Self::zero(currency), Add::add)
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.with(other, i64::saturating_add)
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.with(other, i64::saturating_sub)
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self { minor: self.minor.saturating_neg(), currency: self.currency }
    }
}

impl Mul<i64> for Money {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self { minor: self.minor.saturating_mul(times), currency: self.currency }
    }
}

impl fmt::Display for Money {
    /// `12.50 EUR`: the exact amount with all its decimal places, then the code.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.amount(), self.currency.code)
    }
}

/// Sums an iterator that may be empty: `None` then.
impl Sum<Money> for Option<Money> {
    fn sum<I: Iterator<Item = Money>>(iter: I) -> Self {
        iter.reduce(Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_the_minor_unit_of_the_currency() {
        let price = Decimal::new(12_345, 3);
        let in_currency = |code| Money::from_decimal(price, Currency::from_code(code).unwrap()).unwrap().to_string();
        assert_eq!(in_currency("EUR"), "12.35 EUR");
        assert_eq!(in_currency("JPY"), "12 JPY");
        assert_eq!(in_currency("KWD"), "12.345 KWD");
    }

    #[test]
    fn an_amount_beyond_the_limit_is_refused() {
        let eur = Currency::from_code("eur").unwrap();
        assert!(Money::from_decimal(Decimal::from(1_000_000_000_000_i64), eur).is_none());
    }
}
