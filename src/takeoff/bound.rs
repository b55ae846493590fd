//! Refuses a plan that would count into the millions, before any of it is counted.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalogue::{Catalogue, Form, Measure, Per};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::id::SchemeId;
use crate::layout::Layout;
use crate::size::Size;

/// What is wrong with a layout and a catalogue that together would ask for more counting than `size` allows.
pub fn too_many(layout: &Layout, catalogue: &Catalogue, size: Size) -> Option<Diagnostic> {
    let subjects = most_subjects(layout, catalogue);
    let of = |per: Per| subjects.get(&per).copied().unwrap_or(0);
    let schemes = layout.rules.schemes.value.iter().copied();
    // Devices with a scheme of their own have it under every plan.
    let fixed: Vec<SchemeId> = layout.drives.iter().filter_map(|drive| drive.fixed.as_ref().map(|fixed| fixed.value)).collect();
    let mut counted = 0_usize;
    for scheme in schemes {
        let counts = |of: Option<SchemeId>| {
            of.is_none_or(|of| catalogue.counts_under(of, scheme) || fixed.iter().any(|&fixed| catalogue.counts_under(of, fixed)))
        };
        let mut pieces = 0_usize;
        for rule in catalogue.rules.iter().filter(|rule| counts(rule.scheme)) {
            counted = counted.saturating_add(of(rule.per));
            if catalogue.kind(rule.kind).form == Form::Pieces {
                pieces = pieces.saturating_add(of(rule.per).saturating_mul(times(layout, rule.amount, rule.measure)));
                if pieces > size.pieces() {
                    let what =
                        "with this layout, the rules up to this one ask for more pieces to be cut than any builder would cut";
                    return Some(problem(&rule.place, what, pieces, size.pieces()));
                }
            }
            if counted > size.counted() {
                let what = "with this layout, the rules up to this one count more than any plan holds";
                return Some(problem(&rule.place, what, counted, size.counted()));
            }
        }
        for task in catalogue.tasks.iter().filter(|task| counts(task.scheme)) {
            counted = counted.saturating_add(of(task.per));
            if counted > size.counted() {
                let what = "with this layout, the tasks up to this one count more than any plan holds";
                return Some(problem(&task.place, what, counted, size.counted()));
            }
        }
    }
    None
}

/// How many pieces an amount asks for at each subject; runs are few at each, and each is cut at most once for every board on its way.
fn times(layout: &Layout, amount: Decimal, measure: Option<Measure>) -> usize {
    let boards = layout.boards.len();
    let pieces = match measure {
        Some(Measure::RunLength) => boards.saturating_mul(3),
        Some(Measure::LinkLength) => boards,
        // Conductors at a joint, on both halves.
        Some(Measure::TailLength) => layout.drives.len().saturating_mul(8),
        _ => 1,
    };
    amount.ceil().to_usize().unwrap_or(usize::MAX).saturating_mul(pieces)
}

fn problem(place: &Place, what: &str, found: usize, most: usize) -> Diagnostic {
    Diagnostic::error(Code::TooLarge, place.clone(), what)
        .found(format!("{found} or more"))
        .expected(format!("at most {most}; smaller amounts, fewer things on the layout, or `--large`"))
}

/// How many subjects of each sort a plan has at most.
fn most_subjects(layout: &Layout, catalogue: &Catalogue) -> BTreeMap<Per, usize> {
    let drives = layout.drives.len();
    let levers = layout.levers.len();
    let lamps = levers.saturating_mul(catalogue.rates.lamps_per_lever as usize);
    let lights: usize = layout.devices.iter().map(|device| device.lights as usize).sum();
    // A board has a controller for each way that drives need of it, at the most one for each drive.
    let controllers = drives.saturating_add(layout.boards.len());
    [
        (Per::Drive, drives),
        (Per::Lever, levers),
        (Per::Frog, layout.frogs.len()),
        (Per::FrogToContact, layout.frogs.len()),
        (Per::Lamp, lamps),
        (Per::Arm, drives),
        (Per::Aspect, lights),
        (Per::Signal, layout.devices.len()),
        (Per::Controller, controllers),
        (Per::Panel, 1),
        (Per::Supply, controllers),
        (Per::Board, layout.boards.len()),
        (Per::Joint, layout.joints.len()),
        (Per::JointPin, layout.joints.len()),
        (Per::Route, layout.routes.len()),
        (Per::Layout, 1),
    ]
    .into()
}
