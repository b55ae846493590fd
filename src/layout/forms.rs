//! The forms of text a layout file is written in: sizes, points, margins, counts. Each reads and writes itself; `words` are those that are fixed.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::model::{AtOnce, Margin, Point, Waveform};
use crate::diagnostic::Code;
use crate::name::nearest;
use crate::quantity::{Current, Dimension, Length, Power, Quantity, QuantityError, Share, Voltage, unit_symbols};

/// Why a text is not what it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    /// The sort of error.
    pub(super) code: Code,
    /// What is wrong, as the rest of a sentence about the key.
    pub(super) what: String,
    /// What was expected, if it is more than the form's own words.
    pub(super) expected: Option<String>,
    /// The valid words that may have been meant.
    pub(super) nearest: Vec<String>,
}

impl Fault {
    /// A fault with no more than its statement.
    pub(super) fn new(code: Code, what: impl Into<String>) -> Self {
        Self { code, what: what.into(), expected: None, nearest: Vec::new() }
    }

    /// With what was expected.
    pub(super) fn expected(self, expected: impl Into<String>) -> Self {
        Self { expected: Some(expected.into()), ..self }
    }

    /// With what was expected unless that is said already.
    pub(super) fn or_expected(self, expected: &str) -> Self {
        Self { expected: self.expected.or_else(|| Some(expected.to_owned())), ..self }
    }
}

/// A value with a written form.
pub(super) trait Written: Sized {
    /// What it looks like, for messages.
    const EXPECTED: &'static str;

    /// Reads it from trimmed text.
    fn read(text: &str) -> Result<Self, Fault>;

    /// Writes it as it may be written in the file.
    fn write(&self) -> String;
}

/// Any value will do.
#[expect(clippy::unnecessary_wraps, reason = "the shape of a check")]
pub(super) fn any<T>(_: &T) -> Result<(), Fault> {
    Ok(())
}

/// From `low` to `high`, both included.
pub(super) fn within<T: Written + PartialOrd>(low: T, high: T) -> impl Fn(&T) -> Result<(), Fault> {
    move |value| {
        if *value >= low && *value <= high {
            return Ok(());
        }
        let what = if *value < low { "this is too small" } else { "this is too large" };
        Err(Fault::new(Code::OutOfRange, what).expected(format!("from {} to {}", low.write(), high.write())))
    }
}

fn quantity_fault(error: &QuantityError, dimension: Dimension) -> Fault {
    let expected = format!("a {} with its unit, such as `{}`", dimension.name(), dimension.example());
    match error {
        QuantityError::NotANumber(text) if text.is_empty() => Fault::new(Code::WrongType, "a number is missing here"),
        QuantityError::NotANumber(text) => Fault::new(Code::WrongType, format!("`{text}` is not a number")),
        QuantityError::Comma(_) => {
            return Fault::new(Code::WrongType, error.to_string()).expected(format!(
                "a {} with a decimal point, such as `{}`",
                dimension.name(),
                dimension.example()
            ));
        }
        QuantityError::UnknownUnit(unit) => Fault {
            nearest: nearest(unit, unit_symbols(dimension)),
            ..Fault::new(Code::WrongUnit, format!("`{unit}` is not a unit"))
        },
        QuantityError::WrongDimension { found, dimension } => {
            Fault::new(Code::WrongUnit, format!("`{found}` is a {}", dimension.name()))
        }
        QuantityError::NoUnit(text) => Fault::new(Code::WrongUnit, format!("`{text}` has no unit")),
        QuantityError::OutOfRange(text) => Fault::new(Code::OutOfRange, format!("`{text}` is too large")),
    }
    .or_expected(&expected)
}

fn quantity<T: TryFrom<Quantity, Error = QuantityError>>(text: &str, dimension: Dimension) -> Result<T, Fault> {
    Quantity::parse(text, dimension).and_then(T::try_from).map_err(|error| quantity_fault(&error, dimension))
}

impl Written for Length {
    const EXPECTED: &'static str = "a length with its unit, such as `9 mm`";

    fn read(text: &str) -> Result<Self, Fault> {
        quantity(text, Dimension::Length)
    }

    fn write(&self) -> String {
        self.to_string()
    }
}

impl Written for Share {
    const EXPECTED: &'static str = "a share, such as `20 %`";

    fn read(text: &str) -> Result<Self, Fault> {
        quantity(text, Dimension::Share).map_err(|fault| Fault { expected: Some(Self::EXPECTED.to_owned()), ..fault })
    }

    fn write(&self) -> String {
        self.to_string()
    }
}

/// Two lengths with an `x` between them, of which one may leave its unit to the other.
fn pair(text: &str, expected: &str) -> Result<(Length, Length), Fault> {
    let parts: Vec<&str> = text.split(['x', 'X', '×']).map(str::trim).collect();
    let [first, second] = parts.as_slice() else {
        return Err(Fault::new(Code::WrongType, format!("`{text}` is not two lengths with an `x` between them")));
    };
    let unit =
        |text: &str| text.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+')).trim().to_owned();
    let read = |text: &str, other: &str| {
        let unit = if unit(text).is_empty() { unit(other) } else { String::new() };
        quantity(&format!("{text} {unit}"), Dimension::Length)
            .map_err(|fault| Fault { expected: Some(expected.to_owned()), ..fault })
    };
    Ok((read(first, second)?, read(second, first)?))
}

fn millimetres(length: Length) -> Decimal {
    Decimal::new(length.um(), 3).normalize()
}

/// The size of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Size {
    /// Length along the front edge.
    pub(super) length: Length,
    /// Width from front to back.
    pub(super) width: Length,
}

impl Written for Size {
    const EXPECTED: &'static str = "length along the front x width, such as `1200 x 450 mm`";

    fn read(text: &str) -> Result<Self, Fault> {
        pair(text, Self::EXPECTED).map(|(length, width)| Self { length, width })
    }

    fn write(&self) -> String {
        Point { x: self.length, y: self.width }.write()
    }
}

impl Written for Point {
    const EXPECTED: &'static str = "a point, along the front x towards the back, such as `300 x 200 mm`";

    fn read(text: &str) -> Result<Self, Fault> {
        pair(text, Self::EXPECTED).map(|(x, y)| Self { x, y })
    }

    fn write(&self) -> String {
        format!("{} x {} mm", millimetres(self.x), millimetres(self.y))
    }
}

impl Written for u32 {
    const EXPECTED: &'static str = "a whole number, such as `2`";

    fn read(text: &str) -> Result<Self, Fault> {
        let number = Quantity::parse(text, Dimension::Count)
            .map_err(|error| Fault { expected: None, ..quantity_fault(&error, Dimension::Count) })?
            .value();
        if !number.is_integer() {
            return Err(Fault::new(Code::WrongType, format!("`{text}` is not a whole number")));
        }
        number.to_u32().ok_or_else(|| Fault::new(Code::OutOfRange, format!("`{text}` is less than nothing")))
    }

    fn write(&self) -> String {
        self.to_string()
    }
}

/// A number of times a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd)]
pub(super) struct PerYear(pub(super) u32);

impl Written for PerYear {
    const EXPECTED: &'static str = "a number of times a year, such as `12 per year`";

    fn read(text: &str) -> Result<Self, Fault> {
        let number = text.strip_suffix("year").and_then(|rest| rest.trim_end().strip_suffix("per")).unwrap_or(text);
        u32::read(number.trim()).map(Self)
    }

    fn write(&self) -> String {
        format!("{} per year", self.0)
    }
}

impl Written for Margin {
    const EXPECTED: &'static str = "a share, a least number, or both, such as `20 %, at least 2`";

    fn read(text: &str) -> Result<Self, Fault> {
        let mut share = None;
        let mut least = None;
        for part in text.split(',').map(str::trim) {
            let number = part.strip_prefix("at least").map(str::trim);
            let twice = match number.or_else(|| (!part.ends_with('%')).then_some(part)) {
                Some(number) => least.replace(u32::read(number)?).is_some(),
                None => share.replace(Share::read(part)?).is_some(),
            };
            if twice {
                return Err(Fault::new(Code::WrongType, format!("`{text}` says the same thing twice")));
            }
        }
        Ok(Self { share: share.unwrap_or(Share::ZERO), least: least.unwrap_or(0) })
    }

    fn write(&self) -> String {
        self.to_string()
    }
}

impl Written for AtOnce {
    const EXPECTED: &'static str = "a number of levers or `routes`, such as `1 lever`";

    fn read(text: &str) -> Result<Self, Fault> {
        if text.eq_ignore_ascii_case("routes") {
            return Ok(Self::Routes);
        }
        let number = text.strip_suffix("levers").or_else(|| text.strip_suffix("lever")).unwrap_or(text).trim();
        u32::read(number).map(Self::Levers).map_err(|fault| Fault { nearest: nearest(text, ["routes"]), ..fault })
    }

    fn write(&self) -> String {
        match self {
            Self::Levers(1) => "1 lever".to_owned(),
            Self::Levers(many) => format!("{many} levers"),
            Self::Routes => "routes".to_owned(),
        }
    }
}

/// What an owned supply gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Output {
    /// Output voltage.
    pub(super) voltage: Voltage,
    /// Direct or alternating.
    pub(super) waveform: Waveform,
    /// Rated current.
    pub(super) current: Current,
}

/// The current of a label that states watts or volt-amperes, as those of transformers do: rounded down to a milliampere, so that the supply is not
/// taken for more than it gives.
fn current_of(power: Power, voltage: Voltage) -> Current {
    if voltage <= Voltage::ZERO { Current::ZERO } else { Current((power.0 / voltage.0 * 1000.0 + 1e-9).floor() / 1000.0) }
}

impl Written for Output {
    const EXPECTED: &'static str =
        "a voltage, AC or DC, and a current or volt-amperes, such as `16 V AC, 1 A` or `16 V AC, 16 VA`";

    fn read(text: &str) -> Result<Self, Fault> {
        let not = || Fault::new(Code::WrongType, format!("`{text}` does not say voltage, AC or DC, and current"));
        let (voltage, current) = text.split_once(',').ok_or_else(not)?;
        let voltage = voltage.trim();
        let split = voltage.len().checked_sub(2).filter(|at| voltage.is_char_boundary(*at)).ok_or_else(not)?;
        let (voltage, waveform) = voltage.split_at(split);
        let waveform = [Waveform::Ac, Waveform::Dc]
            .into_iter()
            .find(|known| known.word().eq_ignore_ascii_case(waveform))
            .ok_or_else(|| Fault::new(Code::UnknownWord, format!("`{text}` does not say whether it is AC or DC")))?;
        let plain = |fault: Fault| Fault { expected: None, ..fault };
        let voltage: Voltage = quantity(voltage, Dimension::Voltage).map_err(plain)?;
        if let Ok(power) = Quantity::parse(current, Dimension::Power).and_then(Power::try_from) {
            return Ok(Self { voltage, waveform, current: current_of(power, voltage) });
        }
        let current = quantity(current, Dimension::Current).map_err(plain)?;
        Ok(Self { voltage, waveform, current })
    }

    fn write(&self) -> String {
        format!("{} {}, {}", self.voltage, self.waveform.word(), self.current)
    }
}

/// A name as it may be written anywhere in YAML: in quotes unless it is made of letters, digits and plain signs.
pub(super) fn plain(name: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.' | '/');
    if name.starts_with(char::is_alphanumeric) && name.chars().all(is_plain) {
        name.to_owned()
    } else {
        format!("'{}'", name.replace('\'', "''"))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{any as anything, proptest};

    use super::*;
    use crate::layout::model::{DecideBy, FrogKind, Lamps};
    use crate::layout::words::{OtherWord, ScaleWord, SignalWord, YesNo};
    use crate::mechanics::SCALES;

    fn comes_back<T: Written + PartialEq + std::fmt::Debug>(value: &T) {
        assert_eq!(T::read(&value.write()).as_ref(), Ok(value), "{}", value.write());
    }

    proptest! {
        #[test]
        fn what_is_written_reads_as_the_same(um in 0_i64..100_000_000, other in 0_i64..100_000_000, mille in 0_u32..1000, count in 0_u32..1000) {
            let (x, y) = (Length::from_um(um), Length::from_um(other));
            let share = Share(f64::from(mille) / 1000.0);
            comes_back(&x);
            comes_back(&Point { x, y });
            comes_back(&Size { length: x, width: y });
            comes_back(&share);
            comes_back(&Margin { share, least: count });
            comes_back(&count);
            comes_back(&PerYear(count));
            comes_back(&AtOnce::Levers(count));
            let (voltage, current) = (Voltage(f64::from(count)), Current(f64::from(mille) / 1000.0));
            comes_back(&Output { voltage, waveform: Waveform::Ac, current });
        }

        #[test]
        fn no_text_panics(text in anything::<String>()) {
            let _ = (Length::read(&text), Point::read(&text), Share::read(&text), Margin::read(&text), u32::read(&text));
            let _ = (PerYear::read(&text), AtOnce::read(&text), Output::read(&text), YesNo::read(&text), Lamps::read(&text));
        }
    }

    #[test]
    fn words_come_back_too() {
        [FrogKind::Insulated, FrogKind::Live, FrogKind::BladeFed].iter().for_each(comes_back);
        [Lamps::None, Lamps::Commanded, Lamps::Proved].iter().for_each(comes_back);
        DecideBy::ALL.iter().for_each(comes_back);
        [SignalWord::Semaphore, SignalWord::ColourLight, SignalWord::GroundSignal].iter().for_each(comes_back);
        [OtherWord::Gate, OtherWord::Uncoupler, OtherWord::Lamp].iter().for_each(comes_back);
        [YesNo(true), YesNo(false)].iter().for_each(comes_back);
        comes_back(&AtOnce::Routes);
        SCALES.iter().map(ScaleWord).for_each(|scale| comes_back(&scale));
        assert_eq!(ScaleWord::read("ho"), ScaleWord::read("H0"));
    }

    #[test]
    fn names_are_quoted_where_yaml_would_take_them_for_something_else() {
        assert_eq!(plain("Left 2-b"), "Left 2-b");
        assert_eq!(plain("A, B"), "'A, B'");
        assert_eq!(plain("it's: #1"), "'it''s: #1'");
        assert_eq!(plain("- x"), "'- x'");
    }

    #[test]
    fn one_unit_may_serve_two_lengths() {
        let size = |text| Size::read(text).map(|size| (size.length.um() / 1000, size.width.um() / 1000));
        for text in ["1200 x 450 mm", "1200x450mm", "1200 mm x 450", "1.2 m x 450 mm", "120 × 45 cm", "1.2 X 0.45 m"] {
            assert_eq!(size(text), Ok((1200, 450)), "{text}");
        }
        assert_eq!(size("2 x 1 ft"), Ok((609, 304)));
        assert_eq!(size("0 x 0"), Ok((0, 0)), "nothing needs no unit");
        for text in ["", "x", "1200", "1 x 2 x 3 mm", "1200 x 450", "1200 x mm", "12 V x 5 mm", "a x b mm", "1e3 x 5 mm"] {
            assert!(size(text).is_err(), "{text}");
        }
    }

    #[test]
    fn an_output_says_voltage_waveform_and_current() {
        let read = |text| Output::read(text).map(|output| output.write());
        assert_eq!(read("16 V AC, 1 A").as_deref(), Ok("16 V AC, 1 A"));
        assert_eq!(read("16 V AC, 16 VA").as_deref(), Ok("16 V AC, 1 A"));
        // By hand: 30 VA ÷ 16 V = 1.875 A; 20 W ÷ 12 V = 1.6667 A, rounded down.
        assert_eq!(Output::read("16 V AC, 30 VA").map(|output| output.current), Ok(Current(1.875)));
        assert_eq!(Output::read("12 V DC, 20 W").map(|output| output.current), Ok(Current(1.666)));
        assert_eq!(read("12Vdc,1500mA").as_deref(), Ok("12 V DC, 1.5 A"));
        for text in ["", ",", "AC, 1 A", "16 AC, 1 A", "16 V, 1 A", "16 V AC 1 A", "1 A, 16 V AC", "16 V ÄC, 1 A"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
