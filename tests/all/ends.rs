//! What the schedule shows is what the bill holds: every end of stranded wire under a screw its ferrule, every way and bridge of a strip, every tail
//! and its labels, every short wire, latch and contact. Counted here from the schedule, end by end.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;
use underboard::buying::Choices;
use underboard::catalogue::{Attr, Catalogue, Value};
use underboard::estimate::{Estimate, estimate};
use underboard::layout::Layout;
use underboard::quantity::{Area, Quantity};
use underboard::scheme::assign;
use underboard::takeoff::Subject;
use underboard::wiring::{End, Jumper, Set, Stop, Use, pin_area};

use crate::electrics::catalogue;
use crate::support::layout;

/// What stands under a screw: strips, and what has terminals of the sort; tags of levers, lamps, contacts and rails are soldered. Common practice, no
/// source.
fn has_screw(end: End) -> bool {
    !matches!(
        end,
        End::Lever(..) | End::Lamp(..) | End::Contact(..) | End::Frog(_) | End::Rail(..) | End::Light(..) | End::LightReturn(_)
    )
}

/// What is counted of a kind, by the area asked; `None` where none is asked.
fn counted(plan: &Estimate, catalogue: &Catalogue, kind: &str) -> BTreeMap<Option<Quantity>, Decimal> {
    let mut by_area = BTreeMap::new();
    for need in plan.takeoff.needs.iter().filter(|need| *catalogue.kind(need.kind).name == *kind) {
        let area = need.asks.iter().find_map(|ask| match (ask.attr, &ask.value) {
            (Attr::Area, Value::Measured(area)) => Some(*area),
            _ => None,
        });
        *by_area.entry(area).or_insert(Decimal::ZERO) += need.counted();
    }
    by_area
}

fn total(plan: &Estimate, catalogue: &Catalogue, kind: &str) -> Decimal {
    counted(plan, catalogue, kind).into_values().sum()
}

fn millimetres(area: f64) -> Quantity {
    Area(area).quantity()
}

/// Ferrules by area, counted end by end.
fn ends(plan: &Estimate, layout: &Layout, catalogue: &Catalogue) -> BTreeMap<Option<Quantity>, Decimal> {
    let wiring = &plan.wiring;
    let mut ends: BTreeMap<Option<Quantity>, Decimal> = BTreeMap::new();
    let mut add = |area: Quantity, count: u32| {
        if count > 0 {
            *ends.entry(Some(area)).or_default() += Decimal::from(count);
        }
    };
    for (index, run) in wiring.runs.iter().enumerate() {
        let area = match run.purpose {
            Use::Link => millimetres(0.22),
            _ => wiring.area_of(run).expect("every wire has its size").quantity(),
        };
        for stop in run.sections.iter().flat_map(|section| [section.from, section.to]) {
            let screwed = match stop {
                Stop::At(end) => has_screw(end),
                Stop::Plug(joint) => {
                    let pins = wiring.joints[joint.index()].pins.iter();
                    pins.filter(|pin| pin.by_tail).any(
                        |pin| matches!(pin.carried, underboard::wiring::Carried::Run { index: at, .. } if at as usize == index),
                    )
                }
            };
            // On the other side of the strip at a drive an offcut leads to the tag.
            let sides = if matches!(stop, Stop::At(End::Motor(..))) { 2 } else { 1 };
            add(area, if screwed { sides * run.conductors } else { 0 });
        }
    }
    for jumper in &plan.jumpers {
        let screwed = [jumper.from, jumper.to].into_iter().filter(|end| has_screw(*end)).count() as u32;
        match jumper.set {
            Set::Lever(_) => add(millimetres(0.22), screwed),
            Set::Contact(_) => add(millimetres(0.5), screwed),
            Set::Encoder(_) => {}
        }
    }
    if let Some(area) = pin_area(catalogue, layout.rules.matings()) {
        add(area, 2 * plan.tails.len() as u32);
    }
    ends
}

fn sets(plan: &Estimate, wanted: impl Fn(&Jumper) -> bool) -> Decimal {
    Decimal::from(plan.jumpers.iter().filter(|jumper| wanted(jumper)).count())
}

fn holds(layout: &Layout, catalogue: &Catalogue, plan: &Estimate, what: &str) {
    let total = |kind: &str| total(plan, catalogue, kind);
    assert_eq!(counted(plan, catalogue, "ferrule"), ends(plan, layout, catalogue), "ferrules: {what}");
    let tails = 2 * plan.tails.len();
    let motors = plan.wiring.runs.iter().filter(|run| matches!(run.to.end, End::Motor(..))).count();
    let ways: usize = plan.strips.iter().map(|strip| strip.ways.len()).sum();
    assert_eq!(total("terminal-strip"), Decimal::from(ways + motors + tails), "ways: {what}");
    let bridges: usize = plan.strips.iter().map(underboard::wiring::Strip::bridges).sum();
    let bridged = 2 * plan.tails.iter().filter(|tail| tail.is_bridged).count();
    assert_eq!(total("strip-bridge"), Decimal::from(bridges + bridged), "bridges: {what}");
    let wires = plan.wiring.sections().filter(|(run, _)| run.purpose != Use::Link).count();
    assert_eq!(total("wire"), Decimal::from(wires + tails), "pieces of wire: {what}");
    assert_eq!(total("panel-wire-set"), sets(plan, |jumper| matches!(jumper.set, Set::Lever(_))), "short wires: {what}");
    let of_contacts = sets(plan, |jumper| matches!(jumper.set, Set::Contact(_)));
    assert_eq!(total("contact-wire-set") * Decimal::from(3), of_contacts, "wires of contacts: {what}");
    let all_ends = || {
        let jumpers = plan.jumpers.iter().flat_map(|jumper| [jumper.from, jumper.to]);
        plan.wiring.runs.iter().flat_map(|run| [run.from.end, run.to.end]).chain(jumpers)
    };
    let latches: BTreeSet<_> = all_ends().filter_map(|end| if let End::Latch(id, _) = end { Some(id) } else { None }).collect();
    assert_eq!(total("lamp-latch"), Decimal::from(latches.len()), "latches: {what}");
    let lamps: BTreeSet<_> =
        all_ends().filter_map(|end| if let End::Lamp(id, n, _) = end { Some((id, n)) } else { None }).collect();
    assert_eq!(total("panel-lamp"), Decimal::from(lamps.len()), "lamps: {what}");
    let used: BTreeSet<_> =
        all_ends().filter_map(|end| if let End::Contact(id, n, _) = end { Some((id, n)) } else { None }).collect();
    let mut contacts: BTreeMap<_, u32> = BTreeMap::new();
    for (drive, _) in used {
        *contacts.entry(drive).or_default() += 1;
    }
    let brought = |drive| plan.assignment.of(drive).map_or(0, |scheme| catalogue.scheme(scheme).contacts);
    let fitted: u32 = contacts.into_iter().map(|(drive, used)| used.saturating_sub(brought(drive))).sum();
    assert_eq!(total("changeover-contact"), Decimal::from(fitted), "contacts: {what}");
    let labels = plan.takeoff.needs.iter().filter(|need| *catalogue.kind(need.kind).name == *"label");
    let of_joints = labels.flat_map(|need| &need.reasons).filter(|reason| matches!(reason.subject, Subject::Joint(_)));
    let of_joints: Decimal = of_joints.map(|reason| reason.amount).sum();
    let plugs: u32 = plan.wiring.joints.iter().map(|joint| joint.plugs).sum();
    assert_eq!(of_joints, Decimal::from(2 * plugs as usize + 2 * tails), "labels at joints: {what}");
}

#[test]
fn the_bill_holds_what_the_schedule_shows() {
    let catalogue = catalogue();
    for name in ["shelf", "saltmarsh-harbour", "brindlewold-exhibition"] {
        let text = std::fs::read_to_string(format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
        for rule in ["", "  sections: 2\n", "  switch on: twitching\n", "  lamps: proved\n", "no panel"] {
            let key = rule.trim().split(':').next().unwrap_or_default().to_owned() + ":";
            let named = rule.is_empty() || rule == "no panel" || !text.contains(&format!("\n  {key}"));
            let text = match rule {
                "no panel" if text.contains("\npanel:\n") => {
                    let (before, after) = text.split_once("\npanel:\n").unwrap();
                    let rest = after.lines().skip_while(|line| line.starts_with(' ')).collect::<Vec<_>>().join("\n");
                    format!("{before}\npanel: none\n{rest}\n")
                }
                "no panel" => format!("{text}\npanel: none\n"),
                _ => text.replacen("\nrules:\n", &format!("\nrules:\n{rule}"), 1),
            };
            // The large one takes long, and shows thick wires and paralleled pins.
            let is_large = name.starts_with("brindlewold") && !["", "  switch on: twitching\n"].contains(&rule);
            if !named || is_large {
                continue;
            }
            let layout = layout(&text, &catalogue);
            for scheme in ["solenoid", "servo-made", "stall-motor"] {
                let assignment = assign(&layout, &catalogue, catalogue.scheme_named(scheme).unwrap());
                let plan = estimate(&layout, &catalogue, assignment, &Choices::default());
                holds(&layout, &catalogue, &plan, &format!("{name} with `{}` under {scheme}", rule.trim()));
            }
        }
    }
}
