//! The catalogue: what is read, and what is said of what cannot be.

mod errors;
pub(crate) mod forms;
mod hostile;
mod open_document;
mod sums;

use std::io::{Cursor, Read, Write};

use underboard::catalogue::Catalogue;
use underboard::diagnostic::Diagnostic;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use crate::support::{SMALL, catalogue, read_catalogue, show};

/// The small catalogue with one text of one sheet put in place of another.
fn edited(sheet: &str, from: &str, to: &str) -> Result<Catalogue, Vec<Diagnostic>> {
    let edit = |(name, text): &(&'static str, &'static str)| {
        if *name != sheet {
            return (*name, (*text).to_owned());
        }
        assert_eq!(text.matches(from).count(), 1, "`{from}` must stand once in {sheet}");
        (*name, text.replace(from, to))
    };
    let sheets: Vec<(&str, String)> = SMALL.iter().map(edit).collect();
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    read_catalogue(&sheets)
}

/// The files within a workbook.
pub(crate) fn unpacked(workbook: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = ZipArchive::new(Cursor::new(workbook)).unwrap();
    let files = (0..archive.len()).map(|index| {
        let mut file = archive.by_index(index).unwrap();
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        (file.name().unwrap().into_owned(), bytes)
    });
    files.collect()
}

/// A workbook of such files.
pub(crate) fn packed(files: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(name.as_str(), SimpleFileOptions::default().compression_method(CompressionMethod::Stored)).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

#[test]
fn the_small_catalogue_is_right() {
    let catalogue = catalogue(SMALL);
    assert!(catalogue.notices.is_empty(), "{:?}", catalogue.notices.iter().map(show).collect::<Vec<_>>());
}
