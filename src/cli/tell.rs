//! Tells on standard error what is wrong.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::process::ExitCode;

use super::output::terminal_width;
use super::stop::{BAD, FileTrouble, NO_FILE, Stop};
use crate::diagnostic::{Diagnostic, Excerpt, Place, Severity};
use crate::report::{display_width, harmless, wrap};

/// Tells why the program stops and gives its exit code.
pub(super) fn tell(stop: &Stop) -> ExitCode {
    let (lines, code) = match stop {
        Stop::Bad { problems, text, unchecked } => {
            let errors = problems.iter().filter(|problem| problem.severity == Severity::Error).count();
            let unchecked = unchecked.map(|unchecked| format!("{unchecked}\n"));
            let sum = (errors > 1).then(|| format!("{errors} errors\n"));
            let told = few_of_each(problems, |problem| told(problem, text, width()));
            (told.into_iter().chain(unchecked).chain(sum).collect::<Vec<_>>().join("\n"), BAD)
        }
        Stop::Files(troubles) => {
            let mut told: String = troubles.iter().map(error).collect();
            if troubles.iter().any(FileTrouble::yields_to_force) {
                told += &hanging("  ", "To replace what is there, add `--force`.", width());
            }
            (told, NO_FILE)
        }
        Stop::There(files, instead) => {
            let told: String = files.iter().map(|file| error(&FileTrouble::Exists(file.clone()))).collect();
            (told + &hanging("  ", instead, width()), NO_FILE)
        }
        Stop::Unread => (String::new(), 0),
    };
    to_stderr(&lines);
    ExitCode::from(code)
}

/// So many problems of one code in one column of a sheet are told; of more, how many.
const FEW: usize = 5;

/// Every problem as `told`, save that of many alike in one column of a sheet only the first few are, and how many more there are.
fn few_of_each(problems: &[Diagnostic], told: impl Fn(&Diagnostic) -> String) -> Vec<String> {
    let kind = |problem: &Diagnostic| match (&problem.place, &problem.column) {
        (Place::Cell { sheet, .. }, Some(column)) => Some((problem.code.as_str(), sheet.clone(), column.clone())),
        _ => None,
    };
    let mut all: BTreeMap<_, usize> = BTreeMap::new();
    for kind in problems.iter().filter_map(kind) {
        let count = all.entry(kind).or_default();
        *count = count.saturating_add(1);
    }
    let mut met: BTreeMap<_, usize> = BTreeMap::new();
    let tell = |problem: &Diagnostic| {
        let Some(kind) = kind(problem) else { return Some(told(problem)) };
        let more = all.get(&kind).copied().unwrap_or_default().saturating_sub(FEW);
        let before = met.entry(kind.clone()).or_default();
        let nth = *before;
        *before = before.saturating_add(1);
        let (code, sheet, column) = kind;
        match nth {
            _ if nth < FEW || more == 1 => Some(told(problem)),
            FEW => Some(format!("{more} more like this: [{code}] in sheet {sheet}, column {column}\n")),
            _ => None,
        }
    };
    problems.iter().filter_map(tell).collect()
}

/// One file that could not be read or written. Its path is not broken into lines.
fn error(trouble: &FileTrouble) -> String {
    hanging("error: ", &trouble.to_string(), usize::MAX)
}

/// As many columns as messages take.
fn width() -> usize {
    usize::from(terminal_width().unwrap_or(100)).min(120)
}

/// Tells what was passed over in reading.
pub(super) fn tell_notices(notices: &[Diagnostic]) {
    to_stderr(&notices.iter().map(|notice| told(notice, "", width())).collect::<Vec<_>>().join("\n"));
}

fn to_stderr(text: &str) {
    // Where nobody hears, there is nobody to tell.
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// One diagnostic as lines of text: what, where, the line with a mark under the place, what was found and expected, and the nearest name.
fn told(problem: &Diagnostic, text: &str, width: usize) -> String {
    let word = match problem.severity {
        Severity::Error => "error",
        Severity::Notice => "notice",
    };
    let mut out = hanging(&format!("{word}[{}]: ", problem.code.as_str()), &problem.what, width);
    out += &hanging("  in ", &place(problem), width);
    out += &match (&problem.place, &problem.excerpt) {
        (_, Some(excerpt)) => marked(&excerpt.text, excerpt.line, excerpt.column, width),
        (&Place::Yaml { line, column, .. }, _) => {
            let row = (line as usize).checked_sub(1).and_then(|row| text.lines().nth(row));
            row.map(|row| marked(row, line, column, width)).unwrap_or_default()
        }
        _ => String::new(),
    };
    for (mark, value) in [("  found: ", &problem.found), ("  expected: ", &problem.expected)] {
        if let Some(value) = value {
            out += &hanging(mark, value, width);
        }
    }
    if !problem.nearest.is_empty() {
        let nearest: Vec<String> = problem.nearest.iter().map(|name| format!("`{name}`")).collect();
        out += &hanging("  did you mean ", &format!("{}?", nearest.join(" or ")), width);
    }
    out
}

/// Where it stands: file, line and column of a text; sheet and cell of a workbook; and the name of the column.
fn place(problem: &Diagnostic) -> String {
    let column = problem.column.as_deref();
    match (&problem.place, &problem.excerpt) {
        (Place::Cell { cell, .. }, Some(Excerpt { file, line, column: at, .. })) => {
            let column = column.map(|column| format!("{column}, ")).unwrap_or_default();
            format!("{file}:{line}:{at} ({column}cell {cell})")
        }
        (place, _) => column.map_or_else(|| place.to_string(), |column| format!("{place} ({column})")),
    }
}

/// Words after a mark, in lines, the further ones under the first.
pub(super) fn hanging(mark: &str, words: &str, width: usize) -> String {
    let indent = mark.chars().count();
    let lines = wrap(&harmless(words), width.saturating_sub(indent).max(20));
    format!("{mark}{}\n", lines.join(&format!("\n{}", " ".repeat(indent))))
}

/// A line of a file, by its number, with a caret under a column. Of a long line only what is around the column.
fn marked(written: &str, line: u32, column: u32, width: usize) -> String {
    let Some(column) = (column as usize).checked_sub(1) else { return String::new() };
    let number = format!("{line:>6} │ ");
    let room = width.saturating_sub(number.chars().count()).saturating_sub(4).max(20);
    // From far enough before the column to see what stands there.
    let from = if column.saturating_add(10) > room { column.saturating_sub(room / 2) } else { 0 };
    let mut shown = if from > 0 { "… ".to_owned() } else { String::new() };
    let mut caret = None;
    let mut rest = (0..).zip(written.chars()).skip(from).peekable();
    while let Some((at, c)) = rest.next() {
        if at == column {
            caret = Some(display_width(&shown));
        }
        if display_width(&shown) >= room {
            shown += if rest.peek().is_some() { " …" } else { "" };
            break;
        }
        shown += &harmless(&c.to_string());
    }
    // A place behind the last letter.
    let caret = caret.unwrap_or_else(|| display_width(&shown));
    format!("{number}{shown}\n{:>6} │ {}^\n", "", " ".repeat(caret))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Code;

    fn at(line: u32, column: u32) -> Place {
        Place::Yaml { file: "a.yaml".into(), path: "turnouts[0].frog".into(), line, column }
    }

    #[test]
    fn the_caret_stands_under_the_place() {
        let text = "turnouts:\n  - id: T1\n    frog:\tlife\n";
        let problem = Diagnostic::error(Code::UnknownWord, at(3, 11), "this is no sort of frog")
            .one_of("life", ["insulated", "live", "blade fed"]);
        let told = told(&problem, text, 80);
        assert_eq!(
            told,
            "error[unknown-word]: this is no sort of frog
  in a.yaml:3:11 (turnouts[0].frog)
     3 │     frog: life
       │           ^
  found: life
  expected: one of insulated, live, blade fed
  did you mean `live`?
"
        );
    }

    #[test]
    fn of_many_alike_in_one_column_the_first_few_are_told() {
        let cell = |row: usize, column: &str| {
            let place = Place::Cell { book: "b".into(), sheet: "Offers".into(), cell: format!("G{row}").into() };
            Diagnostic { column: Some(column.into()), ..Diagnostic::error(Code::WrongType, place, format!("{column} {row}")) }
        };
        let mut problems: Vec<Diagnostic> = (0..84).map(|row| cell(row, "checked on")).collect();
        problems.push(cell(84, "price"));
        let told = few_of_each(&problems, |problem| problem.what.clone());
        assert_eq!(told.len(), FEW + 2, "{told:?}");
        assert_eq!(told[FEW], format!("79 more like this: [{}] in sheet Offers, column checked on\n", Code::WrongType.as_str()));
        assert_eq!(told[FEW + 1], "price 84");
        // To say that there is one more takes as much room as to say it.
        assert_eq!(few_of_each(&problems[..=FEW], |problem| problem.what.clone()).len(), FEW + 1);
    }

    #[test]
    fn of_a_long_line_what_is_around_the_place_is_shown() {
        let text = format!("{}x: [1, 2]{}", " a".repeat(400), " b".repeat(400));
        let told = marked(&text, 1, 801, 60);
        let lines: Vec<&str> = told.lines().collect();
        let caret = display_width(lines[1].trim_end_matches('^'));
        assert_eq!(lines[0].chars().nth(caret), Some('x'));
        assert!(lines.iter().all(|line| display_width(line) <= 60), "{told}");
    }

    #[test]
    fn a_place_beyond_the_text_shows_nothing_and_codes_are_not_obeyed() {
        let problem = |line, column| told(&Diagnostic::error(Code::NotYaml, at(line, column), "x"), "a\n", 80);
        assert_eq!(problem(9, 1), "error[not-yaml]: x\n  in a.yaml:9:1 (turnouts[0].frog)\n");
        assert_eq!(problem(0, 0), "error[not-yaml]: x\n  in a.yaml:0:0 (turnouts[0].frog)\n");
        assert_eq!(marked("\u{1b}[2Jx", 1, 5, 80), "     1 │ \\u{1b}[2Jx\n       │          ^\n");
    }
}
