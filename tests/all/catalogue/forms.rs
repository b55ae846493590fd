//! The forms a catalogue comes in: a workbook, and folders of CSV as various programs write them.

use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};
use underboard::catalogue::{Catalogue, from_folder, from_workbook};
use underboard::diagnostic::{Code, Diagnostic, Severity};

use super::{packed, unpacked};
use crate::support::{BOOK, SMALL, catalogue, show};

/// The cells of a table of the small catalogue.
fn cells(text: &str) -> Vec<Vec<String>> {
    let lines = text.lines().map(str::trim_start).filter(|line| !line.is_empty());
    lines.map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// The small catalogue as a workbook, numbers as numbers, each sheet from the given row and column on; then changed by `edit`.
fn workbook_at(column: u16, edit: impl Fn(&str, &mut Worksheet)) -> Vec<u8> {
    let mut workbook = Workbook::new();
    for (name, text) in SMALL {
        let sheet = workbook.add_worksheet().set_name(*name).unwrap();
        for (row, line) in (0..).zip(cells(text)) {
            for (at, cell) in (column..).zip(line).filter(|(_, cell)| !cell.is_empty()) {
                // Codes such as 0042 are text in a workbook, or their noughts are lost.
                match cell.parse::<f64>() {
                    Ok(number) if !cell.starts_with("00") => sheet.write_number(row, at, number).unwrap(),
                    _ => sheet.write_string(row, at, cell).unwrap(),
                };
            }
        }
        edit(name, sheet);
    }
    workbook.save_to_buffer().unwrap()
}

/// The small catalogue as a workbook, changed by `edit`.
pub(crate) fn workbook(edit: impl Fn(&str, &mut Worksheet)) -> Vec<u8> {
    workbook_at(0, edit)
}

fn read(bytes: &[u8]) -> Catalogue {
    from_workbook(BOOK, bytes).unwrap_or_else(|errors| panic!("{}", errors.iter().map(show).collect::<Vec<_>>().join("\n")))
}

/// The small catalogue as a folder, each file made from its text by `file`.
fn folder(file: impl Fn(&str) -> Vec<u8>) -> Result<Catalogue, Vec<Diagnostic>> {
    let tables = SMALL.iter().map(|(name, text)| {
        let lines: Vec<&str> = text.lines().map(str::trim_start).filter(|line| !line.is_empty()).collect();
        (format!("{name}.csv"), file(&lines.join("\n")))
    });
    from_folder(BOOK, &tables.collect::<Vec<_>>())
}

#[test]
fn a_workbook_and_a_folder_of_the_same_content_make_the_same_catalogue() {
    assert_eq!(read(&workbook(|_, _| {})), catalogue(SMALL));
}

#[test]
fn a_table_may_stand_to_the_right_and_its_cells_keep_their_names() {
    let book = workbook_at(2, |name, sheet| {
        if name == "Offers" {
            sheet.write_string(3, 6, "ask").unwrap();
        }
    });
    let errors = from_workbook(BOOK, &book).unwrap_err();
    assert_eq!(errors.iter().map(|error| error.place.to_string()).collect::<Vec<_>>(), ["small book › Offers › G4"]);
}

#[test]
fn columns_stand_in_any_order_and_headings_may_be_capitals() {
    let turned = folder(|text| {
        let lines = cells(text).into_iter().enumerate().map(|(row, mut cells)| {
            let width = text.lines().next().unwrap().split(',').count();
            cells.resize(width, String::new());
            cells.reverse();
            if row == 0 { cells.join(",").replace("kind", " KIND ") } else { cells.join(",") }
        });
        lines.collect::<Vec<_>>().join("\n").into_bytes()
    });
    let (mut turned, straight) = (turned.unwrap(), catalogue(SMALL));
    turned.book = straight.book.clone();
    assert_eq!(turned, straight);
}

#[test]
fn separators_marks_and_line_ends_of_various_programs_make_the_same_catalogue() {
    let straight = catalogue(SMALL);
    // A list within a cell is quoted where the separator is `;`, and numbers have a decimal comma.
    let continental = |text: &str| {
        let lines = cells(text).into_iter().enumerate().map(|(row, line)| {
            let cells = line.into_iter().map(|cell| {
                let number = cell.split(' ').next().is_some_and(|number| number.parse::<f64>().is_ok());
                if row > 0 && number { cell.replace('.', ",") } else { format!("\"{cell}\"") }
            });
            cells.collect::<Vec<_>>().join(";")
        });
        lines.collect::<Vec<_>>().join("\r\n").into_bytes()
    };
    assert_eq!(folder(continental).unwrap(), straight);
    assert_eq!(folder(|text| text.replace(',', "\t").into_bytes()).unwrap(), straight);
    assert_eq!(folder(|text| format!("\u{feff}{text}\r\n").into_bytes()).unwrap(), straight);
    assert_eq!(folder(|text| text.replace('\n', "\r").into_bytes()).unwrap(), straight);
    let wide = |text: &str| [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    assert_eq!(folder(wide).unwrap(), straight);
}

#[test]
fn a_number_with_points_that_may_part_thousands_is_refused_where_commas_are_decimal() {
    let told = |price: &str| {
        let tables = SMALL.iter().map(|(name, text)| {
            let text = if *name == "Offers" {
                format!("part;supplier;pack;price\nbrick;north;1;{price}")
            } else {
                text.lines().map(str::trim_start).collect::<Vec<_>>().join("\n")
            };
            (format!("{name}.csv"), text.into_bytes())
        });
        let read = from_folder(BOOK, &tables.collect::<Vec<_>>());
        read.map(|catalogue| catalogue.offers[0].price.to_string()).map_err(|errors| errors[0].code)
    };
    assert_eq!(told("1250,5"), Ok("1250.50 EUR".to_owned()));
    assert_eq!(told("12.5"), Ok("12.50 EUR".to_owned()));
    assert_eq!(told("1.250"), Err(Code::WrongMoney));
    assert_eq!(told("1.250,50"), Err(Code::WrongMoney));
    assert_eq!(told("1,250,000"), Err(Code::WrongMoney));
}

#[test]
fn letters_that_are_not_utf_8_are_read_as_windows_1252_with_a_notice() {
    let read =
        folder(|text| text.replace("All prices are invented", "Pr\u{e9}cis\u{e9}ment rien").chars().map(|c| c as u8).collect());
    let catalogue = read.unwrap();
    assert_eq!(catalogue.notice.as_deref(), Some("Précisément rien."));
    assert_eq!(catalogue.notices.len(), 1);
    assert_eq!(catalogue.notices[0].place.to_string(), "small book › Rates");
}

#[test]
fn files_of_a_folder_that_are_no_tables_are_passed_over() {
    let mut tables: Vec<(String, Vec<u8>)> = SMALL
        .iter()
        .map(|(name, text)| (format!("shop/{}.CSV", name.to_lowercase()), text.replace("\n         ", "\n").into_bytes()))
        .collect();
    tables.push(("shop/readme.txt".to_owned(), vec![0xff; 100]));
    tables.push(("shop/.csv".to_owned(), vec![0xff; 100]));
    let read = from_folder(BOOK, &tables).unwrap();
    assert_eq!(read.parts.len(), catalogue(SMALL).parts.len());
}

/// The one error a workbook has after an edit of its sheet `Offers`.
fn error_of(edit: impl Fn(&mut Worksheet)) -> Diagnostic {
    let book = workbook(|name, sheet| {
        if name == "Offers" {
            edit(sheet);
        }
    });
    let mut errors = from_workbook(BOOK, &book).unwrap_err();
    assert_eq!(errors.len(), 1, "{}", errors.iter().map(show).collect::<Vec<_>>().join("\n"));
    errors.remove(0)
}

#[test]
fn a_formula_gives_its_stored_result_and_is_refused_without_one() {
    let book = workbook(|name, sheet| {
        if name == "Offers" {
            sheet.write_formula(3, 4, Formula::new("=3/2").set_result("1.5")).unwrap();
        }
    });
    assert_eq!(read(&book), catalogue(SMALL));
    // As a program writes it that does not reckon: the formula, and no result beside it.
    let mut files = unpacked(&book);
    let sheet = files.iter_mut().find(|(name, _)| name.ends_with("sheet3.xml")).unwrap();
    let text = String::from_utf8(sheet.1.clone()).unwrap();
    assert!(text.contains("<f>3/2</f><v>1.5</v>"));
    sheet.1 = text.replace("<f>3/2</f><v>1.5</v>", "<f>3/2</f>").into_bytes();
    let error = from_workbook(BOOK, &packed(&files)).unwrap_err().remove(0);
    assert_eq!((error.code, error.place.to_string().as_str()), (Code::NoValue, "small book › Offers › E4"));
    assert_eq!(error.found.as_deref(), Some("a formula without a result"));
    assert!(error.expected.unwrap().contains("open the workbook in a spreadsheet program and save it"));
}

#[test]
fn an_error_value_is_told_as_such() {
    let error = error_of(|sheet| {
        sheet.write_formula(3, 4, Formula::new("=1/0").set_result("#DIV/0!")).unwrap();
    });
    assert_eq!((error.code, error.place.to_string().as_str()), (Code::NoValue, "small book › Offers › E4"));
    assert_eq!(error.found.as_deref(), Some("#DIV/0!"));
}

#[test]
fn cells_of_every_sort_are_read_as_a_person_sees_them() {
    let book = workbook(|name, sheet| {
        let day = ExcelDateTime::from_ymd(2024, 5, 1).unwrap();
        match name {
            // A date, and a number that was typed as text.
            "Offers" => {
                sheet.write_datetime_with_format(1, 6, &day, &Format::new().set_num_format("dd.mm.yy")).unwrap();
                sheet.write_string(1, 4, "4.20").unwrap();
            }
            // The sum of a tenth and two tenths is not three tenths in binary.
            "Rates" => {
                sheet.write_number_with_format(2, 1, 0.2, &Format::new().set_num_format("0 %")).unwrap();
                sheet.write_number(10, 1, 0.1 + 0.2).unwrap();
            }
            // Truth values, and blanks about a word.
            "Kinds" => {
                sheet.write_boolean(8, 6, true).unwrap();
                sheet.write_boolean(1, 6, false).unwrap();
                sheet.write_string(1, 2, " Motor\u{a0}").unwrap();
            }
            _ => {}
        }
    });
    assert_eq!(read(&book), catalogue(SMALL));
}

#[test]
fn a_date_where_a_number_belongs_is_no_number() {
    let error = error_of(|sheet| {
        let day = ExcelDateTime::from_ymd(2024, 5, 1).unwrap();
        sheet.write_datetime_with_format(3, 3, &day, &Format::new().set_num_format("yyyy-mm-dd")).unwrap();
    });
    assert_eq!((error.code, error.found.as_deref()), (Code::WrongUnit, Some("2024-05-01")));
}

#[test]
fn text_is_cleaned_of_what_moves_the_cursor_or_turns_the_writing() {
    let book = workbook(|name, sheet| {
        if name == "Parts" {
            sheet.write_string(1, 2, "Small\u{1b}[2J\u{202e}motor\r\nof two lines").unwrap();
        }
    });
    assert_eq!(read(&book).parts[0].title, "Small [2J motor of two lines");
}

#[test]
fn cells_beside_the_table_are_passed_over_with_one_notice() {
    let book = workbook(|name, sheet| {
        if name == "Offers" {
            for row in 2..9 {
                sheet.write_string(row, 20, "a note of mine").unwrap();
            }
        }
    });
    let notices = read(&book).notices;
    let told: Vec<(Severity, Code, String)> =
        notices.iter().map(|told| (told.severity, told.code, told.place.to_string())).collect();
    assert_eq!(told, [(Severity::Notice, Code::UnknownColumn, "small book › Offers › U3".to_owned())]);
}
