//! What reading a layout file collects: what is wrong with it, and which defaults were taken.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::model::DefaultTaken;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::size::Size;

/// The most problems listed. A file with more is no layout with mistakes in it, and nobody reads further.
const MOST_PROBLEMS: usize = 500;
/// The most pairs of letters compared in search of nearest names: enough for hundreds of slips in a large layout.
const MOST_COMPARED: usize = 20_000_000;

/// The file cannot be read any further; what stops it has been reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Refused;

/// Problems and defaults, as they are met.
pub(super) struct Report {
    file: Arc<str>,
    problems: Vec<Diagnostic>,
    unlisted: usize,
    compared: usize,
    defaults: Vec<DefaultTaken>,
    size: Size,
}

impl Report {
    /// Nothing met yet in `file`, which may be so large.
    pub(super) fn new(file: &str, size: Size) -> Self {
        Self { file: file.into(), problems: Vec::new(), unlisted: 0, compared: 0, defaults: Vec::new(), size }
    }

    /// How large the file may be.
    pub(super) fn size(&self) -> Size {
        self.size
    }

    /// A place in the file. Line and column count from 1.
    pub(super) fn place(&self, path: &str, line: u32, column: u32) -> Place {
        Place::Yaml { file: self.file.clone(), path: path.into(), line, column }
    }

    /// The file as the user named it.
    pub(super) fn file(&self) -> &Arc<str> {
        &self.file
    }

    /// Something is wrong.
    pub(super) fn problem(&mut self, problem: Diagnostic) {
        if self.is_full() {
            self.unlisted = self.unlisted.saturating_add(1);
        } else {
            self.problems.push(problem);
        }
    }

    /// Whether anything of a code has been told.
    pub(super) fn has(&self, code: Code) -> bool {
        self.problems.iter().any(|problem| problem.code == code)
    }

    /// Something is wrong that stops the reading.
    pub(super) fn refuse(&mut self, problem: Diagnostic) -> Refused {
        self.problem(problem);
        Refused
    }

    /// Whether to look for the nearest name at the price of comparing so many pairs of letters.
    pub(super) fn may_compare(&mut self, pairs: usize) -> bool {
        self.compared = self.compared.saturating_add(pairs);
        self.compared <= MOST_COMPARED
    }

    /// Whether no more problems are listed.
    pub(super) fn is_full(&self) -> bool {
        self.problems.len() >= MOST_PROBLEMS
    }

    /// A default is taken; gives the place of the value.
    pub(super) fn took(&mut self, path: &str, value: impl Into<String>) -> Place {
        let path: Arc<str> = path.into();
        self.defaults.push(DefaultTaken { path: path.clone(), value: value.into() });
        Place::Default(path)
    }

    /// The defaults taken, or all that is wrong in the order of the file.
    pub(super) fn finish(mut self) -> Result<Vec<DefaultTaken>, Vec<Diagnostic>> {
        if self.problems.is_empty() {
            return Ok(by_item(self.defaults));
        }
        self.problems.sort_by_key(|problem| line_and_column(&problem.place));
        if self.unlisted > 0 {
            let what = format!("{} more things are wrong with this file; mend the first ones and read it again", self.unlisted);
            self.problems.push(Diagnostic::error(Code::TooLarge, Place::File(self.file), what));
        }
        Err(self.problems)
    }
}

/// Brings the defaults of one item, such as `turnouts[2]`, together where its first one stands.
fn by_item(defaults: Vec<DefaultTaken>) -> Vec<DefaultTaken> {
    let mut items: BTreeMap<String, Vec<DefaultTaken>> = BTreeMap::new();
    let mut order = Vec::new();
    for default in defaults {
        let item = default.path.split_inclusive(']').next().unwrap_or_default().to_owned();
        let of_item = items.entry(item.clone()).or_default();
        if of_item.is_empty() {
            order.push(item);
        }
        of_item.push(default);
    }
    order.iter().filter_map(|item| items.remove(item)).flatten().collect()
}

fn line_and_column(place: &Place) -> (u32, u32) {
    match place {
        Place::Yaml { line, column, .. } => (*line, *column),
        _ => (0, 0),
    }
}

/// Text of the file as it may be shown: short, and without control codes.
pub(super) fn shown(text: &str) -> String {
    const LONGEST: usize = 80;
    let mut shown: String = text.chars().take(LONGEST).map(|c| if is_printable(c) { c } else { '\u{FFFD}' }).collect();
    if text.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

/// Whether a character can stand in a name: no control code, and nothing that is invisible or turns the direction of writing.
pub(super) fn is_printable(c: char) -> bool {
    !c.is_control()
        && !matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn problems_come_in_the_order_of_the_file_and_no_more_than_can_be_read() {
        let mut report = Report::new("f", Size::Usual);
        for line in (1..=MOST_PROBLEMS + 7).rev() {
            let place = report.place("", u32::try_from(line).unwrap(), 1);
            report.problem(Diagnostic::error(Code::WrongType, place, "x"));
        }
        let problems = report.finish().unwrap_err();
        assert_eq!(problems.len(), MOST_PROBLEMS + 1);
        assert!(problems.windows(2).take(MOST_PROBLEMS - 1).all(|w| line_and_column(&w[0].place) < line_and_column(&w[1].place)));
        assert!(problems.last().unwrap().what.starts_with("7 more things"));
    }

    #[test]
    fn text_is_shown_short_and_without_control_codes() {
        assert_eq!(shown("a\u{1b}[31mb"), "a\u{FFFD}[31mb");
        assert_eq!(shown(&"x".repeat(81)), format!("{}…", "x".repeat(80)));
    }
}
