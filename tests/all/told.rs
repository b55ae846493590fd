//! What reports say of the power and of what is chosen: sentences that must hold of the plan at hand, and only of it.

use rust_decimal::Decimal;
use serde_json::Value;
use underboard::buying::Choices;
use underboard::catalogue::Measure;
use underboard::estimate::Estimate;
use underboard::finding::{Finding, Weight};
use underboard::findings::findings;
use underboard::mends::price_mends;
use underboard::money::Money;
use underboard::quantity::Current;

use crate::electrics::{by, catalogue, found};
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

/// What charges the unit of the starter flows on through a lever that is held: half an ampere, which a pin of 3 A bears. One of 20 A would heat it too.
#[test]
fn a_held_lever_overheats_a_pin_only_beyond_its_rating() {
    let catalogue = catalogue();
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/saltmarsh-harbour.yaml")).unwrap();
    let layout = crate::support::layout(&text, &catalogue);
    let mut plan = by("solenoid", &layout, &catalogue);
    let seen = |plan: &Estimate| {
        let found = findings(&layout, &catalogue, plan);
        found.into_iter().find(|finding| finding.code == "pulses-over-pins").and_then(|finding| finding.seen).unwrap()
    };
    assert!(seen(&plan).contains("overheats the coil: never wedge one"), "{}", seen(&plan));
    plan.discharges[0].draws = Current(20.0);
    assert!(seen(&plan).contains("overheats pin and coil: never wedge one"), "{}", seen(&plan));
}

#[test]
fn what_empties_a_discharge_unit_says_down_to_what() {
    let report = told("power", "solenoid", 2, "lamps: none");
    assert!(report.contains("Down to 1 V after, at most") && report.contains("takes it down to 1 V in"), "{report}");
}

/// Each supply of a divided feed is named, so that no line stands there twice.
#[test]
fn a_stuck_drive_is_told_for_each_supply_of_a_feed() {
    let turnouts: String = (1..=12).map(|n| format!("  - {{id: T{n}, board: {}}}\n", if n > 6 { "B" } else { "A" })).collect();
    let boards = "boards: [{id: A, size: 2400 x 450 mm}, {id: B, size: 2400 x 450 mm}]\njoints: [{between: [A, B]}]\n";
    let text = format!("panel: {{board: A}}\n{boards}rules: {{sections: 2}}\nturnouts:\n{turnouts}");
    let desk = Desk::new().file("layout.yaml", &text);
    let report = desk.run(&["power", "layout.yaml", "--scheme", "servo-made", "--format", "markdown"]).stdout;
    let lines: Vec<&str> = report.lines().filter(|line| line.starts_with("- ") && line.contains("Supply ")).collect();
    assert!(
        lines.len() == 2 && lines[0].contains("Supply 1 of 12 V DC: ") && lines[1].contains("Supply 2 of 12 V DC: "),
        "{report}"
    );
}

#[test]
fn supplies_of_the_user_that_feed_nothing_are_told_with_the_reason() {
    let catalogue = catalogue();
    let with = |supplies: &str| {
        let layout = crate::support::layout(&format!("turnouts: [{{id: T1}}]\nsupplies: {supplies}\n"), &catalogue);
        found(&by("servo-made", &layout, &catalogue), "supply-not-used").map(|finding| finding.what.clone())
    };
    let told = with("[{id: old, gives: '18 V AC, 2 A'}, {id: new, gives: '12 V DC, 3 A'}]").expect("one feeds nothing");
    assert!(told.contains("old gives 18 V AC, which nothing in the plan draws. Its feeds are 12 V DC"), "{told}");
    assert!(!told.contains("new gives"), "{told}");
    let both = with("[{id: old, gives: '12 V DC, 2 A'}, {id: new, gives: '12 V DC, 3 A'}]").expect("one is enough");
    assert!(both.contains("which others of yours carry without it"), "{both}");
    assert_eq!(with("[{id: new, gives: '12 V DC, 3 A'}]"), None);
    assert_eq!(with("[{id: weak, gives: '12 V DC, 0.05 A'}]"), None, "that it is too small is told already");
}

/// What `power` says of a drive that sticks stands with all else there is to know, too.
#[test]
fn a_supply_that_a_stuck_drive_fells_is_told_by_check() {
    let with = |gives: &str| {
        let text = format!(
            "turnouts: [{{id: T1}}, {{id: T2}}]\nrules: {{at once: 1 lever}}\nsupplies: [{{id: mine, gives: '12 V DC, {gives}'}}]\n"
        );
        let desk = Desk::new().file("layout.yaml", text);
        let ran = desk.run(&["check", "layout.yaml", "--scheme", "servo-made", "--width", "400"]);
        assert_eq!(ran.code, Some(0), "{}", ran.stdout);
        ran.stdout.contains("[stuck-drive-stops-all]")
    };
    assert!(with("0.4 A") && !with("3 A"));
}

/// Two lamps across the wires of a motor that is reversed have one resistor before both; lamps at an encoder have one each.
#[test]
fn lamps_that_share_a_resistor_are_ordered_one() {
    let catalogue = catalogue();
    let layout = crate::support::layout("turnouts: [{id: T1}, {id: T2}, {id: T3}]\nrules: {spares: 0 %}", &catalogue);
    let resistors = |scheme: &str| by(scheme, &layout, &catalogue).lamps.iter().map(|check| check.count).collect::<Vec<_>>();
    assert_eq!((resistors("stall-motor"), resistors("servo-made")), (vec![3], vec![6]));
}

/// What the list of labels says comes to what is on the bill; a task for each encoder; what is owned is tried as the book's test sheet tries it.
#[test]
fn labels_encoders_and_throws_are_counted_alike_everywhere() {
    let catalogue = catalogue();
    for name in ["saltmarsh-harbour", "brindlewold-exhibition", "shelf"] {
        let text = std::fs::read_to_string(format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
        let layout = crate::support::layout(&text, &catalogue);
        let plan = by("servo-made", &layout, &catalogue);
        let times = |title: &str| {
            let work = plan.hours.work.iter().find(|work| catalogue.task(work.task).title.starts_with(title));
            work.map_or(0, |work| work.times as usize)
        };
        assert_eq!(times("Fit the encoder"), plan.encoders.len(), "{name}");
        assert_eq!(times("Test the throw"), layout.drive_ids().count(), "{name}");
        let listed: usize = plan.wiring.labels().values().map(Vec::len).sum();
        let ends = |rule| catalogue.rule(rule).measure == Some(Measure::WireEnds);
        let need = plan.takeoff.needs.iter().find(|need| need.reasons.iter().any(|reason| ends(reason.rule))).unwrap();
        let counted: Decimal = need.reasons.iter().filter(|reason| ends(reason.rule)).map(|reason| reason.amount).sum();
        assert_eq!(counted, Decimal::from(listed), "{name}");
        let file = format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
        let report = Desk::new().run(&["wiring", &file, "--scheme", "servo-made", "--format", "json"]).stdout;
        let report: Value = serde_json::from_str(&report).unwrap();
        let rows = crate::ordering::rows(&report, "all_labels");
        let total = rows.last().and_then(|row| row["values"]["count"]["amount"].as_str()).and_then(|total| total.parse().ok());
        assert_eq!(total, Some(need.amount()), "{name}");
    }
}

/// What no supplier has stands in the head of the order of several layouts, as it does in that of one.
#[test]
fn a_pooled_order_says_first_what_is_not_to_be_had() {
    let lever = "turnouts: [{id: T1, with: T2}, {id: T2, with: T3}, {id: T3, with: T4}, {id: T4}]\n";
    let desk = Desk::new().file("a.yaml", lever).file("b.yaml", "name: Other\nturnouts: [{id: X1}]\n");
    let report = desk.run(&["pool", "a.yaml", "b.yaml", "--scheme", "solenoid", "--format", "markdown"]).stdout;
    let (head, _) = report.split_once("Order from").expect("there are orders");
    assert!(head.contains("Not to be had, or not enough of it: Lever switch"), "{report}");
}

/// An owned device gets no motor, and its wires, its lever and its channel are in the order of its board.
#[test]
fn orders_board_by_board_say_what_an_owned_device_still_takes() {
    let boards =
        "boards: [{id: A, size: 1200 x 450 mm}, {id: B, size: 1200 x 450 mm}]\njoints: [{between: [A, B]}]\npanel: {board: A}\n";
    let with = |owned: &str| {
        let text = format!("{boards}turnouts: [{{id: T1, board: A}}, {{id: T2, board: B{owned}}}]\n");
        let desk = Desk::new().file("a.yaml", text);
        desk.run(&["shop", "a.yaml", "--phases", "--scheme", "servo-made", "--format", "markdown"]).stdout
    };
    let report = with(", owned: yes");
    let line = report.lines().find(|line| line.contains("Phase 1, A: T2 takes ")).unwrap_or_else(|| panic!("{report}"));
    assert!(line.contains("Lever switch") && !line.contains("ervo"), "{line}");
    assert!(!with("").contains("motorised already"));
}

/// Five rows of the sheet Schemes are four to compare, since two are like a third; a plug may have more ways than are asked of it.
#[test]
fn what_is_counted_of_schemes_and_plugs_is_said() {
    let check = told("check", "servo-made", 2, "lamps: none");
    assert!(check.contains("| Schemes, with those that only others are like | 5 |"), "{check}");
    assert!(check.contains("| Schemes to compare | 4 |"), "{check}");
    let desk = crate::cove::desk();
    let wiring = desk.run(&["wiring", "cove.yaml", "--scheme", "servo-made", "--format", "markdown"]).stdout;
    assert!(wiring.contains("Ways of each plug, at least"), "{wiring}");
}
