//! The workbook of `shop --to`, read back by `calamine`: what is stored is what the document says, and only our own formulas run.

use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};
use underboard::report::{Block, Cell, ColumnHead, Document, Row, Section, Table, to_workbook};

use super::Read;
use super::figures::{Rounding, same};
use super::plans::{DOCUMENTS, tables};

type Book = Xlsx<Cursor<Vec<u8>>>;

fn open(document: &Document) -> Book {
    Xlsx::new(Cursor::new(to_workbook(document).unwrap())).unwrap()
}

/// A sheet's values as text.
fn values(book: &mut Book, sheet: &str) -> Vec<Vec<String>> {
    let range = book.worksheet_range(sheet).unwrap();
    range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
}

/// The table on a sheet whose headings begin with some words, its first column after `skip` others.
fn table(values: &[Vec<String>], first: &str, skip: usize, rows: usize) -> Read {
    let at = values.iter().position(|row| row.get(skip).is_some_and(|cell| cell == first)).unwrap();
    let cut = |row: &Vec<String>| row[skip..].to_vec();
    Read { above: String::new(), headings: cut(&values[at]), rows: values[at + 1..=at + rows].iter().map(cut).collect() }
}

#[test]
fn what_is_stored_is_what_the_document_says() {
    let mut figures = 0;
    for (name, documents) in DOCUMENTS.iter() {
        let shop = documents.iter().find(|document| document.verb == "shop").unwrap();
        let mut book = open(shop);
        let names = book.sheet_names();
        assert_eq!(names[..2], ["All orders", "All parts"], "{name}");
        let orders: Vec<&Table> = tables(shop).into_iter().filter(|table| table.id == "order").collect();
        for (order, sheet) in orders.iter().zip(&names[2..]) {
            let read = table(&values(&mut book, sheet), "Part", 1, order.rows.len());
            figures += same(order, &read, Rounding::None);
        }
        let overall = tables(shop).into_iter().find(|table| table.id == "orders").unwrap();
        let read = table(&values(&mut book, "All orders"), "Supplier", 0, overall.rows.len());
        figures += same(overall, &read, Rounding::None);
        let lines: usize = orders.iter().map(|order| order.rows.iter().filter(|row| !row.is_total).count()).sum();
        let all = values(&mut book, "All parts");
        assert_eq!(all.iter().filter(|row| row[0] == "☐").count(), lines, "{name}");
    }
    assert!(figures > 300, "{figures}");
}

#[test]
fn every_sum_is_a_formula_and_the_same_bytes_come_again() {
    for (name, documents) in DOCUMENTS.iter() {
        let shop = documents.iter().find(|document| document.verb == "shop").unwrap();
        assert_eq!(to_workbook(shop).unwrap(), to_workbook(shop).unwrap(), "{name}");
        let mut book = open(shop);
        for order in book.sheet_names().split_off(2).into_iter().filter(|sheet| sheet.starts_with(char::is_numeric)) {
            let formulas = book.worksheet_formula(&order).unwrap();
            let all: Vec<&str> =
                formulas.cells().map(|(.., formula)| formula.as_str()).filter(|formula| !formula.is_empty()).collect();
            let sums = all.iter().filter(|formula| formula.starts_with("SUM(")).count();
            let lines = all.iter().filter(|formula| formula.starts_with("ROUND(")).count();
            assert_eq!(sums, 2, "{name}, {order}: goods and to pay in {all:?}");
            assert!(lines > 0, "{name}, {order}");
        }
        let overall = book.worksheet_formula("All orders").unwrap();
        assert!(overall.cells().any(|(.., formula)| formula.contains('!')), "{name}");
    }
}

/// A shopping list whose every word is `text`.
fn list(text: &str) -> Document {
    let price = underboard::money::Money::from_minor(125, underboard::money::Currency::from_code("EUR").unwrap());
    let order = Table::new(
        "order",
        text,
        [
            ColumnHead::words("part", "Part"),
            ColumnHead::words("code", "Their code"),
            ColumnHead::number("pack", "Pack of"),
            ColumnHead::number("packs", "Packs"),
            ColumnHead::number("parts", "Parts"),
            ColumnHead::number("price", "A pack"),
            ColumnHead::number("total", "Line"),
        ],
    )
    .rows([
        Row::of([text.into(), text.into(), Cell::Count(1), Cell::Count(1), Cell::Count(1), price.into(), price.into()]),
        Row::total([Cell::from(text), Cell::Missing, Cell::Missing, Cell::Missing, Cell::Missing, Cell::Missing, price.into()])
            .named("goods"),
    ]);
    let orders = Table::new("orders", text, [ColumnHead::words("supplier", "Supplier"), ColumnHead::number("goods", "Goods")])
        .rows([Row::of([Cell::from(text), price.into()])])
        .note(text);
    Document {
        verb: "shop",
        title: text.to_owned(),
        notices: vec![text.to_owned()],
        sections: vec![
            Section::new("order", text, [Block::Table(order)]),
            Section::new("total", text, [Block::Table(orders), Block::text(text)]),
            Section::new("stock", text, [Block::text(text)]),
        ],
        falls_short: false,
    }
}

#[test]
fn no_text_becomes_a_formula_and_every_text_is_there() {
    let seen = |text: &str| underboard::report::harmless(text).replace('\u{a0}', " ");
    for text in super::any_text::TEXTS.iter().map(|text| (*text).to_owned()).chain([
        "x".repeat(200),
        "ש".repeat(200),
        "_x0041_".to_owned(),
    ]) {
        let mut book = open(&list(&text));
        let names = book.sheet_names();
        let mut found = 0;
        for name in &names {
            let formulas = book.worksheet_formula(name).unwrap();
            for (.., formula) in formulas.cells().filter(|(.., formula)| !formula.is_empty()) {
                let ours = formula.starts_with("SUM(")
                    || formula.starts_with("ROUND(")
                    || formula.contains('!')
                    || formula.contains('*');
                assert!(ours, "{text:?}: {formula}");
                assert!(!formula.contains("1+1"), "{text:?}: {formula}");
            }
            found += values(&mut book, name).iter().flatten().filter(|cell| **cell == seen(&text)).count();
        }
        assert!(text.is_empty() || found >= 8, "{text:?}: {found} in {names:?}");
    }
}
