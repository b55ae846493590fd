//! What is wrong with an input, with the place where it stands.
//!
//! A [`Diagnostic`] is about a file that cannot be read as it is: exit code 2. What is wrong with a plan that was read well is a
//! [`crate::finding::Finding`].

use std::fmt;
use std::sync::Arc;

/// Where a value came from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// A line and column of a YAML file, both from 1.
    Yaml {
        /// The file as the user named it.
        file: Arc<str>,
        /// The path within it, such as `turnouts[2].frog`.
        path: Arc<str>,
        /// Line, from 1.
        line: u32,
        /// Column in characters, from 1.
        column: u32,
    },
    /// A cell of the catalogue.
    Cell {
        /// The workbook or folder as the user named it.
        book: Arc<str>,
        /// The sheet.
        sheet: Arc<str>,
        /// The cell, such as `D14`; a whole sheet where it is empty.
        cell: Arc<str>,
    },
    /// A default the tool took, named by the path it would have in the layout file.
    Default(Arc<str>),
    /// A flag on the command line.
    Flag(Arc<str>),
    /// A whole file.
    File(Arc<str>),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Yaml { file, path, line, column } if path.is_empty() => write!(f, "{file}:{line}:{column}"),
            Self::Yaml { file, path, line, column } => write!(f, "{file}:{line}:{column} ({path})"),
            Self::Cell { book, sheet, cell } if cell.is_empty() => write!(f, "{book} › {sheet}"),
            Self::Cell { book, sheet, cell } => write!(f, "{book} › {sheet} › {cell}"),
            Self::Default(path) => write!(f, "default of {path}"),
            Self::Flag(name) => write!(f, "{name}"),
            Self::File(file) => write!(f, "{file}"),
        }
    }
}

/// A value and where it came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given<T> {
    /// The value.
    pub value: T,
    /// Where it was given.
    pub place: Place,
}

impl<T> Given<T> {
    /// A value given at a place.
    pub fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }

    /// Whether the tool took this value because none was written.
    pub fn is_default(&self) -> bool {
        matches!(self.place, Place::Default(_))
    }
}

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
    /// One sentence: what is wrong.
    pub what: String,
    /// What was found, if it can be shown.
    pub found: Option<String>,
    /// What was expected.
    pub expected: Option<String>,
    /// The nearest valid name.
    pub nearest: Option<String>,
}

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal,)+) => {
        /// The stable name of a kind of input error.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $($(#[$doc])* $name,)+ }

        impl Code {
            /// All codes.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// The code as printed.
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text,)+ }
            }
        }
    };
}

codes! {
    /// The file is not YAML at all.
    NotYaml = "not-yaml",
    /// The file is larger, deeper or more repetitive than any layout is.
    TooLarge = "too-large",
    /// A key the file's form does not have.
    UnknownKey = "unknown-key",
    /// A key written twice.
    DuplicateKey = "duplicate-key",
    /// A key that must be there is not.
    MissingKey = "missing-key",
    /// Two things with one id.
    DuplicateId = "duplicate-id",
    /// An id that names nothing.
    UnknownId = "unknown-id",
    /// A word that is not one of a fixed list.
    UnknownWord = "unknown-word",
    /// A value of another type than the one needed.
    WrongType = "wrong-type",
    /// A number with no unit, an unknown unit, or a unit of another dimension.
    WrongUnit = "wrong-unit",
    /// A value outside the range that makes sense.
    OutOfRange = "out-of-range",
    /// Boards that no joint connects.
    Unreachable = "unreachable",
    /// A file that is no workbook or table.
    NotAWorkbook = "not-a-workbook",
    /// A sheet that must be there is not.
    MissingSheet = "missing-sheet",
    /// A column that must be there is not.
    MissingColumn = "missing-column",
    /// A column the sheet does not have; it is passed over.
    UnknownColumn = "unknown-column",
    /// A cell that must be filled is empty.
    EmptyCell = "empty-cell",
    /// A cell with a formula whose result was never stored, or an error value.
    NoValue = "no-value",
    /// An amount of money that cannot be read.
    WrongMoney = "wrong-money",
    /// Things that refer to one another in a ring.
    Ring = "ring",
    /// Two statements that cannot both hold.
    Contradiction = "contradiction",
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(code: Code, place: Place, what: impl Into<String>) -> Self {
        Self { code, severity: Severity::Error, place, what: what.into(), found: None, expected: None, nearest: None }
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

    /// With the valid words, and the nearest of them to what was found if one is near.
    #[must_use]
    pub fn one_of<'a>(mut self, found: &str, valid: impl IntoIterator<Item = &'a str>) -> Self {
        let valid: Vec<&str> = valid.into_iter().collect();
        self.nearest = nearest(found, valid.iter().copied()).map(str::to_owned);
        self.found = Some(found.to_owned());
        self.expected = Some(if valid.is_empty() { "nothing".to_owned() } else { format!("one of {}", valid.join(", ")) });
        self
    }
}

/// The valid name nearest to what was written: at most a third of its letters differ (edit distance on folded case).
pub fn nearest<'a>(written: &str, valid: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written: Vec<char> = written.to_lowercase().chars().take(64).collect();
    let allowed = (written.len() / 3).max(1);
    valid
        .into_iter()
        .map(|name| (edits(&written, &name.to_lowercase().chars().take(64).collect::<Vec<_>>()), name))
        .filter(|(distance, _)| *distance <= allowed)
        .min()
        .map(|(_, name)| name)
}

/// Levenshtein distance by rows.
fn edits(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (y, above) in b.iter().zip(row.iter_mut().skip(1)) {
            let here = (diagonal + usize::from(x != y)).min(left + 1).min(*above + 1);
            diagonal = *above;
            *above = here;
            left = here;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_name_is_found_and_a_far_one_is_not() {
        assert_eq!(nearest("turnots", ["turnouts", "signals"]), Some("turnouts"));
        assert_eq!(nearest("bord", ["boards", "board"]), Some("board"));
        assert_eq!(nearest("xyz", ["turnouts", "signals"]), None);
    }

    #[test]
    fn codes_are_unique() {
        let mut seen: Vec<_> = Code::ALL.iter().map(|code| code.as_str()).collect();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen.len(), Code::ALL.len());
    }
}
