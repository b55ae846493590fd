//! Odd names go through the program from end to end: layout and catalogue in, every verb in every form out.

use calamine::{Reader, open_workbook};

use super::{csv, markdown};
use crate::program::Desk;
use crate::support::SMALL;

const VERBS: [&str; 7] = ["compare", "bill", "shop", "wiring", "power", "hours", "check"];

/// A turnout, a signal and a board by odd names; double-quoted YAML knows the escapes of JSON.
fn layout(name: &str) -> String {
    let quoted = |text: &str| serde_json::to_string(text).unwrap();
    let long = |front: &str| quoted(&format!("{front}{name}").chars().take(200).collect::<String>());
    format!(
        "name: {}\nboards:\n  - id: A\n  - id: {}\nturnouts:\n  - id: {}\n    board: A\nsignals:\n  - id: {}\n    kind: semaphore\n    board: {}\n",
        quoted(name),
        long("B"),
        quoted(name),
        long("S"),
        long("B"),
    )
}

/// The small catalogue with an odd title for a supplier, a part and a scheme.
fn book(name: &str) -> Vec<(&'static str, String)> {
    let field = format!("\"{}\"", name.replace('"', "\"\""));
    let odd = |text: &str| {
        let text = text.replace("North Bench (invented)", &field).replace("Small motor", &field);
        text.replace("Motor at a controller", &field).replace("0042", &field)
    };
    SMALL.iter().map(|(sheet, text)| (*sheet, odd(text))).collect()
}

fn goes_through(name: &str) {
    let sheets = book(name);
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(sheet, text)| (*sheet, text.as_str())).collect();
    let desk = Desk::new().file("layout.yaml", layout(name)).tables("book", &sheets);
    let run = |verb: &str, flags: &[&str]| {
        let ran = desk.run(&[&[verb, "layout.yaml", "--catalogue", "book"], flags].concat());
        assert!(matches!(ran.code, Some(0 | 1)), "{name:?}, {verb}: {}", ran.stderr);
        ran.stdout
    };
    let squeezed = |text: &str| text.split_whitespace().collect::<String>();
    for verb in VERBS {
        let shown = markdown::read(&run(verb, &["--format", "markdown"]));
        assert!(shown.texts[0].starts_with(name), "{name:?}, {verb}: {}", shown.texts[0]);
        let rows = csv::rows(&run(verb, &["--format", "csv"]));
        assert!(csv::shown(&rows[0][0]).starts_with(name), "{name:?}, {verb}: {}", rows[0][0]);
        let json: serde_json::Value = serde_json::from_str(&run(verb, &["--format", "json"])).unwrap();
        assert!(json["title"].as_str().unwrap().starts_with(name));
        for width in ["40", "200"] {
            let text = run(verb, &["--width", width]);
            assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
            assert!(squeezed(&text).starts_with(&squeezed(name)), "{name:?}, {verb}: {text}");
        }
    }
    let shown = markdown::read(&run("shop", &["--scheme", "near", "--format", "markdown"]));
    let is_there = |rows: &[Vec<String>]| rows.iter().any(|row| csv::shown(&row[0]) == name && csv::shown(&row[1]) == name);
    assert!(shown.tables.iter().any(|table| is_there(&table.rows)), "{name:?}: part and code in {:?}", shown.tables);

    run("shop", &["--scheme", "near", "--to", "lists"]);
    run("shop", &["--scheme", "near", "--to", "order.xlsx"]);
    let list = std::fs::read_to_string(desk.path("lists/supplier-1.csv")).unwrap();
    let rows: Vec<Vec<String>> =
        csv::rows(list.trim_start_matches('\u{feff}')).into_iter().map(|row| row[1..].to_vec()).collect();
    assert!(is_there(&rows), "{name:?}: {list}");
    let mut workbook: calamine::Xlsx<_> = open_workbook(desk.path("order.xlsx")).unwrap();
    let cells: Vec<String> = workbook
        .worksheets()
        .iter()
        .flat_map(|(_, sheet)| sheet.used_cells().map(|(.., cell)| cell.to_string()).collect::<Vec<_>>())
        .collect();
    assert!(cells.iter().filter(|cell| *cell == name).count() >= 3, "{name:?}: supplier, part and code");
}

#[test]
fn odd_names_go_through_every_verb_and_form() {
    for name in ["<b>&\"'", "=1+1", "@SUM(A1)", "|", "`x`", "[a](http://b.example)", "f@g.example", "שלום עולם", "_x0041_"]
    {
        goes_through(name);
    }
    goes_through(&"x".repeat(200));
}
