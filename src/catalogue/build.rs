//! Checks the sheets and makes the catalogue.

use super::model::Catalogue;
use crate::diagnostic::Diagnostic;

/// Reads a workbook (.xlsx). `name` is the file's name for messages.
///
/// # Errors
/// All that is wrong with the workbook, sheet by sheet.
pub fn from_workbook(_name: &str, _bytes: &[u8]) -> Result<Catalogue, Vec<Diagnostic>> {
    unimplemented!()
}

/// Reads a folder of CSV tables, each `(file name, bytes)`; `Kinds.csv` is the sheet `Kinds`.
///
/// # Errors
/// All that is wrong with the tables, sheet by sheet.
pub fn from_folder(_name: &str, _tables: &[(String, Vec<u8>)]) -> Result<Catalogue, Vec<Diagnostic>> {
    unimplemented!()
}

/// The embedded starter.
///
/// # Errors
/// None, unless the build embedded a broken starter; a test proves that it reads.
pub fn from_starter() -> Result<Catalogue, Vec<Diagnostic>> {
    unimplemented!()
}
