//! Writes reports to standard output, and files whole or not at all.

use std::fs;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;

use anstream::{AutoStream, ColorChoice};
use tempfile::{Builder, NamedTempFile};

use super::args::{Colour, Format, Look};
use super::stop::{FALLS_SHORT, FileTrouble, Stop};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::report::{Document, Dress, csv_of_table, table_ids, to_csv, to_json, to_markdown, to_terminal};

/// As many columns as reports take where there is no terminal to ask.
const WIDTH: u16 = 80;

/// Writes a document in the form asked for; the exit code says whether its plan falls short.
pub(super) fn show(document: &Document, look: &Look) -> Result<ExitCode, Stop> {
    write_text(&text(document, look)?)?;
    Ok(exit_code(document))
}

/// Whether the plan falls short, as an exit code.
pub(super) fn exit_code(document: &Document) -> ExitCode {
    if document.falls_short { ExitCode::from(FALLS_SHORT) } else { ExitCode::SUCCESS }
}

fn text(document: &Document, look: &Look) -> Result<String, Diagnostic> {
    let at_table = || Place::Flag("--table".into());
    match (look.format, &look.table) {
        (Format::Csv, Some(id)) => csv_of_table(document, id).ok_or_else(|| {
            Diagnostic::error(Code::UnknownId, at_table(), "the report has no such table").one_of(id, table_ids(document))
        }),
        (_, Some(_)) => Err(Diagnostic::error(Code::Contradiction, at_table(), "only `--format csv` gives a table alone")),
        (Format::Terminal, None) => Ok(to_terminal(document, dress(look))),
        (Format::Markdown, None) => Ok(to_markdown(document)),
        (Format::Csv, None) => Ok(to_csv(document)),
        (Format::Json, None) => Ok(to_json(document)),
    }
}

fn dress(look: &Look) -> Dress {
    let out = io::stdout();
    let width = look.width.or_else(|| out.is_terminal().then(terminal_width).flatten()).unwrap_or(WIDTH);
    let colour = match look.colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto if look.no_colour => false,
        Colour::Auto => AutoStream::choice(&out) != ColorChoice::Never,
    };
    Dress { width: usize::from(width), colour }
}

/// How many columns the terminal has, at least as many as a report needs.
pub(super) fn terminal_width() -> Option<u16> {
    terminal_size::terminal_size().map(|(terminal_size::Width(columns), _)| columns.max(40))
}

/// Writes a text to standard output.
pub(super) fn write_text(text: &str) -> Result<ExitCode, Stop> {
    let mut out = io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Ok(()) => Ok(ExitCode::SUCCESS),
        Err(trouble) if trouble.kind() == ErrorKind::BrokenPipe => Err(Stop::Unread),
        Err(trouble) => Err(FileTrouble::Output(trouble).into()),
    }
}

/// Writes a file whole or not at all: a temporary file beside it is written, brought to the disk and renamed. What is there already is kept,
/// unless `force`; what is no plain file, such as a folder or a device, is kept in any case.
pub(super) fn write_file(path: &Path, bytes: &[u8], force: bool) -> Result<(), FileTrouble> {
    match path.symlink_metadata() {
        Ok(there) if !there.is_file() => return Err(FileTrouble::NoFile(path.to_owned())),
        Ok(_) if !force => return Err(FileTrouble::Exists(path.to_owned())),
        _ => {}
    }
    written(path, bytes, force).map_err(|source| match source.kind() {
        ErrorKind::AlreadyExists => FileTrouble::Exists(path.to_owned()),
        _ => FileTrouble::Write { path: path.to_owned(), source },
    })
}

fn written(path: &Path, bytes: &[u8], force: bool) -> io::Result<()> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut file = beside(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    let renamed = if force { file.persist(path) } else { file.persist_noclobber(path) };
    renamed.map_err(|trouble| trouble.error)?;
    // The new name too must reach the disk; not every system can be asked for that.
    drop(fs::File::open(folder).and_then(|folder| folder.sync_all()));
    Ok(())
}

/// A temporary file that goes if it is not renamed, with the rights that any new file gets.
fn beside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(".underboard-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_written_whole_and_replaced_only_by_force() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.html");
        write_file(&path, b"one", false).unwrap();
        assert!(matches!(write_file(&path, b"two", false), Err(FileTrouble::Exists(_))));
        assert_eq!(fs::read(&path).unwrap(), b"one");
        write_file(&path, b"two", true).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(names(folder.path()), ["book.html"]);
    }

    #[test]
    fn what_is_no_plain_file_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("there");
        fs::create_dir(&path).unwrap();
        assert!(matches!(write_file(&path, b"one", true), Err(FileTrouble::NoFile(_))));
        assert!(path.is_dir());
    }

    #[test]
    fn a_folder_that_is_not_there_gets_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("not-there/book.html");
        assert!(matches!(write_file(&path, b"one", false), Err(FileTrouble::Write { .. })));
        assert_eq!(names(folder.path()), [""; 0]);
    }

    #[cfg(unix)]
    #[test]
    fn a_new_file_has_the_rights_of_any_new_file() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (ours, other) = (folder.path().join("ours"), folder.path().join("other"));
        write_file(&ours, b"one", false).unwrap();
        fs::write(&other, b"one").unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&ours), mode(&other));
    }
}
