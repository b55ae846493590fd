//! What reports say of the power and of what is chosen: sentences that must hold of the plan at hand, and only of it.

use underboard::buying::Choices;
use underboard::finding::{Finding, Weight};
use underboard::mends::price_mends;
use underboard::money::Money;

use crate::electrics::{by, catalogue};
use crate::program::Desk;

/// The report of a verb by a scheme on a layout of so many turnouts with these rules.
fn told(verb: &str, scheme: &str, turnouts: usize, rules: &str) -> String {
    let turnouts: String = (1..=turnouts).map(|n| format!("  - {{id: T{n}}}\n")).collect();
    let text =
        format!("panel: {{board: A}}\nboards: [{{id: A, size: 2400 x 450 mm}}]\nrules: {{{rules}}}\nturnouts:\n{turnouts}");
    let desk = Desk::new().file("layout.yaml", &text);
    desk.run(&[verb, "layout.yaml", "--scheme", scheme, "--format", "markdown"]).stdout
}

/// A stall motor moves though it draws no more for it.
#[test]
fn motors_that_draw_as_much_at_rest_are_no_lamps() {
    let report = told("power", "stall-motor", 2, "lamps: none");
    assert!(report.contains("as much at rest as while they move") && !report.contains("nothing on it moves"), "{report}");
}

#[test]
fn what_holds_motors_still_is_named() {
    let report = told("power", "servo-made", 2, "switch on: held");
    assert!(report.contains("one for each: Metal film resistor, 10 kohm") && report.contains("The resistor joins"), "{report}");
}

#[test]
fn an_encoder_for_later_says_so_and_lamps_that_reverse_are_told_where_there_are_any() {
    let reverses = "second lamp of a lever that reverses";
    let spare = told("wiring", "servo-made", 16, "spare channels: 10 %");
    assert!(spare.contains("only for the inputs that the rule of spare channels") && !spare.contains(reverses), "{spare}");
    let filled = told("wiring", "servo-made", 16, "spare channels: 0 %");
    assert!(!filled.contains("only for the inputs"), "{filled}");
    let reversing = told("wiring", "stall-motor", 2, "lamps: commanded");
    assert!(reversing.contains(reverses), "{reversing}");
}

/// A choice that pays in money or not at all is told only where it is known to.
#[test]
fn what_does_not_pay_is_left_out() {
    let catalogue = catalogue();
    let layout = crate::support::layout("turnouts: [{id: T1}]", &catalogue);
    let mut plan = by("solenoid", &layout, &catalogue);
    let finding = |code, price: Option<i64>, if_cheaper| {
        let price = price.map(|minor| Money::from_minor(minor, catalogue.rates.home));
        Finding { if_cheaper, ..Finding::new(code, Weight::Note, "").mend("", price) }
    };
    plan.findings = vec![
        finding("dearer", Some(636), true),
        finding("the-same", Some(0), true),
        finding("unknown", None, true),
        finding("cheaper", Some(-1), true),
        finding("always", Some(636), false),
    ];
    price_mends(&layout, &catalogue, &mut plan, &Choices::default());
    let left: Vec<&str> = plan.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(left, ["cheaper", "always"]);
}
