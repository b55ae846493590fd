//! Tables from a workbook of the form `.xlsx`.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use calamine::{DataRef, Reader, Xlsx, XlsxError};

use super::table::{Cell, Table, limits};
use super::text::number;
use super::workbook::unreadable;
use crate::diagnostic::{Code, Diagnostic};
use crate::size::Size;

/// Reads the sheets of a workbook that the guard has let through.
///
/// # Errors
/// Whatever of it is damaged or beyond the limits.
pub(super) fn sheets(book: &Arc<str>, bytes: &[u8], size: Size) -> Result<Vec<Table>, Vec<Diagnostic>> {
    // The reader's own arithmetic can overflow on forged cell names; such a file is unreadable, not a crash.
    catch_unwind(AssertUnwindSafe(|| read(book, bytes, size)))
        .unwrap_or_else(|_| Err(vec![unreadable(book, "the workbook is damaged")]))
}

fn read(book: &Arc<str>, bytes: &[u8], size: Size) -> Result<Vec<Table>, Vec<Diagnostic>> {
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| {
        vec![match error {
            XlsxError::Password => unreadable(book, "the workbook is locked with a password"),
            other => unreadable(book, format!("the workbook cannot be read: {other}")),
        }]
    })?;
    let mut errors = Vec::new();
    let mut tables = Vec::new();
    let mut room = size.cells();
    for name in workbook.sheet_names().into_iter().take(limits::SHEETS) {
        let mut table = Table::new(book, &name, size);
        match fill(&mut table, &mut workbook, &name, &mut room) {
            Ok(true) => tables.push(table),
            Ok(false) => {}
            Err(error) => errors.push(error),
        }
    }
    if errors.is_empty() { Ok(tables) } else { Err(errors) }
}

/// Fills the table; `false` where the sheet holds no cells by nature, as a chart does.
fn fill(table: &mut Table, workbook: &mut Xlsx<Cursor<&[u8]>>, name: &str, room: &mut usize) -> Result<bool, Diagnostic> {
    let mut reader = match workbook.worksheet_cells_reader(name) {
        Ok(reader) => reader,
        Err(XlsxError::NotAWorksheet(_)) => return Ok(false),
        Err(error) => return Err(damaged(table, &error)),
    };
    // Cell by cell: a range over all of them would be as large as the farthest cell is far.
    while let Some(record) = reader.next_cell_with_formula_metadata().map_err(|error| damaged(table, &error))? {
        let (row, column) = (record.pos.0.saturating_add(1), record.pos.1);
        let Some(cell) = cell(&record.value, record.formula.is_some()) else { continue };
        *room = room.checked_sub(1).ok_or_else(|| {
            Diagnostic::error(Code::TooLarge, table.place(row, column), "the workbook holds more cells than any catalogue")
        })?;
        table.put(row, column, cell)?;
    }
    Ok(true)
}

fn damaged(table: &Table, error: &XlsxError) -> Diagnostic {
    Diagnostic::error(Code::NotAWorkbook, table.whole(), format!("the sheet cannot be read: {error}"))
        .expected("a sheet that a spreadsheet program opens and saves")
}

/// What a cell holds; `None` for a blank one.
fn cell(value: &DataRef<'_>, formula: bool) -> Option<Cell> {
    Some(match value {
        DataRef::Empty if formula => Cell::NoValue,
        DataRef::Empty => return None,
        DataRef::Int(value) => Cell::Text(value.to_string()),
        DataRef::Float(value) => Cell::Text(number(*value)),
        DataRef::String(text) | DataRef::DurationIso(text) => Cell::Text(text.clone()),
        DataRef::SharedString(text) => Cell::Text((*text).to_owned()),
        DataRef::Bool(value) => Cell::Text(if *value { "yes" } else { "no" }.to_owned()),
        DataRef::DateTime(time) if time.is_datetime() => {
            let (year, month, day, ..) = time.to_ymd_hms_milli();
            Cell::Text(format!("{year:04}-{month:02}-{day:02}"))
        }
        DataRef::DateTime(time) => Cell::Text(number(time.as_f64())),
        DataRef::DateTimeIso(text) => Cell::Text(text.split('T').next().unwrap_or_default().to_owned()),
        DataRef::Error(error) => Cell::Error(error.to_string()),
    })
}
