//! Where a value came from.

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

/// The line of a table of text that a cell stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Excerpt {
    /// The file, with the folder as the user named it.
    pub file: String,
    /// Line of the file, from 1. It is not the row where a cell above holds several lines.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// The line.
    pub text: String,
}
