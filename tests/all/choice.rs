//! The comparison: the next turnout and its step to the penny, a scheme that cannot be built beside one that can, and the smallest
//! layout.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use std::fmt::Write as _;

use underboard::buying::{Choices, Limits};
use underboard::catalogue::Catalogue;
use underboard::choice::{NextTurnout, NoPrice, Verdict, compare};
use underboard::estimate::estimate;
use underboard::layout::Layout;
use underboard::money::Money;
use underboard::report::{Dress, to_terminal, view};
use underboard::scheme::assign;

use crate::program::Desk;
use crate::support;
use crate::trade::{TRADE, row_of};

/// Extensions that reach the middle of a board of four metres.
const LONG: &[(&str, &str)] =
    &[("Parts", "ext-2000,extension,Extension lead 2 m,2000\n"), ("Offers", "ext-2000,orrin,X20,1,2.50,,2026-03-01\n")];

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

/// Eight servos have a controller of twelve channels, of which the rules keep two free, and four screws left in the second pack. The
/// ninth wants a motor of 4.00, a switch of 1.00 and, in the middle of a board of four metres, the extension of 2.50. With the eleventh
/// three channels are to stay free (20 %), fourteen in all: it wants a motor, a switch, a second controller of four at 9.00 and a third pack of screws at 0.80; the tenth, which
/// goes to that one too, no longer wants its extension of 2.50.
#[test]
fn the_next_turnout_and_its_step_to_the_penny() {
    let next = next(&trade_with(LONG)).unwrap();
    assert_eq!(next.price.map(Money::minor), Ok(750));
    assert_eq!(next.step.map(|step| (step.turnout, step.price.map(Money::minor))), Some((3, Ok(1_230))));
    assert_eq!(next.board.index(), 0);
}

/// The price of the next turnout is what the plan of a layout file with that turnout in it costs more.
#[test]
fn the_next_turnout_costs_what_a_plan_with_it_costs_more() {
    let sheets = trade_with(LONG);
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let catalogue = support::catalogue(&sheets);
    let total = |turnouts: &str| {
        let text = format!(
            "boards: [{{id: A, size: 4000 x 450 mm}}]\npanel: {{board: A}}\nrules: {{lamps: none}}\nturnouts:\n{turnouts}"
        );
        let layout = support::layout(&text, &catalogue);
        let comparison = compare(&layout, &catalogue, &Choices::default());
        let scheme = layout.rules.schemes.value[0];
        let plan = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &Choices::default());
        (plan.purchase.total, comparison.columns.into_iter().next().unwrap().next.unwrap())
    };
    let mut turnouts: String = (0..8).map(|n| format!("  - {{id: T{n}, at: {} x 200 mm}}\n", 200 + 150 * n)).collect();
    let (mut before, first) = total(&turnouts);
    let step = first.step.unwrap();
    for further in 1..=step.turnout {
        let _ = writeln!(turnouts, "  - {{id: N{further}, at: 2000 x 225 mm}}");
        let (with, _) = total(&turnouts);
        if further == 1 {
            assert_eq!(first.price, Ok(with - before));
        }
        if further == step.turnout {
            assert_eq!(step.price, Ok(with - before));
        }
        before = with;
    }
}

/// Nothing reaches the middle of the board: the longest extension is 600 mm.
#[test]
fn a_next_turnout_that_cannot_be_had_has_no_price() {
    assert_eq!(next(&trade_with(&[])).unwrap().price, Err(NoPrice::NotToBeHad));
}

#[test]
fn what_no_part_can_do_is_told_once_with_what_there_is() {
    let sheets = trade_with(&[]);
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let text = "boards: [{id: A, size: 4000 x 450 mm}]\nturnouts: [{id: T1, at: 2000 x 200 mm}, {id: T2, at: 100 x 200 mm}]\nrules: {lamps: none}\n";
    let ran = Desk::new().file("layout.yaml", text).tables("book", &sheets);
    let report = ran.run(&["shop", "layout.yaml", "--catalogue", "book", "--scheme", "servo", "--width", "200"]).report(1);
    assert!(report.contains("no part of the catalogue serves; the most `length` of any is 600 mm"), "{report}");
}

#[test]
fn a_dash_for_the_price_of_a_turnout_is_told_with_its_reason() {
    let sheets = trade_with(&[]);
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let catalogue = support::catalogue(&sheets);
    let told = |layout: &Layout, catalogue: &Catalogue, choices: &Choices| {
        let comparison = compare(layout, catalogue, choices);
        let report = view::compare(layout, catalogue, choices, &comparison);
        to_terminal(&report, Dress { width: 200, colour: false }).replace('\n', " ")
    };
    let long = told(&row_of(&catalogue, 8, "{board: A}"), &catalogue, &Choices::default());
    assert!(
        long.contains(
            "A dash for the price of a turnout under Servo on a home-made bracket: something that the turnout needs cannot be had"
        ),
        "{long}"
    );
    let starter = underboard::catalogue::from_starter().unwrap();
    let shelf = underboard::layout::read("shelf.yaml", include_str!("../../examples/shelf.yaml"), &starter).unwrap();
    let report = told(&shelf, &starter, &Choices::within(Limits::steps(1)));
    assert!(report.contains("is not proven the cheapest, so that their difference would be a guess"), "{report}");
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
