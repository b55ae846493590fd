//! Why the program stops before it has a report.

use std::io::{self, ErrorKind};
use std::path::PathBuf;

use crate::diagnostic::Diagnostic;

/// Exit code: the plan falls short.
pub(super) const FALLS_SHORT: u8 = 1;

/// Exit code: something is wrong with the input or the command.
pub(super) const BAD: u8 = 2;

/// Exit code: a file could not be read or written.
pub(super) const NO_FILE: u8 = 3;

/// Why the program stops.
#[derive(Debug)]
pub(super) enum Stop {
    /// Something is wrong with the input.
    Bad {
        /// What, in the order to be told.
        problems: Vec<Diagnostic>,
        /// The text of the layout file, to show lines of.
        text: String,
        /// What could not be checked for that.
        unchecked: Option<&'static str>,
    },
    /// Files that could not be read or written.
    Files(Vec<FileTrouble>),
    /// Files that are there already, and what to do about it where nothing is ever replaced.
    There(Vec<PathBuf>, &'static str),
    /// Nobody reads the output any more.
    Unread,
}

/// Why a file could not be read or written.
#[derive(Debug, thiserror::Error)]
pub(super) enum FileTrouble {
    /// It could not be read.
    #[error("could not read {}: {}", .path.display(), reason(.source))]
    Read {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// It is a folder, and what is wanted lies in it.
    #[error("could not read {}: this is a folder; name the file in it, `{within}`", .path.display())]
    Folder {
        /// Which.
        path: PathBuf,
        /// The file in it, as it may be typed.
        within: String,
    },
    /// It could not be written.
    #[error("could not write {}: {}", .path.display(), unwritten(.source))]
    Write {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// It is there already, and is kept unless the user says otherwise.
    #[error("{} is there already; nothing was written", .0.display())]
    Exists(PathBuf),
    /// Something other than a file is there, which is never replaced.
    #[error("{} is there already and is no file; nothing was written, and `--force` would not replace it", .0.display())]
    NoFile(PathBuf),
    /// The report could not be written.
    #[error("could not write the report: {}", reason(.0))]
    Output(io::Error),
}

impl FileTrouble {
    /// Whether `--force` would do away with it.
    pub(super) fn yields_to_force(&self) -> bool {
        matches!(self, Self::Exists(_))
    }
}

impl Stop {
    /// Something is wrong with what was written on the command line.
    pub(super) fn flags(problems: Vec<Diagnostic>) -> Self {
        Self::Bad { problems, text: String::new(), unchecked: None }
    }
}

impl From<Diagnostic> for Stop {
    fn from(problem: Diagnostic) -> Self {
        Self::flags(vec![problem])
    }
}

impl From<FileTrouble> for Stop {
    fn from(trouble: FileTrouble) -> Self {
        Self::Files(vec![trouble])
    }
}

/// Why a file was not written, in plain words where there are any.
fn unwritten(source: &io::Error) -> String {
    match source.kind() {
        ErrorKind::NotFound => "the folder it should go into is not there".to_owned(),
        _ => reason(source),
    }
}

/// Why a file was not had, in plain words where there are any.
fn reason(source: &io::Error) -> String {
    match source.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "you have no right to".to_owned(),
        ErrorKind::IsADirectory => "this is a folder; name the file in it".to_owned(),
        ErrorKind::NotADirectory => "a part of the path is a file, not a folder".to_owned(),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        _ => source.to_string(),
    }
}
