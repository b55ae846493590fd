//! Workbooks of the form `.ods`, by the words of ISO/IEC 26300.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use underboard::catalogue::{Catalogue, from_workbook};
use underboard::diagnostic::{Code, Diagnostic};

use super::packed;
use crate::support::{BOOK, SMALL, catalogue, show};

/// A workbook with such sheets, each the XML of its rows.
fn workbook(sheets: &[(&str, String)]) -> Vec<u8> {
    let mut content = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content><office:body><office:spreadsheet>\
         <table:tracked-changes><table:table-cell><text:p>an old value</text:p></table:table-cell></table:tracked-changes>",
    );
    for (name, rows) in sheets {
        let _ = write!(content, "<table:table table:name=\"{name}\"><table:shapes><text:p>a drawing</text:p></table:shapes>");
        let _ = write!(content, "<table:table-column/>{rows}</table:table>");
    }
    content.push_str("</office:spreadsheet></office:body></office:document-content>");
    packed(&[
        ("mimetype".to_owned(), b"application/vnd.oasis.opendocument.spreadsheet".to_vec()),
        ("content.xml".to_owned(), content.into_bytes()),
        ("META-INF/manifest.xml".to_owned(), b"<manifest:manifest/>".to_vec()),
    ])
}

fn text(cell: &str) -> String {
    let escaped = cell.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&#62;");
    format!("<table:table-cell office:value-type=\"string\"><text:p>{escaped}</text:p></table:table-cell>")
}

/// A cell as a spreadsheet program writes it: blank, a number, or text.
fn cell(written: &str) -> String {
    if written.is_empty() {
        "<table:table-cell/>".to_owned()
    } else if written.parse::<f64>().is_ok() && !written.starts_with("00") {
        format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{written}\"><text:p>shown</text:p></table:table-cell>"
        )
    } else {
        text(written)
    }
}

fn rows(table: &str) -> Vec<Vec<String>> {
    let lines = table.lines().map(str::trim_start).filter(|line| !line.is_empty());
    lines.map(|line| line.split(',').map(cell).collect()).collect()
}

fn xml(rows: &[Vec<String>]) -> String {
    rows.iter().map(|cells| format!("<table:table-row>{}</table:table-row>", cells.concat())).collect()
}

/// The small catalogue as a workbook, with the rows of one sheet edited.
fn small(sheet: &str, edit: impl Fn(&mut Vec<Vec<String>>)) -> Result<Catalogue, Vec<Diagnostic>> {
    let sheets: Vec<(&str, String)> = SMALL
        .iter()
        .map(|(name, table)| {
            let mut rows = rows(table);
            if *name == sheet {
                edit(&mut rows);
            }
            (*name, xml(&rows))
        })
        .collect();
    from_workbook(BOOK, &workbook(&sheets))
}

fn right(read: Result<Catalogue, Vec<Diagnostic>>) -> Catalogue {
    read.unwrap_or_else(|errors| panic!("{}", errors.iter().map(show).collect::<Vec<_>>().join("\n")))
}

fn first_error(read: Result<Catalogue, Vec<Diagnostic>>) -> (Code, String, Option<String>) {
    let error = read.unwrap_err().remove(0);
    (error.code, error.place.to_string(), error.found)
}

#[test]
fn the_same_content_makes_the_same_catalogue() {
    assert_eq!(right(small("", |_| {})), catalogue(SMALL));
}

#[test]
fn cells_of_every_sort_are_read_as_a_person_sees_them() {
    let valued = |attributes: &str| format!("<table:table-cell {attributes}><text:p>as shown</text:p></table:table-cell>");
    let read = small("Offers", |rows| {
        rows[1][6] = valued("office:value-type=\"date\" office:date-value=\"2024-05-01T00:00:00\"");
        rows[1][4] = valued("office:value-type=\"currency\" office:currency=\"EUR\" office:value=\"4.2\"");
    });
    assert_eq!(right(read), catalogue(SMALL));
    let read = small("Rates", |rows| {
        rows[2][1] = valued("office:value-type=\"percentage\" office:value=\"0.2\"");
        rows[10][1] = valued("office:value-type=\"float\" office:value=\"0.30000000000000004\"");
    });
    assert_eq!(right(read), catalogue(SMALL));
    let read = small("Kinds", |rows| {
        rows[8][6] = valued("office:value-type=\"boolean\" office:boolean-value=\"true\"");
        rows[1][6] = valued("office:value-type=\"boolean\" office:boolean-value=\"false\"");
        rows[1][2] =
            "<table:table-cell office:value-type=\"string\"><office:annotation><text:p>a note</text:p></office:annotation>\
                      <text:p><text:span>mo</text:span>tor</text:p></table:table-cell>"
                .to_owned();
    });
    assert_eq!(right(read), catalogue(SMALL));
}

#[test]
fn text_of_several_paragraphs_is_parted_by_a_blank() {
    let read = small("Parts", |rows| {
        rows[1][2] =
            "<table:table-cell office:value-type=\"string\"><text:p>Small &amp; good</text:p><text:p>mo<text:s text:c=\"3\"/>tor\
                      </text:p></table:table-cell>"
                .to_owned();
    });
    assert_eq!(right(read).parts[0].title, "Small & good mo tor");
}

#[test]
fn blank_stretches_count_in_the_names_of_cells_and_filled_ones_are_repeated() {
    let blank_rows =
        "<table:table-row table:number-rows-repeated=\"7\"><table:table-cell table:number-columns-repeated=\"1024\"/>";
    let error = small("Offers", |rows| {
        rows[3][0].insert_str(0, &format!("</table:table-row>{blank_rows}</table:table-row><table:table-row>"));
        rows[3][4] = text("ask");
    });
    assert_eq!(first_error(error), (Code::WrongMoney, "small book › Offers › E12".to_owned(), Some("ask".to_owned())));
    let read = small("Turnouts", |rows| {
        rows[1] = vec![text("plain"), cell("1").replace("table-cell ", "table-cell table:number-columns-repeated=\"3\" ")];
    });
    assert_eq!(right(read), catalogue(SMALL));
}

#[test]
fn a_formula_without_a_result_and_an_error_are_told() {
    let formula = |rest: &str| format!("<table:table-cell table:formula=\"of:=3/2\" {rest}</table:table-cell>");
    let without = small("Offers", |rows| rows[3][4] = formula(">"));
    let place = "small book › Offers › E4".to_owned();
    assert_eq!(first_error(without), (Code::NoValue, place.clone(), Some("a formula without a result".to_owned())));
    let error = small("Offers", |rows| {
        rows[3][4] = formula(
            "office:value-type=\"string\" office:string-value=\"\" calcext:value-type=\"error\"><text:p>#DIV/0!</text:p>",
        );
    });
    assert_eq!(first_error(error), (Code::NoValue, place, Some("#DIV/0!".to_owned())));
    let stored = small("Offers", |rows| rows[3][4] = formula("office:value-type=\"float\" office:value=\"1.5\">"));
    assert_eq!(right(stored), catalogue(SMALL));
    let empty = small("Offers", |rows| rows[3][2] = formula("office:value-type=\"string\" office:string-value=\"\">"));
    assert_eq!(right(empty), catalogue(SMALL));
}

#[test]
fn what_asks_to_be_repeated_beyond_measure_is_refused_quickly() {
    let begun = Instant::now();
    let filled = "<table:table-row table:number-rows-repeated=\"1048576\">\
                  <table:table-cell table:number-columns-repeated=\"16384\" office:value-type=\"float\" office:value=\"1\"/></table:table-row>";
    let book = workbook(&[("Kinds", filled.to_owned())]);
    assert!(book.len() < 2_000);
    assert_eq!(first_error(from_workbook(BOOK, &book)).0, Code::TooLarge);
    let blank = "<table:table-row table:number-rows-repeated=\"4294967295\"><table:table-cell table:number-columns-repeated=\"4294967295\"/>\
                 </table:table-row>";
    let far = format!(
        "{blank}{blank}<table:table-row><table:table-cell table:number-columns-repeated=\"4294967295\"/>{}</table:table-row>",
        text("x")
    );
    assert_eq!(first_error(from_workbook(BOOK, &workbook(&[("Kinds", far)]))).0, Code::TooLarge);
    assert!(begun.elapsed() < Duration::from_secs(20));
}

#[test]
fn a_locked_and_a_damaged_workbook_are_told_apart() {
    let file = |name: &str, text: &str| (name.to_owned(), text.as_bytes().to_vec());
    let locked = [
        file("content.xml", "\u{1}\u{2}"),
        file("META-INF/manifest.xml", "<manifest:file-entry><manifest:encryption-data/></manifest:file-entry>"),
    ];
    let told = |files: &[(String, Vec<u8>)]| from_workbook(BOOK, &packed(files)).unwrap_err().remove(0).what;
    assert_eq!(told(&locked), "the workbook is locked with a password");
    let damaged = told(&[file("content.xml", "<table:table></table:row>")]);
    assert!(damaged.starts_with("the workbook cannot be read: "), "{damaged}");
}
