//! What parts must bear behind a fuse: strips and pins; and what mends coils that get too little.

use std::fmt::Write as _;

use underboard::catalogue::{Attr, Catalogue, Part, Role, Value};
use underboard::estimate::Estimate;
use underboard::finding::Weight;
use underboard::mends::{Changed, carry_out};
use underboard::power::{Before, Discharge};
use underboard::quantity::{Area, Current, Voltage};
use underboard::takeoff::Subject;

use crate::electrics::{by, catalogue, found};
use crate::support::layout;

/// Boards in a row of such a length, a turnout on each, the panel on the first; then more lines of the file.
fn row(boards: usize, length: usize, more: &str) -> String {
    let mut text = String::from("panel: {board: B1}\nboards:\n");
    for n in 1..=boards {
        let _ = writeln!(text, "  - {{id: B{n}, size: {length} x 500 mm}}");
    }
    text.push_str("joints:\n");
    for n in 1..boards {
        let _ = writeln!(text, "  - {{between: [B{n}, B{}]}}", n + 1);
    }
    text.push_str("turnouts:\n");
    for n in 1..=boards {
        let _ = writeln!(text, "  - {{id: T{n}, board: B{n}}}");
    }
    text + more
}

/// So many turnouts with servos on one board, all of which may twitch together, so that their feed has a large fuse.
fn crowd(turnouts: usize) -> String {
    let mut text = String::from(
        "panel: {board: A}\nboards: [{id: A, size: 4000 x 600 mm}]\nrules: {switch on: twitching}\nsupplies: [{id: brick, gives: \"12 V DC, 8 A\"}]\nturnouts:\n",
    );
    for n in 1..=turnouts {
        let _ = writeln!(text, "  - {{id: T{n}, at: {} x 300 mm}}", 3900 * n / turnouts);
    }
    text
}

/// The least rating of the strips that are bought for a subject.
fn strips_of(plan: &Estimate, catalogue: &Catalogue, is_of: impl Fn(Subject) -> bool) -> Option<Current> {
    let needs = plan.takeoff.needs.iter().filter(|need| &*catalogue.kind(need.kind).name == "terminal-strip");
    let mine = needs.filter(|need| need.reasons.iter().any(|reason| is_of(reason.subject)));
    let uses = mine.flat_map(|need| plan.purchase.uses.iter().filter(|used| used.need == need.id && used.count > 0));
    let ratings = uses.filter_map(|used| Current::try_from(catalogue.part(used.part).measured(Attr::Current)?).ok());
    ratings.reduce(|a, b| Current(a.0.min(b.0)))
}

/// A strip is as good as the fuse before it: 6 A behind a small feed, 16 A behind one of 6.3 A and more.
#[test]
fn strips_bear_what_the_fuse_before_them_lets_through() {
    let catalogue = catalogue();
    for turnouts in [6, 40] {
        let plan = by("servo-made", &layout(&crowd(turnouts), &catalogue), &catalogue);
        let fuse = plan.demands.iter().find_map(underboard::power::Demand::largest_fuse).expect("a fuse");
        let strip = strips_of(&plan, &catalogue, |subject| matches!(subject, Subject::Board(_) | Subject::Supply(..)));
        let strip = strip.expect("controllers in a row want a strip");
        assert!(strip >= fuse, "{turnouts}: {strip} behind {fuse}");
        assert_eq!(strip == Current(16.0), fuse > Current(6.0), "{turnouts}: {strip} behind {fuse}");
    }
}

/// Behind a discharge unit there is no fuse: a strip bears the r.m.s. of the pulses, not their peak.
#[test]
fn strips_of_pulses_bear_their_mean() {
    let catalogue = catalogue();
    let plan = by("solenoid", &layout(&row(4, 1200, ""), &catalogue), &catalogue);
    let peak = plan.wiring.runs.iter().map(|run| run.carries).fold(Current::ZERO, Current::max);
    assert!(peak > Current(5.0), "{peak}");
    let strip = strips_of(&plan, &catalogue, |subject| matches!(subject, Subject::Board(_) | Subject::Drive(_)));
    assert_eq!(strip, Some(Current(6.0)));
}

/// The pins are counted for what flows; where the fuse lets more through it is told, and each change that is offered mends it.
#[test]
fn pins_below_their_fuse_are_told_and_the_advice_mends_it() {
    let catalogue = catalogue();
    let mut text = row(3, 1500, "");
    for n in 1..=30 {
        let _ = writeln!(text, "  - {{id: S{n}, board: B{}, at: {} x 200 mm}}", 1 + n % 2, 40 * n + 100);
    }
    text.push_str("rules: {switch on: twitching, at once: 4 levers}\n");
    let layout = layout(&text, &catalogue);
    let plan = by("servo-made", &layout, &catalogue);
    let finding = found(&plan, "pins-below-the-fuse").expect("a large fuse before a far board");
    assert_eq!(finding.weight, Weight::Doubt);
    assert!(finding.mends.len() >= 2, "{finding:?}");
    let before = Before { catalogue: &catalogue, demands: &plan.demands, branches: &plan.branches };
    let weak = plan.wiring.runs.iter().any(|run| {
        !run.crosses.is_empty() && run.carries <= Current(3.0) && before.run(run).is_some_and(|fuse| fuse > Current(3.0))
    });
    assert!(weak);
    for change in finding.mends.iter().filter_map(|mend| mend.change) {
        let Changed { layout, catalogue, .. } = carry_out(&layout, &catalogue, &plan, change).expect("it can be made");
        let mended = by("servo-made", &layout, &catalogue);
        assert!(found(&mended, "pins-below-the-fuse").is_none(), "{change:?}");
    }
    let mut strong = catalogue.clone();
    let kinds: Vec<Role> = strong.kinds.iter().map(|kind| kind.role).collect();
    for part in strong.parts.iter_mut().filter(|part| kinds[part.kind.index()] == Role::Connector) {
        part.attributes.insert(Attr::Current, Value::Measured(Current(10.0).quantity()));
    }
    assert!(found(&by("servo-made", &layout, &strong), "pins-below-the-fuse").is_none());
}

/// The catalogue with a wire of such a thickness in the drawer.
fn with_wire(catalogue: &Catalogue, area: f64) -> Catalogue {
    let mut catalogue = catalogue.clone();
    let mut wire = catalogue.parts.iter().find(|part| &*part.name == "wire-50x0.25-25m").expect("the thickest").clone();
    (wire.name, wire.stock) = ("thick".into(), 1000);
    wire.attributes.insert(Attr::Area, Value::Measured(Area(area).quantity()));
    wire.attributes.remove(&Attr::LineResistance);
    catalogue.parts.push(wire);
    catalogue
}

fn area_in(text: &str) -> Option<f64> {
    text.split_once("at least ")?.1.split_once(" mm²")?.0.parse().ok()
}

/// Where coils starve, what is offered alone mends it alone; where several changes must come together, each is wanted.
#[test]
fn far_coils_get_enough_by_the_advice_and_by_no_less() {
    let catalogue = catalogue();
    let starves = |text: &str, catalogue: &Catalogue| {
        found(&by("solenoid", &layout(text, catalogue), catalogue), "coil-gets-too-little").is_some()
    };
    let near = row(8, 3000, "");
    let plan = by("solenoid", &layout(&near, &catalogue), &catalogue);
    let finding = found(&plan, "coil-gets-too-little").expect("24 m are far");
    let told: Vec<&str> = finding.mends.iter().map(|mend| mend.text.as_str()).collect();
    let area = told.iter().find_map(|text| area_in(text)).expect("a thickness");
    let thinner = if area > 4.0 { 4.0 } else { 2.5 };
    assert!(!starves(&near, &with_wire(&catalogue, area)) && starves(&near, &with_wire(&catalogue, thinner)), "{told:?}");
    assert!(told.iter().any(|text| text.starts_with("Put the panel")) && told.iter().all(|text| !text.contains("together do")));
    let moved = near.replace("panel: {board: B1}", "panel: {board: B4}");
    assert!(!starves(&moved, &catalogue));

    let far = row(8, 8000, "");
    let plan = by("solenoid", &layout(&far, &catalogue), &catalogue);
    let finding = found(&plan, "coil-gets-too-little").expect("64 m are farther");
    let told: Vec<&str> = finding.mends.iter().map(|mend| mend.text.as_str()).filter(|text| text.contains("mm²")).collect();
    let [both] = told.as_slice() else { panic!("{told:?}") };
    assert!(both.contains("together do") && both.contains("panel: {board: B4}"), "{both}");
    let thick = with_wire(&catalogue, area_in(both).expect("a thickness"));
    let moved = far.replace("panel: {board: B1}", "panel: {board: B4}");
    assert!(!starves(&moved, &thick), "both serve");
    assert!(starves(&moved, &catalogue) && starves(&far, &thick), "neither alone");
}

/// By hand: 16 V less a tenth, 14.4 V, and a tenth more off load are 15.84 V; times √2 less two diodes 21.0 V, which is 1.4 V ÷ 23.5 V short of a tenth
/// less. A coil that just gets its 4.66 A from 23.5 V gets 4.17 A then.
#[test]
fn low_mains_is_held_against_every_lever() {
    let catalogue = catalogue();
    let weak = |boards: usize, length: usize| {
        let plan = by("solenoid", &layout(&row(boards, length, ""), &catalogue), &catalogue);
        let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
        assert!((unit.charged.at_low_mains.0 - (16.0 * 0.9 * 1.1 * 2.0_f64.sqrt() - 1.4)).abs() < 1e-9);
        let weak: Vec<_> = unit.weak_at_low_mains().map(|throw| throw.lever).collect();
        for throw in &unit.throws {
            let peak = throw.peak.0 * unit.charged.at_low_mains.0 / unit.charged.least.0;
            let energy = throw.energy.0 * (unit.charged.at_low_mains.0 / unit.charged.least.0).powi(2);
            let is_weak = throw.suffices && (peak < unit.needs.current.0 || energy < unit.needs.energy.0);
            assert_eq!(is_weak, weak.contains(&throw.lever), "{throw:?}");
        }
        weak.len()
    };
    assert!(weak(6, 3000) > 0);
}

/// The catalogue with a higher transformer in the drawer, from which the scheme is fed.
fn fed_from(catalogue: &Catalogue, volts: Voltage) -> Catalogue {
    let mut catalogue = catalogue.clone();
    let scheme = catalogue.scheme_named("solenoid").expect("the starter has it");
    let electrics = catalogue.schemes[scheme.index()].electrics.as_mut().expect("it has a coil");
    let rated = std::mem::replace(&mut electrics.voltage, volts);
    let kinds: Vec<Role> = catalogue.kinds.iter().map(|kind| kind.role).collect();
    let gives = |part: &Part| kinds[part.kind.index()] == Role::Supply && part.measured(Attr::Voltage) == Some(rated.quantity());
    let mut transformer = catalogue.parts.iter().find(|part| gives(part)).expect("one is sold").clone();
    (transformer.name, transformer.stock) = ("higher".into(), 10);
    transformer.attributes.insert(Attr::Voltage, Value::Measured(volts.quantity()));
    catalogue.parts.push(transformer);
    catalogue
}

/// The transformer that is named mends the coils at low mains, near and far, one to a lever and two, and its voltage is by hand the least of whole volts: 0.9 × 1.1
/// of it, times √2 less 1.4 V, must reach what the weakest lever wants. The capacitor stands it: 1.25 of it, times √2 less 1.4 V.
#[test]
fn a_higher_transformer_mends_coils_at_low_mains() {
    let catalogue = catalogue();
    let pair = row(4, 900, "").replace("{id: T4, board: B4}", "{id: T4, board: B4, with: T3}");
    for text in [row(6, 3000, ""), row(2, 600, ""), pair, include_str!("../../examples/saltmarsh-harbour.yaml").to_owned()] {
        let layout = layout(&text, &catalogue);
        let plan = by("solenoid", &layout, &catalogue);
        let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
        let finding = found(&plan, "coils-at-low-mains").expect("16 V are too little");
        assert_eq!((finding.weight, finding.mends.len()), (Weight::Doubt, 3));
        let told =
            finding.mends[0].text.split_once("transformer of ").and_then(|(_, rest)| rest.split_once(" V AC")).expect("volts");
        let volts: f64 = told.0.parse().expect("a number");
        let at_low_mains = |volts: f64| volts * 0.9 * 1.1 * 2.0_f64.sqrt() - 1.4;
        let wanted = unit.weak_at_low_mains().map(|weak| weak.throw.least_voltage(unit.needs).0).fold(0.0, f64::max);
        assert!(at_low_mains(volts) >= wanted && at_low_mains(volts - 1.0) < wanted, "{volts}: {wanted}");
        assert!(volts * 1.25 * 2.0_f64.sqrt() - 1.4 <= unit.rating.expect("stated").0);

        let higher = fed_from(&catalogue, Voltage(volts));
        let mended = by("solenoid", &layout, &higher);
        assert!(found(&mended, "coils-at-low-mains").is_none() && found(&mended, "coil-gets-too-little").is_none());
        assert!(found(&mended, "capacitor-rated-too-low").is_none() && mended.purchase.unmet.is_empty());
        let short = |plan: &Estimate| plan.findings.iter().filter(|finding| finding.weight == Weight::Shortfall).count();
        assert!(short(&mended) <= short(&plan));
        let [unit] = mended.discharges.as_slice() else { panic!("one unit") };
        assert!((unit.charged.at_low_mains.0 - at_low_mains(volts)).abs() < 1e-9 && unit.stands() == Some(true));
        assert!(unit.throws.iter().all(|throw| throw.throw.suffices(unit.charged.at_low_mains, unit.needs)), "{volts}");
    }
}

/// No transformer is named from which the capacitor would suffer, or of which that is not known.
#[test]
fn no_transformer_is_named_that_the_capacitor_does_not_stand() {
    let catalogue = catalogue();
    let plan = by("solenoid", &layout(&row(3, 1200, ""), &catalogue), &catalogue);
    let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
    let (rated, rating) = (Voltage(16.0), unit.rating);
    let (volts, charged) = unit.transformer_for_low_mains(rated).expect("35 V stand one");
    let with = |rating: Option<Voltage>| Discharge { rating, ..unit.clone() }.transformer_for_low_mains(rated);
    assert_eq!((with(rating), with(Some(charged.most))), (Some((volts, charged)), Some((volts, charged))));
    assert_eq!((with(Some(charged.most * 0.999)), with(None)), (None, None));

    let mut low = catalogue.clone();
    let is_unit: Vec<bool> = low.kinds.iter().map(|kind| kind.role == Role::DischargeUnit).collect();
    for part in low.parts.iter_mut().filter(|part| is_unit[part.kind.index()]) {
        part.attributes.insert(Attr::Voltage, Value::Measured(Voltage(28.0).quantity()));
    }
    for rule in low.rules.iter_mut().filter(|rule| is_unit[rule.kind.index()]) {
        rule.asks.retain(|(attr, _)| *attr != Attr::Voltage);
    }
    let plan = by("solenoid", &layout(&row(3, 1200, ""), &low), &low);
    let finding = found(&plan, "coils-at-low-mains").expect("16 V are too little");
    assert!(finding.mends.len() == 2 && finding.mends.iter().all(|mend| !mend.text.contains("Use a transformer")), "{finding:?}");
}
