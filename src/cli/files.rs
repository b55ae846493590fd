//! Reads the layout and the catalogue.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::args::{Buying, Files};
use super::choices::choices;
use super::progress::WATCH;
use super::stop::{FileTrouble, Stop};
use crate::buying::Choices;
use crate::catalogue::{Catalogue, from_folder_sized, from_starter, from_workbook_sized};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::layout::{self, Layout};
use crate::size::Size;
use crate::takeoff;

/// What the user gave, read and checked.
#[derive(Debug)]
pub(super) struct Inputs {
    pub(super) layout: Layout,
    pub(super) catalogue: Catalogue,
    pub(super) choices: Choices,
    /// How large the files may be.
    pub(super) size: Size,
}

/// The bytes of a catalogue.
enum Book {
    Starter,
    Workbook(String, Vec<u8>),
    Folder(String, Vec<(String, Vec<u8>)>),
}

/// Why bytes were not had.
enum Trouble {
    File(FileTrouble),
    TooLarge(PathBuf, u64),
    /// A folder without tables; what in it could be the catalogue.
    NoTables(PathBuf, Vec<PathBuf>),
    /// One table, where all are wanted.
    OneTable(PathBuf),
}

/// Reads both files whole, then checks the catalogue, then the layout by it.
pub(super) fn read(sources: &Files, buying: &Buying) -> Result<Inputs, Stop> {
    let name = sources.layout.display().to_string();
    let size = sources.size();
    let (book, bytes) = match (book(sources.catalogue.as_deref(), size), layout_bytes(&sources.layout, size)) {
        (Ok(book), Ok(bytes)) => (book, bytes),
        (book, bytes) => return Err(stop([book.err(), bytes.err()].into_iter().flatten())),
    };
    let catalogue = match book {
        Book::Starter => from_starter(),
        Book::Workbook(name, bytes) => from_workbook_sized(&name, &bytes, size),
        Book::Folder(name, tables) => from_folder_sized(&name, &tables, size),
    }
    .map_err(|problems| Stop::Bad {
        problems,
        text: String::new(),
        unchecked: Some("The layout file was not checked: what it may say depends on the catalogue."),
    })?;
    let layout = layout(&name, bytes, &catalogue, size)?;
    let mut choices = choices(buying, &catalogue).map_err(Stop::flags)?;
    choices.limits.watch = Some(&WATCH);
    Ok(Inputs { layout, catalogue, choices, size })
}

/// Reads one more layout by the same catalogue.
pub(super) fn read_more(path: &Path, with: &Inputs) -> Result<Inputs, Stop> {
    let size = with.size;
    let bytes = layout_bytes(path, size).map_err(|trouble| stop([trouble].into_iter()))?;
    let layout = layout(&path.display().to_string(), bytes, &with.catalogue, size)?;
    Ok(Inputs { layout, catalogue: with.catalogue.clone(), choices: with.choices.clone(), size })
}

/// The bytes of a layout file.
fn layout_bytes(path: &Path, size: Size) -> Result<Vec<u8>, Trouble> {
    match layout_in(path) {
        Some(layout) => Err(Trouble::File(FileTrouble::Folder { path: path.to_owned(), within: quoted(&layout) })),
        None => bytes(path, size.layout_bytes() as u64),
    }
}

/// A layout file, checked by the catalogue.
fn layout(name: &str, bytes: Vec<u8>, catalogue: &Catalogue, size: Size) -> Result<Layout, Stop> {
    let text = text(name, bytes)?;
    match layout::read_sized(name, &text, catalogue, size) {
        Ok(layout) if layout.rules.schemes.value.is_empty() => {
            let place = layout.rules.schemes.place.clone();
            Err(Diagnostic::error(Code::EmptyCell, place, "there is no scheme to compare: the catalogue offers none").into())
        }
        Ok(layout) => match takeoff::too_many(&layout, catalogue, size) {
            Some(problem) => Err(problem.into()),
            None => Ok(layout),
        },
        Err(problems) => Err(Stop::Bad { problems, text, unchecked: None }),
    }
}

/// The text of a layout file, without the mark that editors of some systems put before the first letter.
fn text(name: &str, bytes: Vec<u8>) -> Result<String, Diagnostic> {
    let not = |what: &str, expected: &str| Diagnostic::error(Code::NotYaml, Place::File(name.into()), what).expected(expected);
    // The first bytes of a zip archive, which workbooks are.
    if bytes.starts_with(b"PK\x03\x04") {
        return Err(not(
            "this is a workbook, where the layout file should be",
            "a layout file; the workbook goes behind `--catalogue`",
        ));
    }
    if is_table(Path::new(name)) {
        return Err(not(
            "this is a table, where the layout file should be",
            "a layout file; the folder of tables goes behind `--catalogue`",
        ));
    }
    let text =
        String::from_utf8(bytes).map_err(|_| not("the layout file is not text in UTF-8", "a text file, saved as UTF-8"))?;
    Ok(text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text))
}

/// All troubles as one reason to stop: files that could not be read before those that are too large.
fn stop(troubles: impl Iterator<Item = Trouble>) -> Stop {
    let mut files = Vec::new();
    let mut problems = Vec::new();
    for trouble in troubles {
        match trouble {
            Trouble::File(file) => files.push(file),
            Trouble::NoTables(folder, within) => {
                let place = Place::File(folder.display().to_string().into());
                let what = "there is no table in this folder";
                let within: Vec<String> = within.iter().map(|path| format!("`--catalogue {}`", quoted(path))).collect();
                let expected = if within.is_empty() {
                    "tables that end in .csv, such as Parts.csv, or the name of a workbook".to_owned()
                } else {
                    format!("what lies in it: {}", within.join(" or "))
                };
                problems.push(Diagnostic::error(Code::NotAWorkbook, place, what).expected(expected));
            }
            Trouble::OneTable(path) => {
                let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
                let place = Place::File(path.display().to_string().into());
                let what = "this is one table, and a catalogue is a folder of them";
                let expected = format!("the folder it lies in, `--catalogue {}`, or a workbook", quoted(folder));
                problems.push(Diagnostic::error(Code::NotAWorkbook, place, what).expected(expected));
            }
            Trouble::TooLarge(path, limit) => {
                let place = Place::File(path.display().to_string().into());
                let what = format!("this is larger than the {} MiB that are taken", limit >> 20);
                problems.push(Diagnostic::error(Code::TooLarge, place, what).expected("a smaller file, or `--large`"));
            }
        }
    }
    if files.is_empty() { Stop::Bad { problems, text: String::new(), unchecked: None } } else { Stop::Files(files) }
}

fn book(path: Option<&Path>, size: Size) -> Result<Book, Trouble> {
    let Some(path) = path else { return Ok(Book::Starter) };
    let name = path.display().to_string();
    let is_folder = fs::metadata(path).map_err(unread(path))?.is_dir();
    if is_folder {
        Ok(Book::Folder(name, tables(path, size)?))
    } else if is_table(path) {
        Err(Trouble::OneTable(path.to_owned()))
    } else {
        Ok(Book::Workbook(name, bytes(path, size.book_bytes() as u64)?))
    }
}

/// The tables of a folder, in the order of their names.
fn tables(folder: &Path, size: Size) -> Result<Vec<(String, Vec<u8>)>, Trouble> {
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder).map_err(unread(folder))? {
        let path = entry.map_err(unread(folder))?.path();
        // A pipe among the tables would be waited for without end.
        if is_table(&path) && path.is_file() {
            paths.push(path);
        }
    }
    if paths.is_empty() {
        return Err(Trouble::NoTables(folder.to_owned(), catalogues_in(folder)));
    }
    paths.sort();
    let most = size.book_bytes() as u64;
    let mut left = most;
    let mut tables = Vec::new();
    for path in paths {
        let bytes = bytes(&path, left).map_err(|trouble| match trouble {
            Trouble::TooLarge(..) => Trouble::TooLarge(folder.to_owned(), most),
            other => other,
        })?;
        left = left.saturating_sub(bytes.len() as u64);
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        tables.push((name, bytes));
    }
    Ok(tables)
}

/// Whether a file is a table by its name.
fn is_table(path: &Path) -> bool {
    has_ending(path, &["csv"])
}

fn has_ending(path: &Path, endings: &[&str]) -> bool {
    path.extension().is_some_and(|ending| endings.iter().any(|known| ending.eq_ignore_ascii_case(known)))
}

/// Workbooks and folders of tables in a folder, as `start` writes them, in the order of their names.
fn catalogues_in(folder: &Path) -> Vec<PathBuf> {
    let entries = |folder: &Path| fs::read_dir(folder).into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
    let is_catalogue = |path: &PathBuf| {
        if path.is_dir() { entries(path).any(|path| is_table(&path)) } else { has_ending(path, &["xlsx", "ods"]) }
    };
    let mut found: Vec<PathBuf> = entries(folder).filter(is_catalogue).collect();
    found.sort();
    // More than these would be no hint.
    found.truncate(4);
    found
}

/// A path as it may be typed.
pub(super) fn quoted(path: &Path) -> String {
    let path = path.display().to_string();
    if path.contains(' ') { format!("\"{path}\"") } else { path }
}

/// Refuses to write in the place of a file that the user gave, or among the tables of the catalogue, even by force.
pub(super) fn spare(given: &Files, flag: &str, output: &Path) -> Result<(), Diagnostic> {
    let real = |path: &Path| fs::canonicalize(path).ok();
    let folder = output.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let to_be = || Some(real(folder)?.join(output.file_name()?));
    // What cannot be found is not there, and nothing is in its place.
    let Some(target) = real(output).or_else(to_be) else { return Ok(()) };
    let is_hit = |given: &Path| {
        let Some(given) = real(given) else { return false };
        target == given || given.is_dir() && target.parent() == Some(&given)
    };
    if is_hit(&given.layout) || given.catalogue.as_deref().is_some_and(is_hit) {
        let what = "this would be written over, or among, what you gave to be read";
        let problem = Diagnostic::error(Code::Contradiction, Place::Flag(flag.into()), what);
        return Err(problem.found(output.display().to_string()).expected("another name or folder"));
    }
    Ok(())
}

/// The layout in a folder, as `start` writes it, where a folder was named in place of a file.
fn layout_in(path: &Path) -> Option<PathBuf> {
    let layout = path.is_dir().then(|| path.join("layout.yaml"))?;
    layout.is_file().then_some(layout)
}

/// The bytes of a file of at most `limit`.
fn bytes(path: &Path, limit: u64) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unread(path))?;
    file.take(limit.saturating_add(1)).read_to_end(&mut bytes).map_err(unread(path))?;
    if bytes.len() as u64 > limit { Err(Trouble::TooLarge(path.to_owned(), limit)) } else { Ok(bytes) }
}

fn unread(path: &Path) -> impl Fn(io::Error) -> Trouble + '_ {
    |source| Trouble::File(FileTrouble::Read { path: path.to_owned(), source })
}
