//! The comparison: the next turnout and its step to the penny, a scheme that cannot be built beside one that can, and the smallest
//! layout.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use underboard::buying::Choices;
use underboard::choice::{NextTurnout, Verdict, compare};

use crate::program::Desk;
use crate::support;
use crate::trade::{TRADE, row_of};

const VERBS: [&str; 7] = ["compare", "bill", "shop", "wiring", "power", "hours", "check"];

/// The frozen catalogue without one row of a sheet.
fn trade_without(sheet: &str, row: &str) -> Vec<(&'static str, String)> {
    let keep = |text: &str| text.lines().filter(|line| !line.starts_with(row)).collect::<Vec<_>>().join("\n");
    TRADE.iter().map(|&(name, text)| (name, if name == sheet { keep(text) } else { text.to_owned() })).collect()
}

/// The frozen catalogue with more rows on a sheet.
fn trade_with(more: &[(&str, &str)]) -> Vec<(&'static str, String)> {
    let rows = |sheet: &str| more.iter().filter(|(name, _)| *name == sheet).map(|(_, row)| *row).collect::<String>();
    TRADE.iter().map(|&(name, text)| (name, format!("{text}{}", rows(name)))).collect()
}

/// What the next turnout costs under the first scheme, with eight there already.
fn next(sheets: &[(&'static str, String)]) -> Option<NextTurnout> {
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let catalogue = support::catalogue(&sheets);
    let layout = row_of(&catalogue, 8, "{board: A}");
    compare(&layout, &catalogue, &Choices::default()).columns.swap_remove(0).next
}

/// Eight servos have four channels free and four screws left in the second pack. The ninth wants a motor of 4.00, a switch of 1.00 and, in
/// the middle of a board of four metres, the extension of 2.50. The thirteenth wants a controller of four channels at 9.00, which stands
/// beside it, so that no extension is needed; the eleventh opened the third pack of screws.
#[test]
fn the_next_turnout_and_its_step_to_the_penny() {
    let long = [("Parts", "ext-2000,extension,Extension lead 2 m,2000\n"), ("Offers", "ext-2000,orrin,X20,1,2.50,,2026-03-01\n")];
    let next = next(&trade_with(&long)).unwrap();
    assert_eq!(next.price.minor(), 750);
    assert_eq!(next.step.map(|(turnout, price)| (turnout, price.minor())), Some((5, 1400)));
    assert_eq!(next.board.index(), 0);
}

/// Nothing reaches the middle of the board: the longest extension is 600 mm.
#[test]
fn a_next_turnout_that_cannot_be_had_has_no_price() {
    assert_eq!(next(&trade_with(&[])), None);
}

#[test]
fn a_scheme_that_cannot_be_built_is_shown_with_what_it_lacks_beside_one_that_can() {
    let sheets = trade_without("Offers", "coil,");
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let catalogue = support::catalogue(&sheets);
    let layout = row_of(&catalogue, 3, "{board: A}");
    let comparison = compare(&layout, &catalogue, &Choices::default());
    let built: Vec<bool> = comparison.columns.iter().map(|column| column.estimate.can_be_built()).collect();
    assert_eq!(built, [true, false]);
    assert!(matches!(comparison.verdict, Verdict::Chosen { column: 0, runner_up: None, .. }));

    let text = "turnouts: [{id: T1}, {id: T2}]\nrules: {lamps: none}\n";
    let ran = Desk::new().file("layout.yaml", text).tables("book", &sheets).run(&[
        "compare",
        "layout.yaml",
        "--catalogue",
        "book",
        "--width",
        "100",
    ]);
    let report = ran.report(0);
    for line in ["Twin-coil solenoid lacks:", "It is the only one that can be built from this catalogue."] {
        assert!(report.contains(line), "{line}\n{report}");
    }
    insta::assert_snapshot!("one_lacks", report);
}

#[test]
fn a_layout_of_ten_lines_goes_through_every_verb() {
    let text = include_str!("../../examples/shelf.yaml");
    let lines = text.lines().filter(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#')).count();
    assert!(lines <= 10, "{lines} lines");
    let desk = Desk::new().file("shelf.yaml", text);
    for verb in VERBS {
        let report = desk.run(&[verb, "shelf.yaml"]).report(0);
        assert!(report.lines().count() > 10, "{verb}\n{report}");
    }
    assert!(desk.run(&["check", "shelf.yaml"]).stdout.contains("Defaults taken"), "the defaults taken are listed");
}
