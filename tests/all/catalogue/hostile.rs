//! Input that no catalogue is: damaged, forged, far too large.

use std::io::{Cursor, Write};
use std::time::{Duration, Instant};

use proptest::prelude::*;
use rust_xlsxwriter::Workbook;
use underboard::catalogue::{from_folder, from_workbook, starter};
use underboard::diagnostic::{Code, Diagnostic};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::{packed, unpacked};
use crate::support::SMALL;

/// Long enough for a slow machine, far too short for reading a range over all cells of a sheet.
const SOON: Duration = Duration::from_secs(20);

fn refusal(bytes: &[u8]) -> Diagnostic {
    let begun = Instant::now();
    let mut errors = from_workbook("book.xlsx", bytes).unwrap_err();
    assert!(begun.elapsed() < SOON, "it took {:?}", begun.elapsed());
    errors.remove(0)
}

#[test]
fn a_cell_at_the_far_corner_is_answered_quickly() {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet().set_name("Kinds").unwrap();
    sheet.write_string(0, 0, "kind").unwrap().write_string(1_048_575, 16_383, "stray").unwrap();
    let error = refusal(&workbook.save_to_buffer().unwrap());
    assert_eq!((error.code, error.place.to_string().as_str()), (Code::TooLarge, "book.xlsx › Kinds › XFD1048576"));
}

#[test]
fn a_sheet_with_more_rows_than_any_catalogue_is_answered_quickly() {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet().set_name("Parts").unwrap();
    for row in 0..60_000 {
        sheet.write_string(row, 0, "part").unwrap().write_number(row, 1, row).unwrap();
    }
    let error = refusal(&workbook.save_to_buffer().unwrap());
    assert_eq!((error.code, error.place.to_string().as_str()), (Code::TooLarge, "book.xlsx › Parts › A50001"));
}

#[test]
fn a_folder_with_more_cells_than_any_catalogue_is_answered_quickly() {
    let row = "x,".repeat(99) + "x\n";
    let begun = Instant::now();
    let errors = from_folder("folder", &[("Parts.csv".to_owned(), row.repeat(6_500).into_bytes())]).unwrap_err();
    assert!(begun.elapsed() < SOON);
    assert_eq!((errors[0].code, errors[0].place.to_string().as_str()), (Code::TooLarge, "folder › Parts › A6001"));
}

#[test]
fn a_cell_that_holds_a_book_is_refused() {
    let errors =
        from_folder("folder", &[("Parts.csv".to_owned(), format!("part\n{}", "x".repeat(2_000)).into_bytes())]).unwrap_err();
    assert_eq!((errors[0].code, errors[0].place.to_string().as_str()), (Code::TooLarge, "folder › Parts › A2"));
}

/// An archive with one file of so many zero bytes.
fn bomb(bytes: usize) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    archive
        .start_file("xl/sharedStrings.xml", SimpleFileOptions::default().compression_method(CompressionMethod::Deflated))
        .unwrap();
    let block = vec![0; 1 << 20];
    for _ in 0..bytes >> 20 {
        archive.write_all(&block).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

#[test]
fn an_archive_that_unpacks_to_too_much_is_refused_whatever_it_says_of_its_size() {
    let honest = bomb(200 << 20);
    assert!(honest.len() < 1 << 20);
    assert_eq!(refusal(&honest).code, Code::TooLarge);
    let size = u32::try_from(200 << 20).unwrap().to_le_bytes();
    let mut lying = honest;
    let places: Vec<usize> = lying.windows(4).enumerate().filter(|(_, window)| *window == size).map(|(at, _)| at).collect();
    assert!(!places.is_empty());
    for at in places {
        lying[at..at + 4].copy_from_slice(&1_000_u32.to_le_bytes());
    }
    assert!(matches!(refusal(&lying).code, Code::TooLarge | Code::NotAWorkbook));
}

#[test]
fn files_that_are_no_workbook_are_told_apart() {
    let compound = |tail: &[u8]| [b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1".as_slice(), &[0; 600], tail].concat();
    let encrypted: Vec<u8> = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let mut other = ZipWriter::new(Cursor::new(Vec::new()));
    other.start_file("letter.txt", SimpleFileOptions::default()).unwrap();
    let other = other.finish().unwrap().into_inner();
    let whole = starter().workbook;
    for (bytes, words) in [
        (compound(&encrypted), "locked with a password"),
        (compound(b"Workbook"), "of the old .xls form"),
        (other, "the workbook cannot be read"),
        (b"kind,title\n".to_vec(), "not a workbook at all"),
        (Vec::new(), "not a workbook at all"),
        (whole[..whole.len() / 2].to_vec(), "not a workbook at all"),
    ] {
        let error = refusal(&bytes);
        assert_eq!((error.code, error.place.to_string().as_str()), (Code::NotAWorkbook, "book.xlsx"));
        assert!(error.what.contains(words), "{} should say: {words}", error.what);
        assert!(error.expected.is_some());
    }
}

#[test]
fn a_file_that_is_no_text_is_no_table() {
    let errors = from_folder("folder", &[("Parts.csv".to_owned(), starter().workbook.to_vec())]).unwrap_err();
    assert_eq!((errors[0].code, errors[0].place.to_string().as_str()), (Code::NotAWorkbook, "folder › Parts"));
}

#[test]
fn a_forged_cell_name_is_no_crash() {
    for forged in ["r=\"ZZZZZZZZZZZZ1\"", "r=\"A99999999999999999999\"", "r=\"A0\"", "r=\"\"", "r=\"A\"", "t=\"s\" r=\"A1\""] {
        let mut files = unpacked(starter().workbook);
        let sheet = files.iter_mut().find(|(name, _)| name.ends_with("sheet2.xml")).unwrap();
        sheet.1 = String::from_utf8(sheet.1.clone()).unwrap().replacen("r=\"A2\"", forged, 1).into_bytes();
        assert!(from_workbook("book.xlsx", &packed(&files)).is_err(), "{forged}");
    }
}

/// Texts that a cell may hold, right in one place and wrong in most.
const TEXTS: [&str; 40] = [
    "",
    "kind",
    "motor",
    "lead",
    "at least",
    "capacity of ways",
    "pieces",
    "length >=",
    "colour =",
    ";",
    "12",
    "-1",
    "0.5",
    "1e9",
    "99999999999999999999999999999999",
    "12 V",
    "300 mm",
    "20 %",
    "EUR",
    "JPY",
    "2.50 EUR",
    "near",
    "hand",
    "drive",
    "joint",
    "2 x run length",
    "x",
    "length lead length",
    "ways ways",
    "tail short",
    "DC",
    "local",
    "direct",
    "none",
    "pulse",
    "move",
    "yes",
    "2024-02-30",
    "»\u{301}\u{1F682}«",
    "0.0000000000000000000000000001",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn any_bytes_are_answered_as_a_workbook(bytes in proptest::collection::vec(any::<u8>(), 0..2_000)) {
        prop_assert!(from_workbook("book.xlsx", &bytes).is_err());
    }

    #[test]
    fn any_bytes_are_answered_as_the_content_of_an_open_document(bytes in proptest::collection::vec(any::<u8>(), 0..2_000)) {
        prop_assert!(from_workbook("book.ods", &packed(&[("content.xml".to_owned(), bytes)])).is_err());
    }

    #[test]
    fn any_bytes_are_answered_as_a_folder(files in proptest::collection::vec(proptest::collection::vec(any::<u8>(), 0..400), 10)) {
        let names = SMALL.iter().map(|(name, _)| format!("{name}.csv"));
        prop_assert!(from_folder("folder", &names.zip(files).collect::<Vec<_>>()).is_err());
    }

    #[test]
    fn a_workbook_with_bytes_changed_is_answered(changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8)) {
        let mut bytes = starter().workbook.to_vec();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        let _ = from_workbook("book.xlsx", &bytes);
    }

    #[test]
    fn a_workbook_with_its_insides_changed_is_answered(
        file in any::<prop::sample::Index>(),
        changes in proptest::collection::vec((any::<prop::sample::Index>(), prop::sample::select(b"<>/\"=&;09AZ# \0".to_vec())), 1..6),
    ) {
        let mut files = unpacked(starter().workbook);
        let file = file.index(files.len());
        for (at, byte) in changes {
            let at = at.index(files[file].1.len());
            files[file].1[at] = byte;
        }
        let _ = from_workbook("book.xlsx", &packed(&files));
    }

    /// The headings are right, so that every cell is looked at.
    #[test]
    fn tables_of_any_cells_are_answered(cells in proptest::collection::vec(prop::sample::select(TEXTS.to_vec()), 10 * 3 * 31)) {
        let mut cells = cells.chunks(31);
        let tables = SMALL.iter().map(|(name, text)| {
            let headings = text.lines().next().unwrap();
            let width = headings.split(',').count();
            let rows = cells.by_ref().take(3).map(|row| row[..width].join(","));
            (format!("{name}.csv"), std::iter::once(headings.to_owned()).chain(rows).collect::<Vec<_>>().join("\n").into_bytes())
        });
        prop_assert!(from_folder("folder", &tables.collect::<Vec<_>>()).is_err());
    }

    /// One cell of a right catalogue becomes another text: either way an answer, and what is told has a place in the book.
    #[test]
    fn a_right_catalogue_with_one_cell_changed_is_answered(
        sheet in 0_usize..10, row in any::<prop::sample::Index>(), column in any::<prop::sample::Index>(), text in prop::sample::select(TEXTS.to_vec()),
    ) {
        let tables = SMALL.iter().enumerate().map(|(index, (name, table))| {
            let mut rows: Vec<Vec<&str>> = table.lines().map(|line| line.trim_start().split(',').collect()).collect();
            if index == sheet {
                let row = 1 + row.index(rows.len() - 1);
                let column = column.index(rows[row].len());
                rows[row][column] = text;
            }
            let lines: Vec<String> = rows.iter().map(|row| row.join(",")).collect();
            (format!("{name}.csv"), lines.join("\n").into_bytes())
        });
        let told = from_folder("folder", &tables.collect::<Vec<_>>()).map_or_else(|errors| errors, |catalogue| catalogue.notices);
        for told in told {
            prop_assert!(told.place.to_string().starts_with("folder › "), "{}", told.place);
        }
    }
}
