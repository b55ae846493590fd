//! A table as text: headings and cells with their units. Every form that prints tables as text dresses this.

use super::document::{Cell, ColumnHead, Row, Table, UnitsBy};
use super::figures::{Figures, Scale, in_scale};
use super::plain::harmless;

/// A table as text, not yet wrapped or escaped.
#[derive(Debug)]
pub(super) struct TextTable {
    /// The unit that all its values share, for its title.
    pub(super) unit: Option<&'static str>,
    /// A heading for each column, with the unit that its values share.
    pub(super) headings: Vec<String>,
    /// The cells, row by row, as many in each as there are headings. In a table whose rows have units the first cell names its row's.
    pub(super) rows: Vec<Vec<String>>,
}

impl TextTable {
    /// The table with its figures rounded for reading, or raw.
    pub(super) fn of(table: &Table, figures: Figures) -> Self {
        match table.units {
            UnitsBy::Column => by_column(table, figures),
            UnitsBy::Row => by_row(table, figures),
        }
    }

    /// A title with the unit of the whole table.
    pub(super) fn title(&self, title: &str) -> String {
        with_unit_of(harmless(title), self.unit)
    }
}

/// The cell of a row in a column; missing where the row is short.
fn cell(row: &Row, at: usize) -> &Cell {
    row.cells.get(at).unwrap_or(&Cell::Missing)
}

fn with_unit_of(words: String, unit: Option<&str>) -> String {
    match unit {
        Some(unit) => format!("{words}\u{a0}({unit})"),
        None => words,
    }
}

fn by_column(table: &Table, figures: Figures) -> TextTable {
    let scale = |(at, head): (usize, &ColumnHead)| {
        let scale = Scale::common(table.rows.iter().map(|row| cell(row, at)), figures)?;
        Some(if head.in_metres && figures == Figures::Rounded { scale.in_metres() } else { scale })
    };
    let scales: Vec<Option<Scale>> = table.columns.iter().enumerate().map(scale).collect();
    let heading = |(head, scale): (&ColumnHead, &Option<Scale>)| {
        with_unit_of(harmless(&head.title), scale.map(|scale| scale.symbol)).replace('\u{a0}', " ")
    };
    let text = |row: &Row| {
        let cells = scales.iter().enumerate().map(|(at, &scale)| match cell(row, at) {
            // A sum has no value in a column that is not added up: nothing is missing there.
            Cell::Missing if row.is_total => String::new(),
            cell => in_scale(cell, scale, figures),
        });
        cells.collect()
    };
    TextTable {
        unit: None,
        headings: table.columns.iter().zip(&scales).map(heading).collect(),
        rows: table.rows.iter().map(text).collect(),
    }
}

fn by_row(table: &Table, figures: Figures) -> TextTable {
    let whole = Scale::common(table.rows.iter().flat_map(|row| &row.cells), figures);
    let text = |row: &Row| {
        let scale = whole.or_else(|| Scale::common(row.cells.iter(), figures));
        let cells = (0..table.columns.len()).map(|at| match (at, in_scale(cell(row, at), scale, figures)) {
            (0, name) if whole.is_none() => with_unit_of(name, scale.map(|scale| scale.symbol)),
            (_, text) => text,
        });
        cells.collect()
    };
    TextTable {
        unit: whole.map(|scale| scale.symbol),
        headings: table.columns.iter().map(|head| harmless(&head.title)).collect(),
        rows: table.rows.iter().map(text).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    /// One wire has one figure, in a column of short ones as in one of long ones.
    #[test]
    fn wire_is_told_in_metres_however_short() {
        let table = |lengths: &[i64]| {
            let rows = lengths.iter().map(|&mm| Row::of([Cell::from(Length::from_mm(mm))]));
            let text = TextTable::of(
                &Table::new("t", "", [ColumnHead::number("length", "Length").in_metres()]).rows(rows),
                Figures::Rounded,
            );
            (text.headings[0].clone(), text.rows[0][0].clone())
        };
        assert_eq!(table(&[735]), ("Length (m)".to_owned(), "0.735".to_owned()));
        assert_eq!(table(&[735, 2429]), ("Length (m)".to_owned(), "0.735".to_owned()));
    }
}
