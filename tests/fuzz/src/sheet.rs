//! Any text as the insides of a workbook: with an even first byte those of one sheet of the form `.xlsx`, with an odd one the content of an
//! `.ods`. So the readers behind the archive are reached without guessing its sums.
#![no_main]

#[path = "shared.rs"]
mod shared;

use std::io::{Cursor, Write};

use libfuzzer_sys::fuzz_target;
use underboard::catalogue::from_workbook;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// The files about one sheet, by the words of ISO/IEC 29500.
const ABOUT: [(&str, &str); 4] = [
    (
        "_rels/.rels",
        r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#,
    ),
    (
        "xl/workbook.xml",
        r#"<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Stock" sheetId="1" r:id="rId1"/></sheets></workbook>"#,
    ),
    (
        "xl/_rels/workbook.xml.rels",
        r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>"#,
    ),
    (
        "xl/sharedStrings.xml",
        r#"<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>part</t></si><si><t>count</t></si></sst>"#,
    ),
];

fn packed<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(name, SimpleFileOptions::default().compression_method(CompressionMethod::Stored)).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

fuzz_target!(|bytes: &[u8]| {
    let Some((form, text)) = bytes.split_first() else { return };
    let book = if form % 2 == 1 {
        packed([("content.xml", text)])
    } else {
        let about = ABOUT.iter().map(|(name, text)| (*name, text.as_bytes()));
        packed(about.chain([("xl/worksheets/sheet1.xml", text)]))
    };
    match from_workbook("book", &book) {
        Ok(catalogue) => shared::told(&catalogue.notices, false),
        Err(problems) => shared::told(&problems, true),
    }
});
