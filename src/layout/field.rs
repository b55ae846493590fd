//! Walking the values of a layout file by key, with the path, and reporting what does not fit.

use super::form::Form;
use super::forms::{Fault, Written};
use super::positions::Mark;
use super::raw::{Body, Node};
use super::report::{Report, shown};
use crate::diagnostic::{Code, Diagnostic, Given, Place};

/// A value and its path in the file.
#[derive(Clone)]
pub(super) struct Field<'a> {
    node: &'a Node,
    path: String,
}

impl<'a> Field<'a> {
    /// The whole file.
    pub(super) fn root(node: &'a Node) -> Self {
        Self { node, path: String::new() }
    }

    /// Where it stands.
    pub(super) fn place(&self, report: &Report) -> Place {
        report.place(&self.path, self.node.mark.line, self.node.mark.column)
    }

    /// The last key of its path, as a message names it.
    fn key(&self) -> &str {
        self.path.rsplit('.').next().unwrap_or_default()
    }

    /// Whether it is written as a list.
    pub(super) fn is_list(&self) -> bool {
        matches!(self.node.body, Body::List(_))
    }

    /// The text, if it is written as one, without a report.
    pub(super) fn as_text(&self) -> Option<&'a str> {
        match &self.node.body {
            Body::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The text; reports a value that is none. `expected` says what it should be.
    pub(super) fn text(&self, expected: &str, report: &mut Report) -> Option<&'a str> {
        let text = self.as_text();
        if text.is_none() {
            report.problem(self.wrong_type(expected, report));
        }
        text
    }

    /// The value of a form of text; reports what is wrong with it.
    pub(super) fn read<T: Written>(&self, report: &mut Report) -> Option<T> {
        let text = self.text(T::EXPECTED, report)?;
        match T::read(text.trim()) {
            Ok(value) => Some(value),
            Err(fault) => {
                report.problem(self.fault(fault.or_expected(T::EXPECTED), report));
                None
            }
        }
    }

    /// What is wrong with the text of this field.
    pub(super) fn fault(&self, fault: Fault, report: &Report) -> Diagnostic {
        let mut problem = Diagnostic::error(fault.code, self.place(report), format!("`{}`: {}", self.key(), fault.what));
        problem.found = self.as_text().map(shown);
        problem.expected = fault.expected;
        problem.nearest = fault.nearest;
        problem
    }

    fn wrong_type(&self, expected: &str, report: &Report) -> Diagnostic {
        let found = match &self.node.body {
            Body::Nothing => "nothing".to_owned(),
            Body::Text(text) => shown(text),
            Body::List(_) => "a list".to_owned(),
            Body::Map(_) => "a map of keys and values".to_owned(),
        };
        let what = if self.path.is_empty() {
            "the file does not hold what a layout holds".to_owned()
        } else {
            format!("`{}` is written in a way that cannot be read", self.key())
        };
        let expected = format!("{expected}{}", self.lacks_blank());
        Diagnostic::error(Code::WrongType, self.place(report), what).found(found).expected(expected)
    }

    /// What to say where a sign of YAML runs into its word, so that it is none: `-id: T1`, `id:T1`.
    fn lacks_blank(&self) -> &'static str {
        match &self.node.body {
            Body::Map(entries) if entries.iter().any(|(key, _)| key.text.starts_with('-')) => ", with a blank behind each `-`",
            Body::Text(text) if text.starts_with('-') => ", with a blank behind each `-`",
            Body::Text(text) if text.contains(':') => ", with a blank behind each colon",
            _ => "",
        }
    }

    /// The items of a list; reports a value that is none, or one of too many items.
    pub(super) fn list(&self, expected: &str, report: &mut Report) -> Vec<Field<'a>> {
        let Body::List(items) = &self.node.body else {
            let each = if expected.starts_with("a list") { ", each with a `- ` before its first word" } else { "" };
            report.problem(self.wrong_type(&format!("{expected}{each}"), report));
            return Vec::new();
        };
        // Few enough to compare each with each.
        let most = report.size().items();
        if items.len() > most {
            let what = format!("`{}` has more items than any layout", self.key());
            let many = Diagnostic::error(Code::TooLarge, self.place(report), what);
            report.problem(many.found(format!("{} items", items.len())).expected(format!("at most {most}")));
        }
        let field = |(index, node)| Field { node, path: format!("{}[{index}]", self.path) };
        items.iter().take(most).enumerate().map(field).collect()
    }

    /// The items of a list, or the one text that stands for a list of one.
    pub(super) fn one_or_more(&self, expected: &str, report: &mut Report) -> Vec<Field<'a>> {
        if self.as_text().is_some() { vec![self.clone()] } else { self.list(expected, report) }
    }

    /// The keys and values of a map; reports a value that is none, and keys its form does not have.
    pub(super) fn entry(self, form: &Form, report: &mut Report) -> Option<Entry<'a>> {
        let Body::Map(entries) = &self.node.body else {
            let first = form.names().next().filter(|_| !self.path.is_empty());
            let such_as = first.map(|first| format!(", such as `{first}: …`")).unwrap_or_default();
            let expected = format!("{}, written as keys and values{such_as}", form.title);
            report.problem(self.wrong_type(&expected, report));
            return None;
        };
        for (key, _) in entries.iter().filter(|(key, _)| !form.has(&key.text)) {
            let written = shown(&key.text);
            let (path, found, what) = if key.text.is_empty() {
                (self.path.clone(), "no plain text".to_owned(), "a key must be a plain word".to_owned())
            } else {
                (join(&self.path, &written), written.clone(), format!("`{written}` is not a key of {}", form.title))
            };
            let place = report.place(&path, key.mark.line, key.mark.column);
            let mut unknown = Diagnostic::error(Code::UnknownKey, place, what).one_of(&written, form.names()).found(found);
            if let Some(meant) = form.meant(&key.text) {
                unknown.nearest = vec![meant.to_owned()];
            }
            report.problem(unknown);
        }
        Some(Entry { field: self })
    }
}

/// A map of known keys.
pub(super) struct Entry<'a> {
    field: Field<'a>,
}

impl Entry<'static> {
    /// A map that is not written: every key of it takes its default.
    pub(super) fn nothing(path: &str) -> Self {
        static NOTHING: Node = Node { mark: Mark { line: 1, column: 1 }, body: Body::Map(Vec::new()) };
        Self { field: Field { node: &NOTHING, path: path.to_owned() } }
    }
}

impl<'a> Entry<'a> {
    /// The value of a key; `None` where the key is missing or nothing follows it. Of a key written twice, the first.
    pub(super) fn get(&self, key: &str) -> Option<Field<'a>> {
        let Body::Map(entries) = &self.field.node.body else { return None };
        let (_, node) = entries.iter().find(|(known, _)| known.text == key)?;
        (node.body != Body::Nothing).then(|| Field { node, path: self.path(key) })
    }

    /// The path of a key.
    pub(super) fn path(&self, key: &str) -> String {
        join(&self.field.path, key)
    }

    /// Where the map starts.
    pub(super) fn place(&self, report: &Report) -> Place {
        self.field.place(report)
    }

    /// What to report where a key that must be there is not.
    pub(super) fn missing(&self, key: &str, why: &str, report: &Report) -> Diagnostic {
        let what = format!("`{key}` is missing: {why}");
        Diagnostic::error(Code::MissingKey, self.place(report), what).found("nothing").expected(format!("`{key}: …`"))
    }

    /// The value of a key if it is written and good.
    pub(super) fn optional<T: Written>(
        &self,
        key: &str,
        check: impl Fn(&T) -> Result<(), Fault>,
        report: &mut Report,
    ) -> Option<Given<T>> {
        let field = self.get(key)?;
        let value = field.read::<T>(report)?;
        match check(&value) {
            Ok(()) => Some(Given::new(value, field.place(report))),
            Err(fault) => {
                report.problem(field.fault(fault, report));
                None
            }
        }
    }

    /// The value of a key, or the default, which is listed. A value that cannot be read is reported and replaced, so that reading
    /// goes on.
    pub(super) fn given<T: Written>(
        &self,
        key: &str,
        default: T,
        check: impl Fn(&T) -> Result<(), Fault>,
        report: &mut Report,
    ) -> Given<T> {
        if let Some(field) = self.get(key) {
            return self.optional(key, check, report).unwrap_or_else(|| Given::new(default, field.place(report)));
        }
        let place = report.took(&self.path(key), default.write());
        Given::new(default, place)
    }
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}
