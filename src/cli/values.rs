//! What stands behind an option: read, and where it is wrong, told as what is wrong in a file is.

use std::error::Error as _;

use clap::error::{ContextKind, ContextValue, Error, ErrorKind};
use rust_decimal::Decimal;

use crate::day::Day;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::quantity::{Dimension, Quantity, QuantityError};

/// Why a text is not what belongs behind an option.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{what}")]
pub(super) struct Unfit {
    code: Code,
    what: String,
    expected: String,
}

fn unfit(code: Code, what: impl Into<String>, expected: impl Into<String>) -> Unfit {
    Unfit { code, what: what.into(), expected: expected.into() }
}

/// A whole number from `low` to `high`.
pub(super) fn whole<T: TryFrom<i64> + Clone + Send + Sync + 'static>(
    low: i64,
    high: i64,
) -> impl Fn(&str) -> Result<T, Unfit> + Clone + Send + Sync {
    move |text| {
        let expected = format!("a whole number from {low} to {high}");
        let number: i64 = text.trim().parse().map_err(|_| unfit(Code::WrongType, "this is not a whole number", &expected))?;
        let what = if number < low { "this is too small" } else { "this is too large" };
        let fits = (low..=high).contains(&number).then(|| T::try_from(number).ok()).flatten();
        fits.ok_or_else(|| unfit(Code::OutOfRange, what, expected))
    }
}

/// An amount of money, in a currency that the catalogue names.
pub(super) fn money(text: &str) -> Result<Decimal, Unfit> {
    const EXPECTED: &str = "an amount without its currency, which is that of the catalogue, such as `100.50`";
    match Quantity::parse(text, Dimension::Count) {
        Ok(amount) if amount.value() < Decimal::ZERO => Err(unfit(Code::OutOfRange, "this is less than nothing", EXPECTED)),
        Ok(amount) => Ok(amount.value()),
        Err(QuantityError::OutOfRange(_)) => Err(unfit(Code::OutOfRange, "this is more than any plan costs", EXPECTED)),
        Err(trouble @ QuantityError::Comma(_)) => Err(unfit(Code::WrongMoney, trouble.to_string(), EXPECTED)),
        Err(_) => Err(unfit(Code::WrongMoney, "this is no amount of money", EXPECTED)),
    }
}

/// A day of the calendar.
pub(super) fn day(text: &str) -> Result<Day, Unfit> {
    text.trim().parse().map_err(|_| {
        unfit(Code::WrongType, "this is not a day of the calendar", "the year first, then month and day, such as `2024-05-31`")
    })
}

/// What is wrong with the value of an option, if that is what is wrong.
pub(super) fn wrong_value(words: &Error) -> Option<Diagnostic> {
    let text = |kind| match words.get(kind) {
        Some(ContextValue::String(text)) => Some(text.as_str()),
        _ => None,
    };
    let (flag, found) = (text(ContextKind::InvalidArg)?, text(ContextKind::InvalidValue)?);
    let name = flag.split(' ').next().unwrap_or(flag).trim_matches(['<', '>', '[', ']']);
    let place = Place::Flag(name.into());
    match (words.kind(), words.get(ContextKind::ValidValue)) {
        (ErrorKind::ValueValidation, _) => {
            let unfit: &Unfit = words.source()?.downcast_ref()?;
            Some(Diagnostic::error(unfit.code, place, &unfit.what).found(found).expected(&unfit.expected))
        }
        (ErrorKind::InvalidValue, Some(ContextValue::Strings(valid))) if !found.is_empty() => {
            let what = "this is none of the words that belong here";
            Some(Diagnostic::error(Code::UnknownWord, place, what).one_of(found, valid.iter().map(String::as_str)))
        }
        _ => None,
    }
}
