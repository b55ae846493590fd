//! Where each value of a YAML file stands, and whether the file is one that may be read at all.
//!
//! This pass runs before the values are read, so that a file made to eat memory (aliases of aliases, lists in lists without end)
//! is refused while it is still small. It also sees what a reader of values drops: keys written twice.

use std::collections::BTreeMap;
use std::rc::Rc;

use saphyr_parser::{Event, Marker, Parser};

use super::report::{Refused, Report, shown};
use super::slips::not_yaml;
use crate::diagnostic::{Code, Diagnostic};

/// The deepest nesting read; the file's form needs four.
const DEEPEST: usize = 64;
/// The longest single text, in characters.
const LONGEST_TEXT: usize = 1_000;

/// A line and a column in characters, both from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Mark {
    /// The line.
    pub(super) line: u32,
    /// The column.
    pub(super) column: u32,
}

impl From<Marker> for Mark {
    fn from(marker: Marker) -> Self {
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self { line: number(marker.line()), column: number(marker.col()).saturating_add(1) }
    }
}

/// A key and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Key {
    /// As written; empty where it is no plain text.
    pub(super) text: String,
    /// Where it stands.
    pub(super) mark: Mark,
}

/// A value's place and the places within it. Aliases share what they stand for.
#[derive(Debug)]
pub(super) struct Located {
    /// Where the value starts.
    pub(super) mark: Mark,
    /// What is in it.
    pub(super) within: Within,
    /// How many values it is, aliases followed.
    values: usize,
    /// How deep it nests.
    height: usize,
}

/// What is within a value.
#[derive(Debug)]
pub(super) enum Within {
    /// A single text, as written.
    Text(String),
    /// The values of a list.
    List(Vec<Rc<Located>>),
    /// Keys and values, in the order written; a key may come twice.
    Map(Vec<(Key, Rc<Located>)>),
}

/// A list or map that is still open.
struct Open {
    mark: Mark,
    anchor: usize,
    within: Within,
    /// The key whose value comes next.
    key: Option<Key>,
    /// The keys so far, with their lines.
    seen: BTreeMap<String, u32>,
    values: usize,
    height: usize,
}

/// Finds the places of all values. `None` for a file without any. Keys written twice are reported, and reading goes on.
///
/// # Errors
/// What makes the file impossible to read: it is no YAML, or too large, deep or repetitive.
pub(super) fn locate(text: &str, report: &mut Report) -> Result<Option<Rc<Located>>, Refused> {
    let most = report.size().layout_bytes();
    if text.len() > most {
        let what = "the file is far larger than any layout";
        let large = fault(Code::TooLarge, Mark { line: 1, column: 1 }, what, report).found(format!("{} bytes", text.len()));
        return Err(report.refuse(large.expected(format!("at most {most} bytes"))));
    }
    let mut pass = Pass { open: Vec::new(), anchors: BTreeMap::new(), values: 0, aliased: 0, root: None, report };
    let mut parser = Parser::new_from_str(text);
    let mut started = false;
    while let Some(next) = parser.next_event() {
        let (event, span) = match next {
            Ok(next) => next,
            // The scanner looks ahead and meets its own limit first.
            Err(error) if error.info() == "recursion limit exceeded" => return Err(pass.too_deep((*error.marker()).into())),
            Err(error) => return Err(not_yaml(text, (*error.marker()).into(), error.info(), pass.report)),
        };
        let mark = Mark::from(span.start);
        match event {
            Event::DocumentStart(_) => {
                if std::mem::replace(&mut started, true) {
                    let what = "a second document starts here; a file holds one layout";
                    let second = fault(Code::NotYaml, mark, what, pass.report).found("---");
                    return Err(pass.report.refuse(second.expected("one document")));
                }
            }
            Event::Scalar(text, _, anchor, tag) => {
                pass.refuse_tag(tag.is_some(), mark);
                let length = text.chars().take(LONGEST_TEXT + 1).count();
                if length > LONGEST_TEXT {
                    let what = "this text is far longer than any a layout holds";
                    let long = fault(Code::TooLarge, mark, what, pass.report).found(shown(&text));
                    return Err(pass.report.refuse(long.expected(format!("at most {LONGEST_TEXT} characters"))));
                }
                let located = Located { mark, within: Within::Text(text.into_owned()), values: 1, height: 0 };
                pass.close(Rc::new(located), anchor)?;
            }
            Event::SequenceStart(anchor, tag) => {
                pass.refuse_tag(tag.is_some(), mark);
                pass.open(mark, anchor, Within::List(Vec::new()))?;
            }
            Event::MappingStart(anchor, tag) => {
                pass.refuse_tag(tag.is_some(), mark);
                pass.open(mark, anchor, Within::Map(Vec::new()))?;
            }
            Event::SequenceEnd | Event::MappingEnd => {
                if let Some(done) = pass.open.pop() {
                    let Open { mark, anchor, within, values, height, .. } = done;
                    pass.close(Rc::new(Located { mark, within, values, height }), anchor)?;
                }
            }
            Event::Alias(anchor) => pass.alias(mark, anchor)?,
            Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
        }
    }
    Ok(pass.root)
}

/// The state of the pass.
struct Pass<'r> {
    open: Vec<Open>,
    anchors: BTreeMap<usize, Rc<Located>>,
    values: usize,
    aliased: usize,
    root: Option<Rc<Located>>,
    report: &'r mut Report,
}

impl Pass<'_> {
    fn open(&mut self, mark: Mark, anchor: usize, within: Within) -> Result<(), Refused> {
        if self.open.len() >= DEEPEST {
            return Err(self.too_deep(mark));
        }
        self.open.push(Open { mark, anchor, within, key: None, seen: BTreeMap::new(), values: 1, height: 0 });
        Ok(())
    }

    /// A value is complete: it becomes the root, an item, a key, or the value of a key.
    fn close(&mut self, value: Rc<Located>, anchor: usize) -> Result<(), Refused> {
        self.values = self.values.saturating_add(1);
        let most = self.report.size().values();
        if self.values > most {
            let what = "the file holds more values than any layout";
            return Err(self.refuse(Code::TooLarge, value.mark, what, &format!("at most {most} values")));
        }
        if anchor != 0 {
            self.anchors.insert(anchor, value.clone());
        }
        self.place(value.mark, value);
        Ok(())
    }

    fn alias(&mut self, mark: Mark, anchor: usize) -> Result<(), Refused> {
        let Some(value) = self.anchors.get(&anchor).cloned() else {
            let what = "this alias stands within the value it repeats";
            return Err(self.refuse(Code::Ring, mark, what, "an alias of a value that ends before it"));
        };
        self.aliased = self.aliased.saturating_add(value.values);
        let most = self.report.size().aliased();
        if self.aliased > most {
            let what = "the aliases of this file repeat more than any layout does";
            return Err(self.refuse(Code::TooLarge, mark, what, &format!("aliases that stand for at most {most} values")));
        }
        if self.open.len().saturating_add(value.height) > DEEPEST {
            return Err(self.too_deep(mark));
        }
        self.place(mark, value);
        Ok(())
    }

    fn place(&mut self, mark: Mark, value: Rc<Located>) {
        let Some(open) = self.open.last_mut() else {
            self.root = Some(value);
            return;
        };
        open.values = open.values.saturating_add(value.values);
        open.height = open.height.max(value.height.saturating_add(1));
        match (&mut open.within, open.key.take()) {
            (Within::List(items), _) => items.push(value),
            (Within::Map(entries), Some(key)) => entries.push((key, value)),
            (Within::Map(_), None) => {
                let text = match &value.within {
                    Within::Text(text) => text.clone(),
                    _ => String::new(),
                };
                if let Some(first) = open.seen.get(&text) {
                    let what = format!("`{}` is written twice", shown(&text));
                    let twice = fault(Code::DuplicateKey, mark, what, self.report)
                        .found(shown(&text))
                        .expected(format!("each key once; the first is in line {first}"));
                    self.report.problem(twice);
                }
                open.seen.entry(text.clone()).or_insert(mark.line);
                open.key = Some(Key { text, mark });
            }
            (Within::Text(_), _) => {}
        }
    }

    fn too_deep(&mut self, mark: Mark) -> Refused {
        let what = "lists and maps are nested far deeper here than in any layout";
        self.refuse(Code::TooLarge, mark, what, &format!("at most {DEEPEST} levels"))
    }

    fn refuse(&mut self, code: Code, mark: Mark, what: &str, expected: &str) -> Refused {
        let problem = fault(code, mark, what, self.report).expected(expected);
        self.report.refuse(problem)
    }

    fn refuse_tag(&mut self, tagged: bool, mark: Mark) {
        if tagged {
            let what = "a type tag (`!…`) has no meaning in a layout";
            let tag = fault(Code::WrongType, mark, what, self.report).found("a tag").expected("the value without a tag");
            self.report.problem(tag);
        }
    }
}

/// Something wrong at a place of the file.
pub(super) fn fault(code: Code, mark: Mark, what: impl Into<String>, report: &Report) -> Diagnostic {
    Diagnostic::error(code, report.place("", mark.line, mark.column), what)
}
