//! What is wrong with an input, with the place where it stands.
//!
//! A [`Diagnostic`] is about a file that cannot be read as it is: exit code 2. What is wrong with a plan that was read well is a
//! [`crate::finding::Finding`].

mod code;
mod place;

pub use code::Code;
pub use place::{Excerpt, Given, Place};

use crate::name::nearest;

/// How grave a diagnostic is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The input cannot be used.
    Error,
    /// The input is used; something in it was passed over or looks doubtful.
    Notice,
}

/// One thing that is wrong with an input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Stable code, such as `unknown-key`.
    pub code: Code,
    /// How grave it is.
    pub severity: Severity,
    /// Where it stands.
    pub place: Place,
    /// The heading above the cell, where it stands in a cell.
    pub column: Option<String>,
    /// The line of text it stands in, where it stands in a table of text.
    pub excerpt: Option<Excerpt>,
    /// One sentence: what is wrong.
    pub what: String,
    /// What was found, if it can be shown.
    pub found: Option<String>,
    /// What was expected.
    pub expected: Option<String>,
    /// The valid names that may have been meant, most often one or none.
    pub nearest: Vec<String>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(code: Code, place: Place, what: impl Into<String>) -> Self {
        let (column, excerpt) = (None, None);
        let (found, expected, nearest) = (None, None, Vec::new());
        Self { code, severity: Severity::Error, place, column, excerpt, what: what.into(), found, expected, nearest }
    }

    /// A notice at a place: the input is used all the same.
    pub fn notice(code: Code, place: Place, what: impl Into<String>) -> Self {
        Self { severity: Severity::Notice, ..Self::error(code, place, what) }
    }

    /// With what was found.
    #[must_use]
    pub fn found(mut self, found: impl Into<String>) -> Self {
        self.found = Some(found.into());
        self
    }

    /// With what was expected.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    /// With the valid words, and those of them that may have been meant.
    #[must_use]
    pub fn one_of<'a>(mut self, found: &str, valid: impl IntoIterator<Item = &'a str>) -> Self {
        let valid: Vec<&str> = valid.into_iter().collect();
        self.nearest = nearest(found, valid.iter().copied());
        self.found = Some(found.to_owned());
        self.expected = Some(if valid.is_empty() { "nothing".to_owned() } else { format!("one of {}", valid.join(", ")) });
        self
    }
}
