//! The terminal.

use super::document::Document;

/// How to dress a document.
#[derive(Debug, Clone, Copy)]
pub struct Dress {
    /// Columns.
    pub width: usize,
    /// Colour as an addition.
    pub colour: bool,
}

/// The document as text.
pub fn to_terminal(_: &Document, _: Dress) -> String {
    unimplemented!()
}
