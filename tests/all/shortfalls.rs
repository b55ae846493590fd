//! One deliberate shortfall of each sort, mended by following the plan's own advice; after that the plan says no more of it.

mod mechanics;

use std::fmt::Write as _;

use underboard::buying::{Choices, Proof};
use underboard::catalogue::{Asked, Attr, Catalogue, Per, Role, Value};
use underboard::estimate::{Estimate, estimate};
use underboard::finding::{Change, Weight};
use underboard::layout::Layout;
use underboard::mends::carry_out;
use underboard::money::Money;
use underboard::quantity::{Current, Power, Resistance, Voltage};
use underboard::scheme::{Connection, Draw, assign};
use underboard::wiring::{End, Use};

use crate::electrics::{by, catalogue, found};
use crate::program::Desk;
use crate::support::layout;

/// A finding that says what would be seen and has two ways to mend it, of which the one with a change is carried out. The price it told is
/// the difference that the order then has.
fn followed(layout: &Layout, catalogue: &Catalogue, plan: &Estimate, code: &str) -> Estimate {
    let finding = found(plan, code).unwrap_or_else(|| panic!("no `{code}` in {:?}", plan.findings));
    assert!(finding.weight == Weight::Note || finding.seen.is_some(), "{finding:?}");
    assert!(finding.mends.len() >= 2, "{finding:?}");
    let mend = finding.mends.iter().find(|mend| mend.change.is_some()).unwrap_or_else(|| panic!("{finding:?}"));
    let changed = carry_out(layout, catalogue, plan, mend.change.unwrap()).expect("it can be carried out");
    let mended = estimate(&changed.layout, &changed.catalogue, changed.assignment, &Choices::default());
    assert!(found(&mended, code).is_none(), "{:?}", found(&mended, code));
    // A difference of orders that are not proven the cheapest would be a guess, so none is told.
    let stopped = [&mended, plan].iter().any(|plan| plan.purchase.proof != Proof::Whole);
    let difference = mended.purchase.total.amount() - plan.purchase.total.amount();
    assert_eq!(mend.price.map(|price| price.amount().abs()), (!stopped).then_some(difference.abs()), "{finding:?}");
    mended
}

/// So many turnouts in a row on one long board, then more lines of the file.
fn row_of(catalogue: &Catalogue, turnouts: usize, board: &str, more: &str) -> Layout {
    let mut text = format!("boards: [{{id: A, size: 2000 x 450 mm{board}}}]\nturnouts:\n");
    for n in 1..=turnouts {
        let _ = writeln!(text, "  - {{id: T{n}, board: A, at: {} x 200 mm}}", 1900 * n / turnouts);
    }
    layout(&format!("{text}{more}\n"), catalogue)
}

/// Boards in a row with a few turnouts each, and the panel on the first.
fn train_of(boards: usize) -> String {
    let mut text = String::from("panel: {board: B0}\nboards:\n");
    for board in 0..boards {
        let _ = writeln!(text, "  - {{id: B{board}, size: 2400 x 450 mm}}");
    }
    text += "joints:\n";
    for board in 1..boards {
        let _ = writeln!(text, "  - {{between: [B{}, B{board}]}}", board - 1);
    }
    text += "turnouts:\n";
    for n in 0..boards * 3 {
        let _ = writeln!(text, "  - {{id: T{n}, board: B{}, at: {} x 200 mm}}", n / 3, 1000 + 200 * (n % 3));
    }
    text
}

#[test]
fn a_supply_too_small() {
    let catalogue = catalogue();
    let layout = row_of(&catalogue, 6, "", "supplies: [{id: mine, gives: '12 V DC, 0.2 A'}]");
    followed(&layout, &catalogue, &by("servo-made", &layout, &catalogue), "supply-too-small");
}

#[test]
fn the_program_ends_with_1_where_the_owned_supplies_do_not_carry_the_plan_and_with_0_where_they_do() {
    let with = |supplies: &str| {
        let turnouts = "turnouts: [{id: T1}, {id: T2}, {id: T3}, {id: T4}, {id: T5}, {id: T6}]";
        let desk = Desk::new().file("layout.yaml", format!("{turnouts}\n{supplies}\n"));
        desk.run(&["power", "layout.yaml", "--scheme", "servo-made"]).code
    };
    assert_eq!(with(""), Some(0), "none is owned: what is bought carries it");
    assert_eq!(with("supplies: [{id: a, gives: '16 V AC, 1 A'}]"), Some(0), "none is owned for that feed");
    assert_eq!(with("supplies: [{id: a, gives: '12 V DC, 0.2 A'}]"), Some(1));
    assert_eq!(with("supplies: [{id: a, gives: '12 V DC, 5 A'}]"), Some(0));
    assert_eq!(
        with("supplies: [{id: a, gives: '12 V DC, 0.6 A'}, {id: b, gives: '12 V DC, 0.6 A'}]"),
        Some(0),
        "together they do"
    );
}

/// Three boards with their panel in the middle and so many turnouts on each, then more lines of the file.
fn three_boards(turnouts: usize, more: &str) -> String {
    let mut text = String::from("panel: {board: M}\nboards: [{id: L}, {id: M}, {id: R}]\nturnouts:\n");
    for board in ["L", "M", "R"] {
        for n in 1..=turnouts {
            let _ = writeln!(text, "  - {{id: {board}{n}, board: {board}, at: {} x 200 mm}}", 1100 * n / turnouts);
        }
    }
    format!("{text}{more}\n")
}

#[test]
fn owned_supplies_share_a_feed_by_boards_each_with_wires_of_its_own() {
    let catalogue = catalogue();
    let supplies = "supplies: [{id: tiny, gives: '12 V DC, 0.05 A'}, {id: a, gives: '12 V DC, 4 A'}, {id: b, gives: '12 V DC, 2.5 A'}]\n\
                    rules: {switch on: twitching}";
    let layout = layout(&three_boards(12, supplies), &catalogue);
    let plan = by("servo-made", &layout, &catalogue);
    let [demand] = plan.demands.as_slice() else { panic!("one feed") };
    assert!(demand.needed > Current(4.0) && demand.needed <= Current(6.5), "{:?}", demand.needed);
    let parts: Vec<_> =
        demand.sections.iter().map(|part| (part.owned.map(|id| &*layout.supply(id).name), part.boards.len())).collect();
    assert!(parts.contains(&(Some("a"), 2)) && parts.contains(&(Some("b"), 1)), "the larger serves two boards: {parts:?}");
    assert!(plan.supplies.iter().all(|check| check.is_owned && check.carries) && plan.owned_supplies_carry());
    assert!(plan.purchase.uses.iter().all(|used| catalogue.kind(catalogue.part(used.part).kind).role != Role::Supply));
    assert!(plan.supplies.iter().all(|check| check.fuse.is_ok_and(|fuse| fuse <= check.rating)), "{:?}", plan.supplies);
    // Every controller is reached over power wires from the socket of its own supply.
    for (n, section) in (1..).zip(&demand.sections) {
        let of_section = |end: End| matches!(end, End::Socket(source) | End::Fuse(source) if source.section == n);
        let fed = plan.wiring.runs.iter().filter(|run| run.purpose == Use::Power && of_section(run.from.end));
        let reached: Vec<_> = fed.filter(|run| !matches!(run.to.end, End::Encoder(..))).map(|run| run.to.spot.board).collect();
        assert!(!reached.is_empty() && reached.iter().all(|board| section.boards.contains(board)), "{n}: {reached:?}");
    }
    let undivided = |end: End| matches!(end, End::Socket(source) | End::Fuse(source) if source.section == 0);
    assert!(!plan.wiring.runs.iter().any(|run| undivided(run.from.end)));
}

#[test]
fn a_feed_beyond_the_largest_fuse_is_divided_by_itself() {
    let catalogue = catalogue();
    let owned =
        layout(&three_boards(30, "supplies: [{id: club, gives: '12 V DC, 14 A'}]\nrules: {switch on: twitching}"), &catalogue);
    let plan = by("servo-made", &owned, &catalogue);
    let [demand] = plan.demands.as_slice() else { panic!("one feed") };
    assert!(demand.drawn.start_up > Current(10.0), "{:?}", demand.drawn);
    assert!(demand.sections.len() >= 2 && demand.sections.iter().all(|part| part.fuse.is_some_and(|fuse| fuse <= Current(10.0))));
    // One board cannot be divided by boards, but by its controllers.
    let mut text = String::from("boards: [{id: A, size: 3000 x 450 mm}]\nrules: {switch on: twitching}\nturnouts:\n");
    for n in 1..=90 {
        let _ = writeln!(text, "  - {{id: T{n}, board: A, at: {} x 200 mm}}", 30 * n);
    }
    let one = layout(&text, &catalogue);
    let plan = by("servo-made", &one, &catalogue);
    assert!(plan.demands[0].sections.len() >= 2 && plan.demands[0].sections.iter().all(|part| part.fuse.is_some()));
    assert!(found(&plan, "no-fuse-carries-it").is_none());
}

#[test]
fn what_no_fuse_carries_falls_short() {
    // A single drive that draws more than any fuse of the series cannot be divided.
    let mut catalogue = catalogue();
    let at = catalogue.schemes.iter().position(|scheme| matches!(scheme.draw, Draw::Hold { .. })).unwrap();
    let scheme = catalogue.schemes[at].name.to_string();
    if let Draw::Hold { rest, moving, .. } = &mut catalogue.schemes[at].draw {
        (*rest, *moving) = (Current(12.0), Current(12.0));
    }
    let layout = row_of(&catalogue, 1, "", "");
    let plan = by(&scheme, &layout, &catalogue);
    let finding = found(&plan, "no-fuse-carries-it").expect("12 A");
    assert!(finding.weight == Weight::Shortfall && plan.shortfalls().next().is_some());
    // A fuse that would not carry it is not bought either.
    assert!(plan.branches.is_empty(), "{:?}", plan.branches);
}

/// One truth: the part that holds a motor still is bought, and then it draws at switch-on what it draws at rest.
#[test]
fn a_motor_that_is_held_does_not_twitch() {
    let catalogue = catalogue();
    let with = |word: &str| by("servo-made", &row_of(&catalogue, 6, "", &format!("rules: {{switch on: {word}}}")), &catalogue);
    let resistors =
        |plan: &Estimate| {
            let held =
                plan.takeoff.needs.iter().flat_map(|need| &need.reasons).filter(|reason| {
                    catalogue.rule(reason.rule).when.contains(&underboard::catalogue::Condition::HeldAtSwitchOn)
                });
            held.count()
        };
    let [held, quiet, twitching] = ["held", "quiet", "twitching"].map(with);
    assert_eq!([&held, &quiet, &twitching].map(resistors), [6, 0, 0]);
    assert_eq!([&held, &quiet].map(|plan| plan.demands[0].drawn.start_up), [held.demands[0].drawn.continuous; 2]);
    assert!(twitching.demands[0].drawn.start_up > held.demands[0].drawn.start_up);
    assert!(found(&held, "twitch-at-switch-on").is_none() && found(&quiet, "twitch-at-switch-on").is_none());
    let layout = row_of(&catalogue, 6, "", "rules: {switch on: twitching}");
    followed(&layout, &catalogue, &twitching, "twitch-at-switch-on");
    // Of what is owned nothing is bought that would hold it.
    let owned = crate::support::layout("turnouts: [{id: T1, owned: yes}, {id: T2}]", &catalogue);
    assert!(found(&by("servo-made", &owned, &catalogue), "twitch-at-switch-on").is_some_and(|told| told.what.contains("T1;")));
    // A workbook without such a part cannot hold them.
    let mut without = catalogue.clone();
    without.rules.retain(|rule| !rule.when.contains(&underboard::catalogue::Condition::HeldAtSwitchOn));
    let plan = by("servo-made", &row_of(&without, 6, "", ""), &without);
    assert_eq!(plan.demands[0].drawn.start_up, twitching.demands[0].drawn.start_up);
}

#[test]
fn a_drop_too_large() {
    let catalogue = catalogue();
    let layout = layout(&format!("{}rules: {{drop: 6 %, switch on: twitching}}\n", train_of(6)), &catalogue);
    let plan = by("servo-made", &layout, &catalogue);
    let mended = followed(&layout, &catalogue, &plan, "too-little-arrives");
    assert!(mended.wiring.far_ends.iter().all(underboard::wiring::FarEnd::is_within));
}

/// Where no change alone serves, two together are offered and do, and so does wire of the thickness that is named.
#[test]
fn a_drop_that_two_changes_mend() {
    let catalogue = catalogue();
    let far = train_of(9).replace("panel: {board: B0}", "panel: {board: B0, at: 1200 x 0 mm, lead: 2 m}");
    let text = format!("{far}rules: {{drop: 4.4 %, at once: 3 levers}}\n");
    let layout_of = |text: &str, catalogue: &Catalogue| layout(text, catalogue);
    let layout = layout_of(&text, &catalogue);
    let plan = by("servo-made", &layout, &catalogue);
    let finding = found(&plan, "too-little-arrives").expect("it is far");
    let alone = finding.mends.iter().filter_map(|mend| mend.change).all(|change| matches!(change, Change::SectionsAnd { .. }));
    assert!(alone, "{finding:?}");
    let mended = followed(&layout, &catalogue, &plan, "too-little-arrives");
    assert!(mended.wiring.far_ends.iter().all(underboard::wiring::FarEnd::is_within));
    let told = finding.mends.iter().map(|mend| &mend.text).find(|text| text.contains("mm²")).expect("a thickness");
    let figure =
        |before: &str, after: &str| told.split_once(before).and_then(|(_, rest)| Some(rest.split_once(after)?.0.to_owned()));
    let area: f64 = figure("at least ", " mm²").unwrap().parse().unwrap();
    let sections = figure("(`sections: ", "`").map_or(String::new(), |sections| format!(", sections: {sections}"));
    let with = |area: f64| {
        let mut catalogue = catalogue.clone();
        let mut wire = catalogue.parts.iter().find(|part| &*part.name == "wire-50x0.25-25m").unwrap().clone();
        (wire.name, wire.stock) = ("thick".into(), 1000);
        wire.attributes.insert(Attr::Area, Value::Measured(underboard::quantity::Area(area).quantity()));
        wire.attributes.remove(&Attr::LineResistance);
        catalogue.parts.push(wire);
        let layout = layout_of(&text.replace("at once: 3 levers", &format!("at once: 3 levers{sections}")), &catalogue);
        let assignment = assign(&layout, &catalogue, catalogue.scheme_named("servo-made").unwrap());
        let demands = underboard::power::demand(&layout, &catalogue, &assignment);
        underboard::wiring::plan(&layout, &catalogue, &assignment, &demands)
            .far_ends
            .iter()
            .all(underboard::wiring::FarEnd::is_within)
    };
    assert!(with(area), "{told}");
    let thinner = [1.5, 2.5, 4.0, 6.0, 10.0].into_iter().rev().find(|thinner| *thinner < area).unwrap();
    assert!(!with(thinner), "it is the least: {told}");
}

/// Five coils on one lever are more than any switch bears, nine more than any discharge unit throws: levers of their own mend both.
#[test]
fn too_many_coils_on_one_lever() {
    let catalogue = catalogue();
    for (coils, code) in [(5, "cannot-be-bought"), (9, "coil-gets-too-little")] {
        let mut text = String::from("boards: [{id: A, size: 2400 x 450 mm}]\nturnouts:\n");
        for n in 0..coils {
            let with = if n > 0 { ", with: T0" } else { "" };
            let _ = writeln!(text, "  - {{id: T{n}, board: A, at: {} x 200 mm{with}}}", 200 + 200 * n);
        }
        let layout = layout(&text, &catalogue);
        let mut plan = by("solenoid", &layout, &catalogue);
        let finding = plan.findings.iter().position(|finding| {
            finding.code == code && finding.mends.iter().any(|mend| matches!(mend.change, Some(Change::OwnLevers(_))))
        });
        let finding = plan.findings.remove(finding.unwrap_or_else(|| panic!("{coils}: {:?}", plan.findings)));
        let change = finding.mends.iter().find_map(|mend| mend.change).unwrap();
        let changed = carry_out(&layout, &catalogue, &plan, change).unwrap();
        assert_eq!(changed.layout.levers.len(), coils);
        let mended = estimate(&changed.layout, &changed.catalogue, changed.assignment, &Choices::default());
        assert_eq!(mended.shortfalls().count(), 0, "{:?}", mended.findings);
        assert!(mended.discharges[0].throws.iter().all(|throw| throw.throw.coils == 1 && throw.suffices));
    }
}

#[test]
fn a_lead_too_long() {
    let catalogue = catalogue();
    let layout = layout(
        "boards: [{id: A, size: 3000 x 450 mm}]\nturnouts: [{id: T1, at: 400 x 200 mm}, {id: T2, at: 500 x 200 mm}, \
         {id: T3, at: 2300 x 200 mm}, {id: T4, at: 2400 x 200 mm}]\n",
        &catalogue,
    );
    followed(&layout, &catalogue, &by("servo-made", &layout, &catalogue), "lead-too-long");
}

#[test]
fn plugs_that_swap() {
    let catalogue = catalogue();
    let on = |keyed: &str| {
        let mut text = format!(
            "panel: {{board: B}}\nboards: [{{id: A, size: 3000 x 450 mm}}, {{id: B}}]\njoints: [{{between: [A, B]{keyed}}}]\nturnouts:\n"
        );
        for n in 1..=24 {
            let _ = writeln!(text, "  - {{id: T{n}, board: A, at: {} x 200 mm}}", 110 * n);
        }
        by("stall-motor", &layout(&text, &catalogue), &catalogue)
    };
    let plan = on("");
    let finding = found(&plan, "plugs-can-be-swapped").expect("two plugs alike");
    assert!(finding.what.contains("37 ways"), "it names the plug that is bought: {}", finding.what);
    assert!(
        finding.mends[0].text.contains("`keyed: yes`") && finding.mends[0].price.is_some_and(|price| price.amount().is_zero())
    );
    assert!(found(&on(", keyed: yes"), "plugs-can-be-swapped").is_none());
}

#[test]
fn a_fuse_that_does_not_protect() {
    let with = catalogue();
    let mut without = catalogue();
    without.rules.retain(|rule| rule.per != Per::Branch);
    let lit = |catalogue: &Catalogue| {
        let more = "others: [{id: L, kind: lamp, board: A, at: 10 x 10 mm}]\nrules: {switch on: twitching}";
        row_of(catalogue, 16, "", more)
    };
    let plan = by("servo-made", &lit(&without), &without);
    let finding = found(&plan, "fuse-does-not-protect").expect("a selector of 500 mA behind a larger fuse");
    assert!(finding.what.contains("what switches lights") && finding.mends[0].text.contains("1 of 500 mA"), "{finding:?}");
    // The advice is a row per branch, which the starter has.
    let mended = by("servo-made", &lit(&with), &with);
    assert!(found(&mended, "fuse-does-not-protect").is_none());
    assert!(found(&mended, "thin-wires-fused-apart").is_some_and(|finding| finding.what.contains("500 mA")));
    let [branch] = mended.branches.as_slice() else { panic!("one branch") };
    assert_eq!((branch.fuse, branch.count, branch.scheme), (Current(0.5), 1, None));
    let fuses = |plan: &Estimate, catalogue: &Catalogue| {
        let of = plan.purchase.uses.iter().filter(|used| catalogue.kind(catalogue.part(used.part).kind).role == Role::Fuse);
        of.filter(|used| catalogue.part(used.part).measured(Attr::Current) == Some(Current(0.5).quantity())).count()
    };
    assert_eq!((fuses(&plan, &without), fuses(&mended, &with)), (0, 1));
}

#[test]
fn a_fuse_above_its_supply() {
    let catalogue = catalogue();
    // By hand: 6 servos rest at 151 mA, one moves with 125 mA more: 276 mA take a fuse of 315 mA, and 0.3 A carry them.
    let layout = row_of(&catalogue, 6, "", "supplies: [{id: mine, gives: '12 V DC, 0.3 A'}]");
    let plan = by("servo-made", &layout, &catalogue);
    followed(&layout, &catalogue, &plan, "fuse-above-the-supply");
    // What is bought gives no less than its fuse.
    for turnouts in 2..26 {
        let plan = by("servo-made", &row_of(&catalogue, turnouts, "", ""), &catalogue);
        assert!(found(&plan, "fuse-above-the-supply").is_none(), "{turnouts}");
    }
}

#[test]
fn a_resistor_that_does_not_suit() {
    let mut catalogue = catalogue();
    let layout = row_of(&catalogue, 2, "", "");
    assert!(found(&by("servo-made", &layout, &catalogue), "resistor-does-not-suit").is_none());
    catalogue.rates.light_voltage = Voltage(24.0);
    let plan = by("servo-made", &layout, &catalogue);
    let finding = found(&plan, "resistor-does-not-suit").expect("2 kohm let 11 mA through at 24 V");
    // By hand: (24 V − 2 V) ÷ 5 mA = 4.4 kohm; the next value of E24 is 4.7 kohm.
    assert!(finding.mends[0].text.contains("4.7 kohm"), "{finding:?}");
    let resistor = catalogue
        .rules
        .iter_mut()
        .find(|rule| rule.per == Per::Lamp && rule.asks.iter().any(|(attr, _)| *attr == Attr::Resistance));
    resistor.expect("lamps have one").asks = vec![
        (Attr::Resistance, Asked::Value(Value::Measured(Resistance(4700.0).quantity()))),
        (Attr::Power, Asked::Value(Value::Measured(Power(0.25).quantity()))),
    ];
    assert!(found(&by("servo-made", &layout, &catalogue), "resistor-does-not-suit").is_none());
}

#[test]
fn one_lever_with_two_schemes() {
    let catalogue = catalogue();
    let of = |second: &str| {
        layout(&format!("turnouts: [{{id: T1, with: T2, scheme: solenoid}}, {{id: T2, scheme: {second}}}]"), &catalogue)
    };
    let plan = by("solenoid", &of("servo-made"), &catalogue);
    assert!(found(&plan, "one-lever-two-schemes").is_some_and(|finding| finding.mends.len() >= 2));
    assert!(found(&by("solenoid", &of("solenoid"), &catalogue), "one-lever-two-schemes").is_none());
}

/// The alternative's price is told either way round, and the leads over the joint are no longer than the scheme allows.
#[test]
fn a_controller_may_serve_the_next_board() {
    let catalogue = catalogue();
    let two = |rule: &str| {
        let mut text = format!(
            "boards: [{{id: A, size: 1200 x 450 mm}}, {{id: B, size: 600 x 450 mm}}]\njoints: [{{between: [A, B]}}]\nrules: {{controllers: {rule}}}\nturnouts:\n"
        );
        for n in 1..=5 {
            let _ = writeln!(text, "  - {{id: T{n}, board: A, at: {} x 200 mm}}", 200 * n);
        }
        layout(&format!("{text}  - {{id: T6, board: B, at: 100 x 200 mm}}\n"), &catalogue)
    };
    let apart = by("servo-made", &two("each board"), &catalogue);
    let shared = by("servo-made", &two("neighbour"), &catalogue);
    assert_eq!((apart.assignment.controllers.len(), shared.assignment.controllers.len()), (2, 1));
    let difference = shared.purchase.total.amount() - apart.purchase.total.amount();
    let told = |plan: &Estimate, code: &str| found(plan, code).and_then(|finding| finding.mends[0].price).map(Money::amount);
    assert_eq!(told(&apart, "controller-could-be-shared"), Some(difference));
    assert_eq!(told(&shared, "controller-is-shared"), Some(-difference));
    let lead = shared.wiring.leads.values().find(|lead| !lead.crosses.is_empty()).expect("T6 is served over the joint");
    assert!(!lead.too_long && shared.wiring.joints[0].total() == 3, "{lead:?}");
}

/// Both ends of a crossover prove it: their contacts stand in series, and the conductor that goes on joins the two drives. One changeover at the
/// last drive sends minus to one lamp or the other; before it each lamp's wire wants a contact of its own, or a lamp would light half-way.
#[test]
fn a_proved_crossover_proves_both_ends() {
    let catalogue = catalogue();
    let layout = layout("rules: {lamps: proved}\nturnouts: [{id: T1, with: T2}, {id: T2}]", &catalogue);
    for (scheme, bought) in [("solenoid", 3), ("servo-made", 2), ("stall-motor", 0)] {
        let plan = by(scheme, &layout, &catalogue);
        let of = plan.purchase.uses.iter().filter(|used| catalogue.kind(catalogue.part(used.part).kind).role == Role::Contact);
        assert_eq!(of.map(|used| used.count).sum::<u32>(), bought, "{scheme}");
        let proving = plan.wiring.runs.iter().filter(|run| run.purpose == underboard::wiring::Use::Proving);
        assert_eq!(proving.count(), if scheme == "servo-made" { 0 } else { 4 }, "{scheme}: two lamps, each to T1 and on to T2");
    }
    // A stall motor's two contacts serve its two frogs first; then one must be fitted.
    let three = crate::support::layout("rules: {lamps: proved}\nturnouts: [{id: X, kind: double slip, frog: live}]", &catalogue);
    let plan = by("stall-motor", &three, &catalogue);
    let contacts = plan.purchase.uses.iter().filter(|used| catalogue.kind(catalogue.part(used.part).kind).role == Role::Contact);
    assert_eq!(contacts.count(), 0, "one frog each leaves one contact each");
}

/// The short leads between a discharge unit beside the drives and its coils count too: 134 ohm/km, there and back.
#[test]
fn local_pulses_go_through_their_leads() {
    let mut catalogue = catalogue();
    let servo = catalogue.scheme_named("servo-made").unwrap();
    for scheme in catalogue.schemes.iter_mut().filter(|scheme| matches!(scheme.connection, Connection::Local { .. })) {
        scheme.draw = Draw::Pulse { current: Current(5.0), duration: underboard::quantity::Seconds(0.05) };
        if let Some(electrics) = &mut scheme.electrics {
            electrics.stored = true;
        }
    }
    let layout = layout(
        "boards: [{id: A, size: 3000 x 450 mm}]\nturnouts: [{id: T1, at: 100 x 100 mm}, {id: T2, at: 1500 x 100 mm}]",
        &catalogue,
    );
    let assignment = assign(&layout, &catalogue, servo);
    let wiring =
        underboard::wiring::plan(&layout, &catalogue, &assignment, &underboard::power::demand(&layout, &catalogue, &assignment));
    let throws = underboard::power::throws(&layout, &catalogue, &assignment, &wiring);
    let longest = wiring.leads.values().map(|lead| lead.length.mm()).fold(0.0, f64::max);
    let most = throws.iter().map(|(_, throw)| throw.own.0).fold(0.0, f64::max);
    assert!(longest > 0.0 && (most - 2.0 * 0.134 * longest / 1000.0).abs() < 1e-9, "{most} for {longest} mm");
}

/// What is tried adds ways to mend; it never changes what is told to be wrong.
#[test]
fn advice_adds_mends_and_changes_nothing_else() {
    let catalogue = catalogue();
    let layout = layout(&three_boards(30, "rules: {drop: 2 %, switch on: twitching}"), &catalogue);
    let scheme = catalogue.scheme_named("servo-made").unwrap();
    let plain = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &Choices::default());
    let mut advised = plain.clone();
    advised.advise(&layout, &catalogue);
    let told = |plan: &Estimate| -> Vec<_> {
        plan.findings.iter().map(|found| (found.code, found.weight, found.what.clone(), found.seen.clone())).collect()
    };
    assert_eq!(told(&plain), told(&advised));
    let mends = |plan: &Estimate| plan.findings.iter().map(|found| found.mends.len()).sum::<usize>();
    assert!(mends(&plain) < mends(&advised), "{:?}", advised.findings);
    for (plain, advised) in plain.findings.iter().zip(&advised.findings) {
        let mut left = advised.mends.iter();
        assert!(plain.mends.iter().all(|mend| left.any(|other| other == mend)), "in their order: {advised:?}");
    }
    let mut again = advised.clone();
    again.advise(&layout, &catalogue);
    assert_eq!(advised.findings, again.findings, "what was tried is not tried again");
}
