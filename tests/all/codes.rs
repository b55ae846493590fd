//! Every code of an error is explained, and has one smallest bad file under `tests/bad` that raises it and nothing else.
//!
//! `CODE.yaml` is a layout, `CODE.xlsx` a catalogue; `CODE.Sheet.csv` takes the place of that sheet of the small catalogue, and an empty
//! one leaves it out.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use underboard::diagnostic::Code;
use underboard::findings::SORTS;

use crate::program::{Desk, Ran};
use crate::support::small_but;

const GOOD: &str = "turnouts: [{id: T1}]\n";

fn bad_files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad");
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

/// The parts of a file's name between its points.
fn parts(path: &Path) -> Vec<&str> {
    path.file_name().unwrap().to_str().unwrap().split('.').collect()
}

fn check(path: &Path) -> Ran {
    let bytes = fs::read(path).unwrap();
    match parts(path).as_slice() {
        [_, "yaml"] => Desk::new().file("bad.yaml", bytes).run(&["check", "bad.yaml", "--scheme", "servo-made"]),
        [_, "xlsx"] => {
            Desk::new().file("good.yaml", GOOD).file("bad.xlsx", bytes).run(&["check", "good.yaml", "--catalogue", "bad.xlsx"])
        }
        [_, sheet, "csv"] => {
            let sheets = small_but(sheet, std::str::from_utf8(&bytes).unwrap());
            let desk = Desk::new().file("good.yaml", GOOD).tables("book", &sheets);
            desk.run(&["bill", "good.yaml", "--catalogue", "book"])
        }
        _ => panic!("{} is named in no known way", path.display()),
    }
}

/// The codes in square brackets behind `error` or `notice`.
fn told(stderr: &str) -> BTreeSet<&str> {
    let marks = ["error[", "notice["];
    stderr
        .lines()
        .filter_map(|line| marks.iter().find_map(|mark| line.strip_prefix(mark))?.split_once(']'))
        .map(|(code, _)| code)
        .collect()
}

#[test]
fn each_code_has_a_smallest_bad_file_that_raises_it_and_no_other() {
    let files = bad_files();
    let named: BTreeSet<&str> = files.iter().map(|path| parts(path)[0]).collect();
    let codes: BTreeSet<&str> = Code::ALL.iter().map(|code| code.as_str()).collect();
    assert_eq!(named, codes);
    assert_eq!(files.len(), codes.len(), "one file each");
    for path in &files {
        let ran = check(path);
        let code = parts(path)[0];
        assert_eq!(told(&ran.stderr), BTreeSet::from([code]), "{}: {}", path.display(), ran.stderr);
        let ends = if code == "unknown-column" { 0 } else { 2 };
        assert_eq!(ran.code, Some(ends), "{code}: {}", ran.stderr);
    }
}

#[test]
fn what_is_said_of_the_smallest_bad_files_is_what_it_was() {
    let told: Vec<String> = bad_files().iter().map(|path| check(path).stderr).collect();
    insta::assert_snapshot!("bad_files", told.join("\n"));
}

#[test]
fn each_code_is_explained_and_listed() {
    let desk = Desk::new();
    let list = desk.run(&["explain"]).report(0);
    let begins = |line: &&str| line.starts_with(|c: char| c.is_ascii_lowercase());
    let of_errors = list.lines().take_while(|line| !line.is_empty()).filter(begins);
    let listed: Vec<&str> = of_errors.filter_map(|line| line.split_whitespace().next()).collect();
    assert_eq!(listed, Code::ALL.iter().map(|code| code.as_str()).collect::<Vec<_>>());
    let all: Vec<String> = Code::ALL.iter().map(|code| desk.run(&["explain", code.as_str()]).report(0)).collect();
    insta::assert_snapshot!("explanations", all.join("\n"));
}

#[test]
fn a_code_that_is_none_is_told_with_the_nearest() {
    let ran = Desk::new().run(&["explain", "wrong-uint"]);
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)));
    assert!(ran.stderr.ends_with("did you mean `wrong-unit`?\n"), "{}", ran.stderr);
    assert_eq!(Desk::new().run(&["explain", "[Ring]"]).code, Some(0), "as it is copied from a message");
    assert_eq!(Desk::new().run(&["explain", "wrong", "unit"]).code, Some(0), "as it is said");
}

/// The names of findings stand in the sources of `findings` as texts of words joined by hyphens.
#[test]
fn each_sort_of_finding_is_explained_and_no_other() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/findings");
    let is_name = |text: &&str| {
        text.contains('-') && text.split('-').all(|word| !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase()))
    };
    let mut raised: BTreeSet<String> = BTreeSet::new();
    for file in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).filter(|path| !path.ends_with("sorts.rs")) {
        let text = fs::read_to_string(file).unwrap();
        raised.extend(text.split('"').filter(is_name).map(str::to_owned));
    }
    raised.insert("mains".to_owned());
    let explained: BTreeSet<String> = SORTS.iter().map(|sort| sort.name.to_owned()).collect();
    assert_eq!(raised, explained);
    assert_eq!(explained.len(), SORTS.len(), "each once");
    for sort in SORTS {
        let ran = Desk::new().run(&["explain", &format!("[{}]", sort.name)]);
        assert!(ran.code == Some(0) && ran.stdout.contains("Cause: ") && ran.stdout.contains("Cure: "), "{}", ran.stdout);
    }
}
