//! Slips in using the program: the wrong thing behind an option, the wrong file in a place. Each is told in the program's own words, with
//! what is wanted instead.

use std::fs;

use crate::program::Desk;
use crate::support::{SMALL, small_but};

const LAYOUT: &str = "turnouts: [{id: T1}]\n";

fn desk() -> Desk {
    Desk::new().file("layout.yaml", LAYOUT).tables("book", SMALL)
}

/// What is said of a shopping list with these words behind it; it must be refused.
fn shop(words: &[&str]) -> String {
    let ran = desk().run(&[&["shop", "layout.yaml", "--catalogue", "book"], words].concat());
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)), "{words:?}");
    ran.stderr
}

#[test]
fn a_value_that_does_not_fit_is_told_with_the_form_that_does() {
    let money = "an amount without its currency, which is that of the catalogue, such as `100.50`";
    let whole = |low: i64, high: i64| format!("a whole number from {low} to {high}");
    for (flag, value, what, expected) in [
        (
            "--budget",
            "100,50",
            "wrong-money]: `100,50` has a comma; a decimal point is read, and nothing between thousands",
            money,
        ),
        ("--budget", "100 EUR", "wrong-money]: this is no amount of money", money),
        ("--budget", "plenty", "wrong-money]: this is no amount of money", money),
        ("--budget", "-5", "out-of-range]: this is less than nothing", money),
        ("--budget", "99999999999", "out-of-range]: this is more than any plan costs", money),
        ("--parcels", "two", "wrong-type]: this is not a whole number", &whole(1, 1000)),
        ("--parcels", "0", "out-of-range]: this is too small", &whole(1, 1000)),
        ("--parcels", "-2", "out-of-range]: this is too small", &whole(1, 1000)),
        ("--patience", "1.5", "wrong-type]: this is not a whole number", &whole(1, 86_400)),
        ("--patience", "1000000", "out-of-range]: this is too large", &whole(1, 86_400)),
        ("--width", "3", "out-of-range]: this is too small", &whole(40, 10_000)),
        (
            "--on",
            "31.05.2024",
            "wrong-type]: this is not a day of the calendar",
            "the year first, then month and day, such as `2024-05-31`",
        ),
    ] {
        let said = format!("error[{what}\n  in {flag}\n  found: {value}\n  expected: {expected}\n");
        assert_eq!(shop(&[flag, value]), said);
    }
    let said = "error[unknown-word]: this is none of the words that belong here\n  in --format\n  found: makrdown\n  expected: one of \
                terminal, markdown, csv, json\n  did you mean `markdown`?\n";
    assert_eq!(shop(&["--format", "makrdown"]), said);
    assert!(shop(&["--format", ""]).contains("--format"));
    assert!(shop(&["--budget"]).contains("a value is required"));
}

#[test]
fn a_budget_beyond_all_prices_in_the_currency_is_refused() {
    let said = "error[out-of-range]: this is more than any plan costs\n  in --budget\n  found: 999999999\n  expected: an amount in EUR \
                that is smaller\n";
    assert_eq!(shop(&["--budget", "999999999"]), said);
}

#[test]
fn a_day_of_order_before_the_prices_were_checked_is_noticed() {
    let ran = desk().run(&["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--on", "2024-04-30"]);
    let said = "notice[contradiction]: 2 prices were checked after this day, so none of them is marked as old\n  in --on\n  found: \
                2024-04-30\n  expected: the day on which you order, 2024-05-01 or later\n";
    assert_eq!((ran.stderr.as_str(), ran.code), (said, Some(0)));
    let same_day = desk().run(&["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--on", "2024-05-01"]);
    assert_eq!((same_day.stderr.as_str(), same_day.code), ("", Some(0)));
}

#[test]
fn the_folder_that_start_made_is_no_catalogue_but_holds_two() {
    let desk = Desk::new();
    desk.run(&["start", "my railway"]).report(0);
    let ran = desk.run(&["compare", "my railway/layout.yaml", "--catalogue", "my railway", "--width", "200"]);
    let said = "error[not-a-workbook]: there is no table in this folder\n  in my railway\n  expected: what lies in it: `--catalogue \"my \
                railway/catalogue\"` or `--catalogue \"my\n            railway/catalogue.xlsx\"`\n";
    assert_eq!((ran.stdout.as_str(), ran.stderr.as_str(), ran.code), ("", said, Some(2)));
}

#[test]
fn one_table_is_no_catalogue() {
    let desk = desk();
    let ran = desk.run(&["bill", "layout.yaml", "--catalogue", "book/Parts.csv"]);
    let said = "error[not-a-workbook]: this is one table, and a catalogue is a folder of them\n  in book/Parts.csv\n  expected: the \
                folder it lies in, `--catalogue book`, or a workbook\n";
    assert_eq!((ran.stdout.as_str(), ran.stderr.as_str(), ran.code), ("", said, Some(2)));
}

#[test]
fn the_book_is_written_under_the_name_of_a_page_only() {
    for name in ["book.pdf", "book.docx", "book.xlsx", "book"] {
        let desk = desk();
        let ran = desk.run(&["book", "layout.yaml", "--catalogue", "book", "-o", name]);
        let said = format!(
            "error[unknown-word]: the book is not written in this form\n  in --output\n  found: {name}\n  expected: a name that ends in \
             .html; a browser prints that page on paper or into a PDF file\n"
        );
        assert_eq!((ran.stdout.as_str(), ran.stderr.as_str(), ran.code), ("", said.as_str(), Some(2)));
        assert_eq!(fs::read_dir(desk.path("")).unwrap().count(), 2);
    }
}

#[test]
fn every_shell_gets_a_script_with_every_verb() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = Desk::new().run(&["completions", shell]).report(0);
        for verb in ["compare", "bill", "shop", "pool", "wiring", "power", "hours", "book", "check", "explain", "start"] {
            assert!(script.contains(verb), "{shell}: {verb}");
        }
        assert!(script.contains("underboard") && script.contains("catalogue"), "{shell}");
    }
}

#[test]
fn a_controller_for_all_schemes_is_planned_and_bought() {
    let assemblies = SMALL.iter().find(|(sheet, _)| *sheet == "Assemblies").unwrap().1;
    let blank = assemblies.replace("near,controller,box", ",controller,box");
    assert_ne!(blank, assemblies);
    let bill = |assemblies: &str| {
        let desk = Desk::new().file("layout.yaml", LAYOUT).tables("book", &small_but("Assemblies", assemblies));
        let ran = desk.run(&["bill", "layout.yaml", "--catalogue", "book", "--scheme", "near"]);
        assert_eq!((ran.stderr.as_str(), ran.code), ("", Some(0)), "{}", ran.stdout);
        ran.stdout
    };
    assert!(bill(&blank).contains("Box for 8"));
    assert_eq!(bill(&blank), bill(assemblies));
}

#[test]
fn so_few_parcels_that_not_all_can_be_had_buy_most_of_it() {
    let two = "boards: [{id: A}, {id: B}]\nturnouts: [{id: T1, board: A}, {id: T2, board: B}]\n";
    let desk = Desk::new().file("layout.yaml", two).tables("book", SMALL);
    let report = desk.run(&["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--parcels", "1"]).report(1);
    assert!(report.contains("Not to be had from the catalogue") && report.contains("Plug, ways at least 8"), "{report}");
    assert!(report.contains("nobody of the suppliers asked sells Plug of 9"), "{report}");
    assert!(report.contains("Box for 8") && report.contains("Order from North Bench (invented)"), "{report}");
}

#[test]
fn what_no_scheme_moves_is_a_shortfall() {
    let schemes = SMALL.iter().find(|(sheet, _)| *sheet == "Schemes").unwrap().1;
    let alone = schemes.replace("tie bar; arm,hand,local", "tie bar; arm,,local");
    assert_ne!(alone, schemes);
    let layout = "turnouts: [{id: T1}]\nothers: [{id: G1, kind: gate}]\n";
    let desk = Desk::new().file("layout.yaml", layout).tables("book", &small_but("Schemes", &alone));
    let report = desk.run(&["bill", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--width", "200"]).report(1);
    let said = "Falls short: Motor at a controller cannot move G1, and names no scheme that does so instead.";
    assert!(report.contains(said) && report.contains("[nothing-moves-it]"), "{report}");
}
