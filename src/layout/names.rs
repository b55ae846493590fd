//! The names of things of one sort, and what refers to them.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::field::{Entry, Field};
use super::report::{Report, is_printable, shown};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::name::{folded, nearest};

/// The longest name, in characters.
const LONGEST: usize = 200;
/// Up to so many valid names are all listed in a message.
const LISTED: usize = 12;

/// The names of things of one sort, told apart as people see them.
pub(super) struct Names {
    sort: &'static str,
    known: BTreeMap<String, (usize, Place)>,
    all: Vec<Arc<str>>,
    /// Whether the list itself could not be read, so that a name may be one of those not seen.
    pub(super) unsure: bool,
}

impl Names {
    /// No names yet of things of a sort, such as `board`.
    pub(super) fn new(sort: &'static str) -> Self {
        Self { sort, known: BTreeMap::new(), all: Vec::new(), unsure: false }
    }

    /// Reads the `id` of an entry and adds it. A missing, bad or taken name is reported; the thing is then added without a name,
    /// so that the names of the others stay in step with their list.
    pub(super) fn add(&mut self, entry: &Entry<'_>, report: &mut Report) -> Arc<str> {
        let id = if let Some(field) = entry.get("id") {
            name(&field, report).map(|name| (name, field.place(report)))
        } else {
            report.problem(entry.missing("id", &format!("each {} needs a name of its own", self.sort), report));
            None
        };
        let index = self.all.len();
        let name = id.as_ref().map_or_else(|| Arc::from(""), |(name, _)| name.clone());
        self.all.push(name.clone());
        if let Some((name, place)) = id {
            self.claim(&name, index, place, report);
        }
        name
    }

    /// Adds a name that the tool gives.
    pub(super) fn push(&mut self, name: &Arc<str>, place: Place) {
        self.known.insert(folded(name), (self.all.len(), place));
        self.all.push(name.clone());
    }

    fn claim(&mut self, name: &str, index: usize, place: Place, report: &mut Report) {
        match self.known.entry(folded(name)) {
            std::collections::btree_map::Entry::Vacant(free) => {
                free.insert((index, place));
            }
            std::collections::btree_map::Entry::Occupied(taken) => {
                let first = match &taken.get().1 {
                    Place::Yaml { line, .. } => format!("the first `{name}` is in line {line}"),
                    other => other.to_string(),
                };
                let what = format!("two things are named `{name}`");
                let twice = Diagnostic::error(Code::DuplicateId, place, what);
                report.problem(twice.found(name).expected(format!("a name used once; {first}")));
            }
        }
    }

    /// The index of a name, if it is known.
    pub(super) fn index(&self, name: &str) -> Option<usize> {
        self.known.get(&folded(name)).map(|(index, _)| *index)
    }

    /// Where the thing of a name is written.
    pub(super) fn place(&self, name: &str) -> Option<&Place> {
        self.known.get(&folded(name)).map(|(_, place)| place)
    }

    /// The index of the thing a field names; reports a name that is not known.
    pub(super) fn find(&self, field: &Field<'_>, report: &mut Report) -> Option<usize> {
        self.find_other(field, None, report)
    }

    /// As [`Names::find`]; for a thing that names another, which is not told to name itself.
    pub(super) fn find_other(&self, field: &Field<'_>, own: Option<usize>, report: &mut Report) -> Option<usize> {
        let name = field.text("a name", report)?.trim().to_owned();
        let found = self.index(&name);
        if found.is_none() && !self.unsure && !report.is_full() {
            let valid: Vec<&str> = self.valid(own).collect();
            let mut unknown = Diagnostic::error(
                Code::UnknownId,
                field.place(report),
                format!("there is no {} named `{}`", self.sort, shown(&name)),
            )
            .found(shown(&name))
            .expected(self.expected(&valid));
            // The nearest name is sought in time that grows with both lengths.
            let letters: usize = valid.iter().map(|name| name.len().min(64)).sum();
            if report.may_compare(letters.saturating_mul(name.len().min(64))) {
                unknown.nearest = nearest(&name, valid);
            }
            let parts: Vec<&str> = name.split([',', ' ']).map(str::trim).filter(|part| !part.is_empty()).collect();
            if parts.len() > 1 && parts.iter().all(|part| self.index(part).is_some()) {
                unknown = unknown.expected("a list in square brackets with commas between");
                unknown.nearest = vec![format!("[{}]", parts.join(", "))];
            }
            report.problem(unknown);
        }
        found
    }

    fn valid(&self, own: Option<usize>) -> impl Iterator<Item = &str> {
        self.all.iter().enumerate().filter(move |(at, name)| Some(*at) != own && !name.is_empty()).map(|(_, name)| name.as_ref())
    }

    fn expected(&self, valid: &[&str]) -> String {
        match valid {
            [] => format!("nothing: the file has no other {}", self.sort),
            [only] => format!("`{only}`, the only {}", self.sort),
            few if few.len() <= LISTED => format!("one of {}", few.join(", ")),
            many => format!("the id of a {}; the file has {}", self.sort, many.len()),
        }
    }
}

/// Reads a name: not empty, not too long, printable.
pub(super) fn name(field: &Field<'_>, report: &mut Report) -> Option<Arc<str>> {
    let text = field.text("a name", report)?.trim();
    let fault = if text.is_empty() {
        Some("a name cannot be empty")
    } else if text.chars().nth(LONGEST).is_some() {
        Some("this name is too long to print")
    } else if !text.chars().all(is_printable) {
        Some("this name holds characters that cannot be printed")
    } else {
        None
    };
    if let Some(what) = fault {
        let bad = Diagnostic::error(Code::OutOfRange, field.place(report), what);
        report.problem(
            bad.found(if text.is_empty() { "nothing".to_owned() } else { shown(text) })
                .expected(format!("1 to {LONGEST} printable characters")),
        );
        return None;
    }
    Some(text.into())
}
