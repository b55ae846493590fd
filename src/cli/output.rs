//! Writes reports to standard output.

use std::io::{self, ErrorKind, IsTerminal, Write};
use std::process::ExitCode;

use anstream::{AutoStream, ColorChoice};

use super::args::{Colour, Format, Look};
use super::stop::{FALLS_SHORT, FileTrouble, Stop};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::report::{Document, Dress, csv_of_table, table_ids, to_csv, to_json, to_markdown, to_terminal};

/// As many columns as reports take where there is no terminal to ask.
const WIDTH: u16 = 80;

/// Writes a document in the form asked for; the exit code says whether its plan falls short.
pub(super) fn show(document: &Document, look: &Look) -> Result<ExitCode, Stop> {
    write_text(&text(document, look)?)?;
    Ok(if document.falls_short { ExitCode::from(FALLS_SHORT) } else { ExitCode::SUCCESS })
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
