//! What feeds carry: wires of pulses, leads of supplies, switches, converters, supplies that share a feed.

use std::fmt::Write as _;

use underboard::buying::Choices;
use underboard::catalogue::{Asked, Attr, Catalogue, Per, Role, Value};
use underboard::estimate::{Draft, Estimate, draft};
use underboard::finding::Weight;
use underboard::id::BoardId;
use underboard::layout::Waveform;
use underboard::power::discharge::Throw;
use underboard::power::{Demand, branches, demand};
use underboard::quantity::{Capacitance, Current, Voltage};
use underboard::scheme::assign;
use underboard::takeoff::Subject;
use underboard::wiring::{Clamp, End, Run, Use, plan};

use crate::electrics::{by, catalogue, found};
use crate::program::Desk;
use crate::support::layout;

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// Every lever's coils get what they need, and a lever that has the thickest of its sizes would not with the next thinner wire sold.
#[test]
fn pulses_get_the_thinnest_wire_that_still_throws() {
    let catalogue = catalogue();
    let layout = layout(&example("brindlewold-exhibition"), &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
    assert!(unit.throws.iter().all(|throw| throw.suffices), "{:?}", unit.worst());
    let mine: Vec<_> = plan.wiring.sizings.iter().filter(|sizing| !sizing.subjects.is_empty()).collect();
    assert!((2..=3).contains(&mine.len()), "a coil near the panel has thinner wire than the farthest: {mine:?}");
    // Lines of the starter's wires in ohms per kilometre, thickest first; by them the next thinner.
    let lines = [7.98, 19.5, 26.0, 39.0, 58.4, 89.0];
    let largest = Capacitance(22_000.0 * 0.8);
    for sizing in &mine {
        let at = lines.iter().position(|line| (line - sizing.line.0).abs() < 1e-9).expect("a wire of the starter");
        let Some(thinner) = lines.get(at + 1) else { continue };
        let starves = unit.throws.iter().filter(|throw| {
            sizing
                .subjects
                .iter()
                .any(|subject| matches!(subject, Subject::Drive(drive) if layout.lever(throw.lever).drives.contains(drive)))
        });
        let starves = starves.filter(|throw| {
            let own = throw.throw.own * (thinner / sizing.line.0);
            !Throw { own, capacitance: largest, ..throw.throw }.suffices(unit.charged.least, unit.needs)
        });
        assert!(starves.count() > 0, "{} mm² could be thinner for all", sizing.area.0);
    }
}

/// By hand, from the shelf's file: the switch of each is at the panel; T3 is the farthest from it, out and home again together.
#[test]
fn the_worst_drive_is_the_one_whose_wires_resist_most() {
    let mut catalogue = catalogue();
    let scheme = catalogue.scheme_named("solenoid").unwrap();
    // Fed directly by what a transformer gives, so that the feed itself is solved.
    let electrics = catalogue.schemes[scheme.index()].electrics.as_mut().unwrap();
    (electrics.stored, electrics.voltage) = (false, electrics.motor_voltage);
    let layout = layout(&example("shelf"), &catalogue);
    let assignment = assign(&layout, &catalogue, scheme);
    let demands = demand(&layout, &catalogue, &assignment);
    let wiring = plan(&layout, &catalogue, &assignment, &demands);
    let [far] = wiring.far_ends.as_slice() else { panic!("one scheme") };
    let trips = wiring.round_trips(&layout, scheme);
    let ohms = |drive| trips[&drive].shared + trips[&drive].own;
    let most = layout.drive_ids().max_by(|a, b| ohms(*a).0.total_cmp(&ohms(*b).0)).unwrap();
    assert_eq!(far.worst, Subject::Drive(most));
    // Ohm's law: 5 A through the way out and home again; with them half an ampere of the panel through the fuse of 8 A (100 mV at its rating, and
    // 10 milliohms of its holder), the supply's lead of 1.5 mm² (13.3 ohm/km), 1.5 m there and back, and its plug.
    let feed = demands.iter().find(|demand| (demand.voltage.0 - 22.0).abs() < 1e-9).unwrap();
    let fuse = feed.sections[0].fuse.unwrap().0;
    assert!(fuse > 5.5 && fuse <= 8.0, "{fuse}");
    let at_supply = 0.1 / fuse + 0.01 + 2.0 * (1.5 * 0.0133 + 0.010);
    // Wire of less than that hangs on fuses of its own, beside one another.
    let apart = branches(&catalogue, &demands, &wiring);
    let apart = apart.iter().find(|branch| branch.scheme == Some(scheme) && branch.feed == feed.id);
    let apart = apart.map_or(0.0, |branch| (0.1 / branch.fuse.0 + 0.01) / f64::from(branch.count));
    let by_hand = 22.0 - 5.0 * (ohms(most).0 + apart) - 5.5 * at_supply;
    assert!((far.arrives.0 - by_hand).abs() < 1e-6, "{} is not {by_hand}", far.arrives.0);
}

/// What parts must bear is the pulse from a unit charged as high as a transformer off load may bring it: a quarter above its rating, 26.88 V of 16 V AC.
#[test]
fn wires_bear_the_pulse_of_the_highest_charge() {
    let catalogue = catalogue();
    for name in ["saltmarsh-harbour", "brindlewold-exhibition", "shelf"] {
        let layout = layout(&example(name), &catalogue);
        let plan = by("solenoid", &layout, &catalogue);
        let [unit] = plan.discharges.as_slice() else { panic!("{name}: one unit") };
        assert!((unit.charged.most.0 - (16.0 * 1.25 * 2.0_f64.sqrt() - 1.4)).abs() < 1e-9, "{name}");
        let coils = |run: &&Run| run.scheme == Some(unit.scheme) && matches!(run.purpose, Use::Drive | Use::Return);
        for throw in &unit.throws {
            let most = throw.throw.peak(unit.charged.most);
            let mine = layout.lever(throw.lever).drives.iter().flat_map(|&drive| plan.wiring.runs_of(Subject::Drive(drive)));
            assert!(mine.filter(coils).all(|run| run.carries.0 >= most.0 * (1.0 - 1e-9)), "{name}: {}", throw.lever.0);
        }
        // Of the worst lever of so many coils exactly so much, not only at least.
        for (&(family, coils), together) in &plan.wiring.thrown {
            assert_eq!(family, unit.scheme);
            let mine = unit.throws.iter().filter(|throw| throw.throw.coils == coils);
            let most = mine.map(|throw| throw.throw.peak(unit.charged.most).0 * f64::from(coils)).fold(0.0, f64::max);
            assert!((together.0 / most - 1.0).abs() < 0.01, "{name}: {most}");
        }
        assert!(unit.throws.iter().all(|throw| plan.wiring.thrown.contains_key(&(unit.scheme, throw.throw.coils))));
    }
}

/// The lever of three far coils throws less than three times what one coil beside the panel takes: its switch is asked to bear what its wires bring.
#[test]
fn a_switch_is_asked_to_bear_what_the_wires_of_its_lever_carry() {
    let catalogue = catalogue();
    let text = "\
boards: [{id: A, size: 3000 x 450 mm}]
panel: {board: A, at: 100 x 0 mm}
turnouts:
  - {id: T1, board: A, at: 100 x 50 mm}
  - {id: T2, board: A, at: 2500 x 400 mm, with: T3}
  - {id: T3, board: A, at: 2700 x 400 mm, with: T4}
  - {id: T4, board: A, at: 2900 x 400 mm}
";
    let layout = layout(text, &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let switches = plan.takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Switch);
    let asked = switches.flat_map(|need| &need.asks).filter(|ask| ask.attr == Attr::Current);
    let asked = asked.filter_map(|ask| match &ask.value {
        Value::Measured(current) => Some(current.to_f64()),
        Value::Text(_) => None,
    });
    let most_asked = asked.fold(0.0, f64::max);
    let levers = plan.wiring.sizings.iter().find(|sizing| sizing.feeds_levers && sizing.scheme.is_some()).unwrap();
    assert!((most_asked - levers.carries.0).abs() < 1e-3, "{most_asked} is not {}", levers.carries);
}

/// What charges the discharge unit, and what the coils of latches return, is never the pulse: it has a wire by its own current and the fuse of its feed.
#[test]
fn what_carries_no_pulse_has_no_wire_of_pulses() {
    let catalogue = catalogue();
    let layout = layout(&example("brindlewold-exhibition"), &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let fuse = plan.demands.iter().find(|demand| demand.waveform == Waveform::Ac).and_then(Demand::largest_fuse).unwrap();
    let at_panel = plan.wiring.runs_of(Subject::Layout).iter().filter(|run| run.scheme == catalogue.scheme_named("solenoid"));
    let (to_levers, others): (Vec<&Run>, Vec<&Run>) = at_panel.partition(|run| matches!(run.to.end, End::Lever(..)));
    let area = |run: &&Run| plan.wiring.area_of(run).expect("it has its size").0;
    assert!(!to_levers.is_empty() && to_levers.iter().all(|run| area(run) >= 2.5));
    let ends = |of: fn(End) -> bool| others.iter().filter(|run| of(run.to.end)).map(area).collect::<Vec<_>>();
    assert_eq!(ends(|end| matches!(end, End::Store(Clamp::Input(_)))), [0.22; 2]);
    assert_eq!(ends(|end| matches!(end, End::Latch(..))), [0.22]);
    assert!(others.iter().all(|run| plan.wiring.sizing_of(run).is_some_and(|sizing| sizing.bears && sizing.rating >= fuse)));
}

/// A contact bears the coils of all drives on its lever: each what the highest charge brings it, 26.88 V over 4.5 ohm and its wires.
#[test]
fn the_switch_of_a_crossover_bears_both_coils() {
    let catalogue = catalogue();
    let layout = layout("turnouts: [{id: T1, with: T2}, {id: T2}, {id: T3}]", &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let switches = plan.takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Switch);
    let asked: Vec<f64> = switches
        .filter_map(|need| need.asks.iter().find(|ask| ask.attr == Attr::Current))
        .map(|ask| match &ask.value {
            Value::Measured(current) => current.to_f64(),
            Value::Text(_) => panic!("a current"),
        })
        .collect();
    let [one, two] = asked.as_slice() else { panic!("one coil, and two: {asked:?}") };
    let pulse = 26.88 / 4.8..26.88 / 4.5;
    assert!(pulse.contains(one) && pulse.contains(&(two / 2.0)), "{asked:?}");
    assert!(plan.purchase.unmet.is_empty(), "{:?}", plan.purchase.unmet);
    // The rule asks by the measure; nothing else of the starter limits a lever to one coil.
    let by_measure = catalogue.rules.iter().filter(|rule| rule.per == Per::Lever);
    assert!(
        by_measure.flat_map(|rule| &rule.asks).all(|(attr, asked)| *attr != Attr::Current || matches!(asked, Asked::Measure(_)))
    );
}

/// By hand: eight servos rest at 80 mA; one moves with 240 mA more; blocked it draws 690 mA more instead: 0.77 A, beside 0.32 A in use.
#[test]
fn a_converter_gives_its_motors_what_they_draw() {
    let catalogue = catalogue();
    let eight = layout("turnouts: [{id: T1}, {id: T2}, {id: T3}, {id: T4}, {id: T5}, {id: T6}, {id: T7}, {id: T8}]", &catalogue);
    let plan = by("servo-made", &eight, &catalogue);
    let [check] = plan.converters.as_slice() else { panic!("one controller") };
    let near = |found: Current, expected: f64| (found.0 - expected).abs() < 1e-9;
    assert!(near(check.drawn.peak, 0.32) && near(check.drawn.fault, 0.77) && near(check.drawn.start_up, 0.08), "{check:?}");
    assert!(check.carries() && check.bears_a_blocked_one() && found(&plan, "converter-too-small").is_none());
    let with = |amperes: f64| {
        let mut weak = catalogue.clone();
        let kinds = weak.kinds.clone();
        for part in weak.parts.iter_mut().filter(|part| kinds[part.kind.index()].role == Role::Controller) {
            part.attributes.insert(Attr::Current, Value::Measured(Current(amperes).quantity()));
        }
        found(&by("servo-made", &eight, &weak), "converter-too-small").map(|finding| (finding.weight, finding.mends.len()))
    };
    assert_eq!(with(0.5), Some((Weight::Doubt, 2)), "one that sticks takes the others down");
    assert_eq!(with(0.3), Some((Weight::Shortfall, 2)), "it does not even carry them in use");
}

/// An owned supply and a bought one share a feed; the owned alone would not carry it, so `power` ends with 1.
#[test]
fn owned_and_bought_supplies_share_a_feed() {
    let text = |supplies: &str| {
        let mut text = format!(
            "panel: {{board: M}}\nboards: [{{id: L}}, {{id: M}}, {{id: R}}]\n{supplies}\nrules: {{switch on: twitching}}\nturnouts:\n"
        );
        for (board, n) in ["L", "M", "R"].into_iter().flat_map(|board| (1..=24).map(move |n| (board, n))) {
            let _ = writeln!(text, "  - {{id: {board}{n}, board: {board}, at: {} x 200 mm}}", 45 * n);
        }
        text
    };
    let catalogue = catalogue();
    let mixed = layout(&text("supplies: [{id: mine, gives: '12 V DC, 5 A'}]"), &catalogue);
    let plan = by("servo-made", &mixed, &catalogue);
    let [demand] = plan.demands.as_slice() else { panic!("one feed") };
    assert!(demand.drawn.start_up > Current(8.0), "more than any supply sold: {:?}", demand.drawn.start_up);
    assert_eq!(demand.sections.iter().filter(|section| section.owned.is_some()).count(), 1);
    assert!(demand.sections.len() >= 2 && !plan.owned_supplies_carry());
    assert!(found(&plan, "owned-supplies-carry-a-part").is_some());
    assert_eq!(bought(&plan, &catalogue), demand.sections.len() - 1);
    // Each section's power reaches its boards over wires that begin at its own socket.
    let mut wires = plan.wiring.runs.iter().filter(|run| run.purpose == Use::Power && run.scheme.is_some());
    assert!(wires.all(|run| !matches!(run.from.end, End::Socket(source) | End::Fuse(source) if source.section == 0)));
    let run = |supplies: &str| {
        let desk = Desk::new().file("layout.yaml", text(supplies));
        desk.run(&["power", "layout.yaml", "--scheme", "servo-made"])
    };
    let told = run("supplies: [{id: mine, gives: '12 V DC, 5 A'}]");
    assert!(told.code == Some(1) && told.stdout.contains("Which supply and fuse feed what"), "{}", told.stdout);
}

fn bought(plan: &Estimate, catalogue: &underboard::catalogue::Catalogue) -> usize {
    let supplies = plan.purchase.uses.iter().filter(|used| catalogue.kind(catalogue.part(used.part).kind).role == Role::Supply);
    supplies.map(|used| used.count as usize).sum()
}

/// A feed that is divided on the user's wish has so many supplies, and what was too little then arrives.
#[test]
fn sections_are_divided_on_wish() {
    let catalogue = catalogue();
    let with = |rule: &str| {
        let text = format!(
            "boards: [{{id: A}}, {{id: B}}, {{id: C}}]\nrules: {{{rule}}}\nturnouts: [{{id: T1, board: A}}, {{id: T2, board: B}}, {{id: T3, board: C}}]\n"
        );
        by("servo-made", &layout(&text, &catalogue), &catalogue)
    };
    assert_eq!(with("sections: 1").demands[0].sections.len(), 1);
    let three = with("sections: 3");
    assert_eq!(three.demands[0].sections.len(), 3);
    assert!(three.demands[0].sections.iter().all(|section| section.boards.len() == 1));
    assert_eq!(with("sections: 9").demands[0].sections.len(), 3, "no more than there are boards");
}

#[test]
fn moves_named_on_the_command_line_are_followed() {
    let desk = Desk::new().file("layout.yaml", "turnouts: [{id: T1}, {id: T2}, {id: T3}]\n");
    let told = desk.run(&["power", "layout.yaml", "--scheme", "servo-made", "--throws", "T1,T3"]);
    assert!(told.code == Some(0) && told.stdout.contains("Route T1, T3"), "{}", told.stdout);
    let wrong = desk.run(&["power", "layout.yaml", "--scheme", "servo-made", "--throws", "T4"]);
    assert!(wrong.code == Some(2) && wrong.stderr.contains("unknown-id"), "{}", wrong.stderr);
}

/// When which lever is thrown, as a power report tells it, and what is told beside.
fn followed(throws: &str) -> (Vec<(String, String)>, String) {
    let layout = "turnouts: [{id: T1}, {id: T2, with: T1}, {id: T3, kind: three-way}]\n";
    let args = ["power", "layout.yaml", "--scheme", "servo-made", "--format", "csv", "--table", "timeline", "--throws", throws];
    let ran = Desk::new().file("layout.yaml", layout).run(&args);
    // The first column is the title, in quotes where it has commas.
    let rows = ran.stdout.lines().skip(1).map(|row| row.split_once("\",").or_else(|| row.split_once(',')).unwrap().1);
    let rows = rows.map(|row| row.split(',').collect::<Vec<_>>());
    let thrown = rows.filter(|row| !row[1].is_empty()).map(|row| (row[0].to_owned(), row[1].to_owned()));
    (thrown.collect(), ran.stderr)
}

#[test]
fn what_is_named_again_is_thrown_there_and_back() {
    let at = |time: &str, lever: &str| (time.to_owned(), lever.to_owned());
    assert_eq!(
        followed("T1,T1"),
        (vec![at("0", "T1"), at("2", "T1")], String::new()),
        "back from where it came to rest, after 2 s"
    );
    let (both, told) = followed("T1,T2");
    assert_eq!(both, [at("0", "T1")]);
    assert!(told.contains("`T2` is thrown by the lever that `T1` has thrown already"), "{told}");
}

#[test]
fn one_lever_of_several_is_thrown_by_its_number_or_its_drive() {
    let levers = |throws: &str| followed(throws).0.into_iter().map(|(_, lever)| lever).collect::<Vec<_>>();
    assert_eq!(levers("T3"), ["T3", "T3/2"]);
    assert_eq!(levers("T3/2"), ["T3/2"]);
    assert_eq!(levers("t3/1"), ["T3"]);
    assert_eq!(levers("T3b"), ["T3/2"]);
    let (_, wrong) = followed("T3/3");
    assert!(wrong.contains("`T3` has 2 levers, and none of this number") && wrong.contains("`T3/1` or `T3/2`"), "{wrong}");
    let (_, wrong) = followed("T1/2");
    assert!(wrong.contains("`T1` has one lever only"), "{wrong}");
    let (_, wrong) = followed(",");
    assert!(wrong.contains("no device is named"), "{wrong}");
    let (_, wrong) = followed("T1 T3");
    assert!(wrong.contains("did you mean `T1,T3`?"), "{wrong}");
}

/// How many encoders are ordered, and how many the sum of the feeds counts.
fn encoders(plan: &Draft, catalogue: &Catalogue) -> (u32, u32) {
    let fitted = plan.takeoff.needs.iter().filter(|need| !need.reasons.is_empty());
    let fitted: Vec<_> = fitted.filter(|need| catalogue.kind(need.kind).role == Role::Encoder).map(|need| need.id).collect();
    let ordered = plan.purchase.uses.iter().filter(|used| fitted.contains(&used.need)).map(|used| used.count).sum();
    let loads = plan.demands.iter().flat_map(|demand| &demand.loads);
    let counted =
        loads.filter(|load| matches!(load.subject, Subject::Panel | Subject::Board(_)) && load.continuous > Current::ZERO);
    (ordered, counted.map(|_| 1).sum())
}

/// An encoder draws whether it reads one lever or all: as many are counted as are bought. Where the order with two counted has three and that with three
/// has two, no number agrees, and the larger is counted: that is rare.
#[test]
fn as_many_encoders_are_counted_as_are_ordered() {
    let catalogue = catalogue();
    // Two small ones in the drawer cost nothing and may be taken, but a third must be bought.
    let mut stocked = catalogue.clone();
    let small = stocked.parts.iter_mut().find(|part| &*part.name == "panel-encoder-8").expect("the starter's smallest");
    small.stock = 2;
    let mut text: Vec<String> = ["saltmarsh-harbour", "shelf"].map(example).to_vec();
    for levers in [1, 5, 6, 7, 8, 12, 13, 14, 20, 26, 27, 40] {
        let turnouts: Vec<String> =
            (0..levers).map(|n| format!("{{id: T{n}, board: {}}}", if n % 3 == 0 { "L" } else { "R" })).collect();
        let turnouts = turnouts.join(", ");
        let boards = "boards: [{id: L, size: 3 x 0.6 m}, {id: R, size: 3 x 0.6 m}]";
        text.extend(["panel: {board: L}", "panel: none"].map(|panel| format!("{panel}\n{boards}\nturnouts: [{turnouts}]\n")));
    }
    let mut more: u32 = 0;
    for text in &text {
        for catalogue in [&catalogue, &stocked] {
            let layout = layout(text, catalogue);
            for scheme in ["servo-made", "solenoid"] {
                let assignment = assign(&layout, catalogue, catalogue.scheme_named(scheme).unwrap());
                let plan = draft(&layout, catalogue, assignment, &Choices::default());
                let (ordered, counted) = encoders(&plan, catalogue);
                assert!(ordered > 0 || scheme == "solenoid", "{text}");
                assert!(ordered <= counted && counted <= ordered + 1, "{scheme}: {ordered} of {counted}: {text}");
                more += counted - ordered;
            }
        }
    }
    assert!(more <= 1, "{more} plans count more than they order");
}

/// What an encoder lights flows from the section that feeds the encoder, wherever what the lever throws stands; the encoder of a board from that of the
/// board.
#[test]
fn lamps_and_encoders_are_on_the_section_that_feeds_them() {
    let catalogue = catalogue();
    let mut text = example("saltmarsh-harbour");
    let at = text.find("rules:\n").expect("the harbour has rules") + "rules:\n".len();
    text.insert_str(at, "  sections: 3\n");
    let layout_of = |text: &str| layout(text, &catalogue);
    let plan = by("servo-made", &layout_of(&text), &catalogue);
    let demand = plan.demands.iter().find(|demand| demand.sections.len() == 3).expect("three sections");
    let lamps = demand.loads.iter().filter(|load| matches!(load.subject, Subject::Lever(_)) && load.through.is_some());
    let lamps: Vec<Subject> = lamps.map(|load| load.subject).collect();
    assert!(lamps.len() > 10, "the harbour's levers have lamps: {lamps:?}");
    assert!(lamps.iter().all(|lever| demand.section_of(*lever) == 0), "they hang on the encoder, and that on the first");
    assert_eq!(demand.section_of(Subject::Panel), 0);
    let apart =
        "panel: none\nrules: {sections: 2}\nboards: [{id: L}, {id: R}]\nturnouts: [{id: T1, board: L}, {id: T2, board: R}]\n";
    let layout = layout_of(apart);
    let plan = by("servo-made", &layout, &catalogue);
    let demand = plan.demands.iter().find(|demand| demand.sections.len() == 2).expect("two sections");
    for board in (0..2).map(BoardId::at) {
        assert_eq!(demand.section_of(Subject::Board(board)), demand.section_at(board), "its encoder is fed with the board");
    }
}

/// Where one fuse does not carry what hangs on thin wires, as many stand side by side as the bill has, and each has wires behind it.
#[test]
fn wires_are_dealt_among_all_fuses_of_a_branch() {
    let catalogue = catalogue();
    let layout = layout(&example("brindlewold-exhibition"), &catalogue);
    let plan = by("stall-motor", &layout, &catalogue);
    let mut several = 0;
    for branch in &plan.branches {
        let begins = |wanted: u32| {
            let behind = |run: &&Run| matches!(run.from.end, End::Branch(_, serves, n) if serves == branch.scheme && n == wanted);
            plan.wiring.runs.iter().filter(behind).count()
        };
        if branch.count > 1 {
            several += 1;
            // None is loaded beyond the rule: the wires that begin together as they are laid, dealt among so many.
            let demand = &plan.demands[branch.feed.index()];
            let laid = underboard::wiring::plan(&layout, &catalogue, &plan.assignment, &plan.demands);
            let source = demand.source(branch.section as usize);
            let fullest = laid.fullest(source, branch.scheme, branch.count).expect("wires for each");
            assert!(branch.load.0.min(fullest.carries.0) < branch.fuse.0, "{branch:?}");
            assert!((1..=branch.count).all(|number| begins(number) > 0), "{branch:?}");
            assert_eq!(begins(0), 0, "{branch:?}");
        } else {
            assert!(begins(0) > 0, "{branch:?}");
        }
    }
    assert!(several > 0, "92 motors at 20 mA and their lamps are too much for one");
}

/// The wires that join lever to lever and lever to lamp are sold in sets and are no runs; the fuse before them must suit them all the same.
#[test]
fn the_thin_wires_behind_levers_have_a_fuse_that_suits_them() {
    let mut catalogue = catalogue();
    // With a contact that bears more than the wires, these decide.
    let latch = catalogue.parts.iter_mut().find(|part| &*part.name == "lamp-latch").expect("the starter's latch");
    latch.attributes.insert(Attr::Current, Value::Measured(Current(5.0).quantity()));
    let mut text = example("brindlewold-exhibition");
    for aspects in [2, 3] {
        text = text.replace(&format!("kind: colour light\n    aspects: {aspects}"), "kind: ground signal");
    }
    let layout = layout(&text, &catalogue);
    let plan = by("solenoid", &layout, &catalogue);
    let feed = plan.demands.iter().find(|demand| demand.is_of(Voltage(12.0), Waveform::Dc)).expect("lamps are lit");
    assert!(feed.sections.iter().all(|section| section.fuse > Some(Current(1.4))), "{:?}", feed.sections);
    let lights =
        plan.branches.iter().find(|branch| branch.feed == feed.id && branch.scheme.is_none()).expect("a fuse of their own");
    assert!(lights.bears == Current(1.4) && lights.fuse <= lights.bears, "{lights:?}");
    assert!(found(&plan, "thin-wires-fused-apart").is_some_and(|found| found.what.contains("behind")), "{:?}", plan.findings);
    // Without a fuse for branches in the workbook they stay bare, and that is told.
    let mut bare = catalogue.clone();
    bare.rules.retain(|rule| rule.per != Per::Branch);
    let plan = by("solenoid", &layout, &bare);
    assert!(found(&plan, "fuse-does-not-protect").is_some(), "{:?}", plan.findings);
}
