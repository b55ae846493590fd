//! Writes reports to standard output.

use std::io::{self, ErrorKind, IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;

use anstream::{AutoStream, ColorChoice};

use super::args::{Colour, Format, Look};
use super::stop::{FALLS_SHORT, FileTrouble, Stop};
use crate::report::{Document, Dress, to_json, to_terminal};

/// As many columns as reports take where there is no terminal to ask.
const WIDTH: u16 = 80;

/// Writes a document in the form asked for; the exit code says whether its plan falls short.
pub(super) fn show(document: &Document, look: &Look) -> Result<ExitCode, Stop> {
    let text = match look.format {
        Format::Json => to_json(document),
        Format::Terminal => to_terminal(document, dress(look)),
    };
    write_text(&text)?;
    Ok(if document.falls_short { ExitCode::from(FALLS_SHORT) } else { ExitCode::SUCCESS })
}

fn dress(look: &Look) -> Dress {
    let out = io::stdout();
    let width = look.width.or_else(|| out.is_terminal().then(terminal_width).flatten()).unwrap_or(WIDTH);
    let colour = match look.colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => AutoStream::choice(&out) != ColorChoice::Never,
    };
    Dress { width: usize::from(width), colour }
}

/// How many columns the terminal has, at least as many as a report needs.
pub(super) fn terminal_width() -> Option<u16> {
    terminal_size::terminal_size().map(|(terminal_size::Width(columns), _)| columns.max(40))
}

/// Writes a file whole or not at all. A file that is there is only replaced if that is `force`d.
pub(super) fn write_file(path: &Path, bytes: &[u8], force: bool) -> Result<(), Stop> {
    let wrong = |source| FileTrouble::Write { path: path.to_owned(), source };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(wrong)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(wrong)?;
    let kept = if force { file.persist(path) } else { file.persist_noclobber(path) };
    kept.map_err(|trouble| match trouble.error.kind() {
        ErrorKind::AlreadyExists => FileTrouble::Exists(path.to_owned()),
        _ => wrong(trouble.error),
    })?;
    Ok(())
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
