//! All that is wrong with a catalogue, collected.

use std::collections::BTreeSet;

use super::form::FORMS;
use super::names::Names;
use crate::diagnostic::{Code, Diagnostic, Place, Severity};
use crate::name::nearest;

/// How many diagnostics are kept; what is beyond is counted.
const KEPT: usize = 1_000;
/// How many names an error lists before it only says where they stand.
const LISTED: usize = 12;
/// How many searches for a nearest name a reading makes: each looks at every name.
const SEARCHES: usize = 200;

/// Collects errors and notices.
#[derive(Debug, Default)]
pub(super) struct Log {
    kept: Vec<Diagnostic>,
    beyond: usize,
    errors: usize,
    searches: usize,
}

impl Log {
    /// Adds a diagnostic.
    pub(super) fn push(&mut self, diagnostic: Diagnostic) {
        self.errors = self.errors.saturating_add(usize::from(diagnostic.severity == Severity::Error));
        if self.kept.len() < KEPT {
            self.kept.push(diagnostic);
        } else {
            self.beyond = self.beyond.saturating_add(1);
        }
    }

    /// Whether nothing is wrong so far.
    pub(super) fn is_clean(&self) -> bool {
        self.errors == 0
    }

    /// Adds the error of a name that none of `names` is.
    pub(super) fn unknown(&mut self, place: Place, found: &str, names: &Names) {
        if self.kept.len() >= KEPT {
            self.errors = self.errors.saturating_add(1);
            self.beyond = self.beyond.saturating_add(1);
            return;
        }
        let what = format!("`{found}` is not in the sheet {}", names.sheet);
        let error = Diagnostic::error(Code::UnknownId, place, what);
        self.searches = self.searches.saturating_add(1);
        let mut error = if names.written.len() <= LISTED {
            error.one_of(found, names.written.iter().map(String::as_str))
        } else {
            error.found(found).expected(format!("a name in the column `{}` of the sheet {}", names.column, names.sheet))
        };
        if names.written.is_empty() {
            error.expected = Some(format!("a row for it in the sheet {}", names.sheet));
        } else if error.nearest.is_empty() && self.searches <= SEARCHES {
            error.nearest = nearest(found, names.written.iter().map(String::as_str));
        }
        self.push(error);
    }

    /// The notices of a reading without errors.
    ///
    /// # Errors
    /// Whatever is wrong, sheet by sheet and row by row, each once, notices among them.
    pub(super) fn finish(self) -> Result<Vec<Diagnostic>, Vec<Diagnostic>> {
        let mut seen = BTreeSet::new();
        let mut kept = self.kept;
        kept.retain(|diagnostic| seen.insert((diagnostic.place.clone(), diagnostic.code, diagnostic.what.clone())));
        kept.sort_by_cached_key(|diagnostic| position(&diagnostic.place));
        if self.errors == 0 {
            return Ok(kept);
        }
        if let Some(last) = kept.last().filter(|_| self.beyond > 0) {
            let what = format!("{} more are not shown; mend these first", self.beyond);
            kept.push(Diagnostic::error(Code::TooLarge, last.place.clone(), what));
        }
        Err(kept)
    }
}

/// Where a place stands: sheets in the order of their forms, then row, then column.
fn position(place: &Place) -> (usize, u64, usize, String) {
    let Place::Cell { sheet, cell, .. } = place else { return (0, 0, 0, String::new()) };
    let rank = (1..).zip(FORMS).find(|(_, form)| form.sheet.eq_ignore_ascii_case(sheet)).map_or(usize::MAX, |(rank, _)| rank);
    let letters: String = cell.chars().take_while(char::is_ascii_alphabetic).collect();
    let row = cell.get(letters.len()..).and_then(|row| row.parse().ok()).unwrap_or(0);
    (rank, row, letters.len(), letters)
}
