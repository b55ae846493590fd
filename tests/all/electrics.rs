//! Discharge units, timelines, joints, fuses, frogs, mechanics and the price of mending, in plans by the starter catalogue.

use std::fmt::Write as _;
use std::process::Command;

use underboard::buying::Choices;
use underboard::catalogue::{Attr, Catalogue, Measure, Per, Role, Value, Word, from_starter};
use underboard::estimate::{Estimate, estimate};
use underboard::finding::Finding;
use underboard::layout::Layout;
use underboard::mechanics::{DriveEnd, Rod};
use underboard::mends::price_mends;
use underboard::money::Money;
use underboard::power::fuse::NoFuse;
use underboard::quantity::{Current, Dimension, Length, Quantity, Seconds, Voltage};
use underboard::scheme::{assign, split};
use underboard::takeoff::Subject;
use underboard::wiring::{Use, trip_current};

use crate::support::layout;

pub(crate) fn catalogue() -> Catalogue {
    from_starter().expect("the starter reads")
}

pub(crate) fn by(scheme: &str, layout: &Layout, catalogue: &Catalogue) -> Estimate {
    let scheme = catalogue.scheme_named(scheme).expect("the starter has the scheme");
    let mut plan = estimate(layout, catalogue, assign(layout, catalogue, scheme), &Choices::default());
    plan.advise(layout, catalogue);
    price_mends(layout, catalogue, &mut plan, &Choices::default());
    plan
}

pub(crate) fn found<'a>(plan: &'a Estimate, code: &str) -> Option<&'a Finding> {
    plan.findings.iter().find(|finding| finding.code == code)
}

/// So many turnouts in a row on board A, those of each pair on one lever if asked, then more lines of the file.
fn row_of(catalogue: &Catalogue, turnouts: usize, pairs: bool, more: &str) -> Layout {
    let mut text = String::from("boards: [{id: A, size: 3000 x 450 mm}, {id: B, size: 1200 x 450 mm}]\nturnouts:\n");
    for n in 1..=turnouts {
        let with = if pairs && n % 2 == 1 && n < turnouts { format!(", with: T{}", n + 1) } else { String::new() };
        let _ = writeln!(text, "  - {{id: T{n}, board: A, at: {} x 200 mm{with}}}", 2800 * n / turnouts);
    }
    layout(&format!("{text}{more}\n"), catalogue)
}

/// Leaves out what the rules ask of parts of a role, so that the cheapest is taken.
fn ask_nothing_of(catalogue: &mut Catalogue, role: Role, attr: Attr) {
    let of_role: Vec<bool> = catalogue.rules.iter().map(|rule| catalogue.kind(rule.kind).role == role).collect();
    for (rule, _) in catalogue.rules.iter_mut().zip(of_role).filter(|(_, of_role)| *of_role) {
        rule.asks.retain(|(asked, _)| *asked != attr);
    }
}

/// By hand: each of n coils of 4.5 ohm takes its share 4.5 ÷ (R n²) of what 0.8 C at the voltage of the bridge holds, and needs 0.7 J; the
/// unit then holds ½ C (22 V)². In 50 ms nothing is left worth counting, so the plan asks for a little more than that.
#[test]
fn the_energy_asked_is_what_the_coils_take_by_hand() {
    let catalogue = catalogue();
    let charged = 16.0 * 1.1 * 2.0_f64.sqrt() - 1.4;
    for (pairs, coils) in [(false, 1.0), (true, 2.0)] {
        let plan = by("solenoid", &row_of(&catalogue, 2, pairs, ""), &catalogue);
        let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
        let worst = unit.worst().expect("a unit is bought");
        assert_eq!(f64::from(worst.throw.coils), coils);
        let ohms = worst.throw.shared.0 + (worst.throw.own.0 + 4.5) / coils;
        let share = 4.5 / ohms / (coils * coils);
        let farads = 2.0 * 0.7 / (charged * charged * share) / 0.8;
        let marked = 0.5 * farads * 22.0 * 22.0;
        assert!((unit.charged.least.0 - charged).abs() < 1e-9);
        let asked = unit.asked.energy.0;
        assert!(asked >= marked - 0.01 && asked < marked * 1.03 + 0.01, "{asked} for {marked}");
        assert!(unit.throws.iter().all(|throw| throw.suffices), "{unit:?}");
        let holds = catalogue.part(unit.unit.expect("bought")).measured(Attr::Capacitance).expect("stated").to_f64();
        assert!(holds >= unit.asked.capacitance.0);
    }
}

#[test]
fn a_unit_too_small_is_told_with_its_price_and_the_advice_mends_it() {
    let mut careless = catalogue();
    ask_nothing_of(&mut careless, Role::DischargeUnit, Attr::Capacitance);
    let layout = row_of(&careless, 2, true, "");
    let plan = by("solenoid", &layout, &careless);
    let finding = found(&plan, "coil-gets-too-little").expect("two coils on 4700 µF");
    assert!(finding.seen.is_some() && finding.mends.len() >= 2, "{finding:?}");
    let catalogue = catalogue();
    let mended = by("solenoid", &layout, &catalogue);
    assert!(found(&mended, "coil-gets-too-little").is_none());
    let price = |plan: &Estimate, catalogue: &Catalogue| catalogue.unit_price(plan.discharges[0].unit.unwrap()).unwrap();
    let difference = price(&mended, &catalogue) - price(&plan, &careless);
    assert_eq!(finding.mends[0].price.map(|price| price.amount().normalize()), Some(difference.normalize()));
}

#[test]
fn a_capacitor_rated_too_low_is_told() {
    let mut catalogue = catalogue();
    let layout = row_of(&catalogue, 2, false, "");
    assert!(found(&by("solenoid", &layout, &catalogue), "capacitor-rated-too-low").is_none());
    ask_nothing_of(&mut catalogue, Role::DischargeUnit, Attr::Voltage);
    let low = Value::Measured(Quantity::new(Dimension::Voltage, 25.into()));
    let kinds = catalogue.kinds.clone();
    for part in catalogue.parts.iter_mut().filter(|part| kinds[part.kind.index()].role == Role::DischargeUnit) {
        part.attributes.insert(Attr::Voltage, low.clone());
    }
    let plan = by("solenoid", &layout, &catalogue);
    let finding = found(&plan, "capacitor-rated-too-low").expect("25 V does not stand 26.9 V");
    assert!(finding.mends.len() >= 2);
}

#[test]
fn a_route_of_coils_is_thrown_as_the_charge_allows() {
    let catalogue = catalogue();
    let layout = row_of(&catalogue, 3, false, "routes: [{id: out, throws: [T1, T2, T3]}]");
    let plan = by("solenoid", &layout, &catalogue);
    let ([unit], [timeline]) = (plan.discharges.as_slice(), plan.timelines.as_slice()) else { panic!("one of each") };
    let charger = unit.charger().unwrap();
    let throws: Vec<_> = timeline.moments.iter().filter(|moment| !moment.throws.is_empty()).collect();
    assert_eq!(throws.len(), 3);
    let first = unit.of(throws[0].throws[0]).unwrap().throw;
    let second = unit.of(throws[1].throws[0]).unwrap().throw;
    let wait = charger.time(first.residual(unit.charged.least), second.least_voltage(unit.needs)).unwrap();
    assert!((throws[1].at.0 - first.held.0 - wait.0).abs() < 1e-9, "{:?}", throws[1].at);
    for moment in &throws {
        let (_, subject, voltage) = moment.lowest[0];
        assert!(matches!(subject, Subject::Drive(_)) && voltage.0 >= unit.needs.current.0 * 4.5 * 0.999);
    }
    assert_eq!(timeline.moments.last().unwrap().charges, [unit.charged.least], "charged again at the end");
}

#[test]
fn a_route_of_motors_adds_up_what_moves() {
    let catalogue = catalogue();
    let layout = row_of(&catalogue, 3, false, "routes: [{id: out, throws: [T1, T2, T3]}]");
    let plan = by("servo-made", &layout, &catalogue);
    let [timeline] = plan.timelines.as_slice() else { panic!("one route") };
    let ([demand], moments) = (plan.demands.as_slice(), &timeline.moments) else { panic!("one feed") };
    // By hand: 240 mA more while moving, at 5 V out of 80 % of 12 V. Each moves for 2 s and the next starts after 1 s.
    let more = 0.24 * 5.0 / (12.0 * 0.8);
    for (second, moving) in [1.0, 2.0, 2.0, 1.0, 0.0].into_iter().enumerate() {
        let moment = &moments[second];
        assert_eq!(moment.at, Seconds(f64::from(u32::try_from(second).unwrap())));
        assert!((moment.currents[0].0 - demand.drawn.continuous.0 - moving * more).abs() < 1e-9, "{second}: {moment:?}");
        assert_eq!(moment.lowest.is_empty(), moving == 0.0);
        assert!(moment.lowest.iter().all(|(_, _, voltage)| *voltage > Voltage(11.0) && *voltage < Voltage(12.0)));
    }
    assert_eq!(moments.len(), 5);
}

/// Twenty-four cores of eight servo leads against a link of three and power of three.
#[test]
fn a_joint_tells_what_is_saved_against_direct_wiring() {
    let catalogue = catalogue();
    let layout = row_of(&catalogue, 8, false, "panel: {board: B}");
    let load = &by("servo-made", &layout, &catalogue).wiring.joints[0];
    assert_eq!((load.direct, load.moving, load.saved()), (24, 6, 18));
    let load = &by("solenoid", &layout, &catalogue).wiring.joints[0];
    assert_eq!((load.direct, load.moving, load.saved()), (17, 17, 0), "two coils each and one return: it is wired direct");
}

#[test]
fn connectors_last_as_often_as_the_layout_is_put_together() {
    let life = |plan: &Estimate, catalogue: &Catalogue| {
        let of_joints =
            plan.purchase.uses.iter().filter(|used| catalogue.kind(catalogue.part(used.part).kind).role == Role::Connector);
        of_joints.map(|used| catalogue.part(used.part).measured(Attr::Life).unwrap().to_f64() as u32).min().unwrap()
    };
    let often = "panel: {board: B}\nrules: {set-ups: 40 per year, years: 10}";
    let mut catalogue = catalogue();
    let layout = row_of(&catalogue, 8, false, often);
    let plan = by("servo-made", &layout, &catalogue);
    assert!(life(&plan, &catalogue) >= 400 && found(&plan, "connector-wears-out").is_none());
    ask_nothing_of(&mut catalogue, Role::Connector, Attr::Life);
    let plan = by("servo-made", &layout, &catalogue);
    assert!(life(&plan, &catalogue) < 400);
    let finding = found(&plan, "connector-wears-out").expect("400 matings wear it out");
    assert!(finding.mends.len() >= 2 && finding.what.contains("400"), "{finding:?}");
}

#[test]
fn plugs_that_fit_each_others_sockets_are_told() {
    let catalogue = catalogue();
    let plan = by("stall-motor", &row_of(&catalogue, 24, false, "panel: {board: B}"), &catalogue);
    assert!(plan.wiring.joints[0].plugs > 1);
    let finding = found(&plan, "plugs-can-be-swapped").expect("two plugs alike");
    assert!(finding.mends[0].price.is_some_and(|price| price.amount().is_zero()), "keying costs nothing");
    let few = by("stall-motor", &row_of(&catalogue, 4, false, "panel: {board: B}"), &catalogue);
    assert!(found(&few, "plugs-can-be-swapped").is_none());
}

#[test]
fn a_fuse_protects_wire_and_supply_or_the_plan_says_which_it_does_not() {
    let catalogue = catalogue();
    let plain = by("servo-made", &row_of(&catalogue, 4, false, ""), &catalogue);
    for check in plain.supplies.iter().filter(|check| check.fuse.is_ok()) {
        let fuse = check.fuse.unwrap();
        assert!(fuse <= check.rating && fuse > check.most);
    }
    assert!(found(&plain, "fuse-does-not-protect").is_none());
    // A light on thin wire hangs on the feed of many motors.
    let lit =
        row_of(&catalogue, 16, false, "others: [{id: L, kind: lamp, board: A, at: 10 x 10 mm}]\nrules: {switch on: twitching}");
    let mut catalogue = catalogue;
    catalogue.rules.retain(|rule| rule.per != Per::Branch);
    let plan = by("servo-made", &lit, &catalogue);
    let thin = plan.supplies.iter().find_map(|check| check.fuse.err());
    assert!(matches!(thin, Some(NoFuse::Unprotected { bears, .. }) if bears == Current(0.5)), "{thin:?}");
    assert!(found(&plan, "fuse-does-not-protect").is_some_and(|finding| finding.mends.len() >= 2));
}

#[test]
fn rods_work_over_the_fulcrum_and_travel_is_told_with_a_scale() {
    let catalogue = catalogue();
    let without = by("servo-made", &row_of(&catalogue, 2, false, ""), &catalogue);
    let with = by("servo-made", &row_of(&catalogue, 2, false, "scale: H0"), &catalogue);
    let ([plain], [scaled]) = (without.rods.as_slice(), with.rods.as_slice()) else { panic!("one sort of rod") };
    // A top of 9 mm and 6 mm of track bed above the fulcrum, an arm of 30 mm below it, wire of 1 mm: by hand 1.6 mm × 30 ÷ 15 = 3.2 mm at
    // the drive. The rod is cut 20 mm longer, for its bends.
    let rod = Rod::new(Length::from_mm(1), Length::from_mm(15), Length::from_mm(30), DriveEnd::Pinned).unwrap();
    assert_eq!((plain.stiffness, plain.least_drive), (rod.stiffness(), None));
    assert_eq!(scaled.least_drive, Some(Length::from_um(3200)));
    assert_eq!(scaled.least_hole, Some(Length::from_um(3600)), "1 mm of wire, 1.6 mm of travel, half a millimetre all round");
    let rods = with.takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Rod);
    let cut: Vec<Length> = rods.flat_map(underboard::takeoff::Need::pieces).map(|piece| piece.0).collect();
    assert_eq!(cut, [Length::from_mm(65); 2]);
    assert!(found(&with, "hole-too-small").is_none());
    assert!(found(&with, "over-centre-spring").is_some_and(|finding| finding.what.contains("out")));
}

#[test]
fn a_screw_too_long_for_a_thin_top_is_told() {
    let catalogue = catalogue();
    let on = |top: &str| layout(&format!("boards: [{{id: A, top: {top}}}]\nturnouts: [{{id: T1}}]"), &catalogue);
    let thin = by("servo-made", &on("6 mm"), &catalogue);
    assert!(found(&thin, "screw-too-long").is_some_and(|finding| finding.mends.len() >= 2), "8 mm less 2 mm enter 6 mm");
    let common = by("servo-made", &on("9 mm"), &catalogue);
    assert!(found(&common, "screw-too-long").is_none() && found(&common, "screw-too-short").is_none());
}

#[test]
fn frogs_are_told_in_plain_words_and_wired_for_the_trip_current() {
    let catalogue = catalogue();
    let layout =
        layout("turnouts: [{id: T1, frog: live}, {id: X, kind: double slip, frog: live}, {id: T3, frog: blade fed}]", &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let frogs = found(&plan, "live-frogs").expect("three live frogs");
    assert!(frogs.what.contains("6 insulated rail joints") && frogs.what.contains("fitted at the drive"), "{}", frogs.what);
    assert!(found(&plan, "frogs-follow-the-other-end").is_some_and(|finding| finding.what.contains('X')));
    assert!(found(&plan, "blade-fed-frogs").is_some());
    let trips = trip_current(&catalogue).unwrap();
    let run = plan.wiring.runs.iter().find(|run| run.purpose == Use::Frog).unwrap();
    let sizing = plan.wiring.sizing_of(run).unwrap();
    assert!(sizing.carries == trips && sizing.bears);
    let built_in = by("stall-motor", &layout, &catalogue);
    assert!(found(&built_in, "live-frogs").is_some_and(|finding| finding.what.contains("built into the drive")));
}

#[test]
fn a_supply_too_small_is_told_with_the_price_of_one_that_serves() {
    let catalogue = catalogue();
    let owned = |gives: &str| format!("supplies: [{{id: mine, gives: '{gives}'}}]");
    let layout = row_of(&catalogue, 6, false, &owned("12 V DC, 0.2 A"));
    let plan = by("servo-made", &layout, &catalogue);
    let finding = found(&plan, "supply-too-small").expect("0.2 A is too little");
    assert!(
        finding.what.contains("to leave 20 % of a supply free") && finding.what.contains("that asks for a supply of at least")
    );
    let price = finding.mends[0].price.expect("both orders are searched to the end").amount();
    // One that gives just what is asked for: with a larger one the fuse might be larger too.
    let asked = format!("12 V DC, {:.3} A", (plan.demands[0].needed.0 * 1000.0).ceil() / 1000.0);
    let mended = by("servo-made", &row_of(&catalogue, 6, false, &owned(&asked)), &catalogue);
    assert!(found(&mended, "supply-too-small").is_none());
    assert_eq!(price, plan.purchase.total.amount() - mended.purchase.total.amount());
    assert!(finding.mends.len() >= 2);
}

#[test]
fn two_controllers_in_place_of_one_shorten_the_leads_for_a_known_price() {
    let catalogue = catalogue();
    let text = "boards: [{id: A, size: 3000 x 450 mm}]\nturnouts:\n  - {id: T1, at: 400 x 200 mm}\n  - {id: T2, at: 500 x 200 mm}\n  - {id: T3, at: 2300 x 200 mm}\n  - {id: T4, at: 2400 x 200 mm}\n";
    let layout = layout(text, &catalogue);
    let plan = by("servo-made", &layout, &catalogue);
    let finding = found(&plan, "lead-too-long").expect("a lead of 2.09 m");
    assert!(finding.mends[0].price.is_some(), "{finding:?}");
    let mut assignment = plan.assignment.clone();
    split(&layout, &catalogue, &mut assignment, underboard::id::ControllerId::at(0)).expect("it serves four");
    let mended = estimate(&layout, &catalogue, assignment, &Choices::default());
    assert!(mended.findings.iter().all(|finding| finding.code != "lead-too-long"));
    let difference = mended.purchase.total.amount() - plan.purchase.total.amount();
    assert_eq!(finding.mends[0].price.map(Money::amount), Some(difference));
}

#[test]
fn the_starter_chooses_connectors_and_discharge_units_by_measures() {
    let catalogue = catalogue();
    let asks = |per: Per, role: Role, measure: Measure| {
        let asked = underboard::catalogue::Asked::Measure(measure);
        let of = |rule: &&underboard::catalogue::AssemblyRule| rule.per == per && catalogue.kind(rule.kind).role == role;
        catalogue.rules.iter().filter(of).any(|rule| rule.asks.iter().any(|(_, value)| *value == asked))
    };
    assert!(asks(Per::Joint, Role::Connector, Measure::Matings), "{}", Measure::Matings.word());
    assert!(asks(Per::Layout, Role::DischargeUnit, Measure::PulseCapacitance));
}

const FELLGATE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/brindlewold-exhibition.yaml");

#[test]
fn the_exhibition_layout_is_as_large_as_it_says() {
    let text = std::fs::read_to_string(FELLGATE).unwrap();
    let layout = layout(&text, &catalogue());
    let count = |is: fn(&underboard::layout::DeviceKind) -> bool| layout.devices.iter().filter(|device| is(&device.kind)).count();
    assert_eq!(count(underboard::layout::DeviceKind::is_turnout), 60);
    assert_eq!(count(underboard::layout::DeviceKind::is_signal), 30);
    let boards = layout.boards.iter().filter(|board| board.role == underboard::layout::BoardRole::Baseboard);
    assert_eq!((boards.count(), layout.routes.len()), (12, 7));
}

#[test]
fn the_exhibition_layout_goes_through_every_verb() {
    for verb in ["compare", "bill", "shop", "wiring", "power", "hours", "check"] {
        let mut command = Command::new(env!("CARGO_BIN_EXE_underboard"));
        command.args([verb, FELLGATE]);
        if verb != "compare" {
            command.args(["--scheme", "solenoid"]);
        }
        let output = command.output().unwrap();
        let errors = String::from_utf8_lossy(&output.stderr);
        assert!(matches!(output.status.code(), Some(0 | 1)), "{verb}: {errors}");
        assert!(output.stdout.len() > 200, "{verb}");
    }
}
