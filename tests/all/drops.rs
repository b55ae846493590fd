//! What reaches the far end, reckoned again piece by piece from the schedule: nothing between supply and load and back may be left out.

use std::collections::BTreeMap;

use underboard::estimate::Estimate;
use underboard::id::LeverId;
use underboard::layout::{AtOnce, Layout};
use underboard::quantity::Current;
use underboard::scheme::Assignment;
use underboard::takeoff::Subject;
use underboard::wiring::{Carried, Clamp, End, Run, Use};

use crate::electrics::{by, catalogue};
use crate::support::layout;

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// A pair of pins; common practice.
const PAIR: f64 = 0.010;
/// Let out at each end of a tail, in metres.
const END: f64 = 0.150;
/// Wire of 1 mm², the thickest that a pin of the starter's connectors takes, in ohms per metre: IEC 60228, class 5.
const TAIL: f64 = 0.0195;

/// Ohms per metre of the starter's wires by their cross-section.
fn line(area: f64) -> f64 {
    let lines = [(0.22, 0.089), (0.33, 0.0584), (0.5, 0.039), (0.75, 0.026), (1.0, 0.0195), (2.5, 0.00798)];
    lines.into_iter().find(|(known, _)| (known - area).abs() < 1e-9).expect("a wire of the starter").1
}

/// A fuse takes 100 mV at its rating, a small one 300 mV; its holder is a contact more.
fn fuse(rating: Current) -> f64 {
    (if rating.0 < 0.63 { 0.3 } else { 0.1 }) / rating.0 + PAIR
}

/// One conductor of a run: its pieces, and at each joint its pins side by side, each with the tails on both halves where it has any.
fn ohms(plan: &Estimate, index: usize) -> f64 {
    let run = &plan.wiring.runs[index];
    let metres: f64 = run.sections.iter().map(|section| section.length.metres()).sum();
    let wire = plan.wiring.sizing_of(run).expect("it has its size").area.0;
    let joints: f64 = run
        .crosses
        .iter()
        .map(|joint| {
            let carried = Carried::Run { index: index.try_into().unwrap(), core: 0 };
            let pins: Vec<bool> = plan.wiring.joints[joint.index()]
                .pins
                .iter()
                .filter(|pin| pin.carried == carried)
                .map(|pin| pin.by_tail)
                .collect();
            let each = PAIR + if pins[0] { 2.0 * (2.0 * END * TAIL) } else { 0.0 };
            each / pins.len() as f64
        })
        .sum();
    metres * line(wire) + joints
}

/// The runs from a source to an end, one conductor, by their places. What leaves a lever comes to it at another tag of the same switch.
fn way(plan: &Estimate, to: End, purpose: Use, core: u32) -> Vec<usize> {
    let runs = &plan.wiring.runs;
    let is_same = |end: End| match (to, end) {
        (End::Lever(lever, family, _), End::Lever(other, of, _)) => (lever, family) == (other, of),
        _ => to == end,
    };
    let leads_to = |run: &Run| is_same(run.to.end) && run.purpose == purpose && run.first == core && run.scheme.is_some();
    let Some(index) = runs.iter().position(leads_to) else { return Vec::new() };
    let from = runs[index].from.end;
    let mut before = if from.is_source() { Vec::new() } else { way(plan, from, Use::Power, core) };
    before.push(index);
    before
}

/// One load with its two ways.
struct Far {
    subject: Subject,
    ways: [Vec<usize>; 2],
    takes: Box<dyn Fn(f64) -> f64>,
}

/// The least voltage at any of the loads: currents and voltages in turn until they stay, as one would with a calculator.
fn least(plan: &Estimate, far: &[Far], beside: f64) -> (Subject, f64) {
    let [demand] = plan.demands.as_slice() else { panic!("one feed") };
    let [section] = demand.sections.as_slice() else { panic!("one supply") };
    let rated = section.fuse.unwrap();
    // Leads of 1.5 m: 0.75 mm² up to 5 A, 1.5 mm² (13.3 ohm/km) beyond. A plug at the supply.
    let lead = if rated.0 <= 5.0 { 1.5 * 0.026 } else { 1.5 * 0.0133 } + PAIR;
    let split: f64 =
        plan.branches.iter().filter(|branch| branch.scheme.is_some()).map(|it| fuse(it.fuse) / f64::from(it.count)).sum();
    let resists: Vec<f64> = (0..plan.wiring.runs.len())
        .map(|index| if plan.wiring.runs[index].purpose == Use::Link { 0.0 } else { ohms_or_nothing(plan, index) })
        .collect();
    let mut volts = vec![12.0; far.len()];
    for _ in 0..100 {
        let amperes: Vec<f64> = far.iter().zip(&volts).map(|(load, volts)| (load.takes)(*volts)).collect();
        let mut flows: BTreeMap<usize, f64> = BTreeMap::new();
        for (load, current) in far.iter().zip(&amperes) {
            load.ways.iter().flatten().for_each(|run| *flows.entry(*run).or_default() += current);
        }
        let mine: f64 = amperes.iter().sum();
        let at_supply = (mine + beside) * (2.0 * lead + fuse(rated)) + mine * split;
        for (load, volts) in far.iter().zip(&mut volts) {
            *volts = 12.0 - at_supply - load.ways.iter().flatten().map(|run| flows[run] * resists[*run]).sum::<f64>();
        }
    }
    // Of a scheme with controllers one of these is told, not an encoder at the same hub.
    let named = far.iter().zip(volts).filter(|(load, _)| !matches!(load.subject, Subject::Board(_)));
    let worst = named.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    (worst.0.subject, worst.1)
}

fn ohms_or_nothing(plan: &Estimate, index: usize) -> f64 {
    let run = &plan.wiring.runs[index];
    if run.purpose == Use::Power || run.purpose == Use::Drive { ohms(plan, index) } else { 0.0 }
}

/// What may move together, lever by lever or route by route.
fn together(layout: &Layout) -> Vec<Vec<LeverId>> {
    let single = (0..layout.levers.len()).map(|lever| vec![LeverId::at(lever)]);
    match layout.rules.at_once.value {
        AtOnce::Routes => single.chain(layout.routes.iter().map(|route| route.levers.clone())).collect(),
        AtOnce::Levers(1) => single.collect(),
        AtOnce::Levers(_) => panic!("one by one or by route"),
    }
}

/// Everything on the feed that is no motor and no controller draws through the lead of the supply too.
fn beside(plan: &Estimate) -> f64 {
    let others = plan.demands[0].loads.iter().filter(|load| !matches!(load.subject, Subject::Drive(_) | Subject::Controller(_)));
    others.map(|load| load.continuous.0).sum()
}

fn moves(layout: &Layout, assignment: &Assignment, levers: &[LeverId], at: usize) -> f64 {
    let drives = &assignment.controllers[at].drives;
    let moving = drives.iter().filter(|drive| levers.contains(&layout.drive(**drive).lever)).count();
    // A servo takes 10 mA at rest and 250 mA moving, at 5 V and an efficiency of 80 %; its controller 50 mA of 12 V.
    5.0 * (0.010 * (drives.len() - moving) as f64 + 0.250 * moving as f64) / 0.8 + 12.0 * 0.050
}

fn told_as_by_hand(plan: &Estimate, by_hand: (Subject, f64)) {
    let [told] = plan.wiring.far_ends.as_slice() else { panic!("one scheme") };
    assert!((told.arrives.0 - by_hand.1).abs() < 1e-6, "{} is told, {} by hand", told.arrives.0, by_hand.1);
    assert_eq!(told.worst, by_hand.0);
}

#[test]
fn every_piece_on_the_way_to_the_worst_controller_is_in_the_drop_told() {
    let catalogue = catalogue();
    for text in [example("brindlewold-exhibition"), example("saltmarsh-harbour"), example("shelf")] {
        let layout = layout(&text, &catalogue);
        let plan = by("servo-made", &layout, &catalogue);
        let worst = together(&layout).into_iter().map(|levers| {
            let far: Vec<Far> = (0..plan.assignment.controllers.len())
                .map(|at| {
                    let id = underboard::id::ControllerId::at(at);
                    let watts = moves(&layout, &plan.assignment, &levers, at);
                    let ways = [0, 1].map(|core| way(&plan, End::Controller(id), Use::Power, core));
                    Far { subject: Subject::Controller(id), ways, takes: Box::new(move |volts| watts / volts) }
                })
                .collect();
            least(&plan, &far, beside(&plan))
        });
        let worst = worst.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        told_as_by_hand(&plan, worst);
    }
}

/// Levers beside their drives: what an encoder on a board takes comes over the trunk of that board.
#[test]
fn what_encoders_on_boards_take_is_in_the_drop_told() {
    let catalogue = catalogue();
    let text = "boards: [{id: A}, {id: B}]\npanel: none\nturnouts: [{id: T1, board: A, at: 300 x 200 mm}, {id: T2, board: B, at: 500 x 200 mm}, \
                {id: T3, board: B, at: 1100 x 300 mm}]\nrules: {at once: 1 lever}\n";
    let layout = layout(text, &catalogue);
    let plan = by("servo-made", &layout, &catalogue);
    let mut encoders: BTreeMap<underboard::id::BoardId, f64> = BTreeMap::new();
    for load in &plan.demands[0].loads {
        if let Subject::Board(board) = load.subject {
            *encoders.entry(board).or_default() += load.continuous.0;
        }
    }
    // An encoder takes 40 mA.
    assert_eq!(encoders.values().copied().collect::<Vec<_>>(), [0.040, 0.040]);
    let worst = together(&layout).into_iter().map(|levers| {
        let controllers = (0..plan.assignment.controllers.len()).map(|at| {
            let id = underboard::id::ControllerId::at(at);
            let watts = moves(&layout, &plan.assignment, &levers, at);
            let ways = [0, 1].map(|core| way(&plan, End::Controller(id), Use::Power, core));
            Far { subject: Subject::Controller(id), ways, takes: Box::new(move |volts| watts / volts) }
        });
        let of_boards = encoders.iter().map(|(&board, &amperes)| {
            let hub = |core| {
                plan.wiring
                    .runs
                    .iter()
                    .find(|run| run.subject == Subject::Board(board) && run.purpose == Use::Power && run.first == core)
            };
            let ways = [0, 1].map(|core| hub(core).map_or_else(Vec::new, |run| way(&plan, run.to.end, Use::Power, core)));
            Far { subject: Subject::Board(board), ways, takes: Box::new(move |_| amperes) }
        });
        let far: Vec<Far> = controllers.chain(of_boards).collect();
        assert!(far.iter().any(|load| matches!(load.subject, Subject::Board(_)) && !load.ways[0].is_empty()));
        least(&plan, &far, 0.0)
    });
    let worst = worst.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    told_as_by_hand(&plan, worst);
}

#[test]
fn every_piece_on_the_way_to_the_worst_motor_is_in_the_drop_told() {
    let catalogue = catalogue();
    let text = "boards: [{id: A}, {id: B}]\npanel: {board: A}\nturnouts: [{id: T1, board: A, at: 300 x 200 mm}, {id: T2, board: B, at: 500 x 200 mm}, \
                {id: T3, board: B, at: 1100 x 300 mm}]\nothers: [{id: L, kind: lamp, board: A}]\n";
    for text in [text.to_owned(), text.replace("panel: {board: A}", "panel: none")] {
        let layout = layout(&text, &catalogue);
        let plan = by("stall-motor", &layout, &catalogue);
        // At rest and moving a stall motor takes the same 20 mA, so all cases are one.
        let far: Vec<Far> = layout
            .drive_ids()
            .map(|drive| {
                let ends = |core| {
                    plan.wiring.runs.iter().find(|run| run.subject == Subject::Drive(drive) && run.first == core).unwrap().to.end
                };
                let ways = [0, 1].map(|core| way(&plan, ends(core), Use::Drive, core));
                assert!(ways.iter().all(|way| way.len() >= 2), "from the panel to the lever and on: {ways:?}");
                Far { subject: Subject::Drive(drive), ways, takes: Box::new(|_| 0.020) }
            })
            .collect();
        let by_hand = least(&plan, &far, beside(&plan));
        told_as_by_hand(&plan, by_hand);
    }
}

/// The pulse goes from the unit to the levers, on to the coil, home to the strip and from board to board back to the unit.
#[test]
fn every_piece_on_the_way_of_a_pulse_is_in_its_peak() {
    let catalogue = catalogue();
    for text in [example("brindlewold-exhibition"), example("saltmarsh-harbour")] {
        let layout = layout(&text, &catalogue);
        let plan = by("solenoid", &layout, &catalogue);
        let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
        let solenoid = catalogue.scheme_named("solenoid").unwrap();
        let charged = 16.0 * 1.1 * 2.0_f64.sqrt() - 1.4;
        let runs = &plan.wiring.runs;
        let find =
            |is: &dyn Fn(&Run) -> bool| (0..runs.len()).find(|index| runs[*index].scheme == Some(solenoid) && is(&runs[*index]));
        assert!(!unit.throws.is_empty());
        for told in &unit.throws {
            let drives: Vec<_> =
                layout.lever(told.lever).drives.iter().filter(|drive| plan.assignment.of(**drive) == Some(solenoid)).collect();
            let (mut own, mut shared): (f64, f64) = (0.0, 0.0);
            let mut feed = 0.0;
            for &&drive in &drives {
                let going = find(&|run| run.subject == Subject::Drive(drive) && run.purpose == Use::Drive).unwrap();
                let home = find(&|run| run.subject == Subject::Drive(drive) && run.purpose == Use::Return).unwrap();
                let chain = way(&plan, runs[going].from.end, Use::Power, 0);
                assert!(chain.first().is_some_and(|first| runs[*first].from.end == End::Store(Clamp::Plus)));
                feed = chain.into_iter().map(|run| ohms(&plan, run)).sum();
                own = own.max(ohms(&plan, going) + ohms(&plan, home));
                let (mut at, mut trunk) = (runs[home].from.end, 0.0);
                while at != End::Store(Clamp::Minus) {
                    let hop = find(&|run| run.to.end == at && run.purpose == Use::Return).expect("it leads home");
                    trunk += ohms(&plan, hop);
                    at = runs[hop].from.end;
                }
                shared = shared.max(trunk);
            }
            let coils = drives.len() as f64;
            let peak = charged / (feed + shared + (own + 4.5) / coils) / coils;
            assert!(
                (told.peak.0 - peak).abs() < 1e-6,
                "lever {}: {} is told, {peak} by hand",
                layout.lever(told.lever).name,
                told.peak.0
            );
            // The motor works on a voltage that is short by what the rules allow: 4.9 A less so much.
            assert!(
                told.suffices && peak >= 4.9 * (1.0 - layout.rules.drop.value.0),
                "lever {}: {peak}",
                layout.lever(told.lever).name
            );
        }
    }
}

/// A latch of 1.5 kohm takes its part of the charge beside the coil, and the sum says so.
#[test]
fn a_latch_takes_its_part_of_the_pulse() {
    let catalogue = catalogue();
    let with = |lamps: &str| {
        let layout = layout(&format!("turnouts: [{{id: T1}}]\nrules: {{lamps: {lamps}}}\n"), &catalogue);
        let plan = by("solenoid", &layout, &catalogue);
        let throw = plan.discharges[0].throws[0];
        (throw.energy.0, throw.throw)
    };
    let ((latched, throw), (alone, _)) = (with("commanded"), with("none"));
    // By hand: the coil's way has R ohms, the latch 1500; what is given in 50 ms goes to them as 1/R to 1/1500.
    let ohms = throw.total().0;
    let given = |seen: f64| {
        0.5 * throw.capacitance.0 * 1e-6 * 23.49_f64.powi(2) * (1.0 - (-0.1 / (seen * throw.capacitance.0 * 1e-6)).exp())
    };
    let seen = 1.0 / (1.0 / ohms + 1.0 / 1500.0);
    let by_hand = given(seen) * seen / ohms / given(ohms);
    assert!(latched < alone && (latched / alone - by_hand).abs() < 1e-6, "{latched} of {alone}, by hand {by_hand}");
}
