//! Every form tells the same figures, for every verb and example.

use serde_json::Value;
use underboard::report::{Cell, Document, Dress, Table, csv_of_table, table_ids, to_csv, to_json, to_markdown, to_terminal};

use super::figures::{Rounding, same, says};
use super::plans::{DOCUMENTS, tables};
use super::{csv, markdown};

fn each(check: impl Fn(&str, &Document) -> usize) {
    let mut figures = 0;
    for (name, documents) in DOCUMENTS.iter() {
        for document in documents {
            figures += check(&format!("{name}, {}", document.verb), document);
        }
    }
    assert!(figures > 2000, "{figures} figures are few");
}

#[test]
fn markdown_says_what_the_document_says() {
    each(|what, document| {
        let shown = markdown::read(&to_markdown(document));
        let tables: Vec<Table> = tables(document).into_iter().map(Table::told).collect();
        assert_eq!(shown.tables.len(), tables.len(), "{what}");
        tables
            .iter()
            .zip(&shown.tables)
            .map(|(table, read)| {
                assert_eq!(read.rows.len(), table.rows.len(), "{what}: {}", table.id);
                same(table, read, Rounding::Printed)
            })
            .sum()
    });
}

#[test]
fn csv_says_what_the_document_says_to_the_last_digit() {
    each(|what, document| {
        let read: Vec<_> =
            csv::tables(&to_csv(document)).into_iter().filter(|read| !read.above.starts_with("findings")).collect();
        let tables = tables(document);
        assert_eq!(read.len(), tables.len(), "{what}");
        tables
            .iter()
            .zip(&read)
            .map(|(table, read)| {
                assert!(read.above.starts_with(table.id), "{what}: {} is not {}", read.above, table.id);
                same(table, read, Rounding::None)
            })
            .sum()
    });
}

#[test]
fn csv_of_one_table_has_all_rows_of_that_id() {
    for (name, documents) in DOCUMENTS.iter() {
        for document in documents {
            for id in table_ids(document) {
                let rows = csv::rows(&csv_of_table(document, id).unwrap());
                let of_id: Vec<&Table> = tables(document).into_iter().filter(|table| table.id == id).collect();
                let expected: usize = of_id.iter().map(|table| table.rows.len()).sum();
                if id == "findings" {
                    continue;
                }
                let alike = of_id.windows(2).all(|pair| pair[0].columns == pair[1].columns);
                assert!(rows.len() > expected, "{name}, {}, {id}", document.verb);
                if alike {
                    assert_eq!(rows.len(), expected + 1, "{name}, {}, {id}", document.verb);
                    let cells = rows[1..].iter().map(|row| row[1..].iter().map(|cell| csv::shown(cell)).collect::<Vec<_>>());
                    let words = of_id.iter().flat_map(|table| &table.rows);
                    for (cells, row) in cells.zip(words) {
                        for (text, cell) in cells.iter().zip(&row.cells) {
                            if matches!(cell, Cell::Count(_) | Cell::Text(_) | Cell::Flag(_)) {
                                says(text, None, cell, Rounding::None);
                            }
                        }
                    }
                }
            }
            assert_eq!(csv_of_table(document, "no such table"), None);
        }
    }
}

#[test]
fn json_says_what_the_document_says() {
    each(|what, document| {
        let report: Value = serde_json::from_str(&to_json(document)).unwrap();
        let blocks = report["sections"].as_array().unwrap().iter().flat_map(|section| section["blocks"].as_array().unwrap());
        let read: Vec<&Value> = blocks.filter(|block| block["block"] == "table").collect();
        let tables = tables(document);
        assert_eq!(read.len(), tables.len(), "{what}");
        let mut figures = 0;
        for (table, read) in tables.iter().zip(read) {
            for (row, read) in table.rows.iter().zip(read["rows"].as_array().unwrap()) {
                for (cell, head) in row.cells.iter().zip(&table.columns) {
                    let value = &read["values"][&head.id];
                    let text = |key: &str| value[key].as_str().unwrap().to_owned();
                    let (text, unit) = match value["is"].as_str().unwrap() {
                        "missing" => (String::new(), None),
                        "text" => (text("text"), None),
                        "money" => (text("amount"), Some(text("currency"))),
                        "quantity" => (text("amount"), Some(text("unit"))),
                        "hours" => (value["hours"].to_string(), Some("h".to_owned())),
                        "minutes" => (value["minutes"].to_string(), Some("min".to_owned())),
                        "share" => ((value["share"].as_f64().unwrap() * 100.0).to_string(), Some("%".to_owned())),
                        "count" => (value["count"].to_string(), None),
                        "flag" => (if value["flag"] == true { "yes" } else { "no" }.to_owned(), None),
                        other => panic!("{what}: {other}"),
                    };
                    says(&text, unit.as_deref(), cell, Rounding::None);
                    figures += 1;
                }
            }
        }
        figures
    });
}

/// Columns of a table on a page wide enough stand two or more spaces apart.
fn parts(line: &str) -> Vec<String> {
    line.split("  ").map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

#[test]
fn a_wide_terminal_shows_the_cells_that_markdown_shows() {
    each(|what, document| {
        let text = to_terminal(document, Dress { width: 2000, colour: false });
        let mut lines = text.lines();
        let mut figures = 0;
        for read in markdown::read(&to_markdown(document)).tables {
            for row in std::iter::once(&read.headings).chain(&read.rows) {
                let wanted: Vec<String> = row
                    .iter()
                    .map(|cell| cell.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" "))
                    .filter(|cell| !cell.is_empty())
                    .collect();
                let found = lines.by_ref().find(|line| parts(line) == wanted);
                assert!(found.is_some(), "{what}: no line of {wanted:?}");
                figures += wanted.len();
            }
        }
        figures
    });
}

#[test]
fn no_figure_is_lost_however_narrow_the_terminal() {
    each(|what, document| {
        let read = markdown::read(&to_markdown(document)).tables;
        let mut figures = 0;
        for width in [40, 60, 80, 120, 200] {
            let text = to_terminal(document, Dress { width, colour: false });
            let shown: std::collections::BTreeSet<&str> = text.split_whitespace().collect();
            for (table, read) in tables(document).into_iter().map(Table::told).zip(&read) {
                for (row, texts) in table.rows.iter().zip(&read.rows) {
                    for ((cell, text), head) in row.cells.iter().zip(texts).zip(&table.columns) {
                        if head.is_detail || matches!(cell, Cell::Text(_) | Cell::Missing) {
                            continue;
                        }
                        let figure = text.split(' ').next().unwrap();
                        assert!(shown.contains(figure), "{what} at {width}: {figure} of {} is lost", table.id);
                        figures += 1;
                    }
                }
            }
        }
        figures
    });
}
