//! The README and the contributor's guide hold: what they show is what the program does, and what there is, they explain.
//!
//! The fenced blocks of `README.md` are one session, carried out in order in an empty folder that has the shipped `examples`:
//!
//! - ` ```console ` holds commands after `$ `, each with all that it prints; `exit=1` after `console` says how the last of them ends;
//! - a block with `file=PATH` is written to that file;
//! - a block with `rows=PATH` is added at the end of that table.
//!
//! `UPDATE_README=1 cargo test --test all readme` writes what the commands print into the README.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use underboard::catalogue::{
    Attr, Condition, CostGroup, Measure, Per, Role, Stage, Word, from_starter, starter as starter_catalogue,
};
use underboard::diagnostic::Code;
use underboard::layout;

use crate::program::Desk;

/// A part of a Markdown text: plain lines, or a fenced block with what stands after its fence.
#[derive(Debug)]
enum Piece {
    Prose(String),
    Block { info: String, text: String },
}

fn root(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn read(name: &str) -> String {
    fs::read_to_string(root(name)).unwrap()
}

fn pieces(text: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut lines = text.lines();
    let mut prose = String::new();
    while let Some(line) = lines.next() {
        let Some(info) = line.strip_prefix("```") else {
            prose.extend([line, "\n"]);
            continue;
        };
        let text: String = lines.by_ref().take_while(|line| *line != "```").map(|line| format!("{line}\n")).collect();
        pieces.push(Piece::Prose(std::mem::take(&mut prose)));
        pieces.push(Piece::Block { info: info.to_owned(), text });
    }
    pieces.push(Piece::Prose(prose));
    pieces
}

fn written(pieces: &[Piece]) -> String {
    let piece = |piece: &Piece| match piece {
        Piece::Prose(text) => text.clone(),
        Piece::Block { info, text } => format!("```{info}\n{text}```\n"),
    };
    pieces.iter().map(piece).collect()
}

/// What stands after a key of a fence, such as the path of `yaml file=my-layout/layout.yaml`.
fn setting<'a>(info: &'a str, key: &str) -> Option<&'a str> {
    info.split(' ').find_map(|word| word.strip_prefix(key)?.strip_prefix('='))
}

/// The commands of a block, each with what it prints now.
fn carried_out(desk: &Desk, info: &str, text: &str) -> String {
    let commands: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix("$ ")).collect();
    assert!(!commands.is_empty(), "a block of commands has none:\n{text}");
    let last = commands.len() - 1;
    let ends = setting(info, "exit").map_or(0, |code| code.parse().unwrap());
    let mut out = String::new();
    for (at, command) in commands.into_iter().enumerate() {
        let mut words = command.split(' ');
        assert_eq!(words.next(), Some("underboard"), "only the program itself is run: {command}");
        let ran = desk.run(&words.collect::<Vec<_>>());
        let code = if at == last { ends } else { 0 };
        assert_eq!(ran.code, Some(code), "{command}\n{}", ran.stderr);
        out.extend(["$ ", command, "\n", &ran.stdout, &ran.stderr]);
    }
    out
}

#[test]
fn the_session_of_the_readme_is_what_the_program_prints() {
    let text = read("README.md");
    let mut pieces = pieces(&text);
    assert_eq!(written(&pieces), text, "the README is not read whole");
    let mut desk = Desk::new();
    for example in fs::read_dir(root("examples")).unwrap() {
        let name = format!("examples/{}", example.unwrap().file_name().to_str().unwrap());
        desk = desk.file(&name, read(&name));
    }
    let mut ran = 0;
    for piece in &mut pieces {
        let Piece::Block { info, text } = piece else { continue };
        if info.split(' ').next() == Some("console") {
            let fresh = carried_out(&desk, info, text);
            *text = fresh;
            ran += 1;
        } else if let Some(path) = setting(info, "file") {
            desk = desk.file(path, &text);
            // Whatever a reader may copy is right, unless it is shown because it is not.
            if info.starts_with("yaml ") && !info.ends_with(" wrong") {
                let ran = desk.run(&["check", path, "--scheme", "servo-made"]);
                assert_eq!((ran.stderr.as_str(), ran.code), ("", Some(0)), "{path}");
            }
        } else if let Some(path) = setting(info, "rows") {
            let table = fs::read_to_string(desk.path(path)).unwrap() + text;
            desk = desk.file(path, table);
        }
    }
    assert!(ran >= 5, "the README shows only {ran} runs");
    let fresh = written(&pieces);
    if std::env::var_os("UPDATE_README").is_some() {
        fs::write(root("README.md"), fresh).unwrap();
        return;
    }
    for (shown, printed) in text.lines().zip(fresh.lines()) {
        assert_eq!(shown, printed, "the README shows what is not printed: see, then run with UPDATE_README=1");
    }
    assert_eq!(text.lines().count(), fresh.lines().count(), "the README shows less or more than is printed");
}

#[test]
fn the_readme_begins_with_the_two_commands() {
    let first = pieces(&read("README.md")).into_iter().find_map(|piece| match piece {
        Piece::Block { info, text } if info == "sh" => Some(text),
        _ => None,
    });
    let first = first.unwrap();
    let commands: Vec<&str> = first.lines().collect();
    assert_eq!(commands, ["cargo run --release -- compare examples/saltmarsh-harbour.yaml", "cargo test"]);
    assert!(root("examples/saltmarsh-harbour.yaml").is_file());
}

/// The words in backticks of the prose.
fn quoted(text: &str) -> BTreeSet<String> {
    let prose = pieces(text).into_iter().filter_map(|piece| match piece {
        Piece::Prose(text) => Some(text),
        Piece::Block { .. } => None,
    });
    prose.flat_map(|text| text.split('`').skip(1).step_by(2).map(str::to_owned).collect::<Vec<_>>()).collect()
}

fn assert_explained<'a>(quoted: &BTreeSet<String>, words: impl IntoIterator<Item = &'a str>, what: &str, where_: &str) {
    let missing: Vec<&str> = words.into_iter().filter(|word| !quoted.contains(*word)).collect();
    assert!(missing.is_empty(), "{where_} does not explain these {what}: {}", missing.join(", "));
}

/// Every key of a JSON Schema's maps.
fn keys(schema: &Value, all: &mut BTreeSet<String>) {
    match schema {
        Value::Object(map) => {
            if let Some(Value::Object(properties)) = map.get("properties") {
                all.extend(properties.keys().cloned());
            }
            map.values().for_each(|value| keys(value, all));
        }
        Value::Array(list) => list.iter().for_each(|value| keys(value, all)),
        _ => {}
    }
}

#[test]
fn the_readme_explains_every_key_of_the_layout_file() {
    let mut all = BTreeSet::new();
    keys(&layout::schema(), &mut all);
    assert!(all.len() > 40, "{all:?}");
    assert_explained(&quoted(&read("README.md")), all.iter().map(String::as_str), "keys", "README.md");
}

/// All words of a list, as written.
fn words<W: Word + 'static>() -> impl Iterator<Item = &'static str> {
    W::ALL.iter().map(|word| word.word())
}

#[test]
fn the_readme_explains_every_sheet_column_and_word_of_the_workbook() {
    let quoted = quoted(&read("README.md"));
    for (file, text) in starter_catalogue().tables {
        let sheet = file.trim_end_matches(".csv");
        assert_explained(&quoted, [sheet], "sheets", "README.md");
        if sheet == "Parts" {
            // Its other columns are the attributes, below.
            continue;
        }
        let headings: Vec<&str> = text.lines().next().unwrap().split(',').collect();
        assert_explained(&quoted, headings, sheet, "README.md");
    }
    assert_explained(&quoted, words::<Attr>(), "attributes", "README.md");
    assert_explained(&quoted, words::<Role>(), "roles", "README.md");
    assert_explained(&quoted, words::<Per>(), "things to count", "README.md");
    assert_explained(&quoted, words::<Condition>(), "conditions", "README.md");
    assert_explained(&quoted, words::<Measure>(), "measures", "README.md");
    assert_explained(&quoted, words::<Stage>(), "stages", "README.md");
    assert_explained(&quoted, words::<CostGroup>(), "groups of cost", "README.md");
    let kinds = from_starter().unwrap().turnouts.into_iter().map(|kind| kind.name.to_string()).collect::<Vec<_>>();
    assert_explained(&quoted, kinds.iter().map(String::as_str), "kinds of turnout", "README.md");
}

#[test]
fn the_readme_explains_every_verb_code_and_row_of_the_comparison() {
    let quoted = quoted(&read("README.md"));
    let desk = Desk::new().file("examples/shelf.yaml", read("examples/shelf.yaml"));
    let help = desk.run(&["--help"]).stdout;
    let verbs = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let verbs: Vec<&str> =
        verbs.filter(|line| line.starts_with("  ")).filter_map(|line| line.split_whitespace().next()).collect();
    assert!(verbs.len() >= 9, "{help}");
    assert_explained(&quoted, verbs, "verbs", "README.md");
    let listed = pieces(&read("README.md")).into_iter().any(|piece| match piece {
        Piece::Block { text, .. } => Code::ALL.iter().all(|code| text.contains(&format!("\n{} ", code.as_str()))),
        Piece::Prose(_) => false,
    });
    assert!(listed, "README.md does not list the codes");
    let report: Value = serde_json::from_str(&desk.run(&["compare", "examples/shelf.yaml", "--format", "json"]).stdout).unwrap();
    let rows = report["sections"][0]["blocks"][0]["rows"].as_array().unwrap();
    let titles: Vec<&str> = rows.iter().map(|row| row["values"]["measure"]["text"].as_str().unwrap()).collect();
    assert!(titles.len() > 10, "{titles:?}");
    assert_explained(&quoted, titles, "rows of the comparison", "README.md");
}

#[test]
fn the_guide_explains_every_module_and_dependency() {
    let guide = quoted(&read("DEVELOPERS.md"));
    let lib = read("src/lib.rs");
    let modules: Vec<&str> =
        lib.lines().filter_map(|line| line.strip_prefix("pub mod ")).map(|line| line.trim_end_matches(';')).collect();
    assert!(modules.len() > 15, "{modules:?}");
    assert_explained(&guide, modules, "modules", "DEVELOPERS.md");
    let manifest = read("Cargo.toml");
    let mut dependencies = Vec::new();
    let mut within = false;
    for line in manifest.lines() {
        if line.starts_with('[') {
            within = line.ends_with("dependencies]");
        } else if within && let Some((name, _)) = line.split_once(" = ") {
            dependencies.push(name);
        }
    }
    assert!(dependencies.len() > 15, "{dependencies:?}");
    assert_explained(&guide, dependencies, "dependencies", "DEVELOPERS.md");
}

#[test]
fn the_licences_are_those_of_the_manifest() {
    assert!(read("Cargo.toml").contains("license = \"MIT OR Apache-2.0\""));
    assert!(read("LICENSE-MIT").contains("Permission is hereby granted, free of charge"));
    assert!(read("LICENSE-APACHE").contains("Apache License\n                           Version 2.0, January 2004"));
    for name in ["LICENSE-MIT", "LICENSE-APACHE"] {
        assert!(read(name).contains("the underboard contributors"), "{name}");
    }
}
