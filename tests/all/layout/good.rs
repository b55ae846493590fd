//! What a good file becomes: boards and joints, drives, frogs and levers, rules, and the defaults that are listed.

use serde_yaml::Value;
use underboard::diagnostic::Place;
use underboard::layout::{self, AtOnce, BoardRole, DecideBy, DeviceKind, FrogKind, Lamps, Layout, Margin, Point, Waveform};
use underboard::quantity::{Current, Length, Share, Voltage};

use super::{read, small_catalogue};

const SHELF: &str = include_str!("../../../examples/shelf.yaml");
const HARBOUR: &str = include_str!("../../../examples/saltmarsh-harbour.yaml");

fn mm(x: i64, y: i64) -> Point {
    Point { x: Length::from_mm(x), y: Length::from_mm(y) }
}

/// Drives as `name>lever`, frogs as `name<drive`, levers as `name:drives`.
fn works(layout: &Layout) -> (String, String, String) {
    let drives: Vec<String> =
        layout.drives.iter().map(|drive| format!("{}>{}", drive.name, layout.lever(drive.lever).name)).collect();
    let frogs: Vec<String> = layout.frogs.iter().map(|frog| format!("{}<{}", frog.name, layout.drive(frog.drive).name)).collect();
    let lever = |lever: &layout::Lever| {
        let drives: Vec<&str> = lever.drives.iter().map(|id| &*layout.drive(*id).name).collect();
        let lights: Vec<&str> = lever.lights.iter().map(|id| &*layout.device(*id).name).collect();
        format!("{}:{}{}{}", lever.name, drives.join("+"), if lights.is_empty() { "" } else { "*" }, lights.join("+"))
    };
    let levers: Vec<String> = layout.levers.iter().map(lever).collect();
    (drives.join(" "), frogs.join(" "), levers.join(" "))
}

#[track_caller]
fn expands(devices: &str, drives: &str, frogs: &str, levers: &str) {
    let layout = read(devices);
    let (d, f, l) = works(&layout);
    assert_eq!((d.as_str(), f.as_str(), l.as_str()), (drives, frogs, levers));
    consistent(&layout);
}

/// What holds of every layout: ids point both ways, and every drive has a lever.
pub(super) fn consistent(layout: &Layout) {
    for (at, drive) in layout.drives.iter().enumerate() {
        assert!(layout.device(drive.device).drives.iter().any(|id| id.index() == at));
        assert!(layout.lever(drive.lever).drives.iter().any(|id| id.index() == at));
    }
    for (at, frog) in layout.frogs.iter().enumerate() {
        assert!(layout.device(frog.device).frogs.iter().any(|id| id.index() == at));
        assert!(frog.drive.index() < layout.drives.len());
    }
    assert!(layout.levers.iter().all(|lever| !lever.drives.is_empty() || !lever.lights.is_empty()));
    assert_eq!(layout.levers.iter().map(|lever| lever.drives.len()).sum::<usize>(), layout.drives.len());
    for device in &layout.devices {
        let (spot, board) = (device.spot.value, layout.board(device.spot.value.board));
        assert!(spot.at.x >= Length::ZERO && spot.at.x <= board.length.value, "{}", device.name);
        assert!(spot.at.y >= Length::ZERO && spot.at.y <= board.width.value, "{}", device.name);
    }
}

// Drives, frogs and levers by kind: common practice, no source.

#[test]
fn turnouts_with_one_tie_bar() {
    for kind in ["plain", "wye", "curved"] {
        expands(&format!("turnouts: [{{id: T, kind: {kind}, frog: live}}]"), "T>T", "T<T", "T:T");
    }
    expands("turnouts: [{id: T, kind: catch}]", "T>T", "", "T:T");
}

#[test]
fn frogs_that_are_not_live_do_not_change_over() {
    expands("turnouts: [{id: T}]", "T>T", "", "T:T");
    expands("turnouts: [{id: T, kind: scissors, frog: blade fed}]", "Ta>T Tb>T/2 Tc>T Td>T/2", "", "T:Ta+Tc T/2:Tb+Td");
    assert_eq!(read("turnouts: [{id: T, frog: blade fed}]").devices[0].frog, FrogKind::BladeFed);
}

#[test]
fn each_end_of_a_slip_has_the_frog_that_follows_the_other_end() {
    for kind in ["single slip", "double slip"] {
        expands(&format!("turnouts: [{{id: T, kind: {kind}, frog: live}}]"), "Ta>T Tb>T/2", "Ta<Tb Tb<Ta", "T:Ta T/2:Tb");
    }
}

#[test]
fn the_third_frog_of_a_three_way_follows_the_last_drive() {
    expands("turnouts: [{id: T, kind: three-way, frog: live}]", "Ta>T Tb>T/2", "Ta<Ta Tb<Tb Tc<Tb", "T:Ta T/2:Tb");
}

#[test]
fn scissors_have_four_drives_on_two_levers() {
    expands(
        "turnouts: [{id: T, kind: scissors, frog: live}]",
        "Ta>T Tb>T/2 Tc>T Td>T/2",
        "Ta<Ta Tb<Tb Tc<Tc Td<Td Te<Td Tf<Td",
        "T:Ta+Tc T/2:Tb+Td",
    );
}

#[test]
fn the_frogs_of_a_diamond_follow_a_neighbour() {
    let diamond = "turnouts: [{id: D, kind: diamond, frog: live, with: T}, {id: T}]";
    expands(diamond, "T>T", "Da<T Db<T", "T:T");
    let named_from_the_other_side = "turnouts: [{id: D, kind: diamond, frog: live}, {id: T, with: D}]";
    expands(named_from_the_other_side, "T>T", "Da<T Db<T", "T:T");
    let after_a_slip = "turnouts: [{id: S, kind: double slip}, {id: D, kind: diamond, frog: live, with: S}]";
    expands(after_a_slip, "Sa>S Sb>S/2", "Da<Sa Db<Sa", "S:Sa S/2:Sb");
    expands("turnouts: [{id: D, kind: diamond}]", "", "", "");
}

#[test]
fn devices_on_one_lever_go_over_together_whoever_says_so() {
    expands("turnouts: [{id: A, with: B}, {id: B}]", "A>A B>A", "", "A:A+B");
    expands("turnouts: [{id: A}, {id: B, with: a}]", "A>A B>A", "", "A:A+B");
    expands("turnouts: [{id: A}, {id: B, with: [A, D]}, {id: C}, {id: D}]", "A>A B>A C>C D>A", "", "A:A+B+D C:C");
    expands("turnouts: [{id: A, with: B}, {id: B, with: A}, {id: C, kind: catch, with: B}]", "A>A B>A C>A", "", "A:A+B+C");
}

#[test]
fn signals_have_a_drive_for_each_arm_and_a_colour_light_has_none() {
    expands("signals: [{id: S, kind: semaphore}]", "S>S", "", "S:S");
    expands("signals: [{id: S, kind: semaphore, arms: 3}]", "Sa>S Sb>S/2 Sc>S/3", "", "S:Sa S/2:Sb S/3:Sc");
    expands("signals: [{id: S, kind: colour light, aspects: 4, lit: 2}]", "", "", "S:*S");
    expands("signals: [{id: S, kind: Ground  Signal}]", "S>S", "", "S:S");
    expands("signals: [{id: S, kind: colour light}, {id: R, kind: colour light, with: S}]", "", "", "S:*S+R");
}

#[test]
fn lights_are_counted_and_a_lit_semaphore_has_no_lever_for_its_lamp() {
    let layout = read(
        "signals: [{id: A, kind: semaphore, lamp: yes}, {id: B, kind: colour light}, {id: C, kind: colour light, aspects: 4, lit: 2}, \
         {id: D, kind: ground signal, lamp: true}, {id: E, kind: semaphore, arms: 2, lamp: no}]\n\
         others: [{id: L, kind: lamp}, {id: G, kind: gate}, {id: U, kind: uncoupler}]",
    );
    let lights: Vec<_> = layout.devices.iter().map(|device| (&*device.name, device.lights, device.lit)).collect();
    let expected = [("A", 1, 1), ("B", 2, 1), ("C", 4, 2), ("D", 1, 1), ("E", 0, 0), ("L", 1, 1), ("G", 0, 0), ("U", 0, 0)];
    assert_eq!(lights, expected);
    let (drives, _, levers) = works(&layout);
    assert_eq!(drives, "A>A D>D Ea>E Eb>E/2 G>G U>U");
    assert_eq!(levers, "A:A B:*B C:*C D:D E:Ea E/2:Eb L:*L G:G U:U");
    let purposes: Vec<&str> = layout.drives.iter().map(|drive| drive.purpose.word()).collect();
    assert_eq!(purposes, ["arm", "arm", "arm", "arm", "gate", "uncoupler"]);
}

#[test]
fn a_device_keeps_what_is_said_of_it() {
    let layout = read("turnouts:\n  - id: T\n    scheme: Solenoid\n    owned: yes\n    hidden: yes\n    at: 1.1 m x 20 cm\n");
    let device = &layout.devices[0];
    assert!(device.owned && device.hidden && !device.spot.is_default());
    assert_eq!(device.spot.value.at, mm(1100, 200));
    assert_eq!(device.kind, DeviceKind::Turnout("plain".into()));
    let fixed = layout.drives[0].fixed.as_ref().unwrap();
    assert_eq!(fixed.value.index(), 0);
    assert!(matches!(&fixed.place, Place::Yaml { line: 3, column: 13, path, .. } if &**path == "turnouts[0].scheme"));
}

#[test]
fn devices_without_a_position_are_spread_along_the_middle_of_their_board() {
    let layout = read(
        "boards: [{id: A, size: 1000 x 400 mm}, {id: B}]\n\
         turnouts: [{id: T1}, {id: T2, at: 5 x 6 mm}, {id: T3}, {id: T4, board: B}]\nothers: [{id: L, kind: lamp}]",
    );
    let spots: Vec<Point> = layout.devices.iter().map(|device| device.spot.value.at).collect();
    assert_eq!(spots, [mm(250, 200), mm(5, 6), mm(500, 200), mm(600, 300), mm(750, 200)]);
    assert_eq!(layout.devices.iter().map(|device| device.spot.is_default()).collect::<Vec<_>>(), [true, false, true, true, true]);
}

#[test]
fn boards_are_joined_in_a_chain_unless_the_file_says_how() {
    let layout = read("boards: [{id: A}, {id: B, size: 900 x 300 mm}, {id: C}]\nturnouts: [{id: T, board: C}]");
    let names: Vec<&str> = layout.joints.iter().map(|joint| &*joint.name).collect();
    assert_eq!(names, ["A-B", "B-C"]);
    assert_eq!((layout.joints[0].from.at, layout.joints[0].to.at), (mm(1200, 300), mm(0, 150)));
    assert_eq!((layout.joints[1].from.at, layout.joints[1].to.at), (mm(900, 150), mm(0, 300)));
    assert!(layout.joints.iter().all(|joint| joint.lead == Length::ZERO));
    let twice = read(
        "boards: [{id: A}, {id: B}]\njoints: [{between: [A, B], at: [1200 x 50 mm, 0 x 50 mm], lead: 30 cm}, {between: [A, B]}]\n\
         turnouts: [{id: T}]",
    );
    assert_eq!(twice.joints.iter().map(|joint| &*joint.name).collect::<Vec<_>>(), ["A-B", "A-B/2"]);
    let dashes = read(
        "boards: [{id: A}, {id: B-C}, {id: A-B}, {id: C}]\njoints: [{between: [A, B-C]}, {between: [A-B, C]}, {between: [A, A-B]}]\n\
         turnouts: [{id: T}]",
    );
    assert_eq!(dashes.joints.iter().map(|joint| &*joint.name).collect::<Vec<_>>(), ["A-B-C", "A-B-C/2", "A-A-B"]);
    assert_eq!((twice.joints[0].from.at, twice.joints[0].lead), (mm(1200, 50), Length::from_mm(300)));
}

#[test]
fn the_panel_is_fixed_flies_or_is_not_there() {
    let fixed = read("turnouts: [{id: T}]");
    let panel = fixed.panel.as_ref().unwrap();
    assert_eq!((panel.spot.at, panel.flying), (mm(600, 0), None));
    assert_eq!(fixed.levers[0].spot, panel.spot);

    let none = read("panel: none\nturnouts: [{id: T, at: 250 x 300 mm}]");
    assert!(none.panel.is_none());
    assert_eq!(none.levers[0].spot.at, mm(250, 0), "a lever without a panel is at the front edge");

    let flying = read("boards: [{id: A}, {id: B}]\npanel: {board: B, at: 100 x 0 mm, lead: 2 m}\nturnouts: [{id: T}]");
    let panel = flying.panel.as_ref().unwrap();
    let (joint, board) = (flying.joint(panel.flying.unwrap()), flying.board(panel.spot.board));
    assert_eq!((&*board.name, board.role, panel.spot.board.index()), ("panel", BoardRole::FlyingPanel, 2));
    assert_eq!((&*joint.name, joint.lead, joint.from.at), ("panel", Length::from_mm(2000), mm(100, 0)));
    assert_eq!((joint.from.board.index(), joint.to), (1, panel.spot));
    assert_eq!(flying.levers[0].spot, panel.spot);
}

#[test]
fn a_board_with_nothing_on_it_need_not_be_reached() {
    let layout = read("boards: [{id: A}, {id: Scenery}]\njoints: []\nturnouts: [{id: T}]");
    assert!(!layout.is_portable());
}

#[test]
fn supplies_routes_and_rules_are_read_as_people_write_them() {
    let layout = read(
        "supplies: [{id: old, gives: '16 V AC, 1 A'}, {id: new, gives: '12VDC, 500 mA'}]\n\
         turnouts: [{id: T1, with: T2}, {id: T2}, {id: T3, kind: double slip}, {id: T4}]\n\
         routes: [{id: in, throws: [T4, T2, T1, T3]}, {id: out, throws: T4}, {id: half, throws: [T3/2, T3a]}]\n\
         rules: {slack: 15 %, spares: 0, exhibition kit: yes, 'spare channels': 0, 'spare ways': at least 3, at once: 3 levers, headroom: 25%, drop: 0.5 %,\n  \
         hour: 7.50 EUR per hour, set-ups: 12 per year, years: 5, lamps: proved, decide by: life cost, schemes: [stall-motor, solenoid]}",
    );
    let gives = |at: usize| (layout.supplies[at].voltage, layout.supplies[at].waveform, layout.supplies[at].current);
    assert_eq!(gives(0), (Voltage(16.0), Waveform::Ac, Current(1.0)));
    assert_eq!(gives(1), (Voltage(12.0), Waveform::Dc, Current(0.5)));
    let route = |at: usize| layout.routes[at].levers.iter().map(|id| &*layout.lever(*id).name).collect::<Vec<_>>();
    assert_eq!(route(0), ["T4", "T1", "T3", "T3/2"]);
    assert_eq!(route(1), ["T4"]);
    assert_eq!(route(2), ["T3/2", "T3"], "a lever by its number, and one by its drive");
    let rules = &layout.rules;
    assert_eq!((rules.slack.value, rules.spares.value), (Share(0.15), Share(0.0)));
    assert!(rules.exhibition_kit.value);
    assert_eq!(rules.spare_channels.value, Margin { share: Share(0.0), least: 0 });
    assert_eq!(rules.spare_ways.value, Margin { share: Share(0.0), least: 3 });
    assert_eq!((rules.at_once.value, rules.headroom.value, rules.drop.value), (AtOnce::Levers(3), Share(0.25), Share(0.005)));
    assert_eq!(rules.hour.as_ref().unwrap().value.to_string(), "7.50 EUR");
    assert_eq!((rules.set_ups.value, rules.years.value, rules.lamps.value), (12, 5, Lamps::Proved));
    assert_eq!(rules.decide_by.as_ref().unwrap().value, DecideBy::LifeCost);
    assert_eq!(rules.schemes.value.iter().map(|id| id.index()).collect::<Vec<_>>(), [3, 0]);
}

#[test]
fn money_is_read_as_written_and_not_through_a_float() {
    let hour =
        |text: &str| read(&format!("turnouts: [{{id: T}}]\nrules:\n  hour: {text}\n")).rules.hour.unwrap().value.to_string();
    assert_eq!(hour("8"), "8.00 EUR");
    assert_eq!(hour("8.00 per hour"), "8.00 EUR");
    assert_eq!(hour("1.005"), "1.01 EUR", "a float would make it 1.00");
    assert_eq!(hour("12.5 eur"), "12.50 EUR");
}

#[test]
fn a_layout_that_comes_apart_is_set_up_and_one_with_routes_throws_them() {
    let rules = |text: &str| read(text).rules;
    assert_eq!(rules("turnouts: [{id: T}]").set_ups.value, 0);
    assert_eq!(rules("boards: [{id: A}, {id: B}]\nturnouts: [{id: T}]").set_ups.value, 6);
    assert_eq!(rules("turnouts: [{id: T}]").at_once.value, AtOnce::Levers(1));
    assert_eq!(rules("turnouts: [{id: T}]\nroutes: [{id: R, throws: T}]").at_once.value, AtOnce::Routes);
}

#[test]
fn a_key_with_nothing_after_it_takes_the_default() {
    let layout = read("boards:\nturnouts:\n  - id: T\n    frog:\n    kind: ~\n");
    assert!(layout.defaults.iter().any(|default| &*default.path == "turnouts[0].frog"));
    assert!(layout.defaults.iter().any(|default| &*default.path == "turnouts[0].kind"));
}

#[test]
fn numbers_and_truths_serve_as_names() {
    let layout = read("turnouts: [{id: 007}, {id: true}, {id: 1.50}, {id: 0x1F, with: 1.50}]");
    assert_eq!(layout.devices.iter().map(|device| &*device.name).collect::<Vec<_>>(), ["007", "true", "1.50", "0x1F"]);
}

#[test]
fn an_anchor_may_hold_what_is_alike() {
    let layout = read("boards: [{id: A, size: &size 900 x 300 mm}, {id: B, size: *size}]\nturnouts: [{id: T}]");
    assert_eq!(layout.boards[1].length.value, Length::from_mm(900));
    assert!(matches!(layout.boards[1].length.place, Place::Yaml { line: 1, column: 24, .. }));
}

#[test]
fn ten_lines_are_a_layout_and_its_defaults_are_listed() {
    assert!(SHELF.lines().count() <= 10);
    let layout = layout::read("examples/shelf.yaml", SHELF, &small_catalogue()).unwrap();
    consistent(&layout);
    assert_eq!((layout.devices.len(), layout.boards.len(), layout.joints.len()), (3, 1, 0));
    let listed: Vec<String> = layout.defaults.iter().map(|default| format!("{}: {}", default.path, default.value)).collect();
    let expected = [
        "boards: [{id: A}]",
        "boards[0].size: 1200 x 600 mm",
        "boards[0].top: 9 mm",
        "boards[0].frame: 80 mm",
        "panel: {board: A, at: 600 x 0 mm}",
        "turnouts[0].board: A",
        "turnouts[0].kind: plain",
        "turnouts[0].at: 300 x 300 mm",
        "turnouts[1].board: A",
        "turnouts[1].kind: plain",
        "turnouts[1].frog: insulated",
        "turnouts[1].at: 600 x 300 mm",
        "turnouts[2].board: A",
        "turnouts[2].frog: insulated",
        "turnouts[2].at: 900 x 300 mm",
        "rules.schemes: [solenoid, servo-made, stall-motor]",
        "rules.slack: 10 %",
        "rules.spares: 10 %",
        "rules.exhibition kit: no",
        "rules.spare channels: 20 %, at least 2",
        "rules.controllers: each board",
        "rules.spare ways: 20 %, at least 2",
        "rules.at once: 1 lever",
        "rules.switch on: held",
        "rules.sections: 1",
        "rules.headroom: 20 %",
        "rules.drop: 5 %",
        "rules.set-ups: 0 per year",
        "rules.years: 10",
        "rules.lamps: commanded",
    ];
    assert_eq!(listed, expected);
}

#[test]
fn the_harbour_is_what_its_remarks_say() {
    let layout =
        layout::read("examples/saltmarsh-harbour.yaml", HARBOUR, &small_catalogue()).unwrap_or_else(|p| panic!("{p:#?}"));
    consistent(&layout);
    let (drives, frogs, levers) = works(&layout);
    assert_eq!(
        drives,
        "T1>T1 T2>T1 T3>T3 T4>T3 T5a>T5 T5b>T5/2 T6>T6 T8a>T8 T8b>T8/2 T9>T9 T10>T10 T11>T11 \
         S1a>S1 S1b>S1/2 S2>S2 S3>S3 S5>T1 Quay gate>Quay gate Coal uncoupler>Coal uncoupler"
    );
    assert_eq!(frogs, "T1<T1 T2<T2 T5a<T5b T5b<T5a T7a<T6 T7b<T6 T8a<T8a T8b<T8b T8c<T8b");
    assert_eq!(
        levers,
        "T1:T1+T2+S5 T3:T3+T4 T5:T5a T5/2:T5b T6:T6 T8:T8a T8/2:T8b T9:T9 T10:T10 T11:T11 S1:S1a S1/2:S1b S2:S2 S3:S3 S4:*S4 \
         Quay gate:Quay gate Coal uncoupler:Coal uncoupler Crane lamp:*Crane lamp"
    );
    assert_eq!(layout.boards.iter().filter(|board| board.role == BoardRole::Baseboard).count(), 4);
    assert_eq!(
        layout.joints.iter().map(|joint| &*joint.name).collect::<Vec<_>>(),
        ["Quay-Basin", "Basin-Yard", "Yard-Sidings", "panel"]
    );
    assert!(layout.devices.iter().all(|device| !device.spot.is_default()));
    assert_eq!(layout.devices.iter().filter(|device| device.kind.is_turnout()).count(), 11);
    assert_eq!(layout.devices.iter().filter(|device| device.kind.is_signal()).count(), 5);
    let turnout = |name: &str| layout.devices.iter().find(|device| &*device.name == name).unwrap();
    assert!(turnout("T9").owned && turnout("T11").hidden);
    assert_eq!(
        (layout.supplies.len(), layout.routes.len(), layout.rules.set_ups.value, layout.rules.years.value),
        (1, 3, 12, 10)
    );
}

#[test]
fn both_examples_read_with_the_starter_and_expand_alike() {
    let starter = underboard::catalogue::from_starter().unwrap();
    for (file, text) in [("examples/shelf.yaml", SHELF), ("examples/saltmarsh-harbour.yaml", HARBOUR)] {
        let layout = layout::read(file, text, &starter).unwrap_or_else(|problems| panic!("{problems:#?}"));
        consistent(&layout);
        assert_eq!(works(&layout), works(&read(text)), "{file}");
    }
}

/// Puts a value at a path such as `boards[0].size`, making lists and maps on the way.
fn put(root: &mut Value, path: &str, value: Value) {
    let mut at = root;
    for step in path.split(['.', '[']) {
        if let Some(index) = step.strip_suffix(']') {
            let index: usize = index.parse().unwrap();
            at = &mut at.as_sequence_mut().unwrap()[index];
        } else {
            if at.is_null() {
                *at = Value::Mapping(serde_yaml::Mapping::new());
            }
            at = at.as_mapping_mut().unwrap().entry(step.into()).or_insert(Value::Null);
        }
    }
    *at = value;
}

/// The layout without places, to compare what two files mean.
fn meaning(layout: &Layout) -> String {
    let text = format!("{layout:#?}");
    let mut kept = Vec::new();
    let mut skip: Option<usize> = None;
    for line in text.lines() {
        let indent = line.len() - line.trim_start().len();
        match skip {
            Some(end) if indent > end => continue,
            Some(end) if indent == end => {
                skip = None;
                continue;
            }
            _ => {}
        }
        if line.trim_start().starts_with("place: ") || line.trim_start().starts_with("defaults: ") {
            skip = line.ends_with(['{', '(', '[']).then_some(indent);
            continue;
        }
        kept.push(line);
    }
    kept.join("\n")
}

#[test]
fn every_default_written_out_gives_the_same_layout() {
    let chain = "boards: [{id: A}, {id: B, size: 900 x 300 mm}, {id: C}]\nturnouts: [{id: T, board: C}, {id: X, kind: catch}]\n\
                 signals: [{id: S, kind: colour light}, {id: R, kind: semaphore}]\nroutes: [{id: R, throws: T}]";
    let lead = "boards: [{id: A}, {id: B}]\njoints: [{between: [A, B]}]\npanel: {lead: 1 m}\nturnouts: [{id: T}]";
    let odd = "boards: [{id: '[A], B: #1'}, {id: \"it's - \"}]\nturnouts: [{id: '&T'}]";
    for text in [SHELF, HARBOUR, chain, lead, odd, "turnouts: [{id: T}]"] {
        let layout = read(text);
        let mut value: Value = serde_yaml::from_str(text).unwrap();
        for default in &layout.defaults {
            put(&mut value, &default.path, serde_yaml::from_str(&default.value).unwrap());
        }
        let written = serde_yaml::to_string(&value).unwrap();
        let again = read(&written);
        // Joints that were chained have defaults of their own once they are written.
        let left: Vec<&str> =
            again.defaults.iter().map(|default| &*default.path).filter(|path| !path.starts_with("joints[")).collect();
        assert!(left.is_empty(), "{left:?}");
        assert_eq!(meaning(&again), meaning(&layout));
    }
}
