//! A sheet with its columns found.

use std::collections::BTreeMap;

use super::field::{Field, Written, nearest_unit};
use super::form::{Column, FORMS, Form};
use super::log::Log;
use crate::catalogue::sheet::{Cell, Table};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::name::nearest;
use crate::quantity::{unit_dimension, unit_symbols};

/// Where a column stands, and the unit of its heading.
#[derive(Debug, Clone)]
struct Found {
    column: Column,
    at: u32,
    unit: Option<String>,
}

/// A sheet with its columns found.
#[derive(Debug, Clone)]
pub(super) struct Page<'t> {
    table: &'t Table,
    columns: BTreeMap<&'static str, Found>,
}

/// A row of a page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row<'p> {
    page: &'p Page<'p>,
    number: u32,
    cells: &'p BTreeMap<u32, Cell>,
}

/// The pages of all sheets that are there; every sheet and column that is missing is told of.
pub(super) fn pages<'t>(tables: &'t [Table], book: &Place, log: &mut Log) -> BTreeMap<&'static str, Page<'t>> {
    let mut pages = BTreeMap::new();
    let strangers: Vec<&str> = tables
        .iter()
        .map(|table| &*table.sheet)
        .filter(|name| !FORMS.iter().any(|form| form.sheet.eq_ignore_ascii_case(name)))
        .collect();
    for form in FORMS {
        let mut found = tables.iter().filter(|table| table.sheet.eq_ignore_ascii_case(form.sheet));
        let Some(table) = found.next() else {
            missing(form, &strangers, tables, book, log);
            continue;
        };
        if let Some(second) = found.next() {
            let what = format!("there are two sheets `{}`", form.sheet);
            log.push(Diagnostic::error(Code::DuplicateKey, second.whole(), what));
        }
        for notice in &table.notices {
            log.push(notice.clone());
        }
        pages.insert(form.sheet, Page::new(table, form, log));
    }
    pages
}

/// Tells of a sheet that is not there; of an optional one only where another is named almost like it.
fn missing(form: Form, strangers: &[&str], tables: &[Table], book: &Place, log: &mut Log) {
    let near = nearest(form.sheet, strangers.iter().copied());
    if form.needed {
        let what = format!("the sheet `{}` is missing", form.sheet);
        let mut error = Diagnostic::error(Code::MissingSheet, book.clone(), what);
        if !tables.is_empty() {
            let names: Vec<&str> = tables.iter().map(|table| &*table.sheet).take(20).collect();
            error = error.found(format!("the sheets {}", names.join(", ")));
        }
        error = error.expected(format!("a sheet `{0}`, in a folder the file {0}.csv", form.sheet));
        error.nearest = near;
        log.push(error);
    } else if let [near] = near.as_slice() {
        let what = format!("the sheet `{near}` is passed over; the sheet that is read is `{}`", form.sheet);
        log.push(Diagnostic::notice(Code::MissingSheet, book.clone(), what).found(near.as_str()).expected(form.sheet));
    }
}

impl<'t> Page<'t> {
    fn new(table: &'t Table, form: Form, log: &mut Log) -> Self {
        let mut page = Self { table, columns: BTreeMap::new() };
        let mut strangers = Vec::new();
        for (&at, heading) in &table.headings {
            match recognise(form, heading) {
                Some((column, unit)) => page.take(column, unit, at, heading, log),
                None => strangers.push((at, heading.as_str())),
            }
        }
        let absent: Vec<Column> = form.columns().filter(|column| !page.has(column.name)).collect();
        for (at, heading) in &strangers {
            let what = format!("the column `{heading}` is passed over");
            let mut notice = Diagnostic::notice(Code::UnknownColumn, table.place(1, *at), what).found(*heading);
            notice.nearest = nearest(&bare(heading).0.to_lowercase(), absent.iter().map(|column| column.name));
            log.push(notice);
        }
        for column in absent.iter().filter(|column| column.needed) {
            let what = format!("the column `{}` is missing", column.name);
            let mut error = Diagnostic::error(Code::MissingColumn, table.whole(), what);
            let headings: Vec<&str> = table.headings.values().map(String::as_str).take(40).collect();
            if headings.is_empty() {
                error = error.found("no headings in row 1");
            } else {
                error = error.found(format!("the headings {}", headings.join(", ")));
            }
            error.nearest = nearest(column.name, strangers.iter().map(|(_, heading)| bare(heading).0));
            log.push(error.expected(format!("a heading `{}` in row 1", written(*column))));
        }
        page
    }

    /// Takes a column whose heading was recognised, with its unit checked.
    fn take(&mut self, column: Column, unit: Option<&str>, at: u32, heading: &str, log: &mut Log) {
        let place = self.table.place(1, at);
        let mut unit = unit.map(str::to_owned);
        if let (Some(written), Some(dimension)) = (unit.clone(), column.measures)
            && unit_dimension(&written) != Some(dimension)
        {
            let symbols: Vec<&str> = unit_symbols(dimension).collect();
            let what = format!("`{written}` is no unit of {}", dimension.name());
            let mut error = Diagnostic::error(Code::WrongUnit, place.clone(), what).found(heading);
            error.nearest = nearest_unit(&written, dimension);
            log.push(error.expected(format!("one of {}", symbols.join(", "))));
            // The cells are read all the same, so as not to tell of each that its unit is wrong.
            unit = Some(dimension.base_symbol().to_owned());
        }
        if self.has(column.name) {
            let what = format!("there are two columns `{}`", column.name);
            log.push(Diagnostic::error(Code::DuplicateKey, place, what).found(heading).expected("each column once"));
            return;
        }
        self.columns.insert(column.name, Found { column, at, unit });
    }

    /// Whether the column is there.
    pub(super) fn has(&self, column: &str) -> bool {
        self.columns.contains_key(column)
    }

    /// The rows that hold anything in a column that is read, from the top.
    pub(super) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.table.rows.iter().map(|(&number, cells)| Row { page: self, number, cells }).filter(|row| !row.is_blank())
    }

    /// The place of the whole sheet.
    pub(super) fn whole(&self) -> Place {
        self.table.whole()
    }
}

impl<'p> Row<'p> {
    /// The place of the row.
    pub(super) fn place(&self) -> Place {
        self.page.table.place(self.number, 0)
    }

    /// The cell of a column.
    pub(super) fn field(&self, column: &'static str) -> Field<'p> {
        let found = self.page.columns.get(column);
        let written = match found.map(|found| self.cells.get(&found.at)) {
            None => Written::NoColumn,
            Some(None) => Written::Blank,
            Some(Some(Cell::Text(text))) => Written::Text(text),
            Some(Some(Cell::Error(error))) => Written::Error(error),
            Some(Some(Cell::NoValue)) => Written::NoValue,
        };
        Field {
            written,
            place: self.page.table.place(self.number, found.map_or(0, |found| found.at)),
            column,
            unit: found.and_then(|found| found.unit.as_deref()),
            comma: self.page.table.comma,
            needed: found.is_some_and(|found| found.column.needed),
            because: None,
        }
    }

    /// Whether the row holds nothing in the columns read.
    fn is_blank(&self) -> bool {
        !self.page.columns.values().any(|found| self.cells.contains_key(&found.at))
    }
}

/// The column a heading means, and the unit it holds.
fn recognise(form: Form, heading: &str) -> Option<(Column, Option<&str>)> {
    let whole = heading.to_lowercase();
    if let Some(column) = form.columns().find(|column| column.name == whole) {
        return Some((column, None));
    }
    let (name, unit) = bare(heading);
    let name = name.to_lowercase();
    form.columns().find(|column| column.measures.is_some() && column.name == name).map(|column| (column, unit))
}

/// A heading without the unit in round brackets at its end, and that unit.
fn bare(heading: &str) -> (&str, Option<&str>) {
    let split = heading.strip_suffix(')').and_then(|heading| heading.rsplit_once('('));
    split.map_or((heading, None), |(name, unit)| (name.trim(), Some(unit.trim())))
}

/// A heading as it should be written.
fn written(column: Column) -> String {
    match column.measures.and_then(|dimension| unit_symbols(dimension).next()) {
        Some(_) if column.name == "low" || column.name == "likely" || column.name == "high" => format!("{} (min)", column.name),
        Some(unit) => format!("{} ({unit})", column.name),
        None => column.name.to_owned(),
    }
}
