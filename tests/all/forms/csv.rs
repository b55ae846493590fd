//! Reads CSV as a spreadsheet would.

use super::Read;

/// All rows of a CSV text.
///
/// # Panics
/// It is not by RFC 4180: rows of unlike length, or lines that end otherwise than in CR LF. Or a cell would be run as a formula.
pub(crate) fn rows(text: &str) -> Vec<Vec<String>> {
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    assert!(text.ends_with("\r\n"));
    let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let rows: Vec<Vec<String>> = reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
    for cell in rows.iter().flatten() {
        let runs = cell.trim_start().starts_with(['=', '+', '-', '@', '\t', '\r']);
        assert!(!runs || cell.parse::<f64>().is_ok(), "{cell:?} would be run");
    }
    rows
}

/// The tables of a whole report, and above each its id and title. The rows below a table that are as empty as words are belong to no table.
pub(crate) fn tables(text: &str) -> Vec<Read> {
    let mut tables: Vec<Read> = Vec::new();
    let mut open = false;
    for row in rows(text) {
        let row: Vec<String> = row.into_iter().map(|cell| shown(&cell)).collect();
        if row.iter().all(String::is_empty) {
            open = false;
        } else if row[0] == "Table" && !row[1].is_empty() {
            let above = row[1..].join(" ").trim_end().to_owned();
            tables.push(Read { above, ..Read::default() });
            open = true;
        } else if let Some(table) = tables.last_mut().filter(|_| open) {
            if table.headings.is_empty() { table.headings = row } else { table.rows.push(row) }
        }
    }
    tables
}

/// The cell as a person sees it in a spreadsheet, the mark of a text gone.
pub(crate) fn shown(cell: &str) -> String {
    match cell.strip_prefix('\'') {
        Some(text) if text.trim_start_matches([' ', '\'']).starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']) => {
            text.to_owned()
        }
        _ => cell.to_owned(),
    }
}
