//! What must hold of the wiring of any layout, whatever its shape and scheme; and the harbour three ways.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use proptest::prelude::*;
use underboard::catalogue::{Catalogue, from_starter};
use underboard::layout::{Layout, Spot};
use underboard::power::demand;
use underboard::quantity::{Current, Length};
use underboard::scheme::{Assignment, Connection, assign};
use underboard::wiring::{Carried, End, Run, Stop, Unlaid, Use, Wiring, plan};

use crate::support::layout;

const HARBOUR: &str = include_str!("../../examples/saltmarsh-harbour.yaml");

/// A layout of so many boards in a row, with what stands on them.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    boards: usize,
    panel: &'static str,
    /// By device: what it is, its board, and where along it.
    devices: Vec<(&'static str, usize, i32)>,
    lamps: &'static str,
    controllers: &'static str,
    sections: u32,
    /// Whether every second of the plain turnouts is on one lever with the one before it, and every second of the lights.
    pairs: bool,
}

impl Shape {
    pub(crate) fn text(&self) -> String {
        let mut text = String::from("boards:\n");
        for board in 0..self.boards {
            let _ = writeln!(text, "  - {{id: B{board}, size: 1200 x 450 mm}}");
        }
        if self.boards > 1 {
            text += "joints:\n";
            for board in 1..self.boards {
                let before = board - 1;
                let _ = writeln!(text, "  - {{between: [B{before}, B{board}], at: [1200 x 200 mm, 0 x 200 mm]}}");
            }
        }
        let _ = writeln!(text, "{}", self.panel);
        for (list, is_turnout) in [("turnouts", true), ("signals", false)] {
            let mine = self.devices.iter().enumerate().filter(|(_, (what, ..))| what.contains("frog") == is_turnout);
            let mut alone: BTreeMap<&str, usize> = BTreeMap::new();
            let lines: Vec<String> = mine
                .map(|(n, (what, board, at))| {
                    let sort = if what.starts_with("frog") { "frog" } else { what };
                    let pairs = self.pairs && (sort == "frog" || sort.starts_with("kind: colour light"));
                    let with = alone.remove(sort).filter(|_| pairs).map(|with| format!(", with: D{with}"));
                    if with.is_none() {
                        alone.insert(sort, n);
                    }
                    let with = with.unwrap_or_default();
                    format!("  - {{id: D{n}, board: B{}, at: {at} x 150 mm, {what}{with}}}", board % self.boards)
                })
                .collect();
            if !lines.is_empty() {
                let _ = writeln!(text, "{list}:\n{}", lines.join("\n"));
            }
        }
        let _ =
            writeln!(text, "rules: {{lamps: {}, controllers: {}, sections: {}}}", self.lamps, self.controllers, self.sections);
        text
    }
}

pub(crate) fn shapes() -> impl Strategy<Value = Shape> {
    let what = prop::sample::select(vec![
        "frog: insulated",
        "frog: live",
        "kind: double slip, frog: live",
        "kind: three-way, frog: live",
        "kind: semaphore",
        "kind: colour light, aspects: 3",
    ]);
    let panel = prop::sample::select(vec!["panel: none", "panel: {board: B0}", "panel: {board: B0, lead: 1 m}"]);
    let devices = prop::collection::vec((what, 0..4_usize, 0..1200_i32), 1..14);
    let words =
        (prop::sample::select(vec!["none", "commanded", "proved"]), prop::sample::select(vec!["each board", "neighbour"]));
    let divided = (prop::sample::select(vec![1, 1, 2, 3]), any::<bool>());
    (1..5_usize, panel, devices, words, divided).prop_map(|(boards, panel, devices, (lamps, controllers), (sections, pairs))| {
        Shape { boards, panel, devices, lamps, controllers, sections, pairs }
    })
}

/// The plans of a shape under each scheme that is offered.
fn plans(catalogue: &Catalogue, layout: &Layout) -> Vec<(Assignment, Wiring)> {
    let schemes = layout.rules.schemes.value.iter();
    schemes
        .map(|&scheme| {
            let assignment = assign(layout, catalogue, scheme);
            let wiring = plan(layout, catalogue, &assignment, &demand(layout, catalogue, &assignment));
            (assignment, wiring)
        })
        .collect()
}

fn exists(layout: &Layout, assignment: &Assignment, end: End) -> bool {
    match end {
        End::Socket(_) | End::Fuse(_) | End::Branch(..) | End::Store(_) | End::Encoder(..) => true,
        End::Lever(id, ..) | End::Lamp(id, ..) | End::Latch(id, _) => id.index() < layout.levers.len(),
        End::Motor(id, _) | End::Contact(id, ..) => id.index() < layout.drives.len(),
        End::Frog(id) => id.index() < layout.frogs.len(),
        End::Rail(id, rail) => id.index() < layout.frogs.len() && rail < 2,
        End::Light(id, light) => layout.devices.get(id.index()).is_some_and(|device| light < device.lights),
        End::LightReturn(id) => layout.devices.get(id.index()).is_some_and(|device| device.lights > 0),
        End::Controller(id) | End::Channel(id, ..) => id.index() < assignment.controllers.len(),
        End::Strip(id, _) => id.index() < layout.boards.len(),
    }
}

/// At a joint every conductor that crosses it, and no other, has its pins, each pin carries one, and no plug has more than its ways.
fn joints_hold(layout: &Layout, assignment: &Assignment, wiring: &Wiring) -> Result<(), TestCaseError> {
    for (index, load) in wiring.joints.iter().enumerate() {
        let crosses = |joints: &[underboard::id::JointId]| joints.iter().any(|joint| joint.index() == index);
        let mut expected = BTreeSet::new();
        for (at, run) in (0_u32..).zip(&wiring.runs).filter(|(_, run)| crosses(&run.crosses)) {
            expected.extend((0..run.conductors).map(|core| Carried::Run { index: at, core }));
        }
        for lead in wiring.leads.values().filter(|lead| crosses(&lead.crosses)) {
            expected.extend((0..lead.conductors).map(|core| Carried::Lead { drive: lead.drive, core }));
        }
        let carried: BTreeSet<Carried> = load.pins.iter().map(|pin| pin.carried).collect();
        prop_assert_eq!(&carried, &expected, "joint {}", index);
        prop_assert_eq!(load.total() as usize, expected.len());
        // One table serves both halves: a pin is named by plug and number, and met once.
        let places: BTreeSet<(u32, u32)> = load.pins.iter().map(|pin| (pin.plug, pin.number)).collect();
        prop_assert_eq!(places.len(), load.pins.len());
        prop_assert!(load.pins.iter().all(|pin| (1..=load.plugs).contains(&pin.plug) && (1..=load.ways).contains(&pin.number)));
        let both: u32 = load.pins.iter().map(|pin| u32::from(pin.purpose == purpose(wiring, pin.carried))).sum();
        prop_assert_eq!(both as usize, load.pins.len());
    }
    for controller in &assignment.controllers {
        prop_assert!(controller.drives.len() <= controller.channels as usize);
        for &drive in &controller.drives {
            let away = layout.device_of(drive).spot.value.board != controller.spot.board;
            let Connection::Local { longest, .. } = catalogue().scheme(controller.scheme).connection else {
                panic!("a controller")
            };
            let lead = &wiring.leads[&drive];
            prop_assert!(!away || lead.length <= longest, "a lead over a joint is no longer than the scheme allows");
            prop_assert_eq!(away, !lead.crosses.is_empty());
        }
    }
    Ok(())
}

/// The pieces of a run begin where it begins, end where it ends, and between them meet at the plugs of the joints it crosses.
fn cut_at_every_plug(layout: &Layout, run: &Run) -> Result<(), TestCaseError> {
    let sections = &run.sections;
    prop_assert_eq!(sections.len(), run.crosses.len() + 1);
    prop_assert_eq!(sections.iter().map(|section| section.length).sum::<Length>(), run.length);
    prop_assert_eq!((sections[0].from, sections[0].board), (Stop::At(run.from.end), run.from.spot.board));
    let last = sections[sections.len() - 1];
    prop_assert_eq!((last.to, last.board), (Stop::At(run.to.end), run.to.spot.board));
    for (pair, &joint) in sections.windows(2).zip(run.crosses.iter()) {
        prop_assert_eq!((pair[0].to, pair[1].from), (Stop::Plug(joint), Stop::Plug(joint)));
        let halves = [layout.joint(joint).from.board, layout.joint(joint).to.board];
        prop_assert!(halves.contains(&pair[0].board) && halves.contains(&pair[1].board) && pair[0].board != pair[1].board);
    }
    Ok(())
}

/// Controllers and strips stand clear of devices and of one another, and each strip is in one place.
fn apart(layout: &Layout, assignment: &Assignment, wiring: &Wiring) -> Result<(), TestCaseError> {
    let mut strips = BTreeMap::new();
    for end in wiring.runs.iter().flat_map(|run| [run.from, run.to]) {
        if let End::Strip(..) = end.end {
            prop_assert_eq!(*strips.entry(end.end).or_insert(end.spot), end.spot, "a strip in two places");
        }
    }
    let fitted: Vec<Spot> = assignment.controllers.iter().map(|controller| controller.spot).chain(strips.into_values()).collect();
    for (n, &one) in fitted.iter().enumerate() {
        let devices = layout.drives.iter().map(|drive| drive.spot).chain(layout.devices.iter().map(|device| device.spot.value));
        for other in devices.chain(fitted.iter().skip(n + 1).copied()).filter(|other| other.board == one.board) {
            prop_assert!(one != other, "{:?} stands on something", one);
        }
    }
    Ok(())
}

fn purpose(wiring: &Wiring, carried: Carried) -> Use {
    match carried {
        Carried::Run { index, .. } => wiring.runs[index as usize].purpose,
        Carried::Lead { .. } => Use::Drive,
    }
}

thread_local! {
    static STARTER: &'static Catalogue = Box::leak(Box::new(from_starter().expect("the starter reads")));
}

pub(crate) fn catalogue() -> &'static Catalogue {
    STARTER.with(|catalogue| *catalogue)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn ends_exist_pins_carry_what_crosses_and_every_run_has_its_label_once(shape in shapes()) {
        let catalogue = catalogue();
        let layout = layout(&shape.text(), catalogue);
        for (assignment, wiring) in plans(catalogue, &layout) {
            for run in &wiring.runs {
                for end in [run.from, run.to] {
                    prop_assert!(exists(&layout, &assignment, end.end), "{:?} of {}", end.end, run.label);
                    prop_assert!(end.spot.board.index() < layout.boards.len());
                }
                prop_assert!(run.length > Length::ZERO && run.conductors > 0);
                cut_at_every_plug(&layout, run)?;
            }
            let labels: BTreeSet<&str> = wiring.runs.iter().map(|run| run.label.as_str()).collect();
            prop_assert_eq!(labels.len(), wiring.runs.len(), "two runs bear one label");
            let mut unlaid = Unlaid::new(&wiring);
            let mut given = BTreeSet::new();
            for (run, section) in wiring.sections() {
                let area = wiring.area_of(run).map(underboard::quantity::Area::quantity);
                given.extend(unlaid.take(run.subject, section.length, run.purpose == Use::Link, area));
            }
            let pieces = wiring.sections().count();
            prop_assert_eq!(given.len(), pieces, "a piece cannot be found in the schedule");
            prop_assert_eq!(wiring.labels().values().map(Vec::len).sum::<usize>(), 2 * pieces, "a label for each end of each piece");
            let hues: Length = wiring.by_colour().into_iter().map(|hue| hue.length).sum();
            let single = wiring.runs.iter().filter(|run| run.purpose != Use::Link);
            prop_assert_eq!(hues, single.map(|run| run.length * i64::from(run.conductors)).sum());
            joints_hold(&layout, &assignment, &wiring)?;
            apart(&layout, &assignment, &wiring)?;
        }
    }

    #[test]
    fn a_feed_draws_what_its_loads_draw(shape in shapes()) {
        let catalogue = catalogue();
        let layout = layout(&shape.text(), catalogue);
        for (assignment, _) in plans(catalogue, &layout) {
            for feed in demand(&layout, catalogue, &assignment) {
                let continuous: Current = feed.loads.iter().map(|load| load.continuous).sum();
                let start_up: Current = feed.loads.iter().map(|load| load.start_up).sum();
                prop_assert!((continuous.0 - feed.drawn.continuous.0).abs() < 1e-9 && (start_up.0 - feed.drawn.start_up.0).abs() < 1e-9);
                prop_assert!(feed.drawn.peak >= feed.drawn.continuous && feed.needed >= feed.drawn.most());
                let hung = feed.sections.iter().flat_map(|section| &section.loads);
                prop_assert_eq!(hung.count(), feed.loads.len(), "each load hangs on one section");
                let hangs = |load: &underboard::power::Load| feed.sections[feed.section_of(load.subject)].loads.contains(load);
                prop_assert!(feed.loads.iter().all(hangs));
                for fuse in feed.sections.iter().filter_map(|section| Some((section.fuse?, &section.drawn))) {
                    prop_assert!(fuse.0 > fuse.1.most() && fuse.0.0 >= 1.25 * fuse.1.continuous.0 * (1.0 - 1e-9), "{:?}", fuse);
                }
            }
        }
    }
}

/// The harbour three ways: what parts at its joints. Counted by hand at Quay-Basin: seven drives stand on Quay. Four are tie bars, so the
/// solenoids take two conductors each and one return, and the servos for two arms and a gate share a link and power of three each, 9 + 6;
/// stall motors take two each, 14; servos the link and power alone, 6. The crane's lamp and the return of lights come to each.
#[test]
fn the_harbour_parts_differently_under_each_scheme() {
    let catalogue = catalogue();
    let layout = layout(HARBOUR, catalogue);
    let mut table = BTreeMap::new();
    for name in ["servo-made", "solenoid", "stall-motor"] {
        let assignment = assign(&layout, catalogue, catalogue.scheme_named(name).unwrap());
        let wiring = plan(&layout, catalogue, &assignment, &demand(&layout, catalogue, &assignment));
        let of = |load: &underboard::wiring::JointLoad| (load.total(), load.moving, load.direct, load.plugs);
        table.insert(name, wiring.joints.iter().map(of).collect::<Vec<_>>());
    }
    // Conductors in all, for the drives, wired straight to the levers, plugs: at Quay-Basin, Basin-Yard, Yard-Sidings and the panel.
    assert_eq!(table["servo-made"], [(8, 6, 21, 1), (11, 6, 24, 1), (8, 6, 9, 1), (12, 6, 57, 1)]);
    assert_eq!(table["solenoid"], [(17, 15, 18, 1), (22, 17, 20, 1), (8, 6, 9, 1), (37, 31, 46, 2)]);
    assert_eq!(table["stall-motor"], [(16, 14, 14, 1), (25, 20, 17, 1), (12, 10, 7, 1), (48, 42, 39, 2)]);
}

/// The two tie bars of a slip are apart, and so are their leads; each frog is wired to the contact at the other end.
#[test]
fn a_slip_has_a_drive_at_either_end() {
    let catalogue = catalogue();
    let text = "boards: [{id: A, size: 1200 x 450 mm}]\nturnouts: [{id: X, kind: double slip, frog: live, at: 300 x 200 mm, further: 700 x 200 mm}]\n";
    let layout = layout(text, catalogue);
    let assignment = assign(&layout, catalogue, catalogue.scheme_named("servo-made").unwrap());
    let wiring = plan(&layout, catalogue, &assignment, &demand(&layout, catalogue, &assignment));
    let lengths: Vec<i64> = wiring.leads.values().map(|lead| lead.length.mm_up()).collect();
    assert_eq!(
        lengths,
        [375, 66],
        "the controller stands 60 mm clear of the one end, 340 mm from the other, and a tenth of slack; a length is never rounded down"
    );
    assert_eq!(layout.drives.iter().map(|drive| drive.spot.at.x.mm_up()).collect::<Vec<_>>(), [300, 700]);
}
