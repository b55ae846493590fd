//! Slips in using the program: the wrong thing behind an option, the wrong file in a place. Each is told in the program's own words, with
//! what is wanted instead.

use std::fs;

use crate::program::{Desk, Ran};
use crate::support::{SMALL, small_but};

const LAYOUT: &str = "turnouts: [{id: T1}]\n";

fn desk() -> Desk {
    Desk::new().file("layout.yaml", LAYOUT).tables("book", SMALL)
}

/// A shopping list with these words behind it.
fn shop_ran(words: &[&str]) -> Ran {
    desk().run(&[&["shop", "layout.yaml", "--catalogue", "book"], words].concat())
}

/// What is said of a shopping list with these words behind it; it must be refused.
fn shop(words: &[&str]) -> String {
    let ran = shop_ran(words);
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
fn a_chapter_is_named_by_its_word_or_its_heading() {
    for (asked, heading) in [
        ("Words and colours", "Words and colours"),
        ("what to build", "What to build"),
        ("work safely", "Work safely"),
        ("Shopping list", "Shopping list"),
        ("CUTTING", "Cutting list"),
        ("bill of parts", "Bill of parts"),
        ("the panel", "The panel"),
        ("board", "Board "),
        ("joints and wiring", "Joints and wiring"),
        ("power", "Power"),
        ("hours", "Hours"),
        ("defaults and doubts", "Defaults and doubts"),
    ] {
        let desk = Desk::new().file("layout.yaml", "boards: [{id: A}, {id: B}]\nturnouts: [{id: T1}, {id: T2, board: B}]\n");
        let ran = desk.run(&["book", "layout.yaml", "-o", "b.html", "--scheme", "servo-made", "--only", asked]);
        assert_eq!(ran.code, Some(0), "{asked}: {}", ran.stderr);
        let page = fs::read_to_string(desk.path("b.html")).unwrap();
        assert!(page.contains(&format!(">{heading}")), "{asked}");
    }
    let ran = desk().run(&["book", "layout.yaml", "-o", "b.html", "--only", "shopping lists"]);
    assert!(ran.stderr.contains("did you mean `shopping`?"), "{}", ran.stderr);
}

#[test]
fn a_supplier_or_a_scheme_is_named_by_its_title_too() {
    let ran = shop_ran(&["--only", "north bench", "--scheme", "Motor at a  Controller"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(shop(&["--only", "bench"]).contains("did you mean `north`?"));
}

#[test]
fn a_plural_asks_for_the_same_kinds() {
    let why = |word: &str| {
        let desk = Desk::new().file("layout.yaml", LAYOUT);
        desk.run(&["bill", "layout.yaml", "--scheme", "servo-made", "--why", word])
    };
    let (one, many) = (why("bracket"), why("brackets"));
    assert!(one.code == Some(0) && one.stdout == many.stdout, "{}", many.stderr);
    assert!(why("screw bracket").stderr.contains("unknown-id"), "what is only akin is a hint, not an answer");
}

#[test]
fn the_sum_behind_a_number_names_the_rules_of_the_layout_too() {
    let kit = "rules: {spare ways: at least 3, exhibition kit: yes}\n";
    let desk = Desk::new().file("layout.yaml", format!("{LAYOUT}{kit}"));
    let why =
        |kind: &str| desk.run(&["bill", "layout.yaml", "--scheme", "servo-made", "--why", kind, "--format", "csv"]).report(0);
    assert!(why("panel-plate").contains("rules: spare ways,at least 3,"), "{}", why("panel-plate"));
    assert!(why("servo-controller").contains("rules: exhibition kit,yes,"), "{}", why("servo-controller"));
    assert!(
        why("panel-encoder").contains("rules: spare channels,\"20 %, at least 2, the default\","),
        "{}",
        why("panel-encoder")
    );
    assert!(why("label").contains("rules: spares,\"10 %, the default\","), "{}", why("label"));
}

#[test]
fn conditions_on_the_order_may_change_the_scheme_and_it_is_said() {
    let run = |words: &[&str]| desk().run(&[words, &["layout.yaml", "--catalogue", "book", "--parcels", "2"]].concat()).stdout;
    assert!(
        run(&["compare"]).replace('\n', " ").contains("which is the cheapest and which is taken, holds under these conditions")
    );
    assert!(run(&["bill"]).replace('\n', " ").contains("The scheme was picked under these conditions"));
    assert!(!run(&["bill", "--scheme", "near"]).contains("picked under"));
}

#[test]
fn what_is_there_already_is_told_with_what_to_do() {
    let desk = Desk::new().file("layout.yaml", LAYOUT).file("b.html", "mine");
    let kept = desk.run(&["book", "layout.yaml", "-o", "b.html", "--scheme", "servo-made"]);
    kept.gives(3, "", "error: b.html is there already; nothing was written\n  To replace what is there, add `--force`.\n");
    let start = desk.run(&["start", "."]);
    assert_eq!(start.code, Some(3));
    assert!(
        start.stderr.contains("`start` has no `--force`") && start.stderr.contains("name another folder"),
        "{}",
        start.stderr
    );
}

#[test]
fn a_small_supply_of_your_own_ends_power_alone_with_1_and_it_is_said() {
    let text = "supplies: [{id: old, gives: '12 V DC, 60 mA'}]\nturnouts: [{id: T1}, {id: T2}, {id: T3}]\n";
    let desk = Desk::new().file("layout.yaml", text);
    let code = |verb: &str| desk.run(&[verb, "layout.yaml", "--scheme", "stall-motor"]).code;
    assert_eq!((code("power"), code("bill"), code("check")), (Some(1), Some(0), Some(0)));
    let in_one_line = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let explained = in_one_line(desk.run(&["explain", "supply-too-small"]).report(0));
    assert!(explained.contains("ends `power` alone with exit code 1"), "{explained}");
    let help = in_one_line(desk.run(&["power", "--help"]).report(0));
    assert!(
        help.contains("a supply that you have is too small for what hangs on it. The other verbs do not count that"),
        "{help}"
    );
}

#[test]
fn a_folder_in_place_of_the_layout_is_told_with_the_file_in_it() {
    let desk = Desk::new().file("mine/layout.yaml", LAYOUT);
    let told = "error: could not read mine: this is a folder; name the file in it, `mine/layout.yaml`\n";
    desk.run(&["check", "mine"]).gives(3, "", told);
    let table = desk.file("mine/catalogue/Stock.csv", "part,count\n").run(&["check", "mine/catalogue/Stock.csv"]);
    assert!(
        table.code == Some(2) && table.stderr.contains("this is a table, where the layout file should be"),
        "{}",
        table.stderr
    );
    let desk = Desk::new().file("mine/layout.yaml", LAYOUT);
    let verbless = desk.run(&["mine/layout.yaml"]);
    assert!(verbless.code == Some(2) && verbless.stderr.contains("`underboard compare mine/layout.yaml`"), "{}", verbless.stderr);
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
    assert!(report.contains("no supplier that is ordered from sells Plug of"), "{report}");
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
