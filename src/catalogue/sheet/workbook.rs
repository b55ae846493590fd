//! Workbooks: which form a file has, and whether it is fit to be read at all.

use std::io::{Cursor, Read};
use std::sync::Arc;

use super::table::Table;
use super::{ods, xlsx};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::size::Size;

/// How the first bytes of an old binary workbook read, and of an encrypted new one.
const COMPOUND_FILE: &[u8] = b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";

/// A form of workbook that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// ISO/IEC 29500, `.xlsx`.
    OfficeOpen,
    /// ISO/IEC 26300, `.ods`.
    OpenDocument,
}

/// Reads the sheets of a workbook (.xlsx or .ods), whatever its name ends in.
///
/// # Errors
/// A file that is no such workbook, or larger than any catalogue is.
pub(crate) fn read_workbook(name: &str, bytes: &[u8], size: Size) -> Result<Vec<Table>, Vec<Diagnostic>> {
    let book: Arc<str> = name.into();
    match guard(&book, bytes, size).map_err(|error| vec![error])? {
        Form::OfficeOpen => xlsx::sheets(&book, bytes, size),
        Form::OpenDocument => ods::sheets(&book, bytes, size),
    }
}

/// The error of a file, or of a whole sheet, that cannot be read.
pub(super) fn unreadable(book: &Arc<str>, what: impl Into<String>) -> Diagnostic {
    Diagnostic::error(Code::NotAWorkbook, Place::File(Arc::clone(book)), what)
        .expected("a workbook saved as .xlsx or .ods, or a folder of .csv tables")
}

/// Which form a workbook has; refuses what is no archive and what unpacks to more than memory should hold, before anything is built
/// from it.
fn guard(book: &Arc<str>, bytes: &[u8], size: Size) -> Result<Form, Diagnostic> {
    let too_large = |what: &str| Diagnostic::error(Code::TooLarge, Place::File(Arc::clone(book)), what);
    if bytes.len() > size.book_bytes() {
        return Err(
            too_large("the workbook is larger than any catalogue").expected(format!("at most {} MiB", size.book_bytes() >> 20))
        );
    }
    if bytes.starts_with(COMPOUND_FILE) {
        let encrypted: Vec<u8> = "EncryptedPackage".bytes().flat_map(|letter| [letter, 0]).collect();
        let locked = bytes.windows(encrypted.len()).any(|window| window == encrypted);
        return Err(if locked {
            unreadable(book, "the workbook is locked with a password").expected("a workbook saved without a password")
        } else {
            unreadable(book, "this is a workbook of the old .xls form, whatever its name")
                .expected("a workbook saved as .xlsx or .ods")
        });
    }
    let mut archive =
        zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| unreadable(book, "the file is not a workbook at all"))?;
    let mut room = size.unpacked();
    for index in 0..archive.len() {
        let Ok(file) = archive.by_index(index) else { continue };
        room = room
            .checked_sub(unpacked(file, room))
            .ok_or_else(|| too_large("the workbook unpacks to more than any catalogue holds"))?;
    }
    let open_document = archive.index_for_name("content.xml").is_some();
    Ok(if open_document { Form::OpenDocument } else { Form::OfficeOpen })
}

/// How many bytes come out of a file in the archive, counted to just above `most`. What the archive says of its size may be a lie,
/// and what comes out before an error counts too.
fn unpacked(mut file: impl Read, most: u64) -> u64 {
    let mut block = [0; 8192];
    let mut sum: u64 = 0;
    while sum <= most {
        match file.read(&mut block) {
            Ok(0) | Err(_) => break,
            Ok(read) => sum = sum.saturating_add(read as u64),
        }
    }
    sum
}
