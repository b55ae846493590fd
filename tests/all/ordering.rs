//! What can be asked of the order on the command line.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use std::fs;

use serde_json::Value;

use crate::program::Desk;
use crate::support::{SMALL, small_but};

const LAYOUT: &str = "turnouts:\n  - id: T1\n  - id: T2\n  - id: T3\n";

/// Everything is sold by both, so that either alone will do: `dear` charges more and no postage.
fn two_suppliers() -> Vec<(&'static str, &'static str)> {
    let offers = "part,supplier,their code,pack,price,at least,checked on
        small motor,north,N1,1,4.00,,2026-01-01
        small motor,dear,D1,5,21.00,,2026-10-01
        box 8,north,N2,1,19.90,,
        box 8,dear,D2,1,25.00,,2026-10-01
        short lead,north,N3,1,1.50,,2026-10-01
        short lead,dear,D3,1,1.70,,2026-10-01
        long lead,dear,D4,1,2.00,,2026-10-01
        screw M2,north,N4,100,2.49,,2026-10-01
        screw M2,dear,D5,100,2.80,,2026-10-01
        brick,north,N5,1,15.00,,2026-10-01
        brick,dear,D6,1,15.00,,2026-10-01";
    let suppliers = "supplier,title,postage,free from,least order,currency,tax
        north,North Bench (invented),3.50,,,EUR,in
        dear,Dear Shelf (invented),0,,,EUR,in";
    small_but("Offers", offers)
        .into_iter()
        .map(|(sheet, text)| (sheet, if sheet == "Suppliers" { suppliers } else { text }))
        .collect()
}

fn desk() -> Desk {
    Desk::new().file("layout.yaml", LAYOUT).tables("book", &two_suppliers())
}

/// The report of `shop` as JSON, with more flags.
fn shop(desk: &Desk, flags: &[&str]) -> Value {
    let args = ["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--format", "json"];
    serde_json::from_str(&desk.run(&[&args[..], flags].concat()).report(0)).unwrap()
}

/// The rows of the tables of an id.
fn rows<'a>(report: &'a Value, id: &str) -> Vec<&'a Value> {
    let blocks = report["sections"].as_array().unwrap().iter().flat_map(|section| section["blocks"].as_array().unwrap());
    let tables = blocks.filter(|block| block["id"] == id);
    tables.flat_map(|table| table["rows"].as_array().unwrap()).collect()
}

#[test]
fn the_order_goes_where_the_user_says() {
    let desk = desk();
    let suppliers = |flags: &[&str]| -> Vec<String> {
        let report = shop(&desk, flags);
        let rows = rows(&report, "orders");
        rows.iter().filter(|row| row["is_total"] != true).map(|row| row.to_string()).collect()
    };
    assert_eq!(suppliers(&[]).len(), 1);
    assert!(suppliers(&["--only", "dear"])[0].contains("Dear Shelf"));
    assert!(suppliers(&["--without", "North"])[0].contains("Dear Shelf"));
    assert!(suppliers(&["--only", "north,dear", "--parcels", "1"])[0].contains("North Bench"));
    let told = desk.run(&["bill", "layout.yaml", "--catalogue", "book", "--without", "north"]).report(0);
    assert!(told.contains("Nothing is ordered from North Bench (invented)."), "{told}");
}

#[test]
fn suppliers_that_are_not_there_are_all_told_with_the_nearest() {
    let ran = desk().run(&["compare", "layout.yaml", "--catalogue", "book", "--only", "nort,dear", "--without", "Far"]);
    ran.gives(
        2,
        "",
        "error[unknown-id]: the catalogue has no such supplier
  in --only
  found: nort
  expected: one of north, dear
  did you mean `north`?

error[unknown-id]: the catalogue has no such supplier
  in --without
  found: Far
  expected: one of north, dear
  did you mean `dear`?

2 errors
",
    );
    let none = desk().run(&["shop", "layout.yaml", "--catalogue", "book", "--only", "dear", "--without", "dear"]);
    assert_eq!((none.stdout.as_str(), none.code), ("", Some(2)));
    assert!(none.stderr.contains("no supplier is left to order from"), "{}", none.stderr);
}

#[test]
fn other_ways_stand_beside_the_order_and_never_cost_less() {
    let report = shop(&desk(), &[]);
    let ways = rows(&report, "other_ways");
    assert_eq!(ways.len(), 4, "the order, each item where it is cheapest, two suppliers");
    let total = |row: &Value| row["cells"]["total"]["amount"].as_str().unwrap().parse::<f64>().unwrap();
    assert!(ways[1..].iter().all(|row| total(row) >= total(ways[0])), "{ways:?}");
}

#[test]
fn a_supplier_that_lacks_something_is_told_with_what() {
    let desk = Desk::new().file("layout.yaml", LAYOUT).tables("book", SMALL);
    let told = desk.run(&["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--width", "120"]).report(0);
    let far = told.lines().find(|line| line.starts_with("All from Far Shelf")).unwrap();
    assert!(far.contains("Motor, Controller, Screw and 1 more") || far.contains("Motor"), "{told}");
}

#[test]
fn prices_checked_long_ago_are_marked_by_the_day_given() {
    let desk = desk();
    let args = ["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--width", "140"];
    let plain = desk.run(&args).report(0);
    assert!(!plain.contains("old") && !plain.contains("check again"), "{plain}");
    let dated = desk.run(&[&args[..], &["--on", "2026-11-25", "--good-for", "60"]].concat()).report(0);
    assert!(dated.contains("2026-01-01, old") && !dated.contains("2026-10-01, old"), "{dated}");
    assert!(dated.contains("1 price of the order was checked more than 60 days before 2026-11-25"), "{dated}");
    assert!(dated.contains("1 price says not when it was checked"), "{dated}");
    let wrong = desk.run(&["shop", "layout.yaml", "--on", "25.11.2026"]);
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.stderr.contains("written as in 2024-05-31"), "{}", wrong.stderr);
}

#[test]
fn what_is_left_over_is_told_with_its_reason() {
    let report = shop(&desk(), &["--only", "dear"]);
    let left: Vec<String> = rows(&report, "left_over").iter().map(|row| row.to_string()).collect();
    assert!(left.iter().any(|row| row.contains("Small motor") && row.contains("nobody sells fewer than 5 at once")), "{left:?}");
}

#[test]
fn the_programme_is_written_whole_and_replaces_nothing_unasked() {
    let desk = desk();
    let args = ["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--mps", "order.mps"];
    desk.run(&args).report(0);
    let text = fs::read_to_string(desk.path("order.mps")).unwrap();
    assert!(text.contains("\nROWS\n") && text.ends_with("ENDATA\n"));
    assert!(text.contains("Small motor"), "what a column stands for is told: {text}");
    let again = desk.run(&args);
    again.gives(3, "", "error: order.mps is there already; nothing was written\n");
    desk.run(&[&args[..], &["--force"]].concat()).report(0);
}

#[test]
fn with_patience_a_proven_order_is_the_same() {
    let desk = desk();
    let plain = shop(&desk, &[]);
    assert_eq!(plain, shop(&desk, &["--patience", "30"]));
}
