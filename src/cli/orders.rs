//! `shop --to`: writes the orders as a workbook, or into a folder as a table for each supplier.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::output::write_file;
use super::stop::{FileTrouble, Stop};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::report::{Document, csv_of_orders, to_workbook};

/// As many tables of an earlier plan are looked for.
const MOST: usize = 1000;

/// Writes the orders of a shopping list and gives what to tell. What is there already is kept unless `force`.
pub(super) fn write_orders(document: &Document, to: &Path, force: bool) -> Result<String, Stop> {
    let written = match to.extension() {
        _ if to.is_dir() => tables(document, to, force)?,
        None => tables(document, to, force)?,
        Some(ending) if ending.eq_ignore_ascii_case("xlsx") => {
            let bytes = to_workbook(document)
                .map_err(|trouble| FileTrouble::Write { path: to.to_owned(), source: io::Error::other(trouble) })?;
            write_file(to, &bytes, force)?;
            vec![to.to_owned()]
        }
        Some(_) => {
            let place = Place::Flag("--to".into());
            let mut problem = Diagnostic::error(Code::UnknownWord, place, "orders are not written in this form");
            problem.found = Some(to.display().to_string());
            problem.expected = Some("a workbook, `NAME.xlsx`, or a folder for a table (.csv) of each supplier".to_owned());
            return Err(problem.into());
        }
    };
    if written.is_empty() {
        return Ok("There is nothing to order, so nothing was written.\n".to_owned());
    }
    let lines = written.iter().map(|path| format!("  {}\n", crate::report::harmless(&path.display().to_string())));
    let short = if document.falls_short { "\nThe plan falls short: `shop` without `--to` says of what.\n" } else { "" };
    Ok(format!("Written:\n{}{short}", lines.collect::<String>()))
}

/// Where the table of the n-th supplier, counted from 1, is.
fn table_path(folder: &Path, number: usize) -> PathBuf {
    folder.join(format!("supplier-{number}.csv"))
}

/// Writes a table for each supplier: all or, where one cannot be written, none that is new.
fn tables(document: &Document, folder: &Path, force: bool) -> Result<Vec<PathBuf>, Stop> {
    let tables = csv_of_orders(document);
    let paths: Vec<PathBuf> = (1..=tables.len()).map(|number| table_path(folder, number)).collect();
    // A table of an earlier plan with more suppliers would be ordered as well.
    let further = (1..).skip(tables.len()).take(MOST).map(|number| table_path(folder, number));
    let left: Vec<PathBuf> = further.take_while(|path| path.symlink_metadata().is_ok()).collect();
    let there = paths.iter().filter(|path| path.symlink_metadata().is_ok()).chain(&left);
    let there: Vec<FileTrouble> = there.cloned().map(FileTrouble::Exists).collect();
    if !force && !there.is_empty() {
        return Err(Stop::Files(there));
    }
    if tables.is_empty() && left.is_empty() {
        return Ok(Vec::new());
    }
    let unwritten = |path: &Path| {
        let path = path.to_owned();
        |source| FileTrouble::Write { path, source }
    };
    fs::create_dir_all(folder).map_err(unwritten(folder))?;
    for (number, (path, text)) in paths.iter().zip(&tables).enumerate() {
        if let Err(trouble) = write_file(path, text.as_bytes(), force) {
            if !force {
                paths.iter().take(number).for_each(|path| drop(fs::remove_file(path)));
            }
            return Err(trouble.into());
        }
    }
    for path in &left {
        fs::remove_file(path).map_err(unwritten(path))?;
    }
    Ok(paths)
}
