//! The wiring: what parts at each joint, which channel drives what, every run, and how much wire it takes.

use std::collections::BTreeMap;

use super::frogs::frogs;
use super::laying::{colours, labels};
use super::panel::panel;
use super::plan::{Plan, Show};
use super::power;
use super::schedule::{place, schedule};
use super::strips::{strips, tails};
use super::words::{and, each, table_or};
use crate::catalogue::{Attr, Form, Per, Role};
use crate::id::{ControllerId, DriveId, PartId};
use crate::quantity::Length;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table};
use crate::scheme::Controller;
use crate::takeoff::Subject;
use crate::wiring::{Lead, Use};

/// The wiring of a plan.
pub fn wiring(plan: &Plan) -> Document {
    let sections = [
        Some(joints(plan)),
        panel(plan),
        power::sections(plan).filter(|_| power::is_divided(plan)),
        controllers(plan),
        sizes(plan),
        schedule(plan),
        strips(plan, |_| true),
        frogs(plan, None),
        labels(plan),
        pins(plan),
        tails(plan),
        colours(plan),
        totals(plan),
    ]
    .into_iter()
    .flatten()
    .collect();
    plan.document("wiring", "wiring", sections, Show::All)
}

/// What parts at each joint.
pub(super) fn joints(plan: &Plan) -> Section {
    let wiring = &plan.estimate.wiring;
    let present: Vec<Use> =
        Use::ALL.into_iter().filter(|of| wiring.joints.iter().any(|load| load.conductors.contains_key(of))).collect();
    let mut columns = vec![ColumnHead::words("joint", "Joint"), ColumnHead::words("boards", "Between")];
    columns.extend(present.iter().map(|of| ColumnHead::number(of.word(), of.word())));
    columns.extend([
        ColumnHead::number("conductors", "In all"),
        ColumnHead::number("plugs", "Plugs"),
        ColumnHead::number("pins", "Pins in use"),
        ColumnHead::number("ways", "Ways of each plug, at least"),
        ColumnHead::number("moving", "For the drives"),
        ColumnHead::number("direct", "Wired straight to the levers"),
        ColumnHead::number("saved", "Saved"),
    ]);
    let rows = wiring.joints.iter().zip(&plan.layout.joints).map(|(load, joint)| {
        let boards = [joint.from.board, joint.to.board].map(|board| &*plan.layout.board(board).name);
        let mut cells = vec![Cell::from(&*joint.name), and(&boards).into()];
        cells.extend(present.iter().map(|of| Cell::from(load.conductors.get(of).copied().unwrap_or(0))));
        cells.extend([load.total().into(), load.plugs.into(), load.pins.len().into()]);
        cells.push(Cell::from(Some(load.ways).filter(|_| load.plugs > 0)));
        cells.extend([load.moving.into(), load.direct.into(), Cell::Count(load.saved())]);
        Row::of(cells)
    });
    let mut table = Table::new("joints", "", columns).rows(rows).note(
        "Conductors by what they are for; track feeds are not counted, save those of frogs. Ways are those asked of the plug, the spare ways among them; the connector that is bought may have more. Make every plug at a joint so that it fits one socket only, or mark both halves. Saved is how many fewer part there for the drives \
         than if each drive's own conductors ran to its lever; a minus says that so many more do, as where power and link take more than the few \
         drives beyond the joint would.",
    );
    if table.rows.len() > 1 {
        let mut cells = vec![Cell::from("In all"), Cell::Missing];
        cells.extend(
            present.iter().map(|of| Cell::from(wiring.joints.iter().filter_map(|load| load.conductors.get(of)).sum::<u32>())),
        );
        let pins: usize = wiring.joints.iter().map(|load| load.pins.len()).sum();
        cells.extend([wiring.conductors().into(), wiring.plugs().into(), pins.into(), Cell::Missing]);
        let sum = |of: fn(&crate::wiring::JointLoad) -> i64| Cell::Count(wiring.joints.iter().map(of).sum());
        cells.extend([sum(|load| load.moving.into()), sum(|load| load.direct.into()), sum(crate::wiring::JointLoad::saved)]);
        table.rows.push(Row::total(cells).named("total"));
    }
    Section::new("joints", "At the joints", [table_or(table, "The layout does not come apart: nothing is plugged.")])
}

/// Each controller with its channels.
pub(super) fn controllers(plan: &Plan) -> Option<Section> {
    let controllers = &plan.estimate.assignment.controllers;
    let rows = controllers.iter().enumerate().map(|(at, controller)| {
        Row::of([
            Cell::from(at + 1),
            plan.title(controller.scheme).into(),
            place(plan, controller.spot).into(),
            controller.channels.into(),
            controller.drives.len().into(),
            controller.free().into(),
        ])
    });
    let table = Table::new(
        "controllers",
        "",
        [
            ColumnHead::number("controller", "No."),
            ColumnHead::words("scheme", "Scheme"),
            ColumnHead::words("place", "Where, from the front left corner"),
            ColumnHead::number("channels", "Channels"),
            ColumnHead::number("used", "Used"),
            ColumnHead::number("free", "Free"),
        ],
    )
    .rows(rows);
    let mut blocks = vec![Block::Table(table)];
    blocks.extend(
        controllers.iter().enumerate().map(|(at, controller)| Block::Table(channels(plan, ControllerId::at(at), controller))),
    );
    blocks.extend(power::at_switch_on(plan).map(Block::text));
    (!controllers.is_empty()).then(|| Section::new("controllers", "Controllers and channels", blocks))
}

/// The channels of a controller, free ones too.
pub(super) fn channels(plan: &Plan, id: ControllerId, controller: &Controller) -> Table {
    let taken = leads_taken(plan);
    let driven: BTreeMap<u32, DriveId> = (1..).zip(controller.drives.iter().copied()).collect();
    let rows = (1..=controller.channels).map(|channel| {
        let Some(&drive) = driven.get(&channel) else {
            return Row::of([channel.into(), "free".into(), "".into(), Cell::Missing, Cell::Missing, Cell::Missing, "".into()]);
        };
        let lead = plan.estimate.wiring.leads.get(&drive);
        let mut notes: Vec<String> = Vec::new();
        if plan.layout.device_of(drive).owned {
            notes.push("its motor is yours already".to_owned());
        }
        if let Some(lead) = lead {
            notes.extend(lead.too_long.then(|| "longer than the scheme allows".to_owned()));
            notes.extend(lead.extension.is_none().then(|| "the motor's own tail reaches".to_owned()));
            let joints: Vec<&str> = lead.crosses.iter().map(|&joint| plan.layout.joint(joint).name.as_ref()).collect();
            notes.extend(
                (!joints.is_empty()).then(|| format!("cut at joint {}: its cores go over pins of the plug", and(&joints))),
            );
        }
        Row::of([
            channel.into(),
            Cell::from(&*plan.layout.drive(drive).name),
            plan.layout.drive(drive).purpose.word().into(),
            lead.map(|lead| lead.length).into(),
            lead.and_then(|lead| lead.extension).into(),
            lead.map_or(Cell::Missing, |lead| take(plan, lead, &taken)),
            notes.join("; ").into(),
        ])
    });
    Table::new(
        "channels",
        format!("Controller {} on {}", id.0 + 1, place(plan, controller.spot)),
        [
            ColumnHead::number("channel", "Channel"),
            ColumnHead::words("drive", "Drive"),
            ColumnHead::words("moves", "Moves"),
            ColumnHead::number("lead", "Lead").in_metres(),
            ColumnHead::number("extension", "Extension, at least").in_metres(),
            ColumnHead::number("take", "Take an extension of").in_metres(),
            ColumnHead::words("note", "Note"),
        ],
    )
    .rows(rows)
}

/// The lead on the bill that each drive takes: where parts of several lengths serve a need, the drives take them in turn.
fn leads_taken(plan: &Plan) -> BTreeMap<DriveId, PartId> {
    let mut taken = BTreeMap::new();
    for need in plan.estimate.takeoff.needs.iter().filter(|need| plan.catalogue.kind(need.kind).role == Role::Lead) {
        let parts = plan.estimate.purchase.uses.iter().filter(|used| used.need == need.id);
        let parts = parts.flat_map(|used| std::iter::repeat_n(used.part, used.count as usize));
        let drives = need.reasons.iter().filter_map(|reason| match reason.subject {
            Subject::Drive(drive) => Some(drive),
            _ => None,
        });
        taken.extend(drives.zip(parts));
    }
    taken
}

/// The extension to take for a lead, by its length; `none` where the motor's own tail reaches, nothing where none is to be had.
fn take(plan: &Plan, lead: &Lead, taken: &BTreeMap<DriveId, PartId>) -> Cell {
    if lead.extension.is_none() {
        return "none".into();
    }
    let part = taken.get(&lead.drive).map(|&part| plan.catalogue.part(part));
    part.map_or(Cell::Missing, |part| part.measured(Attr::Length).map_or_else(|| Cell::from(&part.title), Cell::from))
}

/// By what wire is chosen.
const SIZES: &str = "The thinnest wire of the catalogue that loses no more voltage than the rules allow and bears the current.";

/// By what wire for stored pulses is chosen.
const PULSES: &str = "Of pulses from a discharge unit: by which every coil still gets what it needs; the current is its peak from a unit that is charged as \
                      high as its transformer may bring it, which heats little because it is short.";

/// The wire chosen for each sort of run.
pub(super) fn sizes(plan: &Plan) -> Option<Section> {
    let rows = plan.estimate.wiring.sizings.iter().map(|sizing| {
        Row::of([
            match sizing.per {
                Per::Layout if sizing.feeds_levers => "the levers at the panel".into(),
                Per::Layout if plan.layout.panel.is_some() => Cell::from("the panel"),
                Per::Layout => "the supply".into(),
                per if sizing.subjects.is_empty() => each(per).into(),
                _ => and(&sizing.subjects.iter().map(|subject| subject.name(plan.layout)).collect::<Vec<_>>()).into(),
            },
            sizing.scheme.map_or("lights", |scheme| plan.title(scheme)).into(),
            sizing.area.into(),
            sizing.carries.into(),
            if sizing.bears { "" } else { "not rated for that much" }.into(),
        ])
    });
    let table = Table::new(
        "sizes",
        "",
        [
            ColumnHead::words("per", "Runs of"),
            ColumnHead::words("scheme", "For"),
            ColumnHead::number("area", "Copper, at least"),
            ColumnHead::number("carries", "Flows through it at most"),
            ColumnHead::words("note", "Note"),
        ],
    )
    .rows(rows)
    .note(if plan.estimate.discharges.is_empty() { SIZES.to_owned() } else { format!("{SIZES} {PULSES}") });
    (!table.rows.is_empty()).then(|| Section::new("sizes", "Wire sizes", [Block::Table(table)]))
}

/// The pins of every plug, the same for both halves.
pub(super) fn pins(plan: &Plan) -> Option<Section> {
    let wiring = &plan.estimate.wiring;
    let mut blocks = Vec::new();
    for (load, joint) in wiring.joints.iter().zip(&plan.layout.joints) {
        for plug in 1..=load.plugs {
            let pins = load.pins.iter().filter(|pin| pin.plug == plug).map(|pin| {
                let (label, of, colour) = wiring.conductor(plan.layout, pin);
                let tail = if pin.by_tail { "by a tail" } else { "" };
                Row::of([Cell::from(pin.number), label.into(), of.into(), colour.letters().into(), tail.into()])
            });
            let columns = [
                ColumnHead::number("pin", "Pin"),
                ColumnHead::words("label", "Label"),
                ColumnHead::words("use", "Use"),
                ColumnHead::words("colour", "Colour"),
                ColumnHead::words("tail", "Joined"),
            ];
            let title = format!("Joint {}, plug {plug} of {}", joint.name, load.plugs);
            blocks.push(Block::Table(Table::new("pins", title, columns).rows(pins)));
        }
    }
    if blocks.is_empty() {
        return None;
    }
    blocks.insert(
        0,
        Block::text(
            "Both halves have the same table: pin 3 of the plug meets pin 3 of the socket. The half nearer the supply is the socket, so that no bare pin \
             is live when the boards are apart. A label that stands at several pins is one conductor whose current, or what the fuse before it lets through, is more than one pin bears; it ends, like one that \
             is thicker than a pin takes, in a terminal strip beside the plug, and a short tail, as thick as a pin takes, leads to each of its pins, on both halves. The link return brings the link's signals home: \
             join it to the terminals of the link alone, at the encoder and at every controller, and nowhere to a minus pole. Inside a \
             controller it commonly meets the power minus, so a small part of the motors' current comes home in it beside the power pair.",
        ),
    );
    Some(Section::new("pins", "Pins at the joints", blocks))
}

/// How much of every kind of wire, link and lead.
pub(super) fn totals(plan: &Plan) -> Option<Section> {
    let takeoff = &plan.estimate.takeoff;
    let counted = [Role::Wire, Role::Link, Role::Lead, Role::Connector];
    let wired = takeoff.needs.iter().filter(|need| counted.contains(&plan.catalogue.kind(need.kind).role));
    let rows = wired.map(|need| {
        let is_cut = plan.catalogue.kind(need.kind).form == Form::Pieces;
        let pieces = need.pieces();
        let length: Option<Length> = is_cut.then(|| pieces.iter().map(|piece| piece.0).sum());
        let parts = plan.estimate.purchase.uses.iter().filter(|used| used.need == need.id);
        let parts: Vec<String> = parts.map(|used| format!("{} x {}", used.count, plan.catalogue.part(used.part).title)).collect();
        Row::of([
            Cell::from(plan.need_title(need)),
            Cell::Quantity(crate::quantity::Quantity::new(crate::quantity::Dimension::Count, need.amount())),
            length.into(),
            if parts.is_empty() { Cell::Missing } else { Cell::from(and(&parts)) },
        ])
    });
    let table = Table::new(
        "totals",
        "",
        [
            ColumnHead::words("need", "What"),
            ColumnHead::number("amount", "Number or pieces"),
            ColumnHead::number("length", "Length in all").in_metres(),
            ColumnHead::words("parts", "Taken"),
        ],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("totals", "Wire, leads and plugs in all", [Block::Table(table)]))
}
