//! Refuses a plan that would count into the millions, before any of it is counted.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, VecDeque};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::catalogue::{Catalogue, Form, Measure, Per};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::id::{BoardId, SchemeId};
use crate::layout::Layout;
use crate::size::Size;

/// What is wrong with a layout and a catalogue that together would ask for more counting than `size` allows.
pub fn too_many(layout: &Layout, catalogue: &Catalogue, size: Size) -> Option<Diagnostic> {
    let subjects = most_subjects(layout, catalogue);
    let of = |per: Per| subjects.get(&per).copied().unwrap_or(0);
    let reach = Reach::of(layout);
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
                pieces = pieces.saturating_add(of(rule.per).saturating_mul(reach.times(rule.amount, rule.measure)));
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

/// How far the things of a layout lie from the panel, in joints.
struct Reach {
    /// Joints between a thing and the panel, on the average and rounded up.
    on_average: usize,
    /// Things that have their wires over a joint, on the average and rounded up.
    over_each: usize,
}

impl Reach {
    fn of(layout: &Layout) -> Self {
        let mut joints_to: BTreeMap<BoardId, usize> = BTreeMap::from([(layout.origin().board, 0)]);
        let mut next = VecDeque::from([(layout.origin().board, 0_usize)]);
        while let Some((board, joints)) = next.pop_front() {
            for joint in &layout.joints {
                let other = match (joint.from.board, joint.to.board) {
                    (from, to) if from == board => to,
                    (from, to) if to == board => from,
                    _ => continue,
                };
                if let Entry::Vacant(unseen) = joints_to.entry(other) {
                    unseen.insert(joints.saturating_add(1));
                    next.push_back((other, joints.saturating_add(1)));
                }
            }
        }
        let of_drives = layout.drives.iter().map(|drive| drive.spot.board);
        let of_lights = layout.devices.iter().filter(|device| device.lights > 0).map(|device| device.spot.value.board);
        let things: Vec<usize> = of_drives.chain(of_lights).map(|board| joints_to.get(&board).copied().unwrap_or(0)).collect();
        let crossings: usize = things.iter().sum();
        Self { on_average: crossings.div_ceil(things.len().max(1)), over_each: crossings.div_ceil(layout.joints.len().max(1)) }
    }

    /// How many pieces an amount asks for at each subject, on the average: a thing has some three wires, each cut at every joint on its way.
    fn times(&self, amount: Decimal, measure: Option<Measure>) -> usize {
        let pieces = match measure {
            Some(Measure::RunLength) => self.on_average.saturating_add(1).saturating_mul(3),
            Some(Measure::LinkLength) => self.on_average.saturating_add(1),
            // Conductors at a joint, on both halves.
            Some(Measure::TailLength) => self.over_each.saturating_mul(6),
            _ => 1,
        };
        amount.ceil().to_usize().unwrap_or(usize::MAX).saturating_mul(pieces)
    }
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
        (Per::Encoder, levers),
        (Per::Supply, controllers),
        (Per::Board, layout.boards.len()),
        (Per::Joint, layout.joints.len()),
        (Per::JointPin, layout.joints.len()),
        (Per::Route, layout.routes.len()),
        (Per::Layout, 1),
    ]
    .into()
}
