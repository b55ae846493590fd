//! The command line: exact output, messages and exit codes.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use std::fs;
use std::io::Read;
use std::process::Stdio;

use serde_json::Value;

use crate::program::Desk;
use crate::support::{SMALL, small_but};

const VERBS: [&str; 7] = ["compare", "bill", "shop", "wiring", "power", "hours", "check"];

/// Two boards, a crossover and a signal: something of everything the small catalogue can plan.
const LAYOUT: &str = "\
name: Two boards
boards:
  - id: A
  - id: B
supplies:
  - id: grey box
    gives: 12 V DC, 1 A
turnouts:
  - id: T1
    board: A
    at: 300 x 200 mm
  - id: T2
    board: A
    at: 700 x 250 mm
    with: T1
  - id: T3
    board: B
    at: 900 x 300 mm
signals:
  - id: S1
    kind: semaphore
    board: B
    at: 200 x 350 mm
rules:
  set-ups: 12
  spares: 10 %
";

fn desk() -> Desk {
    Desk::new().file("layout.yaml", LAYOUT).tables("book", SMALL)
}

#[test]
fn help_is_what_it_was() {
    let desk = Desk::new();
    insta::assert_snapshot!("help", desk.run(&["--help"]).report(0));
    let verbs = [
        "compare",
        "bill",
        "shop",
        "pool",
        "wiring",
        "power",
        "hours",
        "book",
        "check",
        "explain",
        "schema",
        "completions",
        "start",
    ];
    for verb in verbs {
        insta::assert_snapshot!(format!("help_{verb}"), desk.run(&[verb, "--help"]).report(0));
    }
}

#[test]
fn every_report_is_what_it_was() {
    let desk = desk();
    for verb in VERBS {
        let ran = desk.run(&[verb, "layout.yaml", "--catalogue", "book", "--width", "100"]);
        assert!(matches!(ran.code, Some(0 | 1)), "{verb}: {}", ran.stderr);
        insta::assert_snapshot!(format!("report_{verb}"), ran.stdout);
    }
    let why = desk.run(&["bill", "layout.yaml", "--catalogue", "book", "--why", "screw", "--scheme", "near"]);
    insta::assert_snapshot!("report_why", why.stdout);
}

#[test]
fn files_that_are_not_there_are_all_named() {
    Desk::new().run(&["compare", "a.yaml", "--catalogue", "b.xlsx"]).gives(
        3,
        "",
        "error: could not read b.xlsx: there is no such file or folder\n\
         error: could not read a.yaml: there is no such file or folder\n",
    );
}

#[test]
fn all_errors_of_a_layout_are_told_with_place_and_nearest_name() {
    let text = "turnouts:\n  - id: T1\n    bord: A\n    at: 300 x 200\nrules:\n  slack: 10 mm\n";
    Desk::new().file("layout.yaml", text).run(&["bill", "layout.yaml"]).gives(
        2,
        "",
        "error[unknown-key]: `bord` is not a key of a turnout
  in layout.yaml:3:5 (turnouts[0].bord)
     3 │     bord: A
       │     ^
  found: bord
  expected: one of id, board, at, further, kind, frog, with, scheme, owned, hidden
  did you mean `board`?

error[wrong-unit]: `at`: `300` has no unit
  in layout.yaml:4:9 (turnouts[0].at)
     4 │     at: 300 x 200
       │         ^
  found: 300 x 200
  expected: a point, along the front x towards the back, such as `300 x 200 mm`

error[wrong-unit]: `slack`: `10 mm` is a length
  in layout.yaml:6:10 (rules.slack)
     6 │   slack: 10 mm
       │          ^
  found: 10 mm
  expected: a share, such as `20 %`

3 errors
",
    );
}

#[test]
fn a_layout_is_not_checked_by_a_catalogue_that_is_wrong() {
    let sheets = small_but("Stock", "part,count\nscrew M3,25");
    let ran = Desk::new().file("layout.yaml", "nonsense: yes").tables("book", &sheets).run(&[
        "check",
        "layout.yaml",
        "--catalogue",
        "book",
    ]);
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)));
    assert!(ran.stderr.starts_with("error[unknown-id]: "), "{}", ran.stderr);
    assert!(
        ran.stderr.contains("\n  in book/Stock.csv:2:1 (part, cell A2)\n     2 │ screw M3,25\n       │ ^\n"),
        "{}",
        ran.stderr
    );
    assert!(
        ran.stderr.ends_with("\nThe layout file was not checked: what it may say depends on the catalogue.\n"),
        "{}",
        ran.stderr
    );
    assert!(!ran.stderr.contains("nonsense"));
}

#[test]
fn what_is_passed_over_is_told_beside_the_report_and_check_reports_it() {
    let sheets = small_but("Stock", "part,count,shelf\nscrew M2,25,3");
    let desk = Desk::new().file("layout.yaml", LAYOUT).tables("book", &sheets);
    let bill = desk.run(&["bill", "layout.yaml", "--catalogue", "book"]);
    assert!(bill.stderr.starts_with("notice[unknown-column]: "), "{}", bill.stderr);
    assert!(!bill.stdout.contains("shelf"));
    let check = desk.run(&["check", "layout.yaml", "--catalogue", "book"]);
    assert_eq!(check.stderr, "");
    assert!(check.stdout.contains("shelf"));
}

#[test]
fn a_name_that_is_not_there_is_an_error_with_the_nearest() {
    let desk = desk();
    desk.run(&["bill", "layout.yaml", "--catalogue", "book", "--scheme", "neer"]).gives(
        2,
        "",
        "error[unknown-id]: the catalogue has no scheme named `neer`
  in --scheme
  found: neer
  expected: one of near, near plus, coil
  did you mean `near`?
",
    );
    desk.run(&["bill", "layout.yaml", "--catalogue", "book", "--why", "scrow"]).gives(
        2,
        "",
        "error[unknown-id]: the catalogue has no such kind or part
  in --why
  found: scrow
  expected: a kind as in the column Kind of `bill`, or a part, by its name or title
  did you mean `screw`?
",
    );
}

#[test]
fn a_scheme_that_is_not_offered_is_told_as_such() {
    let ran = desk().run(&["bill", "layout.yaml", "--catalogue", "book", "--scheme", "hand"]);
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)));
    let said = "error[contradiction]: the catalogue does not offer `hand`: it only holds what other schemes share\n";
    assert!(ran.stderr.starts_with(said), "{}", ran.stderr);
}

#[test]
fn what_is_given_in_the_wrong_place_is_told_plainly() {
    let desk = desk().file("empty/notes.txt", "").file("book.xlsx", b"PK\x03\x04 and so on");
    let told = |args: &[&str]| {
        let ran = desk.run(args);
        assert_eq!(ran.stdout, "", "{args:?}");
        (ran.code.unwrap(), ran.stderr)
    };
    let folder = told(&["bill", "book"]);
    assert_eq!(folder, (3, "error: could not read book: this is a folder; name the file in it\n".to_owned()));
    let workbook = told(&["bill", "book.xlsx"]);
    assert!(workbook.1.starts_with("error[not-yaml]: this is a workbook, where the layout file should be\n"), "{workbook:?}");
    let empty = told(&["bill", "layout.yaml", "--catalogue", "empty"]);
    assert!(empty.1.starts_with("error[not-a-workbook]: there is no table in this folder\n  in empty\n"), "{empty:?}");
    let through = told(&["bill", "layout.yaml/more.yaml"]);
    assert!(through.1.ends_with("a part of the path is a file, not a folder\n"), "{through:?}");
    let compared = told(&["compare", "layout.yaml", "--scheme", "near"]);
    assert_eq!(compared.0, 2);
    assert!(compared.1.contains("the layout file says which: `schemes` under `rules`"), "{compared:?}");
}

#[test]
fn one_table_alone_is_for_csv_and_must_be_there() {
    let desk = desk();
    let with = |flags: &[&str]| desk.run(&[&["hours", "layout.yaml", "--catalogue", "book"], flags].concat());
    let stages = with(&["--format", "csv", "--table", "stages"]).report(0);
    assert!(
        stages.starts_with("Table,Stage,Likely (h),Enough in 4 builds of 5 (h)\r\n\"By stage, in the order done\","),
        "{stages}"
    );
    with(&["--format", "csv", "--table", "stage"]).gives(
        2,
        "",
        "error[unknown-id]: the report has no such table
  in --table
  found: stage
  expected: one of stages, tasks, findings
  did you mean `stages`?
",
    );
    with(&["--table", "stages"]).gives(2, "", "error[contradiction]: only `--format csv` gives a table alone\n  in --table\n");
}

#[test]
fn orders_are_written_whole_and_what_is_there_is_kept() {
    let desk = desk();
    let shop = |flags: &[&str]| desk.run(&[&["shop", "layout.yaml", "--catalogue", "book"], flags].concat());
    shop(&["--to", "order.xlsx"]).gives(0, "Written:\n  order.xlsx\n", "");
    let workbook = fs::read(desk.path("order.xlsx")).unwrap();
    assert!(workbook.starts_with(b"PK"));
    shop(&["--to", "order.xlsx"]).gives(
        3,
        "",
        "error: order.xlsx is there already; nothing was written\n  To replace what is there, add `--force`.\n",
    );
    fs::write(desk.path("order.xlsx"), "mine").unwrap();
    shop(&["--to", "order.xlsx", "--force"]).gives(0, "Written:\n  order.xlsx\n", "");
    assert_eq!(fs::read(desk.path("order.xlsx")).unwrap(), workbook, "the same bytes each time");

    let told = "Written:\n  lists/supplier-1.csv\n  lists/supplier-2.csv\n";
    shop(&["--to", "lists"]).gives(0, told, "");
    let first = fs::read_to_string(desk.path("lists/supplier-1.csv")).unwrap();
    assert!(first.starts_with("\u{feff}Table,Part,Their code,"), "{first}");
    assert!(first.contains("\r\nOrder from "), "{first}");
    fs::write(desk.path("lists/supplier-2.csv"), "mine").unwrap();
    fs::write(desk.path("lists/supplier-3.csv"), "of an earlier plan").unwrap();
    let again = shop(&["--to", "lists"]);
    assert_eq!((again.stdout.as_str(), again.code, again.stderr.lines().count()), ("", Some(3), 4), "{}", again.stderr);
    assert_eq!(fs::read_to_string(desk.path("lists/supplier-2.csv")).unwrap(), "mine");
    shop(&["--to", "lists", "--force"]).gives(0, told, "");
    assert!(!desk.path("lists/supplier-3.csv").exists());
    assert_eq!(fs::read_dir(desk.path("lists")).unwrap().count(), 2);

    let wrong = shop(&["--to", "order.pdf"]);
    assert_eq!((wrong.stdout.as_str(), wrong.code), ("", Some(2)));
    assert!(wrong.stderr.contains("expected: a workbook, `NAME.xlsx`, or a folder"), "{}", wrong.stderr);
    assert!(!desk.path("order.pdf").exists());
}

#[test]
fn wrong_usage_is_exit_code_2() {
    let desk = desk();
    for args in [
        &["compare"][..],
        &["motorise"],
        &["bill", "layout.yaml", "--width", "3"],
        &["bill", "layout.yaml", "--format", "pdf"],
        &[],
    ] {
        let ran = desk.run(args);
        assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)), "{args:?}");
        assert!(!ran.stderr.is_empty());
    }
}

#[test]
fn a_plan_that_falls_short_is_exit_code_1_and_is_shown_all_the_same() {
    let offers = SMALL.iter().find(|(sheet, _)| *sheet == "Offers").unwrap().1;
    let without: String = offers.lines().filter(|line| !line.contains("plug 9")).collect::<Vec<_>>().join("\n");
    let sheets = small_but("Offers", &without);
    let desk = Desk::new().file("layout.yaml", LAYOUT).tables("book", &sheets);
    for verb in VERBS {
        let ran = desk.run(&[verb, "layout.yaml", "--catalogue", "book"]);
        assert_eq!((ran.stderr.as_str(), ran.code), ("", Some(1)), "{verb}");
    }
    let shop = desk.run(&["shop", "layout.yaml", "--catalogue", "book"]).stdout;
    assert!(shop.contains("Not to be had from the catalogue"), "{shop}");
    assert!(shop.contains("Plug, ways at least"), "{shop}");
    let compare = desk.run(&["compare", "layout.yaml", "--catalogue", "book"]).stdout;
    assert!(compare.contains("None of the schemes compared can be built"), "{compare}");
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let desk = desk();
    let mut child = desk.command(&["schema"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let mut stderr = String::new();
    child.stderr.take().unwrap().read_to_string(&mut stderr).unwrap();
    assert_eq!((child.wait().unwrap().code(), stderr.as_str()), (Some(0), ""));
}

#[test]
fn start_writes_what_can_be_read_and_overwrites_nothing() {
    let desk = Desk::new();
    desk.run(&["start", "railway"]).gives(
        0,
        "Written:
  railway/layout.yaml  what is on your layout; edit it first
  railway/catalogue.xlsx  parts, prices, suppliers, times; all prices are invented: put in your own
  railway/catalogue  the same as a folder of CSV tables; keep whichever of the two you like

Then compare the ways of driving:
  underboard compare railway/layout.yaml --catalogue railway/catalogue.xlsx
",
        "",
    );
    let by = |catalogue: &[&str]| {
        let ran = desk.run(&[&["shop", "railway/layout.yaml", "--scheme", "servo-ready"], catalogue].concat());
        assert_eq!((ran.stderr.as_str(), ran.code), ("", Some(0)), "{}", ran.stdout);
        ran.stdout
    };
    let embedded = by(&[]);
    assert_eq!(by(&["--catalogue", "railway/catalogue.xlsx"]), embedded);
    assert_eq!(by(&["--catalogue", "railway/catalogue"]), embedded);

    fs::write(desk.path("railway/layout.yaml"), "mine").unwrap();
    fs::remove_file(desk.path("railway/catalogue.xlsx")).unwrap();
    let again = desk.run(&["start", "railway"]);
    assert_eq!((again.stdout.as_str(), again.code), ("", Some(3)));
    assert!(again.stderr.contains("error: railway/layout.yaml is there already; nothing was written\n"), "{}", again.stderr);
    assert_eq!(fs::read_to_string(desk.path("railway/layout.yaml")).unwrap(), "mine");
    assert!(!desk.path("railway/catalogue.xlsx").exists(), "all or nothing");
}

#[test]
fn bold_is_for_terminals_and_those_who_ask() {
    let desk = desk();
    let with = |flags: &[&str]| desk.run(&[&["power", "layout.yaml", "--catalogue", "book"], flags].concat()).stdout;
    let plain = with(&[]);
    assert!(!plain.contains('\u{1b}'));
    assert_eq!(with(&["--colour", "never"]), plain);
    assert_eq!(with(&["--no-colour"]), plain);
    let bold = with(&["--colour", "always"]);
    assert!(bold.contains("\u{1b}[1m"));
    assert_eq!(bold.replace("\u{1b}[1m", "").replace("\u{1b}[0m", ""), plain);
}

#[test]
fn no_output_is_wider_than_asked() {
    let desk = desk();
    for verb in VERBS {
        for width in ["40", "60", "80", "200"] {
            let ran = desk.run(&[verb, "layout.yaml", "--catalogue", "book", "--width", width]);
            let widest = ran.stdout.lines().map(|line| line.chars().count()).max().unwrap();
            assert!(widest <= width.parse().unwrap(), "{verb} at {width}: {widest}");
        }
    }
}

#[test]
fn text_from_files_is_never_a_terminal_code() {
    let evil = SMALL.iter().map(|&(sheet, text)| {
        (sheet, text.replace("Small motor", "Small\u{1b}]0;x\u{7}motor").replace("North Bench", "\u{9b}2JNorth"))
    });
    let evil: Vec<(&str, String)> = evil.collect();
    let sheets: Vec<(&str, &str)> = evil.iter().map(|(sheet, text)| (*sheet, text.as_str())).collect();
    let desk = Desk::new()
        .file("layout.yaml", LAYOUT)
        .file("evil.yaml", "name: \"a\\e[2Jb\"\nturnouts:\n  - id: \"T\\e[31m\"\n    frog: \"\\u009b31m\"\n")
        .tables("book", &sheets);
    for layout in ["layout.yaml", "evil.yaml"] {
        for verb in VERBS {
            for format in ["terminal", "json"] {
                let ran = desk.run(&[verb, layout, "--catalogue", "book", "--format", format]);
                for text in [&ran.stdout, &ran.stderr] {
                    assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{verb} {format}: {text:?}");
                }
            }
        }
    }
}

/// The tables of a JSON report by id.
fn tables<'a>(report: &'a Value, id: &str) -> Vec<&'a Value> {
    let sections = report["sections"].as_array().unwrap();
    let blocks = sections.iter().flat_map(|section| section["blocks"].as_array().unwrap());
    blocks.filter(|block| block["block"] == "table" && block["id"] == id).collect()
}

/// Minor units of a money cell; none where it is missing.
fn cents(cell: &Value) -> i64 {
    match cell["is"].as_str().unwrap() {
        "money" => cell["amount"].as_str().unwrap().replace('.', "").parse().unwrap(),
        "missing" => 0,
        other => panic!("{other} is no money"),
    }
}

fn rows(table: &Value) -> &[Value] {
    table["rows"].as_array().unwrap()
}

fn row<'a>(table: &'a Value, id: &str) -> &'a Value {
    &rows(table).iter().find(|row| row["id"] == id).unwrap_or_else(|| panic!("no row {id}"))["values"]
}

/// The sum of a column over the rows that are no sums themselves.
fn sum(table: &Value, column: &str) -> i64 {
    rows(table).iter().filter(|row| row["is_total"] == false).map(|row| cents(&row["values"][column])).sum()
}

#[test]
fn the_money_of_all_reports_agrees_and_adds_up() {
    let desk = desk();
    let read = |args: &[&str]| -> Value {
        let all = [args, &["layout.yaml", "--catalogue", "book", "--format", "json"]].concat();
        serde_json::from_str(&desk.run(&all).stdout).unwrap()
    };
    let compare = read(&["compare"]);
    let schemes = tables(&compare, "schemes")[0];
    let groups = tables(&compare, "groups")[0];
    for scheme in ["near", "near plus", "coil"] {
        let column = format!("scheme:{scheme}");
        let money = cents(&row(schemes, "money")[&column]);
        assert!(money > 0);
        assert_eq!(sum(groups, &column), money, "{scheme}: the groups add up");

        let bill = read(&["bill", "--scheme", scheme]);
        let bill = tables(&bill, "bill")[0];
        assert_eq!(cents(&row(bill, "total")["cost"]), money, "{scheme}: bill and comparison agree");
        assert_eq!(sum(bill, "cost"), cents(&row(bill, "goods")["cost"]), "{scheme}: the bill adds up");

        let shop = read(&["shop", "--scheme", scheme]);
        let orders = tables(&shop, "orders")[0];
        assert_eq!(cents(&row(orders, "total")["total"]), money, "{scheme}: orders and comparison agree");
        assert_eq!(sum(orders, "total"), money, "{scheme}: the orders add up");
        for order in tables(&shop, "order") {
            assert_eq!(sum(order, "total"), cents(&row(order, "goods")["total"]), "{scheme}: the lines add up");
        }
    }
}

#[test]
fn json_says_its_version_and_every_row_has_every_column() {
    let desk = desk();
    let mut seen = 0;
    for verb in VERBS {
        let ran = desk.run(&[verb, "layout.yaml", "--catalogue", "book", "--format", "json"]);
        let report: Value = serde_json::from_str(&ran.stdout).unwrap();
        assert_eq!((&report["version"], &report["verb"]), (&Value::from(1), &Value::from(verb)));
        assert_eq!(report["falls_short"], ran.code == Some(1));
        for block in report["sections"].as_array().unwrap().iter().flat_map(|section| section["blocks"].as_array().unwrap()) {
            if block["block"] != "table" {
                continue;
            }
            let mut columns: Vec<&str> = block["columns"].as_array().unwrap().iter().map(|c| c["id"].as_str().unwrap()).collect();
            columns.sort_unstable();
            for row in rows(block) {
                let values: Vec<&str> = row["values"].as_object().unwrap().keys().map(String::as_str).collect();
                assert_eq!(values, columns, "{verb}: {}", block["id"]);
                seen += 1;
            }
        }
    }
    assert!(seen > 50, "{seen}");
    let schema: Value = serde_json::from_str(&desk.run(&["schema"]).report(0)).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    let layout: Value = serde_json::from_str(&desk.run(&["schema", "layout"]).report(0)).unwrap();
    assert_eq!(layout["properties"]["turnouts"]["items"]["required"][0], "id");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let desk = desk();
    for verb in VERBS {
        for format in ["terminal", "json"] {
            let run = || desk.run(&[verb, "layout.yaml", "--catalogue", "book", "--format", format]).stdout;
            assert_eq!(run(), run(), "{verb} as {format}");
        }
    }
}

/// The section of a terminal report under a heading, with its lines joined.
fn section(report: &str, heading: &str) -> String {
    let after = report.split_once(&format!("\n{heading}\n")).unwrap_or_else(|| panic!("no {heading} in {report}")).1;
    let lines = after.lines().skip(1);
    let mut text = String::new();
    for (line, next) in lines.clone().zip(lines.skip(1).chain([""])) {
        if next.starts_with("──") {
            break;
        }
        text += line;
        text.push(' ');
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_verdict_is_told_in_words_and_the_other_verbs_follow_it() {
    let with = |rules: &str| {
        let supply = "  - id: grey box\n    gives: 12 V DC, 1 A\n  - id: old box\n    gives: 24 V AC, 10 A\n";
        let layout = LAYOUT.replace("  - id: grey box\n    gives: 12 V DC, 1 A\n", supply) + rules;
        // Coils are cheap here and take long to build.
        let tasks = "scheme,per,task,stage,low (min),likely (min),high (min),when
            near,drive,Fit the motor,fitting,10,15,30,
            coil,drive,Fit the coil,fitting,60,90,120,";
        let desk = Desk::new().file("layout.yaml", layout).tables("book", &small_but("Tasks", tasks));
        let run = |verb: &str| desk.run(&[verb, "layout.yaml", "--catalogue", "book"]).report(0);
        let (compare, bill) = (run("compare"), run("bill"));
        let scheme = bill.lines().find(|line| line.starts_with("Scheme: ")).unwrap();
        (section(&compare, "Which to take"), section(&bill, scheme))
    };

    let (verdict, bill) = with("");
    assert!(
        verdict.starts_with("No scheme is the cheapest, the quickest and the one with fewest conductors at once"),
        "{verdict}"
    );
    assert!(verdict.contains("- Cheapest: Coil, "), "{verdict}");
    assert!(
        verdict.contains("write under `rules:` in layout.yaml one of `decide by: money`, `decide by: hours` and"),
        "{verdict}"
    );
    assert!(verdict.contains("`hour: 8.00`"), "{verdict}");
    assert!(bill.starts_with("`coil` is the cheapest; the rules do not say what to decide by."), "{bill}");

    let (verdict, bill) = with("  decide by: conductors\n");
    assert!(verdict.starts_with("Coil. Your rules decide by conductors, and it has the least: 5."), "{verdict}");
    assert!(
        verdict.contains("Next comes Motor at a controller, with 6 against 5. It does better in this: - Hours, likely: "),
        "{verdict}"
    );
    assert!(bill.starts_with("`compare` chose `coil` by conductors."), "{bill}");

    let (verdict, bill) = with("  decide by: money\n  schemes: [near]\n");
    assert!(verdict.starts_with("Motor at a controller. Your rules decide by money"), "{verdict}");
    assert!(verdict.ends_with("It is the only scheme compared."), "{verdict}");
    assert!(bill.starts_with("`compare` chose `near` by money."), "{bill}");

    let (verdict, _) = with("  hour: 8.00\n");
    assert!(verdict.contains("Your rules give an hour a value"), "{verdict}");
    assert!(verdict.contains("it has the least life cost: "), "{verdict}");

    let (verdict, _) = with("  decide by: life cost\n");
    assert!(verdict.contains("Your rules decide by life cost, which needs the value of an hour as well."), "{verdict}");
}
