//! What is wrong with a file that is no YAML, in plain words.

use super::positions::{Mark, fault};
use super::report::{Refused, Report, shown};
use crate::diagnostic::Code;

/// What YAML looks like, for those who have never heard of it.
const EXPECTED: &str = "YAML: `key: value` lines, lists of `- ` items, texts with `: ` or ` #` in quotes";

/// Reports why a reader of YAML stopped at a place, by what it said of it.
pub(super) fn not_yaml(text: &str, mark: Mark, said: &str, report: &mut Report) -> Refused {
    let slip = indented_by_tab(text, mark.line).or_else(|| tab_before_value(text, mark)).unwrap_or_else(|| Slip {
        mark,
        what: match in_plain_words(said) {
            Some(words) => words.to_owned(),
            None => format!("the file cannot be read as YAML beyond this place: {}", shown(said)),
        },
        expected: EXPECTED,
    });
    let problem = fault(Code::NotYaml, slip.mark, slip.what, report).expected(slip.expected);
    let line = line_of(text, slip.mark.line).trim();
    report.refuse(if line.is_empty() { problem } else { problem.found(shown(line)) })
}

/// One thing that is wrong.
struct Slip {
    mark: Mark,
    what: String,
    expected: &'static str,
}

fn line_of(text: &str, line: u32) -> &str {
    text.lines().nth(line.saturating_sub(1) as usize).unwrap_or("")
}

/// A tab that indents the line where the reader stopped or, since it may stop before the line that broke it off, the next one with something
/// in it.
fn indented_by_tab(text: &str, line: u32) -> Option<Slip> {
    let from = line.saturating_sub(1) as usize;
    let mut near = (line..).zip(text.lines().skip(from)).filter(|(at, text)| *at == line || !text.trim().is_empty()).take(2);
    near.find_map(|(line, text)| {
        let tab = text.chars().take_while(|c| c.is_whitespace()).position(|c| c == '\t')?;
        Some(Slip {
            mark: Mark { line, column: column(tab) },
            what: "this line is indented by a tab: indent with spaces, since YAML takes nothing else".to_owned(),
            expected: "a line indented with spaces, as many as its neighbours have",
        })
    })
}

/// A tab just before the place where the reader stopped.
fn tab_before_value(text: &str, mark: Mark) -> Option<Slip> {
    let at = mark.column as usize;
    let from = at.saturating_sub(2);
    let tab = line_of(text, mark.line).chars().take(at).skip(from).position(|c| c == '\t')?;
    Some(Slip {
        mark: Mark { column: column(from.saturating_add(tab)), ..mark },
        what: "a tab stands between key and value, and YAML takes spaces alone".to_owned(),
        expected: "a space in its place",
    })
}

/// A column, counted from 1.
fn column(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX).saturating_add(1)
}

/// What a reader of YAML says, for those who do not know its parts.
fn in_plain_words(said: &str) -> Option<&'static str> {
    const WORDS: [(&str, &str); 8] = [
        (
            "mapping values are not allowed",
            "this `key: value` does not fit what stands before it: the line above lacks its colon, this one is indented too far, or a text with `: ` in it is not in quotes",
        ),
        ("expected '-' indicator", "this line is indented otherwise than those it belongs to"),
        ("did not find expected key", "this line is indented otherwise than those it belongs to"),
        ("unexpected character", "a text cannot begin with this sign unless it stands in quotes"),
        ("parsing a flow", "a bracket that was opened before is not closed, or a comma is missing between two things in it"),
        ("expected <block end>", "this line is indented otherwise than those it belongs to"),
        ("scanning a quoted scalar", "a quotation mark is opened here and never closed"),
        ("expected node content", "a value is wanted here, or a bracket that was opened before is never closed"),
    ];
    WORDS.iter().find(|(sign, _)| said.contains(sign)).map(|(_, words)| *words)
}
