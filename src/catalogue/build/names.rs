//! The names of a sheet, by which other sheets refer to its rows.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::field::Field;
use super::log::Log;
use super::page::Page;
use crate::diagnostic::{Code, Diagnostic};
use crate::name::folded;

/// Characters of a name.
const LONGEST: usize = 200;

/// The names of a sheet: row by row, and folded to find them.
#[derive(Debug, Clone)]
pub(super) struct Names {
    /// The sheet.
    pub(super) sheet: &'static str,
    /// The column the names stand in.
    pub(super) column: &'static str,
    /// The names as written, in the order of rows.
    pub(super) written: Vec<String>,
    /// The index of each folded name.
    found: BTreeMap<String, usize>,
    /// The sheet or the column is missing, which has been told.
    unread: bool,
}

impl Names {
    /// The names in `column` of a page, each once.
    pub(super) fn of(page: Option<&Page<'_>>, sheet: &'static str, column: &'static str, log: &mut Log) -> Self {
        let unread = page.is_none_or(|page| !page.has(column));
        let mut names = Self { sheet, column, written: Vec::new(), found: BTreeMap::new(), unread };
        for row in page.into_iter().flat_map(Page::rows) {
            let field = row.field(column);
            let name = field.text(log).unwrap_or_default();
            if name.chars().count() > LONGEST {
                let what = format!("the name is longer than {LONGEST} characters");
                log.push(Diagnostic::error(Code::OutOfRange, field.place.clone(), what));
            }
            let index = names.written.len();
            names.written.push(name.to_owned());
            if name.is_empty() {
                continue;
            }
            if *names.found.entry(folded(name)).or_insert(index) != index {
                let what = format!("`{name}` stands twice in the sheet {sheet}; capital letters do not tell names apart");
                log.push(Diagnostic::error(Code::DuplicateId, field.place, what).found(name).expected("each name once"));
            }
        }
        names
    }

    /// The row that a name stands in.
    pub(super) fn index(&self, name: &str) -> Option<usize> {
        self.found.get(&folded(name)).copied()
    }

    /// The row that a cell names; an error where there is none.
    pub(super) fn refer(&self, field: &Field<'_>, log: &mut Log) -> Option<usize> {
        let name = field.text(log)?;
        let index = self.index(name);
        if index.is_none() && !self.unread {
            log.unknown(field.place.clone(), name, self);
        }
        index
    }

    /// The name of a row, to keep.
    pub(super) fn shared(&self, index: usize) -> Arc<str> {
        self.written.get(index).map(String::as_str).unwrap_or_default().into()
    }
}
