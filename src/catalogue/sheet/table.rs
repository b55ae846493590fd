//! A table of cells, each with its place.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::text::clean;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::size::Size;

/// What no size raises.
pub(super) mod limits {
    /// Characters of a cell.
    pub(crate) const TEXT: usize = 1_000;
    /// Sheets of a workbook or files of a folder.
    pub(crate) const SHEETS: usize = 200;
}

/// What a cell holds. A blank cell is not kept at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Cell {
    /// Text or a number as text, cleaned.
    Text(String),
    /// An error value such as `#REF!`.
    Error(String),
    /// A formula whose result was never stored.
    NoValue,
}

/// One sheet: its headings and the rows below them that hold anything.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// The workbook or folder as the user named it.
    pub(crate) book: Arc<str>,
    /// The name of the sheet.
    pub(crate) sheet: Arc<str>,
    /// Headings by column, from 0.
    pub(crate) headings: BTreeMap<u32, String>,
    /// Rows by number, from 1 for the row of headings; each by column, from 0.
    pub(crate) rows: BTreeMap<u32, BTreeMap<u32, Cell>>,
    /// Whether numbers are written with a decimal comma.
    pub(crate) comma: bool,
    /// How large it may be.
    size: Size,
    /// What was noticed in reading.
    pub(crate) notices: Vec<Diagnostic>,
}

impl Table {
    /// An empty table, which may become so large.
    pub(super) fn new(book: &Arc<str>, sheet: &str, size: Size) -> Self {
        Self {
            book: Arc::clone(book),
            sheet: clean(sheet).into(),
            headings: BTreeMap::new(),
            rows: BTreeMap::new(),
            comma: false,
            size,
            notices: Vec::new(),
        }
    }

    /// Puts a cell in its place; a blank text leaves no cell. Row from 1, column from 0, row by row from the top.
    ///
    /// # Errors
    /// A cell beyond the limits.
    pub(super) fn put(&mut self, row: u32, column: u32, cell: Cell) -> Result<(), Diagnostic> {
        let cell = match cell {
            Cell::Text(text) => Cell::Text(clean(&text)),
            other => other,
        };
        if matches!(&cell, Cell::Text(text) if text.is_empty()) {
            return Ok(());
        }
        let last = self.size.rows();
        if row > last {
            let what = format!("the sheet has something below row {last}, where the last row is read");
            return Err(Diagnostic::error(Code::TooLarge, self.place(row, column), what)
                .expected("a table without stray cells far below it; delete the empty-looking rows and save again"));
        }
        if matches!(&cell, Cell::Text(text) if text.len() > limits::TEXT && text.chars().count() > limits::TEXT) {
            let what = format!("the cell holds more than {} characters", limits::TEXT);
            return Err(Diagnostic::error(Code::TooLarge, self.place(row, column), what));
        }
        if row == 1 {
            if let Cell::Text(text) = cell {
                self.headings.insert(column, text);
            }
            return Ok(());
        }
        if self.headings.contains_key(&column) {
            self.rows.entry(row).or_default().insert(column, cell);
        } else if !self.notices.iter().any(|notice| notice.code == Code::UnknownColumn) {
            let what = "cells that stand under no heading are passed over";
            self.notices.push(Diagnostic::notice(Code::UnknownColumn, self.place(row, column), what));
        }
        Ok(())
    }

    /// The place of a cell: row from 1, column from 0.
    pub(crate) fn place(&self, row: u32, column: u32) -> Place {
        Place::Cell {
            book: Arc::clone(&self.book),
            sheet: Arc::clone(&self.sheet),
            cell: format!("{}{row}", column_letters(column)).into(),
        }
    }

    /// The place of the whole sheet.
    pub(crate) fn whole(&self) -> Place {
        Place::Cell { book: Arc::clone(&self.book), sheet: Arc::clone(&self.sheet), cell: "".into() }
    }
}

/// The letters of a column, from 0: `A`, `Z`, `AA`, `XFD`.
pub(super) fn column_letters(column: u32) -> String {
    let mut letters = Vec::new();
    let mut left = Some(column);
    while let Some(at) = left {
        letters.extend(('A'..='Z').nth((at % 26) as usize));
        left = (at / 26).checked_sub(1);
    }
    letters.iter().rev().collect()
}

/// The row, from 1, and the column, from 0, of a cell by its name, such as `D14`.
pub(super) fn position(cell: &str) -> Option<(u32, u32)> {
    let digits = cell.find(|c: char| c.is_ascii_digit())?;
    let (letters, row) = cell.split_at(digits);
    let letter = |number: u32, letter: char| {
        let value = u32::from(letter).checked_sub(u32::from('A'))?.checked_add(1)?;
        number.checked_mul(26)?.checked_add(value)
    };
    let column = letters.chars().try_fold(0, letter)?.checked_sub(1)?;
    Some((row.parse().ok()?, column))
}

/// Gives each problem of a cell the heading above it.
pub(crate) fn name_columns(tables: &[Table], problems: &mut [Diagnostic]) {
    for problem in problems {
        let Place::Cell { sheet, cell, .. } = &problem.place else { continue };
        let Some((_, column)) = position(cell).filter(|(row, _)| *row > 1) else { continue };
        let heading = tables.iter().find(|table| table.sheet == *sheet).and_then(|table| table.headings.get(&column));
        problem.column = heading.cloned();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        assert_eq!([0, 25, 26, 701, 702, 16_383].map(column_letters), ["A", "Z", "AA", "ZZ", "AAA", "XFD"]);
        assert_eq!(column_letters(u32::MAX).len(), 7);
        assert_eq!(position("XFD1048576"), Some((1_048_576, 16_383)));
        assert_eq!(["", "A", "7", "ZZZZZZZZ1", "A99999999999"].map(position), [None; 5]);
    }

    #[test]
    fn a_cell_under_no_heading_is_noticed_once() {
        let mut table = Table::new(&"book".into(), "Parts", Size::Usual);
        table.put(1, 0, Cell::Text("part".into())).unwrap();
        for row in 2..5 {
            table.put(row, 7, Cell::Text("stray".into())).unwrap();
        }
        assert!(table.rows.is_empty());
        assert_eq!(table.notices.len(), 1);
        assert_eq!(table.notices[0].place.to_string(), "book › Parts › H2");
    }

    #[test]
    fn a_cell_far_below_is_refused() {
        let mut table = Table::new(&"book".into(), "Parts", Size::Usual);
        let error = table.put(1_048_576, 16_383, Cell::Text("x".into())).unwrap_err();
        assert_eq!((error.code, error.place.to_string().as_str()), (Code::TooLarge, "book › Parts › XFD1048576"));
    }
}
