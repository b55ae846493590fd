//! What can be asked of the order on the command line.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;

use rust_decimal::Decimal;
use serde_json::Value;

use crate::program::{Desk, ran};
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
        long lead,north,N6,1,2.00,,2026-10-01
        long lead,dear,D4,1,2.10,,2026-10-01
        screw M2,north,N4,100,2.49,,2026-10-01
        screw M2,dear,D5,100,2.80,,2026-10-01
        brick,north,N5,1,15.00,,2026-10-01
        brick,dear,D6,1,15.50,,2026-10-01";
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
pub(crate) fn rows<'a>(report: &'a Value, id: &str) -> Vec<&'a Value> {
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
        rows.iter().filter(|row| row["is_total"] != true).map(ToString::to_string).collect()
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
    let total = |row: &Value| row["values"]["total"]["amount"].as_str().unwrap().parse::<f64>().unwrap();
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
    assert!(wrong.stderr.contains("such as `2024-05-31`"), "{}", wrong.stderr);
}

#[test]
fn what_is_left_over_is_told_with_its_reason() {
    let report = shop(&desk(), &["--only", "dear"]);
    let left: Vec<String> = rows(&report, "left_over").iter().map(ToString::to_string).collect();
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
    again.gives(3, "", "error: order.mps is there already; nothing was written\n  To replace what is there, add `--force`.\n");
    desk.run(&[&args[..], &["--force"]].concat()).report(0);
}

#[test]
fn with_patience_a_proven_order_is_the_same() {
    let desk = desk();
    let plain = shop(&desk, &[]);
    assert_eq!(plain, shop(&desk, &["--patience", "30"]));
}

/// An interrupt ends a search that would go on for minutes, with the best order found and its gap. It is sent as soon as the program
/// answers to interrupts, which Linux tells, so that nothing hangs on how fast the machine is.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupt_gives_the_best_order_found_with_its_gap() {
    use std::process::{Command, Stdio};
    use std::time::Duration;

    let desk = Desk::new().file("layout.yaml", include_str!("../../examples/brindlewold-exhibition.yaml"));
    let args = ["shop", "layout.yaml", "--scheme", "stall-motor", "--width", "200"];
    let mut child = desk
        .command(&[&args[..], &["--patience", "3600"]].concat())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let status = format!("/proc/{}/status", child.id());
    // The signals that the program answers to, as a number in base 16; the interrupt is the second.
    let answers = || {
        let status = fs::read_to_string(&status).unwrap();
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:")).unwrap().trim();
        u64::from_str_radix(caught, 16).unwrap() & 2 != 0
    };
    while !answers() {
        assert_eq!(child.try_wait().unwrap(), None, "it ended before it was interrupted");
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(Command::new("/bin/sh").arg("-c").arg(format!("kill -INT {}", child.id())).status().unwrap().success());
    let ran = ran(child.wait_with_output().unwrap());
    assert_eq!((ran.stderr.as_str(), ran.code), ("", desk.run(&args).code), "{}", ran.stdout);
    assert!(ran.stdout.contains("You stopped the search: no order can cost less than"), "{}", ran.stdout);
    assert!(ran.stdout.contains("another could save at most"), "{}", ran.stdout);
    assert!(ran.stdout.contains("Order from "), "{}", ran.stdout);
}

/// The amount of a money cell.
fn amount(row: &Value, column: &str) -> Decimal {
    row["values"][column]["amount"].as_str().unwrap().parse().unwrap()
}

/// In currencies without minor units, with two places and with three: what is to pay is the sum of the lines as they are printed,
/// prices in a foreign currency and without tax included.
#[test]
fn totals_are_the_sums_of_the_lines_printed_in_every_currency() {
    let suppliers = "supplier,title,postage,free from,least order,currency,tax
        north,North Bench (invented),3.50,40,,EUR,in
        dear,Dear Shelf (invented),1.37,,10,EUR,out";
    for (currency, places) in [("JPY", 0), ("GBP", 2), ("KWD", 3)] {
        let rates = SMALL.iter().find(|(sheet, _)| *sheet == "Rates").unwrap().1;
        let rates = rates.replace("home currency,EUR,,", &format!("home currency,{currency},,\nEUR,1.2377,,"));
        let sheets: Vec<(&str, &str)> = two_suppliers()
            .into_iter()
            .map(|(sheet, text)| match sheet {
                "Rates" => (sheet, rates.as_str()),
                "Suppliers" => (sheet, suppliers),
                _ => (sheet, text),
            })
            .collect();
        let desk = Desk::new().file("layout.yaml", LAYOUT).tables("book", &sheets);
        for flags in [&[][..], &["--only", "dear"], &["--only", "north"]] {
            let report = shop(&desk, flags);
            let mut to_pay = Decimal::ZERO;
            let mut lines = Decimal::ZERO;
            for row in rows(&report, "order") {
                assert_eq!(amount(row, "total").scale(), places, "{row}");
                match row["id"].as_str() {
                    None => lines += amount(row, "total"),
                    Some("goods") => assert_eq!(std::mem::take(&mut lines), amount(row, "total")),
                    Some("total") => to_pay += amount(row, "total"),
                    Some(_) => {}
                }
                if let Some(price) = row["values"]["price"]["amount"].as_str() {
                    let packs = Decimal::from(row["values"]["packs"]["count"].as_i64().unwrap());
                    assert_eq!(price.parse::<Decimal>().unwrap() * packs, amount(row, "total"), "{row}");
                }
            }
            let total = rows(&report, "orders").into_iter().find(|row| row["id"] == "total").unwrap();
            let parts = amount(total, "goods") + amount(total, "top_up") + amount(total, "postage");
            assert_eq!((amount(total, "total"), parts), (to_pay, to_pay), "{currency} {flags:?}");
        }
    }
}

#[test]
fn a_budget_pays_for_as_many_devices_as_it_can_in_their_order() {
    let desk = desk();
    let told = |budget: &str| {
        let args = ["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--width", "200", "--budget", budget];
        desk.run(&args).report(0)
    };
    let all = told("900");
    assert!(all.contains("A budget of 900.00 EUR pays for 3 devices: T1, T2 and T3."), "{all}");
    let total: Decimal = rows(&shop(&desk, &[]), "orders").last().map(|row| amount(row, "total")).unwrap();
    assert!(all.contains(&format!("The order for them comes to {total} EUR.")), "{all}");
    let less = told(&(total - Decimal::new(1, 2)).to_string());
    assert!(
        less.contains("pays for 2 devices: T1 and T2.")
            && less.contains(&format!("With T3 the order would come to {total} EUR."))
    );
    assert!(told("1").contains("does not pay for the first device"));
    let wrong = desk.run(&["shop", "layout.yaml", "--catalogue", "book", "--budget=-5"]);
    assert_eq!((wrong.stdout.as_str(), wrong.code), ("", Some(2)));
}

#[test]
fn phases_cost_no_less_than_at_once_and_need_the_same() {
    let layout = "boards: [{id: A}, {id: B}, {id: C}]\nturnouts:\n  - {id: T1, board: A}\n  - {id: T2, board: B}\n  - {id: T3, board: C}\n  - {id: T4, board: C}\n";
    let desk = Desk::new().file("layout.yaml", layout);
    let args = ["shop", "layout.yaml", "--scheme", "servo-made", "--format", "json"];
    let report: Value = serde_json::from_str(&desk.run(&[&args[..], &["--phases"]].concat()).report(0)).unwrap();
    let phases = rows(&report, "phases");
    let of = |id: &str| phases.iter().find(|row| row["id"] == id).map(|row| amount(row, "total")).unwrap();
    let each: Vec<Decimal> = phases.iter().filter(|row| row["id"].is_null()).map(|row| amount(row, "total")).collect();
    assert_eq!(each.len(), 3);
    assert_eq!(each.iter().sum::<Decimal>(), of("total"));
    assert_eq!(of("total") - of("at_once"), of("more"));
    assert!(of("more") > Decimal::ZERO, "{phases:?}");
    let once: Value = serde_json::from_str(&desk.run(&args).report(0)).unwrap();
    assert_eq!(rows(&once, "orders").last().map(|row| amount(row, "total")), Some(of("at_once")));
    let bought = |report: &Value, words: &str| -> i64 {
        let lines =
            rows(report, "order").into_iter().filter(|row| row["values"]["part"]["text"].as_str().unwrap().starts_with(words));
        lines.map(|row| row["values"]["parts"]["count"].as_i64().unwrap()).sum()
    };
    assert!(bought(&report, "Micro servo") >= 4 && bought(&once, "Micro servo") >= 4);
    // All rods come of one stick, and so do all brackets: later phases cut what earlier ones left.
    for stick in ["Spring steel wire", "Aluminium angle"] {
        assert_eq!((bought(&report, stick), bought(&once, stick)), (1, 1), "{stick}");
    }
    assert!(report.to_string().contains(" left of: Aluminium angle"), "{report}");
    // What no phase uses is told of all phases together: of small parts that nothing stands in for, as much is left as at once.
    let text = |row: &Value| row["values"]["part"]["text"].as_str().unwrap().to_owned();
    let left = |report: &Value| -> BTreeMap<String, i64> {
        rows(report, "left_over").iter().map(|row| (text(row), row["values"]["count"]["count"].as_i64().unwrap())).collect()
    };
    let (in_phases, at_once) = (left(&report), left(&once));
    let is_small = |title: &str| ["Machine screw", "Hexagon nut", "Fuse"].iter().any(|words| title.starts_with(words));
    let as_many: Vec<&String> =
        at_once.keys().filter(|title| is_small(title) && bought(&report, title) == bought(&once, title)).collect();
    assert!(as_many.len() > 2, "{in_phases:?} {at_once:?}");
    for title in as_many {
        assert_eq!(in_phases.get(title), at_once.get(title), "{title}");
    }
}

/// What is motorised already is in neither list of a budget, though what it still needs is in the order.
#[test]
fn a_budget_says_what_is_motorised_already() {
    let desk = desk().file("layout.yaml", "turnouts:\n  - {id: T1, owned: yes}\n  - id: T2\n  - id: T3\n");
    let told = |budget: &str| {
        desk.run(&["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--width", "200", "--budget", budget])
            .report(0)
    };
    let all = told("900");
    assert!(all.contains("pays for 2 devices: T2 and T3.") && all.contains("T1 is motorised already"), "{all}");
    assert!(!told("1").contains("motorised already"), "nothing is ordered for it");
}

/// What cannot be had is named before the first order.
#[test]
fn what_cannot_be_had_is_named_in_the_head() {
    let offers = two_suppliers().into_iter().find(|(sheet, _)| *sheet == "Offers").unwrap().1;
    let without: String = offers.lines().filter(|line| !line.contains("brick,")).map(|line| format!("{line}\n")).collect();
    let tables: Vec<(&str, &str)> = two_suppliers()
        .into_iter()
        .map(|(sheet, text)| (sheet, if sheet == "Offers" { without.as_str() } else { text }))
        .collect();
    let desk = Desk::new().file("layout.yaml", LAYOUT).tables("book", &tables);
    for verb in ["shop", "bill"] {
        let report = desk.run(&[verb, "layout.yaml", "--catalogue", "book", "--scheme", "near", "--width", "200"]).report(1);
        let head = report.split("\n\n").take(4).collect::<String>();
        assert!(head.contains("Not to be had, or not enough of it: Supply, voltage"), "{report}");
    }
}

/// Twelve levers on three boards: the first phase alone would do with an encoder and a panel plate for fewer, and a second of each would
/// have to follow.
#[test]
fn phases_and_budgets_buy_what_serves_the_panel_once() {
    let mut layout = "boards: [{id: A}, {id: B}, {id: C}]\nturnouts:\n".to_owned();
    for n in 0..12 {
        let _ = writeln!(layout, "  - {{id: T{n}, board: {}}}", ["A", "B", "C"][n / 4]);
    }
    let desk = Desk::new().file("layout.yaml", layout);
    let run = |flags: &[&str]| -> Value {
        let args = ["shop", "layout.yaml", "--scheme", "servo-made", "--format", "json"];
        serde_json::from_str(&desk.run(&[&args[..], flags].concat()).report(0)).unwrap()
    };
    // By order, how many levers the parts bought of a kind serve: the number stands in their titles.
    let levers = |report: &Value, words: &str, after: &str| -> Vec<(String, i64)> {
        let mut found = Vec::new();
        for section in report["sections"].as_array().unwrap().iter().filter(|section| section["id"] == "order") {
            for row in section["blocks"][0]["rows"].as_array().unwrap() {
                let (text, parts) = (row["values"]["part"]["text"].as_str().unwrap(), &row["values"]["parts"]["count"]);
                if let Some(rest) = text.strip_prefix(words) {
                    let number = rest.split(after).nth(1).unwrap().split_whitespace().next().unwrap().parse::<i64>().unwrap();
                    found.push((section["heading"].as_str().unwrap().to_owned(), number * parts.as_i64().unwrap()));
                }
            }
        }
        found
    };
    let (phases, budget) = (run(&["--phases"]), run(&["--budget", "300"]));
    assert!(budget.to_string().contains("For later"), "the budget pays for some only: {budget}");
    for (words, after) in [("Panel encoder", ", "), ("Panel plate", "room for ")] {
        let bought = levers(&phases, words, after);
        assert!(bought.iter().all(|(heading, _)| heading.starts_with("Phase 1, ")), "{bought:?}");
        for bought in [bought, levers(&budget, words, after)] {
            assert!(bought.iter().map(|(_, levers)| levers).sum::<i64>() >= 12, "{bought:?}");
        }
    }
}

/// The cutting list and the colours to ask for are those of what the budget buys, not of the whole plan.
#[test]
fn a_budget_cuts_only_what_it_buys() {
    let mut layout = "turnouts:\n".to_owned();
    for n in 0..12 {
        let _ = writeln!(layout, "  - {{id: T{n}, frog: live}}");
    }
    let desk = Desk::new().file("layout.yaml", layout);
    let told = |budget: &str, more: &[&str]| {
        desk.run(&[&["shop", "layout.yaml", "--scheme", "servo-made", "--width", "150", "--budget", budget], more].concat())
            .report(0)
    };
    let none = told("1", &[]);
    assert!(
        none.contains("There is nothing to order") && !none.contains("Cutting list") && !none.contains("Colours of wire"),
        "{none}"
    );
    assert_eq!(told("1", &["--to", "orders"]), "There is nothing to order, so nothing was written.\n");
    assert!(!desk.path("orders").exists());
    let some = told("300", &[]);
    let later = some.split("For later: ").nth(1).unwrap();
    assert!(later.split_once('.').unwrap().0.ends_with("and T11"), "{some}");
    let cut = some.split("Cutting list").nth(1).unwrap().split("What to know").next().unwrap();
    assert!(cut.contains("T0 frog") && !cut.contains("T11"), "{cut}");
}

#[test]
fn where_nothing_can_be_built_the_scheme_that_lacks_least_is_taken_and_no_proof_is_claimed() {
    let desk =
        Desk::new().file("layout.yaml", "boards: [{id: A}, {id: B}]\nturnouts: [{id: T1, board: A}, {id: T2, board: B}]\n");
    let run = |flags: &[&str]| {
        desk.run(&[&["shop", "layout.yaml", "--only", "ospervane", "--width", "150"][..], flags].concat()).report(1)
    };
    let lacks = |report: &str| {
        let from = report.split("Not to be had from the catalogue").nth(1).unwrap().split("Buy these elsewhere").next().unwrap();
        from.lines().filter(|line| line.starts_with(|letter: char| letter.is_alphabetic()) && !line.starts_with("What")).count()
    };
    let schemes = ["solenoid", "servo-made", "servo-ready", "stall-motor"];
    let least = schemes.iter().map(|scheme| lacks(&run(&["--scheme", scheme]))).min();
    let taken = run(&[]);
    assert_eq!(Some(lacks(&taken)), least);
    assert!(taken.contains("lacks least"), "{taken}");
    assert!(taken.contains("No other way to order what can be had costs less"), "{taken}");
    assert!(!taken.contains("to order these parts costs less"), "{taken}");
    let one = desk.run(&["shop", "layout.yaml", "--parcels", "1", "--width", "150"]).report(1);
    assert!(one.contains("There is at most 1 order."), "{one}");
    assert!(one.contains("So few orders do not hold everything.") && !one.contains("No other way to order"), "{one}");
}

#[test]
fn pooled_layouts_of_one_name_are_told_apart() {
    let layout = format!("name: Twin\n{LAYOUT}");
    let desk = Desk::new().file("a.yaml", &layout).file("b.yaml", &layout).tables("book", &two_suppliers());
    let report = |more: &[&str]| {
        let args = ["pool", "a.yaml", "--catalogue", "book", "--scheme", "near", "--width", "200"];
        desk.run(&[&args[..], more].concat()).report(0)
    };
    let two = report(&["b.yaml"]);
    assert!(two.contains("Twin (a.yaml)  ") && two.contains("Twin (b.yaml)  "), "{two}");
    let same = report(&["a.yaml"]);
    assert!(same.contains("Twin (a.yaml, 1)") && same.contains("Twin (a.yaml, 2)"), "{same}");
}

/// A sheet for each order, named by its phase and supplier; what phases and all orders come to is worked out from them.
#[test]
fn the_workbook_of_phases_names_its_sheets_and_sums_them() {
    use calamine::{Reader, Xlsx, open_workbook};

    let layout = "boards: [{id: A}, {id: B}]\nturnouts: [{id: T1, board: A}, {id: T2, board: B}]\n";
    let desk = Desk::new().file("layout.yaml", layout).tables("book", &two_suppliers());
    let args = ["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--phases", "--to", "phases.xlsx"];
    // Nobody sells the plug of the joint.
    desk.run(&args).report(1);
    let mut book: Xlsx<_> = open_workbook(desk.path("phases.xlsx")).unwrap();
    let names = book.sheet_names();
    assert_eq!(names[..4], ["All orders", "All parts", "1 Phase 1 North Bench invented", "2 Phase 2 North Bench invented"]);
    let formulas = book.worksheet_formula("All orders").unwrap();
    let all: Vec<&str> = formulas.cells().map(|(.., formula)| formula.as_str()).filter(|formula| !formula.is_empty()).collect();
    let of = |words: &str| all.iter().filter(|formula| formula.starts_with(words)).count();
    // A phase: postage and sum. An order: goods, postage and sum (nothing is added here).
    assert_eq!(of("'1 Phase 1 North Bench invented'!"), 5, "{all:?}");
    assert_eq!(of("'2 Phase 2 North Bench invented'!"), 5, "{all:?}");
    assert_eq!(of("SUM("), 5, "all phases, and four columns of all orders: {all:?}");
}

#[test]
fn a_pooled_order_saves_and_is_shared_out_to_the_last_coin() {
    let desk =
        Desk::new().file("a.yaml", LAYOUT).file("b.yaml", "name: Other\nturnouts: [{id: X1}]\n").tables("book", &two_suppliers());
    let ran = desk.run(&["pool", "a.yaml", "b.yaml", "--catalogue", "book", "--scheme", "near", "--format", "json"]);
    let report: Value = serde_json::from_str(&ran.report(0)).unwrap();
    let shares = rows(&report, "shares");
    let (each, total) = shares.split_at(2);
    let sum = |column: &str| each.iter().map(|row| amount(row, column)).sum::<Decimal>();
    assert_eq!(sum("share"), amount(total[0], "share"));
    assert_eq!(sum("alone"), amount(total[0], "alone"));
    assert_eq!(sum("saved"), amount(total[0], "saved"));
    assert!(sum("saved") > Decimal::ZERO, "{shares:?}");
    let ratio = |row: &Value| amount(row, "share") / amount(row, "alone");
    assert!((ratio(each[0]) - ratio(each[1])).abs() < Decimal::new(1, 2));
    let paid = rows(&report, "orders").last().map(|row| amount(row, "total"));
    assert_eq!(paid, Some(amount(total[0], "share")));
    let alone = desk.run(&["shop", "a.yaml", "--catalogue", "book", "--scheme", "near", "--format", "json"]);
    let alone: Value = serde_json::from_str(&alone.report(0)).unwrap();
    assert_eq!(rows(&alone, "orders").last().map(|row| amount(row, "total")), Some(amount(each[0], "alone")));
    let missing = desk.run(&["pool", "a.yaml", "--catalogue", "book"]);
    assert_eq!(missing.code, Some(2));
}

#[test]
fn an_exhibition_kit_holds_a_spare_of_each_active_part() {
    let bill = |rules: &str| -> Vec<(String, i64)> {
        let desk = Desk::new().file("layout.yaml", format!("{LAYOUT}rules: {{spares: 0{rules}}}\n"));
        let ran = desk.run(&["bill", "layout.yaml", "--scheme", "servo-made", "--format", "json"]);
        let report: Value = serde_json::from_str(&ran.report(0)).unwrap();
        let parts = rows(&report, "bill").into_iter().filter(|row| row["values"]["used"]["count"].is_i64());
        parts
            .map(|row| {
                (row["values"]["kind"]["text"].as_str().unwrap().to_owned(), row["values"]["used"]["count"].as_i64().unwrap())
            })
            .collect()
    };
    let count = |bill: &[(String, i64)], kind: &str| bill.iter().filter(|row| row.0 == kind).map(|row| row.1).sum::<i64>();
    let (plain, kit) = (bill(""), bill(", exhibition kit: yes"));
    for kind in ["micro-servo", "servo-controller", "panel-encoder", "power-supply"] {
        assert!(count(&plain, kind) > 0, "{plain:?}");
        assert_eq!(count(&kit, kind), count(&plain, kind) + 1, "{kind}: {kit:?}");
    }
    assert_eq!(count(&kit, "wood-screw"), count(&plain, "wood-screw"));
}

/// A pooled order may be for several builders: tools are in it for each, which it says.
#[test]
fn a_pooled_order_says_that_tools_are_for_each_layout() {
    let desk = Desk::new().file("a.yaml", LAYOUT).file("b.yaml", LAYOUT).tables("book", &two_suppliers());
    let args = ["pool", "a.yaml", "b.yaml", "--catalogue", "book", "--scheme", "near"];
    let report = desk.run(&args).report(0);
    let report = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(report.contains("are counted for every layout, since each may be another builder's"), "{report}");
}

/// A wire is cut by its label, its copper and its length: a narrow page gives up other columns first.
#[test]
fn a_narrow_page_keeps_the_copper_of_each_wire() {
    let desk = Desk::new().file("layout.yaml", LAYOUT);
    let report = desk.run(&["wiring", "layout.yaml", "--scheme", "stall-motor", "--width", "70"]).report(0);
    assert!(report.contains("A wider page also shows: "), "{report}");
    assert!(!report.lines().any(|line| line.starts_with("A wider page also shows: ") && line.contains("Copper")), "{report}");
}

/// What lies in the layout file is named as the user named it; a reel that is used up has no rest.
#[test]
fn defaults_are_named_and_nothing_is_no_rest() {
    let desk = Desk::new().file("harbour.yaml", include_str!("../../examples/saltmarsh-harbour.yaml"));
    let check = desk.run(&["check", "harbour.yaml", "--width", "100"]).report(0);
    assert!(check.contains("T3: frog") && !check.contains("turnouts["), "{check}");
    let shop = desk.run(&["shop", "harbour.yaml", "--scheme", "servo-made", "--width", "200"]).report(0);
    for line in shop.lines().filter(|line| line.ends_with("  left over")) {
        let rest = line.split_whitespace().rev().nth(2).and_then(|figure| figure.parse::<f64>().ok());
        assert!(rest.is_some_and(|rest| rest > 0.0), "{line}");
    }
}
