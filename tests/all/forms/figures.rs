//! Compares what a form prints with the raw value that it printed.

use rust_decimal::prelude::ToPrimitive;
use underboard::quantity::Dimension;
use underboard::report::{Cell, Table, UnitsBy, harmless};

use super::Read;

/// How much a form rounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Rounding {
    /// To the place printed.
    Printed,
    /// Not at all.
    None,
}

/// How many base units a printed unit is: by hand, so that the program's own table is not asked.
fn base_units(unit: &str) -> Option<f64> {
    Some(match unit {
        "mA" | "mW" | "ms" => 1e-3,
        "m" | "kohm" => 1000.0,
        "%" => 0.01,
        "mm" | "mm²" | "V" | "A" | "W" | "ohm" | "ohm/km" | "µF" | "J" | "s" | "N" | "h" | "min" | "EUR" | "GBP" => 1.0,
        _ => return None,
    })
}

/// The value in base units, and the units it may be printed in.
fn raw(cell: &Cell) -> Option<(f64, Vec<&'static str>)> {
    Some(match cell {
        Cell::Money(money) => (money.amount().to_f64().unwrap(), vec![money.currency().code()]),
        Cell::Quantity(quantity) => {
            let units = match quantity.dimension() {
                Dimension::Length => vec!["mm", "m"],
                Dimension::Current => vec!["mA", "A"],
                Dimension::Power => vec!["mW", "W"],
                Dimension::Time => vec!["ms", "s"],
                Dimension::Resistance => vec!["ohm", "kohm"],
                other => vec![other.base_symbol()],
            };
            (quantity.to_f64(), units)
        }
        Cell::Hours(hours) => (*hours, vec!["h"]),
        Cell::Minutes(minutes) => (*minutes, vec!["min"]),
        Cell::Percent(share) => (*share, vec!["%"]),
        Cell::Count(count) => (*count as f64, vec![""]),
        _ => return None,
    })
}

/// The unit in brackets at the end of a heading, and the heading without it.
fn unit_of(heading: &str) -> (&str, Option<&str>) {
    let found = heading.strip_suffix(')').and_then(|words| words.rsplit_once(" ("));
    found.filter(|(_, unit)| base_units(unit).is_some()).map_or((heading, None), |(words, unit)| (words, Some(unit)))
}

fn words(text: &str) -> String {
    harmless(text).replace('\u{a0}', " ").split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// A cell says what its value is.
#[track_caller]
pub(crate) fn says(text: &str, unit: Option<&str>, cell: &Cell, rounding: Rounding) {
    match cell {
        Cell::Missing => assert!(matches!(text, "" | "—"), "{text:?} for what is not known"),
        Cell::Text(value) => assert_eq!(words(text), words(value)),
        Cell::Flag(flag) => assert_eq!(text, if *flag { "yes" } else { "no" }),
        value => {
            let (value, units) = raw(value).unwrap_or_else(|| panic!("{cell:?} is no figure"));
            let (number, unit) = match unit {
                Some(unit) => (text, unit),
                None => text.rsplit_once(' ').unwrap_or((text, "")),
            };
            assert!(units.contains(&unit), "{text:?} in {unit:?} for {cell:?}");
            let of_unit = base_units(unit).unwrap_or(1.0);
            let digits = number.replace(',', "");
            let said: f64 = digits.parse().unwrap_or_else(|_| panic!("{text:?} for {cell:?}"));
            let places = digits.split_once('.').map_or(0, |(_, fraction)| fraction.len());
            let within = match rounding {
                Rounding::Printed => 0.5 * 10_f64.powi(-i32::try_from(places).unwrap()) * of_unit * (1.0 + 1e-9),
                Rounding::None => 1e-12 * value.abs().max(1.0),
            };
            assert!((said * of_unit - value).abs() <= within + 1e-12, "{text:?} in {unit:?} for {cell:?}");
        }
    }
}

/// Every figure and word of a table is what the document says.
#[track_caller]
pub(crate) fn same(table: &Table, read: &Read, rounding: Rounding) -> usize {
    let (_, whole) = unit_of(&read.above);
    let mut figures = 0;
    for (head, heading) in table.columns.iter().zip(&read.headings) {
        assert_eq!(words(unit_of(heading).0), words(&head.title));
    }
    let whole = whole.or_else(|| unit_of(&read.headings[0]).1).filter(|_| table.units == UnitsBy::Row);
    for (row, texts) in table.rows.iter().zip(&read.rows) {
        for (at, (cell, text)) in row.cells.iter().zip(texts).enumerate() {
            let text = text.strip_suffix(" *").filter(|_| row.best.contains(&at)).unwrap_or(text);
            match table.units {
                UnitsBy::Column => says(text, unit_of(&read.headings[at]).1, cell, rounding),
                UnitsBy::Row if at == 0 => says(unit_of(text).0, None, cell, rounding),
                UnitsBy::Row => says(text, whole.or(unit_of(&texts[0]).1), cell, rounding),
            }
            figures += usize::from(raw(cell).is_some());
        }
    }
    assert!(read.rows.len() >= table.rows.len(), "{} rows of {}: {}", read.rows.len(), table.rows.len(), table.id);
    figures
}
