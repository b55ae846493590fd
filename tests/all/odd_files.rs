//! Files from elsewhere: some made to do harm, some odd and yet right. Each goes through the program itself, which has so little address
//! space that a file that unfolds would end it.

use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use rust_xlsxwriter::{Format, Workbook, Worksheet};
use underboard::size::Size;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::catalogue::forms::workbook;
use crate::catalogue::{packed, unpacked};
use crate::program::{Desk, Ran};
use crate::support::{SMALL, small_but};

/// MiB of address space: several times what any file of usual size takes, a fraction of what these would take unguarded.
const SPACE: u64 = 512;

const LAYOUT: &str = "turnouts: [{id: T1}]\n";

/// The layout file alone.
fn layout(text: &str) -> Ran {
    Desk::new().file("layout.yaml", text).run_within(SPACE, &["check", "layout.yaml", "--scheme", "servo-made"])
}

/// A plan by a workbook of this name.
fn planned(name: &str, bytes: &[u8]) -> Ran {
    let desk = Desk::new().file("layout.yaml", LAYOUT).file(name, bytes);
    desk.run_within(SPACE, &["bill", "layout.yaml", "--catalogue", name, "--scheme", "near"])
}

/// The file is refused, and this is said of it.
#[track_caller]
fn refused(ran: &Ran, said: &str) {
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)), "{}", ran.stderr);
    assert!(ran.stderr.contains(said), "{} should say: {said}", ran.stderr);
}

/// The file is read as the small catalogue is, with no word of anything odd.
#[track_caller]
fn read_rightly(ran: Ran) {
    let plain = Desk::new().file("layout.yaml", LAYOUT).tables("book", SMALL);
    let plain = plain.run(&["bill", "layout.yaml", "--catalogue", "book", "--scheme", "near"]);
    assert_eq!((ran.stderr.as_str(), ran.code), ("", plain.code));
    assert_eq!(ran.stdout, plain.stdout);
}

/// The small catalogue with an edit of its sheet `Offers`.
fn offers(edit: impl Fn(&mut Worksheet)) -> Vec<u8> {
    workbook(|name, sheet| {
        if name == "Offers" {
            edit(sheet);
        }
    })
}

#[test]
fn aliases_of_aliases() {
    let mut text = "a: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..=9 {
        let aliases = vec![format!("*a{}", level - 1); 10].join(", ");
        writeln!(text, "b{level}: &a{level} [{aliases}]").unwrap();
    }
    refused(&layout(&text), "error[too-large]: the aliases of this file repeat more than any layout does\n  in layout.yaml:4:");
}

#[test]
fn ten_thousand_aliases_of_ten_thousand_values() {
    let text = format!("a: &a [{}]\nb: [{}]\n", vec!["x"; 10_000].join(","), vec!["*a"; 10_000].join(","));
    assert!(text.len() < 80_000);
    refused(&layout(&text), "error[too-large]: the aliases of this file repeat more than any layout does\n  in layout.yaml:2:5");
}

#[test]
fn one_cell_at_the_last_corner() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Kinds").unwrap();
    sheet.write_string(1_048_575, 16_383, "stray").unwrap();
    let said =
        "error[too-large]: the sheet has something below row 50000, where the last row is read\n  in a.xlsx › Kinds › XFD1048576";
    refused(&planned("a.xlsx", &book.save_to_buffer().unwrap()), said);
}

/// Zeros without end, as the deflate form (RFC 1951) tells them with fixed codes: a literal, then copies of 258 bytes at distance 1.
fn zeros(bytes: usize) -> Vec<u8> {
    // Final block, fixed codes; literal 0; then length 258 (code 285) at distance 1 (code 0) over and over. 8 copies take 13 bytes.
    let copy = "1100010100000";
    let bits: Vec<u8> = format!("11000110000{}", copy.repeat(32)).bytes().map(|bit| bit - b'0').collect();
    let start: Vec<u8> = bits.chunks_exact(8).map(|bits| bits.iter().rev().fold(0, |byte, bit| byte * 2 + bit)).collect();
    let mut out = start[..2].to_vec();
    for _ in 0..bytes / (8 * 258) {
        out.extend(&start[2..15]);
    }
    out
}

#[test]
fn a_small_open_document_that_unpacks_to_gigabytes() {
    // The content is put where a stored file of the same bytes was, and its form changed to deflated in both places.
    let size = 3_u32 << 30;
    let content = zeros(size as usize);
    assert!(content.len() < 20 << 20);
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    archive.start_file("content.xml", SimpleFileOptions::default().compression_method(CompressionMethod::Stored)).unwrap();
    archive.write_all(&content).unwrap();
    let mut bytes = archive.finish().unwrap().into_inner();
    bytes[8] = 8;
    bytes[22..26].copy_from_slice(&size.to_le_bytes());
    let directory = bytes.windows(4).rposition(|window| window == b"PK\x01\x02").unwrap();
    bytes[directory + 10] = 8;
    bytes[directory + 24..directory + 28].copy_from_slice(&size.to_le_bytes());
    refused(&planned("a.ods", &bytes), "error[too-large]: the workbook unpacks to more than any catalogue holds");
    let rows = "<office:spreadsheet><table:table table:name=\"Kinds\"><table:table-row table:number-rows-repeated=\"1048576\">\
                <table:table-cell table:number-columns-repeated=\"16384\"><text:p>x</text:p></table:table-cell>\
                </table:table-row></table:table></office:spreadsheet>";
    let repeated = packed(&[("content.xml".to_owned(), rows.as_bytes().to_vec())]);
    assert!(repeated.len() < 1_000);
    refused(&planned("a.ods", &repeated), "error[too-large]: the workbook holds more cells than any catalogue");
}

#[test]
fn a_workbook_with_a_macro() {
    let mut files = unpacked(&workbook(|_, _| {}));
    files.push(("xl/vbaProject.bin".to_owned(), b"\xD0\xCF\x11\xE0 and whatever it may hold".to_vec()));
    let types = files.iter_mut().find(|(name, _)| name == "[Content_Types].xml").unwrap();
    let sheet = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml";
    let text = String::from_utf8(types.1.clone()).unwrap();
    assert!(text.contains(sheet));
    types.1 = text.replace(sheet, "application/vnd.ms-excel.sheet.macroEnabled.main+xml").into_bytes();
    read_rightly(planned("a.xlsm", &packed(&files)));
}

#[test]
fn a_workbook_with_links_to_others() {
    let linked = offers(|sheet| {
        let formula = rust_xlsxwriter::Formula::new("=[1]Prices!$A$1").set_result("1.5");
        sheet.write_formula(3, 4, formula).unwrap();
    });
    let mut files = unpacked(&linked);
    let link = "<externalLink xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><externalBook/></externalLink>";
    files.push(("xl/externalLinks/externalLink1.xml".to_owned(), link.as_bytes().to_vec()));
    let target = "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship Id=\"rId1\" \
                  Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLinkPath\" \
                  Target=\"file:///dev/zero\" TargetMode=\"External\"/></Relationships>";
    files.push(("xl/externalLinks/_rels/externalLink1.xml.rels".to_owned(), target.as_bytes().to_vec()));
    read_rightly(planned("a.xlsx", &packed(&files)));
}

#[test]
fn headings_merged_over_columns() {
    let merged = offers(|sheet| {
        sheet.merge_range(0, 3, 0, 4, "pack", &Format::new()).unwrap();
    });
    let ran = planned("a.xlsx", &merged);
    refused(&ran, "error[missing-column]: the column `price` is missing\n  in a.xlsx › Offers\n");
    assert!(
        ran.stderr
            .contains("notice[unknown-column]: cells that stand under no heading are passed over\n  in a.xlsx › Offers › E2")
    );
}

#[test]
fn hidden_sheets_rows_and_columns() {
    let hidden = workbook(|name, sheet| {
        if name != "Kinds" {
            sheet.set_hidden(true);
        }
        sheet.set_row_hidden(1).unwrap();
        sheet.set_column_hidden(1).unwrap();
    });
    read_rightly(planned("a.xlsx", &hidden));
}

#[test]
fn formulas_without_values_and_with_errors() {
    let formula = |result: &str| {
        let result = result.to_owned();
        offers(move |sheet| {
            sheet.write_formula(3, 4, rust_xlsxwriter::Formula::new("=3/2").set_result(&result)).unwrap();
        })
    };
    let mut files = unpacked(&formula("1.5"));
    let sheet = files.iter_mut().find(|(name, _)| name.ends_with("sheet3.xml")).unwrap();
    let text = String::from_utf8(sheet.1.clone()).unwrap();
    sheet.1 = text.replace("<f>3/2</f><v>1.5</v>", "<f>3/2</f>").into_bytes();
    let said =
        "error[no-value]: the cell of `price` holds a formula whose result was never stored\n  in a.xlsx › Offers › E4 (price)\n";
    refused(&planned("a.xlsx", &packed(&files)), said);
    let said = "error[no-value]: the cell of `price` shows an error instead of a value\n  in a.xlsx › Offers › E4 (price)\n  found: #REF!";
    refused(&planned("a.xlsx", &formula("#REF!")), said);
}

#[test]
fn dates_as_text() {
    let dated = |text: &'static str| {
        offers(move |sheet| {
            sheet.write_string(1, 6, text).unwrap();
        })
    };
    read_rightly(planned("a.xlsx", &dated("2024-05-01")));
    let said = "error[wrong-type]: `01.05.2024` is not a day\n  in a.xlsx › Offers › G2 (checked on)\n";
    refused(&planned("a.xlsx", &dated("01.05.2024")), said);
}

#[test]
fn prices_with_the_sign_of_a_currency() {
    // As a format of the cell it is no part of the number; as text it is.
    let shown = offers(|sheet| {
        sheet.write_number_with_format(1, 4, 4.2, &Format::new().set_num_format("[$€-407] #,##0.00")).unwrap();
    });
    read_rightly(planned("a.xlsx", &shown));
    let typed = offers(|sheet| {
        sheet.write_string(1, 4, "€ 4.20").unwrap();
    });
    let said = "error[wrong-money]: `€ 4.20` has the sign of a currency beside the number\n  in a.xlsx › Offers › E2 (price)\n";
    refused(&planned("a.xlsx", &typed), said);
}

#[test]
fn an_empty_sheet() {
    let mut files = unpacked(&workbook(|_, _| {}));
    let sheet = files.iter_mut().find(|(name, _)| name.ends_with("sheet3.xml")).unwrap();
    let text = String::from_utf8(sheet.1.clone()).unwrap();
    let (from, to) = (text.find("<sheetData>").unwrap(), text.find("</sheetData>").unwrap());
    sheet.1 = format!("{}<sheetData>{}", &text[..from], &text[to..]).into_bytes();
    let ran = planned("a.xlsx", &packed(&files));
    refused(&ran, "error[missing-column]: the column `price` is missing\n  in a.xlsx › Offers\n  found: no headings in row 1\n");
}

#[test]
fn an_old_workbook_under_a_new_name() {
    let old = [b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1".as_slice(), &[0; 600], b"Workbook"].concat();
    let said = "error[not-a-workbook]: this is a workbook of the old .xls form, whatever its name\n  in a.xlsx\n  expected: a workbook saved as .xlsx or .ods\n";
    refused(&planned("a.xlsx", &old), said);
}

#[test]
fn what_would_count_into_the_millions_is_refused_before_it_is_counted() {
    let turnouts: String = (0..2_000).map(|n| format!("  - {{id: T{n}}}\n")).collect();
    let rules: String = (0..2_500).map(|n| format!("\n,drive,screw,size M2,{},,reason {n}", 1 + n % 9)).collect();
    let assemblies = |rows: &str| SMALL.iter().find(|(name, _)| *name == "Assemblies").unwrap().1.to_owned() + rows;
    let (many, cut) = (assemblies(&rules), assemblies(&"\n,drive,wire,colour RD,1000 x run length,,reel upon reel".repeat(2)));
    let turnouts = format!("turnouts:\n{turnouts}");
    let told = |table: &str, more: &[&str]| {
        let desk = Desk::new().file("layout.yaml", &turnouts).tables("book", &small_but("Assemblies", table));
        desk.run_within(SPACE, &[&["compare", "layout.yaml", "--catalogue", "book"], more].concat())
    };
    refused(&told(&many, &[]), "error[too-large]: with this layout, the rules up to this one count more than any plan holds\n");
    refused(&told(&cut, &[]), "ask for more pieces to be cut than any\n");
    refused(&told(&cut, &[]), "\n  in book › Assemblies › A10\n  found: 6000000 or more\n  expected: at most 1000000;");
    refused(&told(&cut, &["--large"]), "at most 10000000");
}

#[test]
fn limits_are_raised_by_a_flag() {
    let turnouts: String = (0..2_001).map(|n| format!("  - {{id: T{n}, owned: yes}}\n")).collect();
    let text = format!("turnouts:\n{turnouts}");
    refused(&layout(&text), "error[too-large]: `turnouts` has more items than any layout");
    let desk = Desk::new().file("layout.yaml", text);
    let ran = desk.run_within(2 * SPACE, &["hours", "layout.yaml", "--scheme", "servo-made", "--large"]);
    // So many on one board fall short in other ways; the file is read.
    assert!(matches!(ran.code, Some(0 | 1)) && !ran.stderr.contains("error["), "{}", ran.stderr);
}

#[test]
fn the_readme_states_the_limits_that_hold() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let limits = readme.split_once("\n## Limits\n").unwrap().1.split_once("\n## ").unwrap().0;
    let limits = limits.split_whitespace().collect::<Vec<_>>().join(" ");
    let grouped = |number: usize| {
        let digits = number.to_string();
        let from_the_right: Vec<&[u8]> = digits.as_bytes().rchunks(3).rev().collect();
        String::from_utf8(from_the_right.join(&b',')).unwrap()
    };
    let usual = Size::Usual;
    for said in [
        format!("a layout file of {} MiB", usual.layout_bytes() >> 20),
        format!("{} values, {} things in a list", grouped(usual.values()), grouped(usual.items())),
        format!("aliases that stand for {} values", grouped(usual.aliased())),
        format!("a catalogue of {} MiB, {} MiB unpacked", usual.book_bytes() >> 20, usual.unpacked() >> 20),
        format!("{} rows a sheet, {} cells", grouped(usual.rows() as usize), grouped(usual.cells())),
        format!("{} amounts that rules and tasks count", grouped(usual.counted())),
        format!("{} pieces to cut under one", grouped(usual.pieces())),
    ] {
        assert!(limits.contains(&said), "{said}");
    }
    assert_eq!(Size::Large.values(), 10 * usual.values());
}
