//! Tables from a workbook.

use std::io::{Cursor, Read};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use calamine::{DataRef, Reader, Xlsx, XlsxError};

use super::table::{Cell, Table, limits};
use super::text::number;
use crate::diagnostic::{Code, Diagnostic, Place};

/// How the first bytes of an old binary workbook read, and of an encrypted new one.
const COMPOUND_FILE: &[u8] = b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";

/// Reads the sheets of a workbook (.xlsx).
///
/// # Errors
/// A file that is no such workbook, or larger than any catalogue is.
pub(crate) fn read_workbook(name: &str, bytes: &[u8]) -> Result<Vec<Table>, Vec<Diagnostic>> {
    let book: Arc<str> = name.into();
    guard(&book, bytes).map_err(|error| vec![error])?;
    // The workbook reader's own arithmetic can overflow on forged cell names; such a file is unreadable, not a crash.
    catch_unwind(AssertUnwindSafe(|| sheets(&book, bytes)))
        .unwrap_or_else(|_| Err(vec![unreadable(&book, "the workbook is damaged")]))
}

fn unreadable(book: &Arc<str>, what: impl Into<String>) -> Diagnostic {
    Diagnostic::error(Code::NotAWorkbook, Place::File(Arc::clone(book)), what)
        .expected("a workbook saved as .xlsx, or a folder of .csv tables")
}

/// Refuses what is no .xlsx archive and what unpacks to more than memory should hold, before anything is built from it.
fn guard(book: &Arc<str>, bytes: &[u8]) -> Result<(), Diagnostic> {
    let too_large = |what: &str| Diagnostic::error(Code::TooLarge, Place::File(Arc::clone(book)), what);
    if bytes.len() > limits::FILE {
        return Err(too_large("the workbook is larger than any catalogue").expected("at most 32 MiB"));
    }
    if bytes.starts_with(COMPOUND_FILE) {
        let encrypted: Vec<u8> = "EncryptedPackage".bytes().flat_map(|letter| [letter, 0]).collect();
        let locked = bytes.windows(encrypted.len()).any(|window| window == encrypted);
        return Err(if locked {
            unreadable(book, "the workbook is locked with a password").expected("a workbook saved without a password")
        } else {
            unreadable(book, "this is a workbook of the old .xls form, whatever its name").expected("a workbook saved as .xlsx")
        });
    }
    let mut archive =
        zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| unreadable(book, "the file is not a workbook at all"))?;
    let mut room = limits::UNPACKED;
    for index in 0..archive.len() {
        let Ok(file) = archive.by_index(index) else { continue };
        room = room
            .checked_sub(unpacked(file, room))
            .ok_or_else(|| too_large("the workbook unpacks to more than any catalogue holds"))?;
    }
    if archive.index_for_name("content.xml").is_some() {
        return Err(unreadable(book, "this is a workbook of the OpenDocument form").expected("a workbook saved as .xlsx"));
    }
    Ok(())
}

/// How many bytes come out of a file in the archive, counted to just above `most`. What the archive says of its size may be a lie,
/// and what comes out before an error counts too.
fn unpacked(mut file: impl Read, most: u64) -> u64 {
    let mut block = [0; 8192];
    let mut sum = 0;
    while sum <= most {
        match file.read(&mut block) {
            Ok(0) | Err(_) => break,
            Ok(read) => sum += read as u64,
        }
    }
    sum
}

fn sheets(book: &Arc<str>, bytes: &[u8]) -> Result<Vec<Table>, Vec<Diagnostic>> {
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| {
        vec![match error {
            XlsxError::Password => unreadable(book, "the workbook is locked with a password"),
            other => unreadable(book, format!("the workbook cannot be read: {other}")),
        }]
    })?;
    let mut errors = Vec::new();
    let mut tables = Vec::new();
    let mut room = limits::CELLS;
    for name in workbook.sheet_names().into_iter().take(limits::SHEETS) {
        let mut table = Table::new(book, &name);
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
