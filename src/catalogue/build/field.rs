//! One cell, read as what it should be.
//!
//! Each reading returns `None` for a blank cell and for a wrong one; what is wrong goes to the log, so that a catalogue with a
//! wrong cell never comes to be, whatever is put in the cell's place.

use std::borrow::Cow;
use std::ops::RangeInclusive;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::log::Log;
use crate::catalogue::vocabulary::Word;
use crate::day::Day;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::quantity::{Dimension, Quantity, QuantityError, unit_symbols};

/// What stands in the cell.
#[derive(Debug, Clone, Copy)]
pub(super) enum Written<'p> {
    /// The sheet has no such column.
    NoColumn,
    /// Nothing.
    Blank,
    /// Text or a number.
    Text(&'p str),
    /// An error value.
    Error(&'p str),
    /// A formula without a stored result.
    NoValue,
}

/// One cell of a row.
#[derive(Debug, Clone)]
pub(super) struct Field<'p> {
    pub(super) written: Written<'p>,
    /// Its place; that of the row where the column is missing.
    pub(super) place: Place,
    /// The heading of its column.
    pub(super) column: &'static str,
    /// The unit in the heading.
    pub(super) unit: Option<&'p str>,
    /// Whether numbers are written with a decimal comma.
    pub(super) comma: bool,
    /// Whether it must be filled.
    pub(super) needed: bool,
    /// Why it must be filled although the column is optional.
    pub(super) because: Option<&'static str>,
}

impl<'p> Field<'p> {
    /// The same field where what stands elsewhere makes it needed.
    pub(super) fn needed(self, because: &'static str) -> Self {
        Self { needed: true, because: Some(because), ..self }
    }

    /// Whether there is nothing in it.
    pub(super) fn is_blank(&self) -> bool {
        matches!(self.written, Written::NoColumn | Written::Blank)
    }

    /// The text, if there is any; nothing is told.
    pub(super) fn peek(&self) -> Option<&'p str> {
        match self.written {
            Written::Text(text) => Some(text),
            _ => None,
        }
    }

    /// An error at the cell.
    pub(super) fn error(&self, code: Code, what: impl Into<String>) -> Diagnostic {
        let error = Diagnostic::error(code, self.place.clone(), what);
        match self.written {
            Written::Text(text) | Written::Error(text) => error.found(text),
            _ => error,
        }
    }

    /// The text; an error if it is needed and not there.
    pub(super) fn text(&self, log: &mut Log) -> Option<&'p str> {
        let column = self.column;
        match self.written {
            Written::Text(text) => return Some(text),
            Written::Error(_) => log.push(
                self.error(Code::NoValue, format!("the cell of `{column}` shows an error instead of a value"))
                    .expected("a value; mend the formula and save again"),
            ),
            Written::NoValue => log.push(
                self.error(Code::NoValue, format!("the cell of `{column}` holds a formula whose result was never stored"))
                    .found("a formula without a result")
                    .expected("a result; open the workbook in a spreadsheet program and save it, so that results are stored"),
            ),
            // That a needed column is missing has been told once for the sheet.
            Written::NoColumn if self.because.is_none() => {}
            Written::Blank | Written::NoColumn if self.needed => {
                let what = match self.because {
                    Some(because) => format!("the cell of `{column}` is empty, but it is needed, because {because}"),
                    None => format!("the cell of `{column}` is empty"),
                };
                let found = if matches!(self.written, Written::Blank) { "an empty cell" } else { "no such column" };
                log.push(self.error(Code::EmptyCell, what).found(found).expected(format!("a value for `{column}`")));
            }
            Written::Blank | Written::NoColumn => {}
        }
        None
    }

    /// Reads the text by `parse`; its error goes to the log.
    pub(super) fn read<T>(&self, log: &mut Log, parse: impl FnOnce(&'p str) -> Result<T, Diagnostic>) -> Option<T> {
        let text = self.text(log)?;
        parse(text).map_err(|error| log.push(error)).ok()
    }

    /// One of a few words.
    pub(super) fn pick<T: Copy>(&self, log: &mut Log, words: &[(&str, T)]) -> Option<T> {
        self.read(log, |text| {
            let found = words.iter().find(|(word, _)| word.eq_ignore_ascii_case(text)).map(|(_, value)| *value);
            found.ok_or_else(|| self.unknown(text, words.iter().map(|(word, _)| *word)))
        })
    }

    /// A word of a fixed list.
    pub(super) fn word<W: Word>(&self, log: &mut Log) -> Option<W> {
        self.read(log, |text| self.to_word(text))
    }

    /// Words of a fixed list, separated by `;`.
    pub(super) fn words<W: Word>(&self, log: &mut Log) -> Vec<W> {
        let Some(text) = self.text(log) else { return Vec::new() };
        let words = split(text).map(|word| self.to_word(word).map_err(|error| log.push(error)));
        words.filter_map(Result::ok).collect()
    }

    fn to_word<W: Word>(&self, text: &str) -> Result<W, Diagnostic> {
        W::from_word(text).ok_or_else(|| self.unknown(text, W::ALL.iter().map(|word| word.word())))
    }

    /// The error of a word that is none of the valid ones.
    pub(super) fn unknown<'a>(&self, text: &str, valid: impl IntoIterator<Item = &'a str>) -> Diagnostic {
        self.error(Code::UnknownWord, format!("`{text}` is no word for `{}`", self.column)).one_of(text, valid)
    }

    /// Yes or no.
    pub(super) fn yes(&self, log: &mut Log) -> Option<bool> {
        self.read(log, |text| match text.to_lowercase().as_str() {
            // A spreadsheet turns some words for yes and no into its own truth values.
            "yes" | "true" => Ok(true),
            "no" | "false" => Ok(false),
            _ => Err(self.unknown(text, ["yes", "no"])),
        })
    }

    /// A plain number.
    pub(super) fn number(&self, log: &mut Log) -> Option<Decimal> {
        self.read(log, |text| self.measure(text, Dimension::Count, None)).map(Quantity::value)
    }

    /// A whole number within a range.
    pub(super) fn whole(&self, log: &mut Log, range: RangeInclusive<u32>) -> Option<u32> {
        self.read(log, |text| {
            let number = self.measure(text, Dimension::Count, None)?.value();
            let whole = number.is_integer().then(|| number.to_u32()).flatten().filter(|whole| range.contains(whole));
            whole.ok_or_else(|| {
                let what = format!("`{text}` cannot be `{}`", self.column);
                self.error(Code::OutOfRange, what).expected(format!("a whole number from {} to {}", range.start(), range.end()))
            })
        })
    }

    /// A quantity that is not negative; a bare number is in the unit of the heading.
    pub(super) fn quantity(&self, log: &mut Log, dimension: Dimension) -> Option<Quantity> {
        self.read(log, |text| self.positive(text, dimension, self.unit))
    }

    /// As [`Field::quantity`], and more than nothing.
    pub(super) fn above_nothing(&self, log: &mut Log, dimension: Dimension) -> Option<Quantity> {
        let quantity = self.quantity(log, dimension)?;
        if quantity.value().is_zero() {
            let because = self.because.map(|because| format!(", because {because}")).unwrap_or_default();
            let what = format!("`{}` must be more than nothing{because}", self.column);
            log.push(self.error(Code::OutOfRange, what).expected(format!(
                "a {} such as {}",
                dimension.name(),
                dimension.example()
            )));
        }
        Some(quantity)
    }

    /// As [`Field::quantity`], with a unit to take where the heading has none.
    pub(super) fn quantity_in(&self, log: &mut Log, dimension: Dimension, unit: &str) -> Option<Quantity> {
        self.read(log, |text| self.positive(text, dimension, self.unit.or(Some(unit))))
    }

    fn positive(&self, text: &str, dimension: Dimension, unit: Option<&str>) -> Result<Quantity, Diagnostic> {
        let quantity = self.measure(text, dimension, unit)?;
        if quantity.value().is_sign_negative() && !quantity.value().is_zero() {
            let what = format!("`{text}` is less than nothing");
            return Err(self.error(Code::OutOfRange, what).expected(format!(
                "a {} such as {}",
                dimension.name(),
                dimension.example()
            )));
        }
        Ok(quantity)
    }

    /// A share of one, at most all of it. A bare number up to 1 is the share itself, as a cell shown in per cent stores it; above
    /// that it is in the unit of the heading.
    pub(super) fn share(&self, log: &mut Log) -> Option<Decimal> {
        self.read(log, |text| {
            let bare = self.measure(text, Dimension::Count, None).ok().map(Quantity::value);
            let share = match bare {
                Some(number) if number <= Decimal::ONE => number,
                _ => self.measure(text, Dimension::Share, self.unit)?.value(),
            };
            if share.is_sign_negative() && !share.is_zero() || share > Decimal::ONE {
                let what = format!("`{text}` is no share of a whole");
                return Err(self.error(Code::OutOfRange, what).expected("from 0 % to 100 %"));
            }
            Ok(share)
        })
    }

    /// A day, `YYYY-MM-DD`.
    pub(super) fn day(&self, log: &mut Log) -> Option<Day> {
        self.read(log, |text| {
            text.parse()
                .map_err(|_| self.error(Code::WrongType, format!("`{text}` is not a day")).expected("a date such as 2024-05-31"))
        })
    }

    /// Reads a quantity of a dimension from text; a bare number is in `unit`, if that is given.
    pub(super) fn measure(&self, text: &str, dimension: Dimension, unit: Option<&str>) -> Result<Quantity, Diagnostic> {
        let plain = self.plain(text)?;
        let read = match unit {
            Some(unit) => Quantity::parse_in(&plain, dimension, unit),
            None => Quantity::parse(&plain, dimension),
        };
        read.map_err(|error| self.mistaken(text, dimension, &error))
    }

    fn mistaken(&self, text: &str, dimension: Dimension, error: &QuantityError) -> Diagnostic {
        let code = match error {
            QuantityError::NotANumber(_) | QuantityError::Comma(_) => Code::WrongType,
            QuantityError::OutOfRange(_) => Code::OutOfRange,
            _ => Code::WrongUnit,
        };
        let mut diagnostic = Diagnostic::error(code, self.place.clone(), error.to_string()).found(text);
        diagnostic = diagnostic.expected(match dimension {
            Dimension::Count => "a plain number such as 4".to_owned(),
            _ => format!("a {} such as {}", dimension.name(), dimension.example()),
        });
        if let QuantityError::UnknownUnit(unit) = error {
            diagnostic.nearest = nearest_unit(unit, dimension);
        }
        diagnostic
    }

    /// The text with a decimal point for the decimal comma, where the table has that.
    fn plain<'a>(&self, text: &'a str) -> Result<Cow<'a, str>, Diagnostic> {
        let digits = text.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c))).unwrap_or(text.len());
        let (number, unit) = text.split_at(digits);
        let commas = number.matches(',').count();
        if !self.comma && commas == 0 || !number.contains(['.', ',']) {
            return Ok(Cow::Borrowed(text));
        }
        let not = |what: String| Diagnostic::error(Code::WrongType, self.place.clone(), what).found(text);
        if self.comma && commas == 1 && !number.contains('.') {
            return Ok(Cow::Owned(format!("{}{unit}", number.replace(',', "."))));
        }
        if commas > 0 && self.comma {
            return Err(not(format!("`{text}` is not a number")).expected("one decimal comma and no other sign, such as 1250,50"));
        }
        if commas > 0 {
            let what = format!("`{text}` has a comma; here numbers have a decimal point, and nothing between thousands");
            let pointed = number.replace(',', ".");
            let decimal = commas == 1 && !number.contains('.') && !is_grouped(&pointed);
            let meant = if decimal { format!("`{pointed}{unit}`") } else { "a number such as 1250.50".to_owned() };
            return Err(not(what).expected(meant));
        }
        if is_grouped(number) {
            let what = format!("`{text}` may mean thousands or a fraction");
            return Err(not(what).expected("a number without points between thousands, with a decimal comma"));
        }
        Ok(Cow::Borrowed(text))
    }
}

/// The unit of a dimension that is the one written but for small and capital letters; units are too short to tell nearness else.
pub(super) fn nearest_unit(written: &str, dimension: Dimension) -> Vec<String> {
    unit_symbols(dimension).find(|symbol| symbol.eq_ignore_ascii_case(written)).map(str::to_owned).into_iter().collect()
}

/// The parts of a list separated by `;`, without the empty ones.
pub(super) fn split(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|part| !part.is_empty())
}

/// Whether points stand where thousands would be parted: `1.250`, `12.500.000`.
fn is_grouped(number: &str) -> bool {
    let mut groups = number.trim_start_matches(['+', '-']).split('.');
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && !first.starts_with('0') && groups.all(|group| group.len() == 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_between_thousands_are_told_from_decimal_ones() {
        assert!(is_grouped("1.250") && is_grouped("12.500.000") && is_grouped("-1.250"));
        assert!(!is_grouped("0.125") && !is_grouped("1.25") && !is_grouped("1250.500"));
    }
}
