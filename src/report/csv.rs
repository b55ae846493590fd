//! CSV by RFC 4180, for spreadsheets and scripts: figures are raw, with their unit in the heading or beside them. No cell can be
//! run as a formula.

use csv::{Terminator, WriterBuilder};

use super::document::{Block, Cell, ColumnHead, Document, Row, Section, Table, UnitsBy};
use super::figures::{Figures, sentence};
use super::plain::harmless;
use super::text_table::TextTable;
use crate::finding::{Finding, Mend};

/// The whole document: its headings and sentences in rows of their own, and each table between, after a row that gives its id.
pub fn to_csv(document: &Document) -> String {
    let mut sheet = Sheet::default();
    sheet.words(&document.title);
    document.notices.iter().for_each(|notice| sheet.words(notice));
    for section in &document.sections {
        sheet.gap();
        sheet.words(&section.heading);
        for (at, block) in section.blocks.iter().enumerate() {
            if at > 0 {
                sheet.gap();
            }
            match block {
                Block::Text(prose) => sheet.words(&sentence(prose)),
                Block::List(items) => items.iter().for_each(|item| sheet.words(&sentence(item))),
                Block::Table(table) => sheet.named(table),
                Block::Findings(found) => sheet.named(&findings(found)),
                Block::Picture(picture) => sheet.named(&picture.data()),
            }
        }
    }
    sheet.text()
}

/// The tables with an id, as one: headings, then rows, each with the title of its table or section in front. `None` where there is
/// none; [`table_ids`] gives those there are.
pub fn csv_of_table(document: &Document, id: &str) -> Option<String> {
    let mut sheet = Sheet::default();
    let mut alike: Vec<Table> = Vec::new();
    for (section, table) in tables(document).into_iter().filter(|(_, table)| table.id == id) {
        let table = placed(section, table);
        match alike.last_mut() {
            Some(last) if last.columns == table.columns => last.rows.extend(table.rows),
            _ => alike.push(table),
        }
    }
    alike.iter().for_each(|table| sheet.table(table));
    (!alike.is_empty()).then(|| sheet.text())
}

/// The orders of a shopping list, a text for each supplier: the table alone, as [`csv_of_table`] gives it, after the mark by which
/// spreadsheet programs know UTF-8.
pub fn csv_of_orders(document: &Document) -> Vec<String> {
    let orders = tables(document).into_iter().filter(|(_, table)| table.id == "order");
    let text = |(section, table)| {
        let mut sheet = Sheet::default();
        sheet.table(&placed(section, table));
        format!("\u{feff}{}", sheet.text())
    };
    orders.map(text).collect()
}

/// The ids of a document's tables, each once, in their order. Findings are a table too.
pub fn table_ids(document: &Document) -> Vec<&'static str> {
    let mut ids: Vec<&str> = Vec::new();
    for (_, table) in tables(document) {
        if !ids.contains(&table.id) {
            ids.push(table.id);
        }
    }
    ids
}

/// All tables, with the section of each.
fn tables(document: &Document) -> Vec<(&Section, Table)> {
    let blocks = document.sections.iter().flat_map(|section| section.blocks.iter().map(move |block| (section, block)));
    let tables = blocks.filter_map(|(section, block)| match block {
        Block::Table(table) => Some((section, table.clone())),
        Block::Findings(found) => Some((section, findings(found))),
        Block::Picture(picture) => Some((section, picture.data())),
        Block::Text(_) | Block::List(_) => None,
    });
    tables.collect()
}

/// The table with a first column that says where it stands.
fn placed(section: &Section, mut table: Table) -> Table {
    let name = if table.title.is_empty() { &section.heading } else { &table.title };
    table.rows.iter_mut().for_each(|row| row.cells.insert(0, name.into()));
    table.columns.insert(0, ColumnHead::words("table", "Table"));
    table
}

/// Findings as a table: a row for each way to mend one.
fn findings(findings: &[Finding]) -> Table {
    let row = |finding: &Finding, mend: Option<&Mend>| {
        let price = mend.and_then(|mend| mend.price);
        let in_sum = mend.filter(|_| price.is_some()).map(|mend| Cell::from(mend.is_in_the_sum()));
        Row::of([
            Cell::from(finding.code),
            finding.weight.word().into(),
            (&finding.what).into(),
            finding.seen.as_deref().into(),
            mend.map(|mend| mend.text.as_str()).into(),
            price.into(),
            in_sum.unwrap_or(Cell::Missing),
        ])
    };
    let rows = findings.iter().flat_map(|finding| match finding.mends.as_slice() {
        [] => vec![row(finding, None)],
        mends => mends.iter().map(|mend| row(finding, Some(mend))).collect(),
    });
    let columns = [
        ColumnHead::words("code", "Code"),
        ColumnHead::words("weight", "Weight"),
        ColumnHead::words("what", "What"),
        ColumnHead::words("seen", "You would see"),
        ColumnHead::words("mend", "To mend it"),
        ColumnHead::number("price", "Its price"),
        ColumnHead::words("in_sum", "In the sum already"),
    ];
    Table::new("findings", "", columns).rows(rows)
}

/// Rows of cells as they are gathered.
#[derive(Default)]
struct Sheet(Vec<Vec<String>>);

impl Sheet {
    /// An empty row.
    fn gap(&mut self) {
        self.0.push(Vec::new());
    }

    fn words(&mut self, text: &str) {
        self.0.push(vec![safe(harmless(text))]);
    }

    /// A table after a row that gives its id and title, with its note below.
    fn named(&mut self, table: &Table) {
        let mut name = vec!["Table".to_owned(), table.id.to_owned()];
        if !table.title.is_empty() {
            name.push(safe(harmless(&table.title)));
        }
        self.0.push(name);
        self.table(table);
        if let Some(note) = &table.note {
            self.words(note);
        }
    }

    fn table(&mut self, table: &Table) {
        let text = TextTable::of(table, Figures::Raw);
        // One column holds what a title or a row's name says elsewhere.
        let units = (table.units == UnitsBy::Row).then_some(text.unit).flatten();
        let heading = |(at, heading): (usize, String)| match (at, units) {
            (0, Some(unit)) => safe(format!("{heading} ({unit})")),
            _ => safe(heading),
        };
        self.0.push(text.headings.into_iter().enumerate().map(heading).collect());
        self.0.extend(text.rows.into_iter().map(|row| row.into_iter().map(safe).collect()));
    }

    /// As text; all rows are as long as the longest.
    fn text(self) -> String {
        let width = self.0.iter().map(Vec::len).max().unwrap_or(0).max(1);
        let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
        for mut row in self.0 {
            row.resize(width, String::new());
            // Writing to memory cannot fail.
            drop(writer.write_record(&row));
        }
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }
}

/// The cell as one that no spreadsheet runs: what is no number and begins as a formula does gets an apostrophe in front. So does what has
/// apostrophes there already, so that one too many is always ours.
fn safe(cell: String) -> String {
    let cell = cell.replace('\u{a0}', " ");
    let begins = cell.trim_start_matches([' ', '\'']).starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if begins && !is_number(&cell) { format!("'{cell}") } else { cell }
}

/// Whether it is a plain decimal number.
fn is_number(cell: &str) -> bool {
    let digits = cell.strip_prefix('-').unwrap_or(cell);
    digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.')
        && digits.matches('.').count() <= 1
}
