//! The take-off counts what it says: every subject once, owned things and stock taken off, spares on top, each amount with its reason.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use underboard::buying::Choices;
use underboard::catalogue::{Per, Word};
use underboard::estimate::{Estimate, estimate};
use underboard::scheme::assign;
use underboard::takeoff::Guard;

use crate::trade::TRADE;

const LAYOUT: &str = "
boards: [{id: A, size: 1200 x 450 mm}, {id: B, size: 1200 x 450 mm}]
panel: {board: A}
turnouts:
  - {id: T1, board: A, frog: live}
  - {id: T2, board: A, frog: live, with: T1}
  - {id: T3, board: B, kind: double slip, frog: live}
  - {id: T4, board: B, owned: yes}
signals:
  - {id: S1, board: B, kind: semaphore, arms: 2}
  - {id: S2, board: B, kind: colour light, aspects: 3}
routes:
  - {id: out, throws: [T1, T3]}
rules: {lamps: commanded, spares: 10 %}
";

/// One screw for each of everything that can be counted, written under no scheme.
fn counted(scheme: &str, layout: &str) -> BTreeMap<&'static str, String> {
    let mut rules =
        String::from("scheme,per,kind,asks,amount,when,why\nservo,controller,controller,channels channels,1,,Servos need one.\n");
    for per in Per::ALL {
        let _ = writeln!(rules, ",{},bracket-screw,,1,,One for each.", per.word());
    }
    let sheets: Vec<(&str, &str)> =
        TRADE.iter().map(|&(sheet, text)| (sheet, if sheet == "Assemblies" { rules.as_str() } else { text })).collect();
    let catalogue = crate::support::catalogue(&sheets);
    let layout = crate::support::layout(layout, &catalogue);
    let scheme = catalogue.scheme_named(scheme).unwrap();
    let plan = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &Choices::default());
    let reasons = plan.takeoff.needs.iter().flat_map(|need| &need.reasons);
    let mut sums = BTreeMap::new();
    for reason in reasons {
        let rule = catalogue.rule(reason.rule);
        if *catalogue.kind(rule.kind).name == *"bracket-screw" {
            *sums.entry(rule.per.word()).or_insert(rust_decimal::Decimal::ZERO) += reason.amount;
        }
    }
    sums.into_iter().map(|(per, sum)| (per, sum.to_string())).collect()
}

#[test]
fn every_sort_of_subject_is_counted_once() {
    let counted = counted("servo", LAYOUT);
    let is = |per: &str, n: &str| assert_eq!(counted.get(per).map(String::as_str), Some(n), "{per}");
    is("drive", "6"); // T1, T2, two of the slip, two arms; T4 is owned
    is("lever", "7"); // T1 with T2, two of the slip, T4, two arms, the colour light; an owned turnout still needs its lever
    is("lamp", "12"); // two for each lever that moves something
    is("frog", "4"); // T1, T2, two of the slip
    is("frog to contact", "4"); // a servo brings no contact
    is("arm", "2");
    is("aspect", "3");
    is("signal", "2");
    is("controller", "3"); // four channels on A; five drives and two spare on B take two of four, cheaper than one of twelve
    is("panel", "1");
    is("supply", "1"); // all on 12 V
    is("board", "2");
    is("joint", "1");
    is("joint pin", "10"); // link of four with its return, power pair, three lights and their return
    is("route", "1");
    is("layout", "1");
}

#[test]
fn what_is_owned_or_in_stock_is_not_bought_and_spares_are() {
    let with_stock = |stock: &'static str| {
        let mut sheets = TRADE.to_vec();
        sheets.push(("Stock", stock));
        let catalogue = crate::support::catalogue(&sheets);
        let layout = crate::support::layout(LAYOUT, &catalogue);
        let scheme = catalogue.scheme_named("servo").unwrap();
        let plan = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &Choices::default());
        let bought = |part: &str| -> u32 {
            let of = |line: &&underboard::buying::Line| *catalogue.part(catalogue.offer(line.offer).part).name == *part;
            plan.purchase.lines().filter(of).map(|line| line.parts).sum()
        };
        (bought("servo"), bought("screw"))
    };
    assert_eq!(with_stock("part,count\n"), (6, 20), "six drives that are not owned; twelve screws by packs of ten");
    assert_eq!(with_stock("part,count\nservo,2\nscrew,5\n"), (4, 10), "two servos and five screws lie in the drawer");

    let spares = TRADE.iter().map(|&(sheet, text)| {
        let text = text.replace(
            "bracket-screw,Bracket screw,fixing,each,at least,,",
            "bracket-screw,Bracket screw,fixing,each,at least,,yes",
        );
        (sheet, text)
    });
    let sheets: Vec<(&str, String)> = spares.collect();
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(sheet, text)| (*sheet, text.as_str())).collect();
    let catalogue = crate::support::catalogue(&sheets);
    let layout = crate::support::layout(LAYOUT, &catalogue);
    let plan =
        estimate(&layout, &catalogue, assign(&layout, &catalogue, catalogue.scheme_named("servo").unwrap()), &Choices::default());
    let screws = plan.takeoff.needs.iter().find(|need| *catalogue.kind(need.kind).name == *"bracket-screw").unwrap();
    assert_eq!(
        (screws.counted().to_string(), screws.spares.to_string()),
        ("12".into(), "2".into()),
        "10 % of twelve, whole ones"
    );
}

/// A row of a scheme hangs on the drives that have it; the sum of the reasons is the need.
#[test]
fn reasons_say_under_which_choice_they_count() {
    let catalogue = crate::support::catalogue(TRADE);
    let layout = crate::support::layout(LAYOUT, &catalogue);
    let scheme = catalogue.scheme_named("servo").unwrap();
    let plan: Estimate = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &Choices::default());
    for need in &plan.takeoff.needs {
        let sum: rust_decimal::Decimal = need.reasons.iter().map(|reason| reason.amount).sum();
        assert_eq!(sum, need.counted());
        for reason in &need.reasons {
            let rule = catalogue.rule(reason.rule);
            match (rule.scheme, reason.guard) {
                (Some(_), Guard::Always) => panic!("a row of a scheme counts under every choice: {}", rule.place),
                (Some(written), Guard::Chosen(drive, chosen)) => {
                    assert_eq!(plan.assignment.of(drive), Some(chosen));
                    assert!(catalogue.counts_under(written, chosen));
                }
                _ => {}
            }
        }
    }
}
