//! What parts must bear behind a fuse: strips and pins; and what mends coils that get too little.

use std::fmt::Write as _;

use underboard::catalogue::{Asked, Attr, Catalogue, Part, Per, Role, Value};
use underboard::estimate::Estimate;
use underboard::finding::Weight;
use underboard::mends::carry_out;
use underboard::power::{Before, Discharge};
use underboard::quantity::{Area, Current, Voltage};
use underboard::takeoff::Subject;
use underboard::wiring::End;

use crate::electrics::{by, catalogue, found};
use crate::support::layout;

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

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

/// Whatever flows, the pins of a conductor bear what the fuse before it lets through, each of several with four fifths of its 3 A; and the pulses' mean.
#[test]
fn pins_bear_the_fuse_before_them() {
    let catalogue = catalogue();
    let twitching = row(3, 1500, "rules: {switch on: twitching}\n");
    let texts = [example("saltmarsh-harbour"), example("brindlewold-exhibition"), twitching];
    let mut doubled = 0;
    for text in texts {
        let layout = layout(&text, &catalogue);
        for scheme in ["servo-made", "solenoid", "stall-motor"] {
            let plan = by(scheme, &layout, &catalogue);
            let before = Before { catalogue: &catalogue, demands: &plan.demands, branches: &plan.branches };
            for run in plan.wiring.runs.iter().filter(|run| !run.crosses.is_empty()) {
                let bears = if run.pins == 1 { 3.0 } else { 0.8 * 3.0 * f64::from(run.pins) };
                let Some(borne) = before.run(run) else { continue };
                assert!(borne.0 <= bears * (1.0 + 1e-9), "{scheme}: {} has {} pins for {borne}", run.label, run.pins);
                doubled += u32::from(run.pins > 1 && run.carries.0 < 3.0);
            }
        }
    }
    assert!(doubled > 0, "a far board takes little behind a large fuse");
}

/// What switches lights bears what their fuse lets through: 500 mA of selectors, 1 A of latches, where the feed's own fuse is larger.
#[test]
fn contacts_of_lights_bear_the_fuse_before_them() {
    let catalogue = catalogue();
    let fuse_of = |text: &str, scheme: &str| {
        let plan = by(scheme, &layout(text, &catalogue), &catalogue);
        let branch = plan.branches.iter().find(|branch| branch.scheme.is_none()).expect("lights are fused apart").clone();
        let feed = plan.demands[branch.feed.index()].sections[branch.section as usize].fuse;
        assert!(feed > Some(branch.fuse), "{feed:?}");
        assert!(found(&plan, "thin-wires-fused-apart").is_some_and(|found| found.what.contains("what switches lights")));
        branch.fuse
    };
    assert_eq!(fuse_of(&example("saltmarsh-harbour"), "servo-made"), Current(0.5));
    // Without lights to choose there are no selectors, and the latches of many levers decide.
    let mut text = example("brindlewold-exhibition");
    for aspects in [2, 3] {
        text = text.replace(&format!("kind: colour light\n    aspects: {aspects}"), "kind: ground signal");
    }
    assert_eq!(fuse_of(&text, "solenoid"), Current(1.0));
}

/// The lead before the fuse bears what the supply may give; that of AC is of another sort than that of DC.
#[test]
fn leads_of_supplies_bear_what_these_give() {
    let catalogue = catalogue();
    let plan_of = |gives: &str| {
        let text = row(2, 1200, &format!("supplies: [{{id: brick, gives: \"{gives}\"}}]\n"));
        by("servo-made", &layout(&text, &catalogue), &catalogue)
    };
    let lead = |plan: &Estimate| {
        let lead =
            plan.purchase.uses.iter().map(|used| catalogue.part(used.part)).find(|part| part.name.starts_with("supply-lead"));
        lead.expect("a lead").name.to_string()
    };
    assert_eq!(lead(&plan_of("12 V DC, 2 A")), "supply-lead");
    let strong = plan_of("12 V DC, 8 A");
    assert_eq!((lead(&strong).as_str(), found(&strong, "lead-below-the-supply").is_none()), ("supply-lead-heavy", true));
    assert!(found(&plan_of("12 V DC, 40 A"), "lead-below-the-supply").is_some());

    let harbour = by("solenoid", &layout(&example("saltmarsh-harbour"), &catalogue), &catalogue);
    assert!(found(&harbour, "supplies-can-be-swapped").is_none());
    let mut alike = catalogue.clone();
    for part in &mut alike.parts {
        if part.name.starts_with("supply-lead") {
            part.attributes.remove(&Attr::Waveform);
        }
    }
    for rule in &mut alike.rules {
        rule.asks.retain(|(attr, _)| {
            !(*attr == Attr::Waveform && rule.per == Per::Supply && &*alike.kinds[rule.kind.index()].name == "supply-lead")
        });
    }
    let harbour = by("solenoid", &layout(&example("saltmarsh-harbour"), &alike), &alike);
    assert!(found(&harbour, "supplies-can-be-swapped").is_some());
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

/// By hand: 16 V less a tenth, 14.4 V, and a tenth more off load are 15.84 V; times √2 less two diodes 21.0 V, a tenth of the diodes' 1.4 V
/// short of nine tenths of 23.5 V. A coil that just gets its 4.66 A from 23.5 V gets 4.17 A then.
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
/// of it, times √2 less 1.4 V, must reach what the weakest lever wants. The capacitor stands it with the mains high: 1.1 × 1.25 of it, times √2 less 1.4 V.
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
        assert!(volts * 1.1 * 1.25 * 2.0_f64.sqrt() - 1.4 <= unit.rating.expect("stated").0);

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
    // By hand: the mains a tenth high, and a quarter more off load.
    let highest = Voltage(volts.0 * 1.1 * 1.25 * 2.0_f64.sqrt() - 1.4);
    assert_eq!((with(rating), with(Some(highest * 1.001))), (Some((volts, charged)), Some((volts, charged))));
    assert_eq!((with(Some(highest * 0.999)), with(None)), (None, None));

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

/// Where the power minus comes loose, the link's return bears a board's whole current: told where that is more than its core is rated for, and each change
/// that is offered brings it below.
#[test]
fn a_link_return_that_bears_too_much_is_told_and_mended() {
    let catalogue = catalogue();
    let text = example("brindlewold-exhibition");
    let the_layout = layout(&text, &catalogue);
    let plan = by("servo-made", &the_layout, &catalogue);
    let finding = found(&plan, "link-return-beside-the-minus").expect("2.3 A beside a core of 1.4 A");
    let changes: Vec<_> = finding.mends.iter().filter_map(|mend| mend.change).collect();
    assert!(!changes.is_empty(), "{finding:?}");
    for change in changes {
        let changed = carry_out(&the_layout, &catalogue, &plan, change).expect("it can be made");
        let mended = by("servo-made", &changed.layout, &changed.catalogue);
        assert!(found(&mended, "link-return-beside-the-minus").is_none(), "{change:?}");
    }
    // By the word of the advice: one more cable, and rows that ask for its rating.
    let mut thick = catalogue.clone();
    let mut cable = thick.parts.iter().find(|part| &*part.name == "link-cable-25m").expect("the starter's cable").clone();
    (cable.name, cable.stock) = ("thick-cable".into(), 1000);
    cable.attributes.insert(Attr::Current, Value::Measured(Current(3.0).quantity()));
    let kind = cable.kind;
    thick.parts.push(cable);
    for rule in thick.rules.iter_mut().filter(|rule| rule.kind == kind) {
        rule.asks.push((Attr::Current, Asked::Value(Value::Measured(Current(3.0).quantity()))));
    }
    assert!(found(&by("servo-made", &the_layout, &thick), "link-return-beside-the-minus").is_none());
    let shelf = layout(&example("shelf"), &catalogue);
    assert!(found(&by("servo-made", &shelf, &catalogue), "link-return-beside-the-minus").is_none());
}

/// By hand: each of the club's far coils is fed by 2.5 mm² from switch to switch, two ends at each; a tag takes 1.5 mm².
#[test]
fn wire_that_no_tag_takes_is_told() {
    let mut catalogue = catalogue();
    let layout = layout(&example("brindlewold-exhibition"), &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let thick = plan.wiring.runs.iter().filter(|run| plan.wiring.area_of(run).is_some_and(|area| area.0 > 1.5));
    let ends = thick.flat_map(|run| [run.from.end, run.to.end]).filter(|end| matches!(end, End::Lever(..))).count();
    let finding = found(&plan, "wire-thicker-than-tags").expect("2.5 mm² at tags");
    assert!(ends > 50 && finding.what.contains(&format!("{ends} times at tags")), "{ends}: {}", finding.what);
    catalogue.rates.tag_area = Area(2.5);
    assert!(found(&by("solenoid", &layout, &catalogue), "wire-thicker-than-tags").is_none());
}
