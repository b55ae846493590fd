//! From tables to a catalogue.

use std::sync::Arc;

use super::complete::complete;
use super::log::Log;
use super::names::Names;
use super::page::pages;
use super::{assemblies, kinds, offers, parts, rates, schemes, suppliers, tasks, turnouts};
use crate::catalogue::model::Catalogue;
use crate::catalogue::sheet::{Table, excerpt, name_columns, read_folder, read_workbook};
use crate::catalogue::starter::starter;
use crate::diagnostic::{Diagnostic, Place};
use crate::size::Size;

/// Reads a workbook (.xlsx or .ods). `name` is the file's name for messages.
///
/// # Errors
/// All that is wrong with the workbook, sheet by sheet.
pub fn from_workbook(name: &str, bytes: &[u8]) -> Result<Catalogue, Vec<Diagnostic>> {
    from_workbook_sized(name, bytes, Size::Usual)
}

/// As [`from_workbook`], of a workbook that may be so large.
///
/// # Errors
/// As [`from_workbook`].
pub fn from_workbook_sized(name: &str, bytes: &[u8], size: Size) -> Result<Catalogue, Vec<Diagnostic>> {
    build(name, &read_workbook(name, bytes, size)?)
}

/// Reads a folder of CSV tables, each `(file name, bytes)`; `Kinds.csv` is the sheet `Kinds`.
///
/// # Errors
/// All that is wrong with the tables, sheet by sheet.
pub fn from_folder(name: &str, tables: &[(String, Vec<u8>)]) -> Result<Catalogue, Vec<Diagnostic>> {
    from_folder_sized(name, tables, Size::Usual)
}

/// As [`from_folder`], of tables that may be so large.
///
/// # Errors
/// As [`from_folder`].
pub fn from_folder_sized(name: &str, tables: &[(String, Vec<u8>)], size: Size) -> Result<Catalogue, Vec<Diagnostic>> {
    let mut read = read_folder(name, tables, size).and_then(|read| build(name, &read));
    let problems = read.as_mut().map_or_else(|errors| errors, |catalogue| &mut catalogue.notices);
    excerpt(name, tables, problems);
    read
}

/// The embedded starter.
///
/// # Errors
/// None, unless the build embedded a broken starter; a test proves that it reads.
pub fn from_starter() -> Result<Catalogue, Vec<Diagnostic>> {
    let tables = starter().tables.iter().map(|(file, text)| ((*file).to_owned(), text.as_bytes().to_vec()));
    from_folder("starter catalogue", &tables.collect::<Vec<_>>())
}

fn build(name: &str, tables: &[Table]) -> Result<Catalogue, Vec<Diagnostic>> {
    let mut built = checked(name, tables);
    let problems = built.as_mut().map_or_else(|errors| errors, |catalogue| &mut catalogue.notices);
    name_columns(tables, problems);
    built
}

fn checked(name: &str, tables: &[Table]) -> Result<Catalogue, Vec<Diagnostic>> {
    let book: Arc<str> = name.into();
    let mut log = Log::default();
    let pages = pages(tables, &Place::File(Arc::clone(&book)), &mut log);
    let page = |sheet: &str| pages.get(sheet);

    let kind_names = Names::of(page("Kinds"), "Kinds", "kind", &mut log);
    let part_names = Names::of(page("Parts"), "Parts", "part", &mut log);
    let supplier_names = Names::of(page("Suppliers"), "Suppliers", "supplier", &mut log);
    let scheme_names = Names::of(page("Schemes"), "Schemes", "scheme", &mut log);

    let sheet = rates::rates(page("Rates"), &mut log);
    let suppliers = suppliers::suppliers(page("Suppliers"), &supplier_names, &sheet.reckoning, &mut log);
    let kinds = kinds::kinds(page("Kinds"), &kind_names, &mut log);
    let mut parts = parts::parts(page("Parts"), &part_names, &kind_names, &kinds, &mut log);
    parts::stock(page("Stock"), &part_names, &mut parts, &mut log);
    let context =
        offers::Context { parts: &part_names, suppliers: &supplier_names, sellers: &suppliers, reckoning: &sheet.reckoning };
    let offers = offers::offers(page("Offers"), &context, &mut log);
    let schemes = schemes::schemes(page("Schemes"), &scheme_names, &mut log);
    let context = assemblies::Context { schemes: &scheme_names, kind_names: &kind_names, kinds: &kinds, parts: &parts };
    let rules = assemblies::assemblies(page("Assemblies"), &context, &mut log);
    let tasks = tasks::tasks(page("Tasks"), &scheme_names, &mut log);
    let turnouts = turnouts::turnouts(page("Turnouts"), &mut log);

    let notices = log.finish()?;
    let catalogue = sheet.rates.and_then(|rates| {
        Some(Catalogue {
            book: Arc::clone(&book),
            notice: sheet.notice,
            kinds: whole(kinds)?,
            parts: whole(parts)?,
            offers: whole(offers)?,
            suppliers: whole(suppliers)?,
            schemes: whole(schemes)?,
            rules: whole(rules)?,
            tasks: whole(tasks)?,
            turnouts: whole(turnouts)?,
            rates,
            notices,
        })
    });
    // A row without a value has its error in the log, so this is met only if a reading forgot to tell what is wrong.
    debug_assert!(catalogue.is_some(), "a wrong row was not told of");
    let mut catalogue = catalogue.ok_or_else(|| {
        let what = "the catalogue cannot be used, and the reason is not known";
        vec![Diagnostic::error(crate::diagnostic::Code::NotAWorkbook, Place::File(book), what)]
    })?;
    catalogue.notices.extend(complete(&catalogue));
    Ok(catalogue)
}

/// All rows, if each has a value.
fn whole<T>(rows: Vec<Option<T>>) -> Option<Vec<T>> {
    rows.into_iter().collect()
}
