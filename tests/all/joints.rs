//! What parts at the joints of the examples, and what is counted, named and bought for it.

use std::collections::{BTreeMap, BTreeSet};

use underboard::buying::Choices;
use underboard::catalogue::{Attr, Catalogue, Per};
use underboard::estimate::{Estimate, estimate};
use underboard::id::{BoardId, JointId};
use underboard::layout::Layout;
use underboard::quantity::Length;
use underboard::scheme::assign;
use underboard::takeoff::Subject;
use underboard::wiring::{Carried, Clamp, End, Pin, Run, Stop, Tag, Use};

use crate::electrics::catalogue;
use crate::support::layout;

const HARBOUR: &str = include_str!("../../examples/saltmarsh-harbour.yaml");
const EXHIBITION: &str = include_str!("../../examples/brindlewold-exhibition.yaml");

fn planned(text: &str, catalogue: &Catalogue, scheme: &str) -> (Layout, Estimate) {
    let layout = layout(text, catalogue);
    let assignment = assign(&layout, catalogue, catalogue.scheme_named(scheme).expect("the starter has the scheme"));
    let plan = estimate(&layout, catalogue, assignment, &Choices::default());
    (layout, plan)
}

/// The exhibition layout with motors that twitch together at switch-on: more flows than one pin bears.
fn twitching() -> String {
    EXHIBITION.replacen("\nrules:\n", "\nrules:\n  switch on: twitching\n", 1)
}

/// How many pins each conductor has at a joint.
fn pins_of_each(pins: &[Pin]) -> BTreeMap<Carried, usize> {
    let mut each = BTreeMap::new();
    for pin in pins {
        *each.entry(pin.carried).or_insert(0) += 1;
    }
    each
}

/// The link carries signals, so each of its cores has one pin. The power pair has as many at every joint as bear what its fuse lets through, however
/// little the boards behind it take: by hand, 8 A over pins of 3 A of which each counts with four fifths are four.
#[test]
fn pins_of_the_power_pair_bear_its_fuse() {
    let catalogue = catalogue();
    let (layout, plan) = planned(&twitching(), &catalogue, "servo-made");
    let power = |name: &str| {
        let joint = layout.joints.iter().position(|joint| &*joint.name == name).expect("the joint");
        let load = &plan.wiring.joints[joint];
        for (carried, pins) in pins_of_each(&load.pins) {
            let Carried::Run { index, .. } = carried else { panic!("no lead crosses") };
            let run = &plan.wiring.runs[index as usize];
            assert!(run.purpose != Use::Link || pins == 1, "a core of the link on {pins} pins");
            assert!(run.purpose != Use::Power || run.scheme.is_none() || pins == 4, "{} on {pins} pins", run.label);
        }
        load.pins.iter().filter(|pin| pin.purpose == Use::Power).count()
    };
    let west = ["panel", "Goods-Station west", "Maltings-Goods", "West yard-West throat"].map(power);
    assert_eq!(plan.demands.iter().map(|demand| demand.largest_fuse().map(|fuse| fuse.0)).collect::<Vec<_>>(), [Some(8.0)]);
    assert!(west.iter().all(|pins| *pins > 0 && pins % 8 == 0), "plus and minus, of each trunk: {west:?}");
    for run in plan.wiring.runs.iter().filter(|run| run.purpose == Use::Power && run.scheme.is_some()) {
        assert!(run.carries.0 > 0.0, "{} carries nothing", run.label);
    }
}

/// The last core of the link is the common return; there is no third conductor of the feed.
#[test]
fn the_link_brings_its_own_return() {
    let catalogue = catalogue();
    let (layout, plan) = planned(HARBOUR, &catalogue, "servo-made");
    for load in &plan.wiring.joints {
        let uses: Vec<&str> = load.pins.iter().map(|pin| plan.wiring.conductor(&layout, pin).1).collect();
        assert_eq!(uses.iter().filter(|of| **of == "link return").count(), 1, "{uses:?}");
        // A third conductor of power may be that of lights which always burn.
        assert_eq!(load.conductors[&Use::Link], 4);
        let of_servos = load.pins.iter().filter(|pin| match pin.carried {
            Carried::Run { index, .. } => pin.purpose == Use::Power && plan.wiring.runs[index as usize].scheme.is_some(),
            Carried::Lead { .. } => false,
        });
        assert_eq!(of_servos.count(), 2);
    }
}

/// A pin is soldered and sleeved on both halves; its tasks and sleeves count pins, not conductors.
#[test]
fn pins_are_counted_as_pins() {
    let catalogue = catalogue();
    let (_, plan) = planned(&twitching(), &catalogue, "servo-made");
    let pins: usize = plan.wiring.joints.iter().map(|load| load.pins.len()).sum();
    assert!(pins > plan.wiring.conductors() as usize, "some are paralleled");
    let of_pins = |per: Per| per == Per::JointPin;
    let soldered = plan.hours.work.iter().find(|work| of_pins(catalogue.tasks[work.task.index()].per)).expect("a task for pins");
    assert_eq!(soldered.times as usize, pins);
    let sleeves =
        plan.takeoff.needs.iter().flat_map(|need| &need.reasons).filter(|reason| of_pins(catalogue.rule(reason.rule).per));
    let sleeves: rust_decimal::Decimal = sleeves.map(|reason| reason.amount).sum();
    assert_eq!(sleeves, rust_decimal::Decimal::from(2 * pins));
}

/// By hand: a wire of 2.5 mm² is thicker than the 1 mm² that a pin takes, so each of its pins has a tail; a wire of 0.22 mm² on one pin has none.
#[test]
fn what_is_thicker_than_a_pin_takes_ends_in_tails() {
    let catalogue = catalogue();
    for scheme in ["servo-made", "solenoid"] {
        let (layout, plan) = planned(EXHIBITION, &catalogue, scheme);
        let mut tails = 0;
        for load in &plan.wiring.joints {
            let mut expected = 0;
            for (carried, pins) in pins_of_each(&load.pins) {
                let Carried::Run { index, .. } = carried else { continue };
                let run = &plan.wiring.runs[index as usize];
                let area = plan.wiring.area_of(run).map_or(0.0, |area| area.0);
                if pins > 1 || area > 1.0 && run.purpose != Use::Link {
                    expected += pins;
                }
            }
            assert_eq!(load.tails() as usize, expected);
            tails += expected;
        }
        let pieces = plan.takeoff.needs.iter().flat_map(underboard::takeoff::Need::pieces);
        let cut = pieces.filter(|(length, subject)| matches!(subject, Subject::Joint(_)) && *length == Length::from_mm(300));
        assert_eq!(cut.count(), 2 * tails, "{scheme}: a tail on both halves");
        assert!(tails > 0 && layout.joints.len() > 1);
    }
}

/// Pulses come from the discharge unit and go home to it; everything else from the fuse of its voltage.
#[test]
fn ends_name_the_terminal_they_are_joined_to() {
    let catalogue = catalogue();
    let (layout, plan) = planned(HARBOUR, &catalogue, "solenoid");
    let runs = &plan.wiring.runs;
    let named = |label: &str| {
        let run = runs.iter().find(|run| run.label == label).unwrap_or_else(|| panic!("no {label}"));
        [run.from.end, run.to.end].map(|end| end.name(&layout, &catalogue))
    };
    assert_eq!(named("T1 normal"), ["lever T1 for Twin-coil solenoid, tag joined at normal", "coil normal of T1"]);
    assert_eq!(named("T1 reverse"), ["lever T1 for Twin-coil solenoid, tag joined at reverse", "coil reverse of T1"]);
    assert_eq!(named("T1 return"), ["strip for Twin-coil solenoid on Quay", "coil return of T1"]);
    assert_eq!(named("Basin return"), ["discharge unit, minus, at the panel", "strip for Twin-coil solenoid on Basin"]);
    assert_eq!(named("discharge unit input 1"), ["fuse of 16 V AC at the panel", "discharge unit, input 1, at the panel"]);
    let first = ["discharge unit, plus, at the panel", "lever T1 for Twin-coil solenoid, common"];
    assert_eq!(named("levers plus to T1"), first);
    assert_eq!(named("levers plus to T5"), ["lever T3, common", "lever T5, common"]);
    assert_eq!(named("latches return"), ["discharge unit, minus, at the panel", "latch of lever T1, coil return"]);
    assert_eq!(named("encoder minus"), ["supply socket 12 V DC at the panel", "encoder 1, minus"]);
    assert_eq!(named("S4 light 1"), ["lever S4, position 1", "light 1 of S4"]);
    assert_eq!(named("T1 rail reverse"), ["contact at T1, tag joined at reverse", "rail of frog T1 for reverse"]);
    assert!(runs.iter().all(|run| !matches!(run.to.end, End::Store(Clamp::Minus))));

    let (_, plan) = planned(HARBOUR, &catalogue, "stall-motor");
    let ends: BTreeSet<Tag> = plan
        .wiring
        .runs
        .iter()
        .filter_map(|run| match run.to.end {
            End::Motor(_, tag) => Some(tag),
            _ => None,
        })
        .collect();
    assert_eq!(ends, BTreeSet::from([Tag::End(0), Tag::End(1)]));
}

/// The cores of a lead that crosses a joint are told apart by name and colour, and it is cut there: a tail for either half.
#[test]
fn a_lead_over_a_joint_is_cut_there() {
    let catalogue = catalogue();
    let text = format!("{HARBOUR}  controllers: neighbour\n");
    let (layout, plan) = planned(&text, &catalogue, "servo-made");
    let lead = plan.wiring.leads.values().find(|lead| !lead.crosses.is_empty()).expect("a board is served from the next");
    let load = &plan.wiring.joints[lead.crosses[0].index()];
    let mine = load.pins.iter().filter(|pin| matches!(pin.carried, Carried::Lead { drive, .. } if drive == lead.drive));
    let cores: BTreeSet<(String, &str)> = mine
        .map(|pin| {
            let (label, _, colour) = plan.wiring.conductor(&layout, pin);
            (label, colour.letters())
        })
        .collect();
    let name = &layout.drive(lead.drive).name;
    let expected = [("minus", "BK"), ("plus", "RD"), ("signal", "YE")].map(|(core, colour)| (format!("{name} {core}"), colour));
    assert_eq!(cores, BTreeSet::from(expected));
    let controller = &plan.assignment.controllers[lead.controller.index()];
    let way = underboard::wiring::Paths::new(&layout).between(controller.spot, layout.drive(lead.drive).spot).unwrap();
    let tails = catalogue.rates.end_tail * 2;
    assert_eq!(lead.length, (way.length + tails).grown(layout.rules.slack.value).ceil_mm());
}

/// A strip has a way for each conductor that ends there; so has that beside a controller from which three boards go on, with one to each of its
/// own terminals.
#[test]
fn strips_have_a_way_for_each_wire() {
    let catalogue = catalogue();
    let (layout, plan) = planned(HARBOUR, &catalogue, "solenoid");
    let mut ways: BTreeMap<BoardId, u32> = BTreeMap::new();
    for run in &plan.wiring.runs {
        for end in [run.from, run.to] {
            if let End::Strip(board, _) = end.end {
                *ways.entry(board).or_default() += run.conductors;
            }
        }
    }
    let beside = layout.boards.iter().position(|board| &*board.name == "Basin").map(BoardId::at).unwrap();
    *ways.entry(beside).or_default() += 6 * (3 + 1);
    for (board, ways) in ways {
        let reasons = plan.takeoff.needs.iter().filter(|need| *catalogue.kind(need.kind).name == *"terminal-strip");
        let reasons = reasons.flat_map(|need| &need.reasons).filter(|reason| reason.subject == Subject::Board(board));
        let counted: rust_decimal::Decimal = reasons.map(|reason| reason.amount).sum();
        assert_eq!(counted, rust_decimal::Decimal::from(ways), "{}", layout.board(board).name);
    }
}

/// Every end of every piece has a label on the bill.
#[test]
fn labels_on_the_bill_are_those_to_write() {
    let catalogue = catalogue();
    for (text, scheme) in [(HARBOUR, "solenoid"), (HARBOUR, "servo-made")] {
        let (_, plan) = planned(text, &catalogue, scheme);
        let of_boards = plan.takeoff.needs.iter().filter(|need| *catalogue.kind(need.kind).name == *"label");
        let of_boards = of_boards.flat_map(|need| &need.reasons);
        let of_boards = of_boards.filter(|reason| matches!(reason.subject, Subject::Board(_) | Subject::Panel));
        let counted: rust_decimal::Decimal = of_boards.map(|reason| reason.amount).sum();
        assert_eq!(counted, rust_decimal::Decimal::from(2 * plan.wiring.sections().count()));
    }
}

/// Each lever that an encoder reads has an input of its own on an encoder that is taken, and each lamp an output.
#[test]
fn every_lever_has_its_input_and_its_outputs() {
    let catalogue = catalogue();
    let (layout, plan) = planned(EXHIBITION, &catalogue, "servo-made");
    let moved = layout.levers.iter().filter(|lever| !lever.drives.is_empty()).count();
    assert_eq!(plan.encoders.iter().map(|encoder| encoder.inputs.len()).sum::<usize>(), moved);
    let mut inputs = BTreeSet::new();
    let mut outputs = BTreeSet::new();
    let inputs_of = |encoder: &'_ underboard::wiring::Encoder| encoder.inputs.clone();
    for (part, input) in
        plan.encoders.iter().flat_map(|encoder| inputs_of(encoder).into_iter().map(|input| (encoder.part, input)))
    {
        let most = |attr: Attr| catalogue.part(part).measured(attr).map_or(0.0, underboard::quantity::Quantity::to_f64);
        assert!(inputs.insert((input.encoder, input.input)) && f64::from(input.input) <= most(Attr::Inputs));
        assert_eq!(input.outputs.len(), 2, "two lamps a lever");
        assert!(input.outputs.iter().all(|&at| outputs.insert((input.encoder, at)) && f64::from(at) <= most(Attr::Outputs)));
    }
}

/// The panel's lead: glands for all its wires, a sleeve over all its length that takes them, a case with a place for each lever.
#[test]
fn a_flying_lead_is_held_and_covered() {
    let catalogue = catalogue();
    let (layout, plan) = planned(EXHIBITION, &catalogue, "solenoid");
    let joint = layout.panel.as_ref().and_then(|panel| panel.flying).unwrap_or(JointId(0));
    let load = &plan.wiring.joints[joint.index()];
    let uses = |kind: &str, attr: Attr| -> f64 {
        let mine = plan.purchase.uses.iter().filter(|used| *catalogue.kind(catalogue.part(used.part).kind).name == *kind);
        mine.map(|used| {
            f64::from(used.count) * catalogue.part(used.part).measured(attr).map_or(0.0, underboard::quantity::Quantity::to_f64)
        })
        .sum()
    };
    assert!(uses("strain-relief", Attr::Ways) >= f64::from(load.total()));
    assert!(uses("panel-case", Attr::Ways) >= f64::from(u32::try_from(layout.levers.len()).unwrap()));
    let sleeves =
        plan.purchase.cuts.iter().filter(|cut| *catalogue.kind(catalogue.part(cut.part).kind).name == *"braided-sleeve");
    let covered: Length = sleeves.clone().flat_map(|cut| &cut.pieces).map(|piece| piece.length).sum();
    assert!(covered >= layout.joint(joint).lead);
    assert!(sleeves.into_iter().any(|cut| {
        catalogue.part(cut.part).measured(Attr::Ways).is_some_and(|ways| ways.to_f64() >= f64::from(load.total()))
    }));
}

/// Without a panel each lever stands beside its drives and is fed from the strip there: one pole where the drives share a return, two where it
/// reverses them, of wire no thinner than the drives' own.
#[test]
fn a_lever_beside_its_drives_is_fed_from_the_strip() {
    let catalogue = catalogue();
    let text = "panel: none\nturnouts: [{id: T1, with: T2}, {id: T2}, {id: T3}]\nsignals: [{id: S1, kind: colour light}]\n";
    for (scheme, poles) in [("solenoid", 1), ("stall-motor", 2)] {
        let (layout, plan) = planned(text, &catalogue, scheme);
        for (index, lever) in layout.levers.iter().enumerate() {
            let subject = Subject::Lever(underboard::id::LeverId::at(index));
            let feeds = plan.wiring.runs_of(subject);
            let expected = if lever.drives.is_empty() { 1 } else { poles };
            assert_eq!(feeds.len(), expected, "{scheme}: lever {}", lever.name);
            assert!(feeds.iter().all(|run| matches!(run.from.end, End::Strip(..)) && run.carries.0 > 0.0));
            if let Some(&drive) = lever.drives.first() {
                let of = |runs: &[Run]| plan.wiring.area_of(&runs[0]).map(|area| area.0);
                assert!(of(feeds) >= of(plan.wiring.runs_of(Subject::Drive(drive))), "{scheme}: lever {}", lever.name);
            }
        }
    }
}

/// Wires thinner than their feed's fuse protects begin behind a fuse of their own.
#[test]
fn thin_wires_begin_behind_their_branch_fuse() {
    let catalogue = catalogue();
    let (_, plan) = planned(HARBOUR, &catalogue, "servo-made");
    let [branch] = plan.branches.as_slice() else { panic!("the lights alone are thin: {:?}", plan.branches) };
    assert_eq!(branch.scheme, None);
    let feeds = |run: &&Run| run.scheme.is_none() && run.purpose == Use::Power && run.from.end.is_source();
    let fed: Vec<&Run> = plan.wiring.runs.iter().filter(feeds).collect();
    assert!(fed.len() > 1, "to the levers and to the boards");
    for run in fed {
        assert!(matches!(run.from.end, End::Branch(_, None, _)), "{}", run.label);
        assert_eq!(run.sections[0].from, Stop::At(run.from.end));
    }
}

/// The cores of a cable and the pins of one conductor are in one plug.
#[test]
fn what_belongs_together_goes_over_one_plug() {
    let catalogue = catalogue();
    let (layout, plan) = planned(&twitching(), &catalogue, "servo-made");
    let panel = layout.panel.as_ref().and_then(|panel| panel.flying).expect("the club's panel is on a lead");
    assert!(plan.wiring.joints[panel.index()].plugs > 1);
    for joint in (0..layout.joints.len()).map(JointId::at) {
        for (index, run) in plan.wiring.runs.iter().enumerate().filter(|(_, run)| run.crosses.contains(&joint)) {
            assert_eq!(plan.wiring.plugs_of(joint, index).len(), 1, "{}", run.label);
        }
    }
}

/// The supplies of a divided feed have their minus in common, by a wire of the schedule that is on the bill, labelled, and as thick as the largest
/// fuse wants; an undivided feed has none.
#[test]
fn the_common_minus_is_a_wire() {
    let catalogue = catalogue();
    for (rule, count) in [("  sections: 1\n", 0), ("  sections: 3\n", 2)] {
        let text = HARBOUR.replacen("\nrules:\n", &format!("\nrules:\n{rule}"), 1);
        let (_, plan) = planned(&text, &catalogue, "servo-made");
        let minus: Vec<&Run> = plan
            .wiring
            .runs
            .iter()
            .filter(|run| matches!((run.from.end, run.to.end), (End::Socket(_), End::Socket(_))))
            .collect();
        assert_eq!(minus.len(), count, "{rule}");
        for (index, run) in minus.iter().enumerate() {
            assert_eq!(run.label, format!("minus 12 V DC section {} to 12 V DC section {}", index + 1, index + 2));
            let sizing = plan.wiring.sizing_of(run).expect("it has its size");
            let fuse = plan.demands[0].largest_fuse().expect("each section has its fuse");
            assert!(sizing.rating >= fuse && run.carries == fuse, "{} under {fuse}", sizing.rating);
            let wires = plan.takeoff.needs.iter().filter(|need| *catalogue.kind(need.kind).name == *"wire");
            let pieces = wires.flat_map(|need| &need.reasons).filter(|reason| reason.subject == run.subject);
            assert_eq!(pieces.filter_map(|reason| reason.piece).collect::<Vec<_>>(), [run.length]);
        }
        assert!(plan.wiring.labels().values().flatten().filter(|label| label.starts_with("minus ")).count() == 2 * count);
    }
}
