//! The starter: its workbook is built from its tables, and both say the same.
//!
//! `UPDATE_STARTER=1 cargo test --test all starter` writes `catalogue/starter.xlsx` anew; without the switch a workbook that is not
//! what the tables make is a failure.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

use calamine::{Data, Reader, Xlsx};
use rust_decimal::Decimal;
use rust_xlsxwriter::{
    Color, DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook,
    Worksheet,
};
use underboard::catalogue::{CostGroup, Per, Role, Stage, Starter, Word, from_folder, from_starter, from_workbook, starter};

use crate::support::show;

/// The sheet in front of the workbook, which is not read.
const FRONT: &str = "Read me";

/// What the sheet in front says.
const WELCOME: &[&str] = &[
    "A catalogue to start from",
    "Every supplier, part, code and price in this workbook is invented. Put in your own before you buy anything.",
    "",
    "Each sheet is a table with its headings in row 1. Columns may stand in any order; columns and sheets of your own are passed over.",
    "A unit stands in the heading, in round brackets; a cell may hold another unit of the same sort, such as 1.2 m under length (mm).",
    "Formulas are welcome: save the workbook in a spreadsheet program, so that their results are stored with it.",
    "",
    "Rates        currency, tax, exchange, and constants of the sums",
    "Schemes      ways of driving; a blank cell takes the value of the scheme named under like",
    "Kinds        what can be needed, and by what its parts are matched",
    "Parts        things that can serve, with what they are able to do",
    "Suppliers    who sells, with postage, in which currency, tax in or out",
    "Offers       the price of a pack of a part at a supplier, and from how many packs it holds",
    "Stock        what you have already",
    "Assemblies   the parts that go with each drive, lever, frog, joint and so on",
    "Tasks        the minutes that go with each of them: if all goes well, most likely, and if it does not",
    "Turnouts     how many drives, frogs and levers each kind of turnout has",
    "",
    "Mains voltage stays inside a certified, enclosed supply. Local codes and licensed practice come first.",
];

/// Columns whose cells are text even where they look like numbers.
const TEXTS: [&str; 4] = ["their code", "size", "colour", "title"];

/// Words offered in a cell, by sheet and column.
fn words(sheet: &str, column: &str) -> Vec<&'static str> {
    match (sheet, column) {
        ("Kinds", "role") => Role::ALL.iter().map(|word| word.word()).collect(),
        ("Assemblies" | "Tasks", "per") => Per::ALL.iter().map(|word| word.word()).collect(),
        ("Tasks", "stage") => Stage::ALL.iter().map(|word| word.word()).collect(),
        ("Suppliers", "tax") => vec!["in", "out"],
        ("Kinds", "spares") | ("Schemes", "offered" | "stored") => vec!["yes", "no"],
        ("Schemes", "wiring") => vec!["direct", "local", "none"],
        ("Schemes", "draw") => vec!["pulse", "move", "hold", "none"],
        ("Schemes", "over-centre spring") => vec!["kept", "removed"],
        ("Schemes", "lever") => vec!["momentary", "maintained", "reversing", "by hand"],
        ("Schemes" | "Parts", "waveform") => vec!["AC", "DC"],
        ("Turnouts", "frog follows") => vec!["own", "other", "neighbour"],
        _ => Vec::new(),
    }
}

/// A number that a spreadsheet would print as it is written: not `007`, not `1e3`.
fn number(text: &str) -> Option<Decimal> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let padded = digits.len() > 1 && digits.starts_with('0') && !digits.starts_with("0.");
    let plain = !digits.is_empty() && !padded && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    plain.then(|| Decimal::from_str_exact(text).ok()).flatten()
}

fn rows(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// Builds the workbook from the tables: the same bytes each time.
fn build(starter: Starter) -> Vec<u8> {
    let mut workbook = Workbook::new();
    let made = ExcelDateTime::from_ymd(2000, 1, 1).unwrap();
    workbook
        .set_properties(&DocProperties::new().set_title("Starter catalogue, all prices invented").set_creation_datetime(&made));
    front(workbook.add_worksheet());
    for (file, text) in starter.tables {
        let sheet = file.trim_end_matches(".csv");
        fill(workbook.add_worksheet().set_name(sheet).unwrap(), sheet, &rows(text));
    }
    workbook.save_to_buffer().unwrap()
}

fn front(sheet: &mut Worksheet) {
    let plain = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    sheet.set_name(FRONT).unwrap().set_column_width(0, 110).unwrap().set_tab_color(Color::RGB(0xC0_50_4D));
    for (row, line) in (0..).zip(WELCOME) {
        let format = match row {
            0 => Format::new().set_bold().set_font_size(16),
            1 => plain.clone().set_bold().set_font_color(Color::RGB(0xC0_00_00)),
            _ => plain.clone(),
        };
        sheet.write_string_with_format(row, 0, *line, &format).unwrap();
    }
}

fn fill(sheet: &mut Worksheet, name: &str, rows: &[Vec<String>]) {
    let head = Format::new()
        .set_bold()
        .set_background_color(Color::RGB(0xDD_E6_EE))
        .set_border_bottom(FormatBorder::Thin)
        .set_text_wrap()
        .set_align(FormatAlign::Top);
    let headings = &rows[0];
    let last = u32::try_from(rows.len()).unwrap() - 1;
    sheet
        .set_row_height(0, 34)
        .unwrap()
        .set_freeze_panes(1, 1)
        .unwrap()
        .set_landscape()
        .set_print_fit_to_pages(1, 0)
        .set_repeat_rows(0, 0)
        .unwrap();
    for (column, heading) in (0_u16..).zip(headings) {
        let cells: Vec<&str> = rows[1..].iter().filter_map(|row| row.get(usize::from(column))).map(String::as_str).collect();
        sheet.write_string_with_format(0, column, heading, &head).unwrap();
        let longest = cells.iter().map(|cell| cell.chars().count()).max().unwrap_or(0);
        let word = heading.split(' ').map(str::len).max().unwrap_or(0);
        sheet.set_column_width(column, u32::try_from(longest.max(word).clamp(6, 60) + 2).unwrap()).unwrap();
        let places = if heading == "price" || heading == "postage" { 2 } else { 0 };
        for (row, cell) in (1_u32..).zip(&cells) {
            write(sheet, (row, column), cell, heading, places);
        }
        let words = words(name, heading);
        if !words.is_empty() {
            let choice =
                DataValidation::new().allow_list_strings(&words).unwrap().set_error_style(DataValidationErrorStyle::Warning);
            sheet.add_data_validation(1, column, last.max(1) + 200, column, &choice).unwrap();
        }
    }
    let width = u16::try_from(headings.len()).unwrap() - 1;
    sheet.autofilter(0, 0, last.max(1), width).unwrap();
}

fn write(sheet: &mut Worksheet, (row, column): (u32, u16), cell: &str, heading: &str, places: u32) {
    let top = Format::new().set_align(FormatAlign::Top);
    if cell.is_empty() {
        return;
    }
    if heading == "checked on" {
        let day = ExcelDateTime::parse_from_str(cell).unwrap();
        sheet.write_datetime_with_format(row, column, &day, &top.set_num_format("yyyy-mm-dd")).unwrap();
    } else if let Some(number) = number(cell).filter(|_| !TEXTS.contains(&heading)) {
        let format = if places == 2 { top.set_num_format("0.00") } else { top };
        let value: f64 = number.to_string().parse().unwrap();
        sheet.write_number_with_format(row, column, value, &format).unwrap();
    } else {
        sheet.write_string_with_format(row, column, cell, &top.set_text_wrap()).unwrap();
    }
}

#[test]
fn starter_workbook_is_what_its_tables_make() {
    let built = build(starter());
    assert_eq!(built, build(starter()), "two builds of the workbook differ");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogue/starter.xlsx");
    if std::env::var_os("UPDATE_STARTER").is_some() {
        std::fs::write(&path, &built).unwrap();
        return;
    }
    assert!(built == starter().workbook, "catalogue/starter.xlsx is not what the tables make: run with UPDATE_STARTER=1");
}

#[test]
fn starter_reads_without_a_notice() {
    let read = from_starter();
    let told: Vec<String> = match &read {
        Ok(catalogue) => catalogue.notices.iter().map(show).collect(),
        Err(errors) => errors.iter().map(show).collect(),
    };
    assert!(told.is_empty(), "{}", told.join("\n"));
}

/// What stands in the workbook, cell by cell, against the text of the tables, without our own reader.
#[test]
fn starter_workbook_holds_the_tables_cell_by_cell() {
    let starter = starter();
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(build(starter))).unwrap();
    let sheets: Vec<&str> = starter.tables.iter().map(|(file, _)| file.trim_end_matches(".csv")).collect();
    assert_eq!(workbook.sheet_names()[0], FRONT);
    assert_eq!(workbook.sheet_names()[1..], sheets);
    let mut numbers = 0;
    for (file, text) in starter.tables {
        let range = workbook.worksheet_range(file.trim_end_matches(".csv")).unwrap();
        let table = rows(text);
        let mut left: BTreeMap<(u32, u32), &Data> = range
            .used_cells()
            .map(|(row, column, data)| ((u32::try_from(row).unwrap(), u32::try_from(column).unwrap()), data))
            .collect();
        for (row, cells) in (0_u32..).zip(&table) {
            for (column, cell) in (0_u32..).zip(cells).filter(|(_, cell)| !cell.is_empty()) {
                let same = match left.remove(&(row, column)) {
                    Some(Data::String(text)) => text == cell,
                    Some(Data::Float(value)) => {
                        numbers += 1;
                        cell.parse() == Ok(*value)
                    }
                    Some(Data::DateTime(day)) => {
                        let (year, month, day, ..) = day.to_ymd_hms_milli();
                        *cell == format!("{year:04}-{month:02}-{day:02}")
                    }
                    _ => false,
                };
                assert!(same, "{file}: row {row}, column {column} should hold {cell}");
            }
        }
        assert!(left.is_empty(), "{file}: the workbook has cells that the table has not: {left:?}");
    }
    assert!(numbers > 500, "only {numbers} cells are numbers");
}

#[test]
fn starter_workbook_and_tables_make_the_same_catalogue() {
    let starter = starter();
    let tables: Vec<(String, Vec<u8>)> =
        starter.tables.iter().map(|(file, text)| ((*file).to_owned(), text.as_bytes().to_vec())).collect();
    let from_tables = from_folder("book", &tables);
    let from_book = from_workbook("book", &build(starter));
    let told = |errors: Vec<_>| errors.iter().map(show).collect::<Vec<_>>().join("\n");
    assert_eq!(from_book.map_err(told), from_tables.map_err(told));
}

#[test]
fn starter_says_that_it_is_invented_and_fills_every_group_of_cost() {
    let catalogue = from_starter().unwrap();
    assert!(catalogue.notice.as_ref().is_some_and(|notice| notice.contains("invented")));
    assert!(catalogue.suppliers.iter().all(|supplier| supplier.title.contains("invented")));
    for group in CostGroup::ALL {
        assert!(catalogue.kinds.iter().any(|kind| kind.role.group() == *group), "no kind is of the group {}", group.word());
    }
}
