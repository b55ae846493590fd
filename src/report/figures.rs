//! Figures as people read them: a common unit for values that stand together, rounding, thousands separators.

use rust_decimal::{Decimal, RoundingStrategy};

use super::document::{Cell, Fill, Prose};
use crate::finding::Mend;
use crate::money::Money;
use crate::quantity::{Dimension, Quantity};

/// What is printed where nothing is known.
pub(super) const UNKNOWN: &str = "—";

/// How figures are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Figures {
    /// To be read: rounded, in a unit that suits their size, with commas between thousands and a dash for what is not known.
    Rounded,
    /// To be worked with: every digit, in base units, plain; nothing where nothing is known.
    Raw,
}

/// The unit and decimal places in which values that stand together are printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    /// The unit's symbol, or a currency's code.
    pub(super) symbol: &'static str,
    /// How many base units it is.
    pub(super) unit: Decimal,
    /// Decimal places; all there are where figures are raw.
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
    pub(super) fn common<'a>(cells: impl Iterator<Item = &'a Cell> + Clone, figures: Figures) -> Option<Self> {
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
        let quantities = cells.clone().filter_map(|cell| match cell {
            Cell::Quantity(quantity) => Some(*quantity),
            _ => None,
        });
        Some(match first {
            Measures::Money(symbol, places) => Self { symbol, unit: Decimal::ONE, places },
            Measures::Hours => Self { symbol: "h", unit: Decimal::ONE, places: 1 },
            Measures::Minutes => Self { symbol: "min", unit: Decimal::ONE, places: 1 },
            Measures::Percent => Self { symbol: "%", unit: Decimal::ONE, places: percent_places(cells) },
            Measures::Quantity(dimension) => match figures {
                Figures::Rounded => Self::of_quantities(dimension, quantities),
                Figures::Raw => Self::base(dimension),
            },
        })
    }

    /// The same in metres, to the millimetre, where it is of lengths.
    pub(super) fn in_metres(self) -> Self {
        if self.symbol == "mm" { Self { symbol: "m", unit: Decimal::from(1000), places: 3 } } else { self }
    }

    /// The base unit of a dimension; per cent for shares.
    fn base(dimension: Dimension) -> Self {
        let unit = if dimension == Dimension::Share { Decimal::new(1, 2) } else { Decimal::ONE };
        Self { symbol: dimension.base_symbol(), unit, places: Decimal::MAX_SCALE }
    }

    /// The unit that suits the largest value, with no more decimal places than any value needs.
    fn of_quantities(dimension: Dimension, quantities: impl Iterator<Item = Quantity> + Clone) -> Self {
        let largest = quantities.clone().map(|quantity| quantity.value().abs()).max().unwrap_or_default();
        let thousandth = Decimal::new(1, 3);
        let small = largest < Decimal::ONE;
        // What would lose its last figure in thousands of ohms keeps the table in ohms.
        let tiny = quantities.clone().any(|quantity| !quantity.value().is_zero() && quantity.value().abs() < Decimal::from(100));
        let (symbol, unit, most) = match dimension {
            Dimension::Current if small => ("mA", thousandth, u32::from(largest < Decimal::new(1, 1))),
            Dimension::Current => ("A", Decimal::ONE, 2),
            Dimension::Power if small => ("mW", thousandth, 0),
            Dimension::Power => ("W", Decimal::ONE, 1),
            Dimension::Time if small => ("ms", thousandth, 0),
            Dimension::Resistance if largest >= Decimal::from(1000) && !tiny => ("kohm", Decimal::from(1000), 3),
            Dimension::Length if largest >= Decimal::from(1000) => ("m", Decimal::from(1000), 3),
            Dimension::Voltage => ("V", Decimal::ONE, 2),
            Dimension::Share => ("%", Decimal::new(1, 2), 1 + u32::from(largest < Decimal::new(1, 2))),
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

/// What a mend adds to the price or takes off it, in brackets behind its text; nothing where that is not known.
pub(super) fn bracket(mend: &Mend) -> String {
    let told = |price: Money| with_unit(&price.into(), Figures::Rounded);
    let Some(price) = mend.price else { return String::new() };
    match (price.minor(), mend.is_in_the_sum()) {
        (_, true) => format!(" ({} of the sum, nothing more to pay)", told(price)),
        (0, false) => " (costs nothing more)".to_owned(),
        (minor, false) if minor < 0 => format!(" ({} less)", told(-price)),
        (_, false) => format!(" ({} more)", told(price)),
    }
}

/// The value with its unit, as in a sentence. The space between is one that does not break.
pub(super) fn with_unit(cell: &Cell, figures: Figures) -> String {
    let scale = Scale::common(std::iter::once(cell), figures);
    match (scale, bare(cell, scale, figures)) {
        (Some(scale), number) if !is_unknown(&number) => format!("{number}\u{a0}{}", scale.symbol),
        (_, text) => text,
    }
}

/// The value alone, in the unit of a scale that its heading names; with its own unit where there is none.
pub(super) fn in_scale(cell: &Cell, scale: Option<Scale>, figures: Figures) -> String {
    if scale.is_some() { bare(cell, scale, figures) } else { with_unit(cell, figures) }
}

/// Words and values as one sentence, to be read.
pub(super) fn sentence(prose: &Prose) -> String {
    prose.0.iter().map(|part| with_unit(part, Figures::Rounded)).collect()
}

/// Whether a text says that nothing is known.
pub(super) fn is_unknown(text: &str) -> bool {
    text.is_empty() || text == UNKNOWN
}

fn bare(cell: &Cell, scale: Option<Scale>, figures: Figures) -> String {
    match (cell, figures) {
        (Cell::Text(text), _) => super::plain::harmless(text),
        (Cell::ToFill(Fill::Tick), Figures::Rounded) => "[ ]".to_owned(),
        (Cell::ToFill(Fill::Words), Figures::Rounded) => "____".to_owned(),
        (Cell::Flag(flag), _) => if *flag { "yes" } else { "no" }.to_owned(),
        (_, Figures::Rounded) => match rounded_figure(cell, scale) {
            None => UNKNOWN.to_owned(),
            // What is measured reads as in titles and sentences, and as it is written in the files, where a comma is refused.
            Some(number) if matches!(measures(cell), Some(Measures::Quantity(_))) => unsigned_nothing(&number).to_owned(),
            Some(number) => separated(&number),
        },
        (_, Figures::Raw) => raw_figure(cell, scale).unwrap_or_default(),
    }
}

/// A share in whole tenths of a per cent, halves away from zero.
fn tenths_of_per_cent(share: f64) -> f64 {
    (share * 1000.0).round()
}

/// One decimal place where any share among the cells needs it.
fn percent_places<'a>(mut cells: impl Iterator<Item = &'a Cell>) -> u32 {
    u32::from(cells.any(|cell| matches!(cell, Cell::Percent(share) if tenths_of_per_cent(*share) % 10.0 != 0.0)))
}

/// The figure rounded to a scale; `None` where there is none.
fn rounded_figure(cell: &Cell, scale: Option<Scale>) -> Option<String> {
    let places = scale.map_or(0, |scale| scale.places);
    let fixed = |value: f64, places: u32| value.is_finite().then(|| format!("{value:.*}", places as usize));
    match cell {
        Cell::Missing | Cell::Text(_) | Cell::Flag(_) | Cell::ToFill(_) => None,
        Cell::Count(count) => Some(count.to_string()),
        Cell::Money(money) => Some(money.amount().to_string()),
        Cell::Quantity(quantity) => Some(match scale {
            Some(scale) => format!("{:.*}", places as usize, rounded(quantity.value(), scale.unit, places)),
            None => quantity.value().normalize().to_string(),
        }),
        Cell::Hours(value) | Cell::Minutes(value) => fixed(*value, places),
        Cell::Percent(share) => fixed(tenths_of_per_cent(*share) / 10.0, places),
    }
}

/// The figure with every digit; `None` where there is none.
fn raw_figure(cell: &Cell, scale: Option<Scale>) -> Option<String> {
    let float = |value: f64| value.is_finite().then(|| value.to_string());
    match cell {
        Cell::Missing | Cell::Text(_) | Cell::Flag(_) | Cell::ToFill(_) => None,
        Cell::Count(count) => Some(count.to_string()),
        Cell::Money(money) => Some(money.amount().to_string()),
        Cell::Quantity(quantity) => {
            let unit = scale.map_or(Decimal::ONE, |scale| scale.unit);
            Some(quantity.value().checked_div(unit).unwrap_or(quantity.value()).normalize().to_string())
        }
        Cell::Hours(value) | Cell::Minutes(value) => float(*value),
        // What the change to per cent adds beyond the digits that a share has is no figure.
        Cell::Percent(share) => float((share * 1e14).round() / 1e12),
    }
}

/// A plain decimal number; what rounds to nothing is nothing, not less than nothing.
fn unsigned_nothing(number: &str) -> &str {
    let digits = number.strip_prefix('-').unwrap_or(number);
    if digits.trim_start_matches(['0', '.']).is_empty() { digits } else { number }
}

/// The same with a comma between thousands.
fn separated(number: &str) -> String {
    let number = unsigned_nothing(number);
    let (sign, digits) = number.strip_prefix('-').map_or(("", number), |digits| ("-", digits));
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
    use crate::quantity::{Current, Length, Resistance};

    fn column(cells: &[Cell]) -> (Option<&'static str>, Vec<String>) {
        let scale = Scale::common(cells.iter(), Figures::Rounded);
        (scale.map(|s| s.symbol), cells.iter().map(|cell| in_scale(cell, scale, Figures::Rounded)).collect())
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
        let resistances = [Cell::from(Resistance(470.0)), Resistance(2000.0).into()];
        assert_eq!(column(&resistances), (Some("kohm"), texts(&["0.47", "2.00"])));
        let resistances = [Cell::from(Resistance(4.5)), Resistance(2000.0).into()];
        assert_eq!(column(&resistances), (Some("ohm"), texts(&["4.5", "2000.0"])));
        assert_eq!(column(&[money(1_234_567, "EUR"), money(-50, "EUR")]), (Some("EUR"), texts(&["12,345.67", "-0.50"])));
        assert_eq!(column(&[money(1_234_567, "JPY")]), (Some("JPY"), texts(&["1,234,567"])));
    }

    /// Titles and sentences have `10000 µF` and `1 kohm`; a comma in a file is refused.
    #[test]
    fn what_is_measured_reads_as_it_is_written() {
        for text in ["10000 µF", "1 kohm", "820 ohm"] {
            let quantity =
                ["µF", "ohm"].iter().find(|unit| text.ends_with(*unit)).and_then(|unit| crate::quantity::unit_dimension(unit));
            let quantity = Quantity::parse(text, quantity.unwrap()).unwrap();
            assert_eq!(with_unit(&Cell::from(quantity), Figures::Rounded).replace('\u{a0}', " "), quantity.to_string());
        }
    }

    #[test]
    fn values_of_different_sorts_keep_their_own_unit() {
        let mixed = [money(150, "EUR"), Cell::Hours(6.94), Cell::Count(1200), Cell::Flag(true)];
        assert_eq!(column(&mixed), (None, texts(&["1.50\u{a0}EUR", "6.9\u{a0}h", "1,200", "yes"])));
        assert_eq!(column(&[money(150, "EUR"), money(150, "USD")]), (None, texts(&["1.50\u{a0}EUR", "1.50\u{a0}USD"])));
    }

    #[test]
    fn shares_have_a_decimal_place_only_where_one_needs_it() {
        let shares = [Cell::Percent(0.2), Cell::Percent(-0.133), Cell::Percent(-0.0004), Cell::Percent(f64::NAN)];
        assert_eq!(column(&shares).1, texts(&["20.0", "-13.3", "0.0", "—"]));
        assert_eq!(column(&[Cell::Percent(0.07), Cell::Percent(0.5)]).1, texts(&["7", "50"]));
    }

    #[test]
    fn a_difference_says_which_way_it_goes() {
        let mend = |minor: i64, change| Mend { text: String::new(), price: Some(crate::report::sample::euro(minor)), change };
        let told = [1250, -40, 0].map(|minor| bracket(&mend(minor, None)));
        assert_eq!(told, [" (12.50\u{a0}EUR more)", " (0.40\u{a0}EUR less)", " (costs nothing more)"]);
        assert_eq!(bracket(&Mend { price: None, ..mend(0, None) }), "");
    }

    /// What is on the bill already cannot be read as a further cost.
    #[test]
    fn what_the_sum_has_in_it_is_no_further_cost() {
        let change = Some(crate::finding::Change::BuySupply(crate::id::FeedId::at(0)));
        let mend = Mend { text: String::new(), price: Some(crate::report::sample::euro(1248)), change };
        assert_eq!(bracket(&mend), " (12.48\u{a0}EUR of the sum, nothing more to pay)");
    }

    #[test]
    fn nothing_is_never_less_than_nothing() {
        assert_eq!(with_unit(&Cell::Hours(-0.01), Figures::Rounded), "0.0\u{a0}h");
        assert_eq!(with_unit(&Cell::Hours(-0.06), Figures::Rounded), "-0.1\u{a0}h");
    }

    #[test]
    fn raw_figures_keep_every_digit() {
        let raw = |cells: &[Cell]| {
            let scale = Scale::common(cells.iter(), Figures::Raw);
            let texts: Vec<String> = cells.iter().map(|cell| in_scale(cell, scale, Figures::Raw)).collect();
            (scale.map(|scale| scale.symbol), texts)
        };
        let lengths = [Cell::from(Length::from_mm(950)), Length::from_mm(12_400).into(), Cell::Missing];
        assert_eq!(raw(&lengths), (Some("mm"), texts(&["950", "12400", ""])));
        assert_eq!(raw(&[Cell::from(Current(0.0075))]), (Some("A"), texts(&["0.0075"])));
        assert_eq!(raw(&[money(1_234_567, "EUR"), money(-50, "EUR")]), (Some("EUR"), texts(&["12345.67", "-0.50"])));
        assert_eq!(raw(&[Cell::Percent(-0.133), Cell::Percent(0.07), Cell::Percent(f64::NAN)]).1, texts(&["-13.3", "7", ""]));
        assert_eq!(raw(&[Cell::Hours(6.941_25), money(150, "EUR")]).1, texts(&["6.94125\u{a0}h", "1.50\u{a0}EUR"]));
        assert_eq!(raw(&[Cell::Count(1_200_000), Cell::Flag(true)]).1, texts(&["1200000", "yes"]));
    }
}
