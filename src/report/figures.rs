//! Figures as people read them: a common unit for values that stand together, rounding, thousands separators.

use rust_decimal::{Decimal, RoundingStrategy};

use super::document::{Cell, Fill};
use crate::quantity::{Dimension, Quantity};

/// What is printed where nothing is known.
const UNKNOWN: &str = "—";

/// The unit and decimal places in which values that stand together are printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    /// The unit's symbol, or a currency's code.
    pub(super) symbol: &'static str,
    /// How many base units it is.
    pub(super) unit: Decimal,
    /// Decimal places.
    places: u32,
}

/// What a value measures, as far as its unit goes.
#[derive(Clone, Copy, PartialEq)]
enum Measures {
    Quantity(Dimension),
    Money(&'static str, u32),
    Hours,
    Minutes,
    Percent,
}

fn measures(cell: &Cell) -> Option<Measures> {
    match cell {
        Cell::Quantity(quantity) if quantity.dimension() == Dimension::Count => None,
        Cell::Quantity(quantity) => Some(Measures::Quantity(quantity.dimension())),
        Cell::Money(money) => Some(Measures::Money(money.currency().code(), money.currency().places())),
        Cell::Hours(_) => Some(Measures::Hours),
        Cell::Minutes(_) => Some(Measures::Minutes),
        Cell::Percent(_) => Some(Measures::Percent),
        Cell::Missing | Cell::Text(_) | Cell::Count(_) | Cell::Flag(_) | Cell::ToFill(_) => None,
    }
}

impl Scale {
    /// The scale that all measured values among `cells` share; `None` where they measure different things, where plain numbers
    /// stand among them, or where nothing is measured.
    pub(super) fn common<'a>(cells: impl Iterator<Item = &'a Cell> + Clone) -> Option<Self> {
        let plain = |cell: &Cell| match cell {
            Cell::Count(_) => true,
            Cell::Quantity(quantity) => quantity.dimension() == Dimension::Count,
            _ => false,
        };
        let mut found = cells.clone().filter_map(measures);
        let first = found.next()?;
        if found.any(|other| other != first) || cells.clone().any(plain) {
            return None;
        }
        let quantities = cells.filter_map(|cell| match cell {
            Cell::Quantity(quantity) => Some(*quantity),
            _ => None,
        });
        Some(match first {
            Measures::Money(symbol, places) => Self { symbol, unit: Decimal::ONE, places },
            Measures::Hours => Self { symbol: "h", unit: Decimal::ONE, places: 1 },
            Measures::Minutes => Self { symbol: "min", unit: Decimal::ONE, places: 1 },
            Measures::Percent => Self { symbol: "%", unit: Decimal::ONE, places: 0 },
            Measures::Quantity(dimension) => Self::of_quantities(dimension, quantities),
        })
    }

    /// The unit that suits the largest value, with no more decimal places than any value needs.
    fn of_quantities(dimension: Dimension, quantities: impl Iterator<Item = Quantity> + Clone) -> Self {
        let largest = quantities.clone().map(|quantity| quantity.value().abs()).max().unwrap_or_default();
        let thousandth = Decimal::new(1, 3);
        let small = largest < Decimal::ONE;
        let (symbol, unit, most) = match dimension {
            Dimension::Current if small => ("mA", thousandth, u32::from(largest < Decimal::new(1, 1))),
            Dimension::Current => ("A", Decimal::ONE, 2),
            Dimension::Power if small => ("mW", thousandth, 0),
            Dimension::Power => ("W", Decimal::ONE, 1),
            Dimension::Time if small => ("ms", thousandth, 0),
            Dimension::Length if largest >= Decimal::from(1000) => ("m", Decimal::from(1000), 3),
            Dimension::Voltage => ("V", Decimal::ONE, 2),
            Dimension::Share => ("%", Decimal::new(1, 2), 1),
            other => (other.base_symbol(), Decimal::ONE, 3),
        };
        let places = quantities.map(|quantity| rounded(quantity.value(), unit, most).normalize().scale()).max().unwrap_or(0);
        Self { symbol, unit, places }
    }
}

/// The value in units of `unit`, halves away from zero as in trade.
fn rounded(value: Decimal, unit: Decimal, places: u32) -> Decimal {
    let value = value.checked_div(unit).unwrap_or(value);
    value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
}

/// The value with its unit, as in a sentence. The space between is one that does not break.
pub(super) fn with_unit(cell: &Cell) -> String {
    match Scale::common(std::iter::once(cell)) {
        Some(scale) => format!("{}\u{a0}{}", bare(cell, Some(scale)), scale.symbol),
        None => bare(cell, None),
    }
}

/// The value alone, in the unit of a scale that its heading names; with its own unit where there is none.
pub(super) fn in_scale(cell: &Cell, scale: Option<Scale>) -> String {
    if scale.is_some() { bare(cell, scale) } else { with_unit(cell) }
}

fn bare(cell: &Cell, scale: Option<Scale>) -> String {
    let places = scale.map_or(0, |scale| scale.places);
    match cell {
        Cell::Missing => UNKNOWN.to_owned(),
        Cell::Text(text) => super::plain::harmless(text),
        Cell::ToFill(Fill::Tick) => "[ ]".to_owned(),
        Cell::ToFill(Fill::Words) => "____".to_owned(),
        Cell::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        Cell::Count(count) => separated(&count.to_string()),
        Cell::Money(money) => separated(&money.amount().to_string()),
        Cell::Quantity(quantity) => match scale {
            Some(scale) => separated(&fixed(rounded(quantity.value(), scale.unit, places), places)),
            None => separated(&quantity.value().normalize().to_string()),
        },
        Cell::Hours(value) | Cell::Minutes(value) => number(*value, places),
        // Of what is left, never more than there is: a share is rounded down.
        Cell::Percent(share) => number((share * 100.0 + 1e-9).floor(), 0),
    }
}

fn fixed(value: Decimal, places: u32) -> String {
    format!("{value:.*}", places as usize)
}

fn number(value: f64, places: u32) -> String {
    if !value.is_finite() {
        return UNKNOWN.to_owned();
    }
    separated(&format!("{value:.*}", places as usize))
}

/// A plain decimal number with a comma between thousands.
fn separated(number: &str) -> String {
    let (sign, digits) = number.strip_prefix('-').map_or(("", number), |digits| ("-", digits));
    // What rounds to nothing is nothing, not less than nothing.
    let sign = if digits.trim_start_matches(['0', '.']).is_empty() { "" } else { sign };
    let (whole, fraction) = digits.split_once('.').map_or((digits, None), |(whole, fraction)| (whole, Some(fraction)));
    let mut out = String::from(sign);
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    if let Some(fraction) = fraction {
        out.push('.');
        out.push_str(fraction);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::money::{Currency, Money};
    use crate::quantity::{Current, Length};

    fn column(cells: &[Cell]) -> (Option<&'static str>, Vec<String>) {
        let scale = Scale::common(cells.iter());
        (scale.map(|s| s.symbol), cells.iter().map(|cell| in_scale(cell, scale)).collect())
    }

    fn money(minor: i64, code: &str) -> Cell {
        Money::from_minor(minor, Currency::from_code(code).unwrap()).into()
    }

    fn texts(words: &[&str]) -> Vec<String> {
        words.iter().map(|&word| word.to_owned()).collect()
    }

    #[test]
    fn values_that_stand_together_share_a_unit() {
        let lengths = [Cell::from(Length::from_mm(950)), Length::from_mm(12_400).into(), Cell::Missing];
        assert_eq!(column(&lengths), (Some("m"), texts(&["0.95", "12.40", "—"])));
        let currents = [Cell::from(Current(0.0075)), Current(0.05).into()];
        assert_eq!(column(&currents), (Some("mA"), texts(&["7.5", "50.0"])));
        let currents = [Cell::from(Current(0.0075)), Current(0.25).into()];
        assert_eq!(column(&currents), (Some("mA"), texts(&["8", "250"])));
        assert_eq!(column(&[money(1_234_567, "EUR"), money(-50, "EUR")]), (Some("EUR"), texts(&["12,345.67", "-0.50"])));
        assert_eq!(column(&[money(1_234_567, "JPY")]), (Some("JPY"), texts(&["1,234,567"])));
    }

    #[test]
    fn values_of_different_sorts_keep_their_own_unit() {
        let mixed = [money(150, "EUR"), Cell::Hours(6.94), Cell::Count(1200), Cell::Flag(true)];
        assert_eq!(column(&mixed), (None, texts(&["1.50\u{a0}EUR", "6.9\u{a0}h", "1,200", "yes"])));
        assert_eq!(column(&[money(150, "EUR"), money(150, "USD")]), (None, texts(&["1.50\u{a0}EUR", "1.50\u{a0}USD"])));
    }

    #[test]
    fn what_is_left_of_a_rating_is_rounded_down() {
        let shares = [Cell::Percent(0.2), Cell::Percent(0.199), Cell::Percent(-0.004), Cell::Percent(f64::NAN)];
        assert_eq!(column(&shares).1, texts(&["20", "19", "-1", "—"]));
    }

    #[test]
    fn nothing_is_never_less_than_nothing() {
        assert_eq!(with_unit(&Cell::Hours(-0.01)), "0.0\u{a0}h");
        assert_eq!(with_unit(&Cell::Hours(-0.06)), "-0.1\u{a0}h");
    }
}
