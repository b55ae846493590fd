//! What parts must bear behind a fuse: strips and pins; and what mends coils that get too little.

use std::fmt::Write as _;

use underboard::catalogue::{Attr, Catalogue, Role, Value};
use underboard::estimate::Estimate;
use underboard::finding::Weight;
use underboard::mends::{Changed, carry_out};
use underboard::power::Before;
use underboard::quantity::{Area, Current};
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
