//! The JSON form: what is written keeps its form.

use super::*;
use crate::report::sample;

#[test]
fn the_figures_read_back_as_they_were() {
    let document = sample::document();
    let text = to_json(&document);
    let read: Report = serde_json::from_str(&text).unwrap();
    assert_eq!(read, Report::from(&document));
    let tables = document.sections.iter().flat_map(|s| &s.blocks).filter_map(|block| match block {
        doc::Block::Table(table) => Some(table),
        _ => None,
    });
    let read_tables = read.sections.iter().flat_map(|s| &s.blocks).filter_map(|block| match block {
        Block::Table { rows, columns, .. } => Some((rows, columns)),
        _ => None,
    });
    let mut figures = 0;
    for (table, (rows, columns)) in tables.zip(read_tables) {
        for (row, read) in table.rows.iter().zip(rows) {
            for (cell, column) in row.cells.iter().zip(columns) {
                assert_eq!(back(read.values.get(&column.id).unwrap()), *cell);
                figures += 1;
            }
        }
    }
    assert!(figures > 20, "the sample holds every sort of value: {figures}");
}

/// The value as the document had it.
fn back(value: &Value) -> doc::Cell {
    use crate::money::{Currency, Money};
    use crate::quantity::{Quantity, unit_dimension};
    match value.clone() {
        Value::Missing => doc::Cell::Missing,
        Value::Text { text } => doc::Cell::Text(text),
        Value::Count { count } => doc::Cell::Count(count),
        Value::Money { amount, currency } => {
            let amount = Decimal::from_str_exact(&amount).unwrap();
            doc::Cell::Money(Money::from_decimal(amount, Currency::from_code(&currency).unwrap()).unwrap())
        }
        Value::Quantity { amount, unit } => {
            let dimension = if unit.is_empty() { Dimension::Count } else { unit_dimension(&unit).unwrap() };
            doc::Cell::Quantity(Quantity::parse(&format!("{amount} {unit}"), dimension).unwrap())
        }
        Value::Hours { hours } => doc::Cell::Hours(hours),
        Value::Minutes { minutes } => doc::Cell::Minutes(minutes),
        Value::Share { share } => doc::Cell::Percent(share),
        Value::Flag { flag } => doc::Cell::Flag(flag),
        Value::ToFill { fill: Fill::Tick } => doc::Cell::ToFill(doc::Fill::Tick),
        Value::ToFill { fill: Fill::Words } => doc::Cell::ToFill(doc::Fill::Words),
    }
}

#[test]
fn no_control_character_leaves_raw() {
    let mut document = sample::document();
    document.title = "a\u{1b}[2J\u{9b}2J\u{7f}".to_owned();
    let text = to_json(&document);
    assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
    assert_eq!(serde_json::from_str::<Report>(&text).unwrap().title, document.title);
}

#[test]
fn the_schema_names_every_sort_of_value() {
    let schema: serde_json::Value = serde_json::from_str(&schema()).unwrap();
    let text = schema.to_string();
    for word in ["missing", "money", "quantity", "hours", "share", "flag", "shortfall", "falls_short"] {
        assert!(text.contains(&format!("\"{word}\"")), "{word}");
    }
}
