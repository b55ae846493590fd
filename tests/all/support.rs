//! What tests are made from: small catalogues as they are or with another sheet, layouts written in the test itself.

use underboard::catalogue::Catalogue;
use underboard::layout::Layout;

pub(crate) use crate::small::{BOOK, SMALL, catalogue, read_catalogue, show};

/// The sheets of [`SMALL`] with one of them, or none, put in place of its own; an empty text leaves the sheet out.
pub(crate) fn small_but<'a>(sheet: &'a str, text: &'a str) -> Vec<(&'a str, &'a str)> {
    let mut sheets: Vec<(&str, &str)> = SMALL.iter().copied().filter(|(name, _)| *name != sheet).collect();
    if !text.is_empty() {
        sheets.push((sheet, text));
    }
    sheets
}

/// The layout of a YAML text, which must be right; the errors are shown if it is not.
pub(crate) fn layout(text: &str, catalogue: &Catalogue) -> Layout {
    underboard::layout::read("layout.yaml", text, catalogue).unwrap_or_else(|errors| {
        let shown: Vec<String> = errors.iter().map(show).collect();
        panic!("the test's layout is wrong:\n{}", shown.join("\n"))
    })
}
