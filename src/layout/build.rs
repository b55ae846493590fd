//! Checks what was written and makes the layout.

use super::model::Layout;
use crate::catalogue::Catalogue;
use crate::diagnostic::Diagnostic;

/// Reads a layout file. `file` is its name for messages; the catalogue tells the kinds of turnout and the schemes.
///
/// # Errors
/// All that is wrong with the file, in the order of the file.
pub fn read(_file: &str, _text: &str, _catalogue: &Catalogue) -> Result<Layout, Vec<Diagnostic>> {
    unimplemented!()
}
