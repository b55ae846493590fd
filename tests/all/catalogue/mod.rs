//! The catalogue: what is read, and what is said of what cannot be.

mod errors;
mod forms;
mod hostile;
mod sums;

use underboard::catalogue::Catalogue;
use underboard::diagnostic::Diagnostic;

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

#[test]
fn the_small_catalogue_is_right() {
    let catalogue = catalogue(SMALL);
    assert!(catalogue.notices.is_empty(), "{:?}", catalogue.notices.iter().map(show).collect::<Vec<_>>());
}
