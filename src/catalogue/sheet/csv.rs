//! Tables from a folder of CSV files.

use std::sync::Arc;

use super::table::{Cell, Table, limits, position};
use super::text::{Letters, clean, decode};
use crate::diagnostic::{Code, Diagnostic, Excerpt, Place};
use crate::size::Size;

/// Reads `(file name, bytes)` of a folder. Files that are not `.csv` are passed over.
///
/// # Errors
/// Files that are no tables, or larger than any catalogue is.
pub(crate) fn read_folder(name: &str, files: &[(String, Vec<u8>)], size: Size) -> Result<Vec<Table>, Vec<Diagnostic>> {
    let book: Arc<str> = name.into();
    let mut errors = Vec::new();
    let mut tables = Vec::new();
    let mut room = size.cells();
    let tabular = files.iter().filter_map(|(file, bytes)| Some((stem(file)?, bytes)));
    for (sheet, bytes) in tabular.take(limits::SHEETS) {
        let mut table = Table::new(&book, sheet, size);
        match fill(&mut table, bytes, &mut room, size) {
            Ok(()) => tables.push(table),
            Err(error) => errors.push(error),
        }
    }
    if errors.is_empty() { Ok(tables) } else { Err(errors) }
}

/// The name of a file without its ending, if that is `.csv`; whatever folder it stands in.
fn stem(file: &str) -> Option<&str> {
    let file = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let (stem, ending) = file.rsplit_once('.')?;
    (ending.eq_ignore_ascii_case("csv") && !stem.is_empty()).then_some(stem)
}

fn fill(table: &mut Table, bytes: &[u8], room: &mut usize, size: Size) -> Result<(), Diagnostic> {
    let too_large = |place: Place, what: &str| Diagnostic::error(Code::TooLarge, place, what);
    if bytes.len() > size.book_bytes() {
        return Err(too_large(table.whole(), "the file is larger than any catalogue")
            .expected(format!("at most {} MiB", size.book_bytes() >> 20)));
    }
    let (text, letters) = decode(bytes);
    if text.contains('\0') {
        return Err(Diagnostic::error(Code::NotAWorkbook, table.whole(), "the file is not a text table")
            .expected("a table saved as CSV, in UTF-8"));
    }
    if letters == Letters::Guessed {
        let what = "the file is not UTF-8; its letters were read as Windows-1252, so check accents and signs";
        table.notices.push(Diagnostic::notice(Code::NotAWorkbook, table.whole(), what).expected("a table saved in UTF-8"));
    }
    let text = unified(&text);
    if text.matches('"').count() % 2 == 1 {
        return Err(Diagnostic::error(Code::NotAWorkbook, table.whole(), "a quotation mark is opened and never closed")
            .expected("cells that hold a quotation mark to be quoted, with the mark doubled: \"5\"\" long\""));
    }
    table.comma = separator(&text) == b';';
    let mut records = Records::of(&text);
    while let Some(record) =
        records.next().map_err(|error| Diagnostic::error(Code::NotAWorkbook, table.whole(), error.to_string()))?
    {
        for (column, field) in (0_u32..).zip(record.fields.iter()).filter(|(_, field)| !field.is_empty()) {
            *room = room
                .checked_sub(1)
                .ok_or_else(|| too_large(table.place(record.row, column), "the tables hold more cells than any catalogue"))?;
            table.put(record.row, column, cell(field))?;
        }
    }
    Ok(())
}

/// Text as a cell; the error values that a spreadsheet program writes into a table are errors here too.
fn cell(field: &str) -> Cell {
    const ERRORS: [&str; 7] = ["#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"];
    if ERRORS.contains(&field.trim()) { Cell::Error(field.trim().to_owned()) } else { Cell::Text(field.to_owned()) }
}

/// The text with one sort of line end, and one at the end of the last line, so that a record's row is known from the lines read.
fn unified(text: &str) -> String {
    let mut text = text.replace("\r\n", "\n").replace('\r', "\n");
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text
}

/// The records of a table, each with its place.
struct Records<'t> {
    reader: ::csv::Reader<&'t [u8]>,
    fields: ::csv::StringRecord,
    /// Line ends within cells so far.
    within: u32,
}

/// A record with its place.
struct Record<'r> {
    /// As a spreadsheet counts, from 1.
    row: u32,
    /// The line of text it starts in, from 1.
    line: u32,
    fields: &'r ::csv::StringRecord,
}

impl<'t> Records<'t> {
    /// Of a text with one sort of line end.
    fn of(text: &'t str) -> Self {
        let mut builder = ::csv::ReaderBuilder::new();
        builder.has_headers(false).flexible(true).delimiter(separator(text));
        Self { reader: builder.from_reader(text.as_bytes()), fields: ::csv::StringRecord::new(), within: 0 }
    }

    fn next(&mut self) -> Result<Option<Record<'_>>, ::csv::Error> {
        if !self.reader.read_record(&mut self.fields)? {
            return Ok(None);
        }
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let within = number(self.fields.iter().map(|field| field.matches('\n').count()).sum());
        self.within = self.within.saturating_add(within);
        let last = u32::try_from(self.reader.position().line()).unwrap_or(u32::MAX).saturating_sub(1);
        let (row, line) = (last.saturating_sub(self.within), last.saturating_sub(within));
        Ok(Some(Record { row, line, fields: &self.fields }))
    }
}

/// Shows each problem of a cell the line of its table. `folder` is its name as the user gave it.
pub(crate) fn excerpt(folder: &str, files: &[(String, Vec<u8>)], problems: &mut [Diagnostic]) {
    for (file, bytes) in files {
        let Some(sheet) = stem(file) else { continue };
        let mut of_file: Vec<(u32, u32, &mut Diagnostic)> = problems
            .iter_mut()
            .filter_map(|problem| {
                let (row, column) = cell_of(&problem.place, sheet)?;
                Some((row, column, problem))
            })
            .collect();
        if of_file.is_empty() {
            continue;
        }
        of_file.sort_by_key(|(row, ..)| *row);
        let text = unified(&decode(bytes).0);
        let lines: Vec<&str> = text.lines().collect();
        let mut records = Records::of(&text);
        let mut asked = of_file.into_iter().peekable();
        while let (Some(_), Ok(Some(record))) = (asked.peek(), records.next()) {
            while let Some((_, column, problem)) = asked.next_if(|(row, ..)| *row <= record.row) {
                let Some(line) = lines.get((record.line as usize).saturating_sub(1)) else { continue };
                problem.excerpt = Some(Excerpt {
                    file: format!("{folder}/{sheet}.csv"),
                    line: record.line,
                    column: start(line, column, separator(&text)),
                    text: (*line).to_owned(),
                });
            }
        }
    }
}

/// Row from 1 and column from 0 of a place on a sheet.
fn cell_of(place: &Place, sheet: &str) -> Option<(u32, u32)> {
    match place {
        Place::Cell { sheet: of, cell, .. } if **of == *clean(sheet) => position(cell),
        _ => None,
    }
}

/// Where the cell of a column starts in a line, in characters from 1; where the line ends if the cell is in a further one.
fn start(line: &str, column: u32, separator: u8) -> u32 {
    let mut quoted = false;
    let mut before: u32 = 0;
    let mut at: u32 = 1;
    for c in line.chars() {
        if before == column {
            break;
        }
        match c {
            '"' => quoted = !quoted,
            c if c == char::from(separator) && !quoted => before = before.saturating_add(1),
            _ => {}
        }
        at = at.saturating_add(1);
    }
    at
}

/// What stands between the cells: whichever of `,` `;` and tab the headings hold most of, outside quotation marks.
fn separator(text: &str) -> u8 {
    let headings = text.lines().next().unwrap_or_default();
    let mut quoted = false;
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    for byte in headings.bytes() {
        if byte == b'"' {
            quoted = !quoted;
        } else if let Some((_, count)) = counts.iter_mut().find(|(separator, _)| !quoted && *separator == byte) {
            *count = count.saturating_add(1);
        }
    }
    counts.iter().rev().max_by_key(|(_, count)| *count).map_or(b',', |(separator, _)| *separator)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Table {
        let mut tables = read_folder("folder", &[("Parts.csv".to_owned(), text.as_bytes().to_vec())], Size::Usual).unwrap();
        tables.remove(0)
    }

    fn shown(table: &Table) -> Vec<String> {
        let cells = table.rows.iter().flat_map(|(&row, cells)| cells.iter().map(move |(&column, cell)| (row, column, cell)));
        cells.map(|(row, column, cell)| format!("{} {cell:?}", table.place(row, column))).collect()
    }

    #[test]
    fn rows_are_counted_as_a_spreadsheet_counts_them() {
        let table = read("part,title\n\nx,\"two\nlines\"\r\n\n,\ny,z");
        assert_eq!(
            shown(&table),
            [
                "folder › Parts › A3 Text(\"x\")",
                "folder › Parts › B3 Text(\"two lines\")",
                "folder › Parts › A6 Text(\"y\")",
                "folder › Parts › B6 Text(\"z\")",
            ]
        );
    }

    #[test]
    fn the_separator_is_found() {
        assert_eq!(separator("a,b\n1;2;3"), b',');
        assert_eq!(separator("a;\"b,c,d\";e"), b';');
        assert_eq!(separator("a\tb\n"), b'\t');
        assert_eq!(separator("alone\n"), b',');
        assert!(read("part;title\nx;y").comma && !read("part,title\nx,y").comma);
    }

    #[test]
    fn an_open_quotation_mark_does_not_swallow_the_table() {
        let errors = read_folder("folder", &[("Parts.csv".to_owned(), b"part,title\nx,\"5 long\ny,z\n".to_vec())], Size::Usual)
            .unwrap_err();
        assert_eq!(errors[0].code, Code::NotAWorkbook);
    }

    #[test]
    fn the_sheet_is_named_after_the_file() {
        assert_eq!(stem("folder/Parts.csv"), Some("Parts"));
        assert_eq!(stem("Parts.CSV"), Some("Parts"));
        assert_eq!(stem("Parts.txt"), None);
        assert_eq!(stem(".csv"), None);
    }
}
