//! Tables from a workbook of the form `.ods`.
//!
//! The words of the form are those of ISO/IEC 26300, the open document format. Cells and rows may say that they are repeated: a blank stretch
//! costs nothing here, and a filled one is counted cell by cell, so that a short file cannot ask for more than the limits.

use std::io::{Cursor, Read};
use std::sync::Arc;

use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use super::table::{Cell, Table, limits};
use super::text::number;
use super::workbook::unreadable;
use crate::diagnostic::{Code, Diagnostic};
use crate::size::Size;

/// What a cell's text is made of; anything else within a cell stands beside it, such as a note or a drawing.
const TEXT: [&str; 9] = ["p", "h", "span", "a", "s", "tab", "line-break", "ruby", "ruby-base"];
/// What holds tables or cells that are not the sheets'.
const ASIDE: [&str; 4] = ["shapes", "tracked-changes", "dde-links", "forms"];

/// Reads the sheets of a workbook that the guard has let through.
///
/// # Errors
/// Whatever of it is damaged or beyond the limits.
pub(super) fn sheets(book: &Arc<str>, bytes: &[u8], size: Size) -> Result<Vec<Table>, Vec<Diagnostic>> {
    if file(bytes, "META-INF/manifest.xml", size).is_some_and(|manifest| manifest.contains("encryption-data")) {
        let locked = unreadable(book, "the workbook is locked with a password");
        return Err(vec![locked.expected("a workbook saved without a password")]);
    }
    let content = file(bytes, "content.xml", size).ok_or_else(|| vec![unreadable(book, "the workbook is damaged")])?;
    let mut sheets = Sheets { book, done: Vec::new(), table: None, row: Row::default(), open: None, room: size.cells(), size };
    sheets.read(&content).map_err(|error| vec![error])?;
    Ok(sheets.done)
}

/// The text of a file in the archive.
fn file(bytes: &[u8], name: &str, size: Size) -> Option<String> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).ok()?;
    let mut content = Vec::new();
    archive.by_name(name).ok()?.take(size.unpacked()).read_to_end(&mut content).ok()?;
    Some(String::from_utf8_lossy(&content).into_owned())
}

/// The sheets as far as they are read.
struct Sheets<'b> {
    book: &'b Arc<str>,
    done: Vec<Table>,
    /// The sheet being read.
    table: Option<Table>,
    /// The row being read.
    row: Row,
    /// The cell being read.
    open: Option<Open>,
    /// Cells that may still come.
    room: usize,
    /// How large the workbook may be.
    size: Size,
}

/// A row, which stands for as many as it is repeated.
#[derive(Default)]
struct Row {
    /// Its number, from 1.
    number: u32,
    times: u32,
    /// The column of the next cell, from 0.
    column: u32,
    /// Its filled cells: column, how often repeated, content.
    cells: Vec<(u32, u32, Cell)>,
}

/// A cell whose text is not yet complete.
#[derive(Default)]
struct Open {
    times: u32,
    /// The value beside the text, as a number, date or truth value has.
    value: Option<String>,
    /// The value is an error.
    error: bool,
    /// It holds a formula whose result was not stored, as the sort of its value is not.
    formula: bool,
    /// It is hidden under a wider cell.
    covered: bool,
    text: String,
}

impl Sheets<'_> {
    fn read(&mut self, content: &str) -> Result<(), Diagnostic> {
        let mut reader = Reader::from_str(content);
        // How deep in something that stands aside.
        let mut aside = 0_usize;
        loop {
            let event =
                reader.read_event().map_err(|error| unreadable(self.book, format!("the workbook cannot be read: {error}")))?;
            match event {
                Event::Start(element) if aside > 0 || self.is_aside(&element) => aside = aside.saturating_add(1),
                Event::End(_) if aside > 0 => aside = aside.saturating_sub(1),
                Event::Eof => return Ok(()),
                _ if aside > 0 => {}
                Event::Start(element) => self.begin(&element),
                Event::Empty(element) if !self.is_aside(&element) => {
                    self.begin(&element);
                    self.end(element.local_name().as_ref())?;
                }
                Event::End(element) => self.end(element.local_name().as_ref())?,
                Event::Text(text) => self.text(&text.xml10_content()),
                Event::CData(text) => self.text(&text.xml10_content()),
                Event::GeneralRef(entity) => self.text(&resolved(&entity)),
                _ => {}
            }
        }
    }

    fn is_aside(&self, element: &BytesStart<'_>) -> bool {
        let name = element.local_name();
        let name = name.as_ref();
        if self.open.is_some() { !TEXT.contains(&name) } else { ASIDE.contains(&name) }
    }

    fn begin(&mut self, element: &BytesStart<'_>) {
        match element.local_name().as_ref() {
            "table" if self.done.len() < limits::SHEETS => {
                self.table = Some(Table::new(self.book, &attribute(element, "name").unwrap_or_default(), self.size));
                self.row = Row::default();
            }
            "table-row" => {
                let number = self.row.number.saturating_add(self.row.times.max(1));
                self.row = Row { number, times: repeated(element, "number-rows-repeated"), ..Row::default() };
            }
            name @ ("table-cell" | "covered-table-cell") => self.open = Some(opened(element, name == "covered-table-cell")),
            // Paragraphs and breaks part words; the blanks at the ends do not count.
            "p" | "h" | "s" | "tab" | "line-break" => self.text(" "),
            _ => {}
        }
    }

    fn text(&mut self, text: &str) {
        if let Some(open) = &mut self.open {
            open.text.push_str(text);
        }
    }

    fn end(&mut self, name: &str) -> Result<(), Diagnostic> {
        match name {
            "table-cell" | "covered-table-cell" => {
                let Some(open) = self.open.take() else { return Ok(()) };
                let (column, times) = (self.row.column, open.times);
                self.row.column = column.saturating_add(times);
                if let Some(cell) = closed(open) {
                    self.row.cells.push((column, times, cell));
                }
            }
            "table-row" => self.put_row()?,
            "table" => self.done.extend(self.table.take()),
            _ => {}
        }
        Ok(())
    }

    fn put_row(&mut self) -> Result<(), Diagnostic> {
        let Some(table) = &mut self.table else { return Ok(()) };
        let cells = std::mem::take(&mut self.row.cells);
        if cells.is_empty() {
            return Ok(());
        }
        for row in (self.row.number..=u32::MAX).take(self.row.times as usize) {
            for (first, times, cell) in &cells {
                for column in (*first..=u32::MAX).take(*times as usize) {
                    self.room = self.room.checked_sub(1).ok_or_else(|| {
                        let what = "the workbook holds more cells than any catalogue";
                        Diagnostic::error(Code::TooLarge, table.place(row, column), what)
                    })?;
                    table.put(row, column, cell.clone())?;
                }
            }
        }
        Ok(())
    }
}

fn opened(element: &BytesStart<'_>, covered: bool) -> Open {
    let sort = attribute(element, "value-type");
    let value = match sort.as_deref() {
        Some("float" | "percentage" | "currency") => attribute(element, "value").map(|value| match value.parse() {
            Ok(exact) => number(exact),
            Err(_) => value,
        }),
        // The day alone, without the time of day.
        Some("date") => attribute(element, "date-value").map(|day| day.split('T').next().unwrap_or_default().to_owned()),
        Some("time") => attribute(element, "time-value"),
        Some("boolean") => attribute(element, "boolean-value").map(|value| if value == "true" { "yes" } else { "no" }.to_owned()),
        _ => attribute(element, "string-value").filter(|value| !value.is_empty()),
    };
    // An error arrives as text, marked in an attribute of the same name in another namespace.
    let error = element
        .attributes()
        .flatten()
        .any(|attribute| attribute.key.local_name().as_ref() == "value-type" && attribute.value.as_ref() == "error");
    let formula = sort.is_none() && attribute(element, "formula").is_some();
    Open { times: repeated(element, "number-columns-repeated"), value, error, formula, covered, text: String::new() }
}

/// What a cell holds; `None` for a blank one.
fn closed(open: Open) -> Option<Cell> {
    let text = open.value.unwrap_or(open.text);
    let blank = text.trim().is_empty();
    match (open.covered, blank) {
        (true, _) => None,
        (false, true) => (open.formula).then_some(Cell::NoValue),
        (false, false) if open.error => Some(Cell::Error(text.trim().to_owned())),
        (false, false) => Some(Cell::Text(text)),
    }
}

/// The value of the first attribute of a name, whatever its namespace is called.
fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = element.attributes().flatten().find(|attribute| attribute.key.local_name().as_ref() == name)?;
    found.normalized_value(XmlVersion::Implicit1_0).ok().map(std::borrow::Cow::into_owned)
}

/// How often a cell or row is repeated.
fn repeated(element: &BytesStart<'_>, name: &str) -> u32 {
    attribute(element, name).and_then(|times| times.parse().ok()).unwrap_or(1).max(1)
}

/// The text of `&amp;`, `&#228;` and their like; nothing for one that is not known.
fn resolved(entity: &BytesRef<'_>) -> String {
    if let Some(text) = resolve_xml_entity(entity.as_ref()) {
        return text.to_owned();
    }
    entity.resolve_char_ref().ok().flatten().map(String::from).unwrap_or_default()
}
