//! What a builder asks at the bench, and where the reports answer it.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use std::collections::BTreeMap;
use std::fs;

use serde_json::Value;

use crate::cove;
use crate::forms::markdown;
use crate::program::Desk;

const HARBOUR: &str = include_str!("../../examples/saltmarsh-harbour.yaml");

fn desk() -> Desk {
    cove::desk().file("harbour.yaml", HARBOUR)
}

fn report(desk: &Desk, args: &[&str]) -> Value {
    let ran = desk.run(&[args, &["--format", "json"]].concat());
    serde_json::from_str(&ran.stdout).unwrap()
}

/// The tables of an id, each with its title and the values of its rows.
fn tables(report: &Value, id: &str) -> Vec<(String, Vec<Value>)> {
    let blocks = report["sections"].as_array().unwrap().iter().flat_map(|section| section["blocks"].as_array().unwrap());
    let tables = blocks.filter(|block| block["id"] == id);
    let values = |table: &Value| table["rows"].as_array().unwrap().iter().map(|row| row["values"].clone()).collect();
    tables.map(|table| (table["title"].as_str().unwrap_or_default().to_owned(), values(table))).collect()
}

fn rows(report: &Value, id: &str) -> Vec<Value> {
    tables(report, id).into_iter().flat_map(|(_, rows)| rows).collect()
}

fn text<'a>(row: &'a Value, column: &str) -> &'a str {
    row[column]["text"].as_str().unwrap_or_default()
}

fn amount(row: &Value, column: &str) -> Option<f64> {
    row[column]["amount"].as_str().and_then(|amount| amount.parse().ok())
}

/// How many reels of wire an order asks for by colour: `2 red (RD), 1 black (BK)`.
fn asked(report: &Value) -> BTreeMap<String, u64> {
    let mut asked = BTreeMap::new();
    for row in rows(report, "order") {
        for part in text(&row, "colours").split(", ").filter(|part| !part.is_empty()) {
            let (count, colour) = part.split_once(' ').unwrap();
            assert!(!colour.is_empty());
            *asked.entry(text(&row, "part").to_owned()).or_default() += count.parse::<u64>().unwrap();
        }
    }
    asked
}

#[test]
fn each_order_line_of_wire_names_the_colours_to_ask_for_and_an_owned_reel_is_not_asked_for() {
    let desk = desk();
    assert_eq!(desk.run(&["start", "mine"]).code, Some(0));
    let args = ["shop", "cove.yaml", "--catalogue", "mine/catalogue", "--scheme", "servo-made"];
    let before = report(&desk, &args);
    let colours = asked(&before);
    assert!(!colours.is_empty());
    for row in rows(&before, "order") {
        let title = text(&row, "part");
        if let Some(&named) = colours.get(title) {
            assert_eq!(row["parts"]["count"].as_u64().unwrap(), named, "{title}");
        }
        assert_eq!(title.starts_with("Stranded wire"), colours.contains_key(title), "{title}");
    }
    let folder = desk.run(&[&args[..], &["--to", "orders"]].concat());
    assert_eq!(folder.code, Some(0), "{}", folder.stderr);
    let written: String =
        fs::read_dir(desk.path("orders")).unwrap().map(|file| fs::read_to_string(file.unwrap().path()).unwrap()).collect();
    let mut named = 0;
    for row in rows(&before, "order") {
        let colours = text(&row, "colours");
        assert!(colours.is_empty() || written.contains(colours), "{row}");
        named += usize::from(!colours.is_empty());
    }
    assert!(named > 1, "wires are ordered by colour");

    // One reel of that wire in the drawer: one less is asked for, and the cutting list calls it yours.
    let parts = fs::read_to_string(desk.path("mine/catalogue/Parts.csv")).unwrap();
    let (title, &named) = colours.iter().next().unwrap();
    let name = parts.lines().find(|line| line.contains(title.as_str())).unwrap().split(',').next().unwrap();
    fs::write(desk.path("mine/catalogue/Stock.csv"), format!("part,count\n{name},1\n")).unwrap();
    let after = report(&desk, &args);
    assert_eq!(asked(&after).get(title).copied().unwrap_or(0), named - 1);
    let mine = tables(&after, "cuts").into_iter().find(|(of, _)| of == title).unwrap().1;
    assert!(mine.iter().any(|row| text(row, "colour") == "yours"));
}

#[test]
fn each_channel_names_the_extension_to_take() {
    let report = report(&desk(), &["wiring", "harbour.yaml", "--scheme", "servo-made"]);
    let mut seen = [0, 0];
    for row in rows(&report, "channels").iter().filter(|row| text(row, "drive") != "free") {
        if let Some(least) = amount(row, "extension") {
            assert!(amount(row, "take").unwrap() >= least, "{row}");
            seen[0] += 1;
        } else {
            assert_eq!(text(row, "take"), "none");
            seen[1] += 1;
        }
    }
    assert!(seen.iter().all(|&n| n > 0), "{seen:?}");
}

#[test]
fn wire_is_in_metres_in_every_schedule() {
    let shown = markdown::read(&desk().run(&["wiring", "harbour.yaml", "--scheme", "solenoid", "--format", "markdown"]).stdout);
    let headings: Vec<&String> = shown.tables.iter().flat_map(|table| &table.headings).collect();
    let lengths = headings
        .iter()
        .filter(|heading| heading.starts_with("Length") || heading.starts_with("Lead") || heading.starts_with("Extension"));
    let lengths: Vec<_> = lengths.collect();
    assert!(lengths.len() > 8 && lengths.iter().all(|heading| heading.ends_with("(m)")), "{lengths:?}");
}

#[test]
fn each_way_of_a_strip_has_its_wire_and_its_bridge() {
    let report = report(&desk(), &["wiring", "harbour.yaml", "--scheme", "solenoid"]);
    let strips = tables(&report, "strips");
    assert!(strips.len() > 4);
    for (title, rows) in &strips {
        let ways: Vec<u64> = rows.iter().map(|row| row["way"]["count"].as_u64().unwrap()).collect();
        assert_eq!(ways, (1..=rows.len() as u64).collect::<Vec<_>>(), "{title}");
        for row in rows {
            assert!(!text(row, "to").is_empty(), "{title}: {row}");
            // Only what comes from the terminal that the strip stands beside is no wire of the schedule.
            let from_terminal = text(row, "to").ends_with(" itself") || text(row, "to").starts_with("branch fuse");
            assert_eq!(text(row, "label").is_empty(), from_terminal, "{title}: {row}");
        }
    }
    let (_, quay) = strips.iter().find(|(title, _)| title.starts_with("Strip for Twin-coil solenoid on Quay")).unwrap();
    let bridged = |way: usize| if way == 1 { String::new() } else { format!("to way {}", way - 1) };
    assert!((1..).zip(quay).all(|(way, row)| text(row, "bridged") == bridged(way)), "one return, all bridged");
}

#[test]
fn each_tag_of_a_frogs_contact_has_its_wire() {
    let report = report(&desk(), &["wiring", "harbour.yaml", "--scheme", "solenoid"]);
    let frogs = rows(&report, "frogs");
    let of = |name: &str| frogs.iter().find(|row| text(row, "frog") == name).unwrap();
    let t1 = of("T1");
    assert_eq!(
        [text(t1, "drive"), text(t1, "common"), text(t1, "normal"), text(t1, "reverse")],
        ["T1", "T1 frog GN", "T1 rail normal BN", "T1 rail reverse PK"]
    );
    // The frog at one end of a slip goes with the blades at the other.
    assert_eq!((text(of("T5a"), "drive"), text(of("T5b"), "drive")), ("T5b", "T5a"));
}

#[test]
fn each_hole_of_the_panel_has_its_drill_on_the_bill() {
    let desk = desk();
    let holes = rows(&report(&desk, &["wiring", "cove.yaml", "--scheme", "servo-made"]), "holes");
    assert!(!holes.is_empty());
    let bill: Vec<String> = rows(&report(&desk, &["bill", "cove.yaml", "--scheme", "servo-made"]), "bill")
        .iter()
        .map(|row| text(row, "part").to_owned())
        .collect();
    // What is filed has no diameter.
    for drill in holes.iter().filter_map(|hole| hole["diameter"]["amount"].as_str()) {
        let drill = format!("Twist drill, {drill} mm");
        assert!(bill.contains(&drill), "{drill}");
    }
}

#[test]
fn what_has_lights_is_not_called_a_signal() {
    let report = report(&desk(), &["bill", "cove.yaml", "--scheme", "servo-made", "--why", "cable-tie"]);
    let rules: Vec<String> = rows(&report, "rules").iter().map(|row| text(row, "rule").to_owned()).collect();
    assert!(rules.iter().any(|rule| rule.contains("for each signal or other thing with lights")), "{rules:?}");
}
