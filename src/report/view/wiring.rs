//! The wiring: what parts at each joint, which channel drives what, every run, and how much wire it takes.

use std::collections::BTreeMap;

use super::laying::{colours, labels};
use super::plan::{Plan, Show};
use super::power;
use super::words::{and, table_or};
use crate::catalogue::{Form, Role, Word};
use crate::id::{BoardId, ControllerId, DriveId, JointId};
use crate::layout::Spot;
use crate::quantity::Length;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table};
use crate::scheme::Controller;
use crate::takeoff::Subject;
use crate::wiring::{Colour, Run, Use};

/// What is said of what belongs to a device that is owned.
const OWNED: &str = "yours already; nothing is bought for it";

/// The wiring of a plan.
pub fn wiring(plan: &Plan) -> Document {
    let sections = [
        Some(joints(plan)),
        power::sections(plan).filter(|_| power::is_divided(plan)),
        controllers(plan),
        sizes(plan),
        runs(plan),
        labels(plan),
        pins(plan),
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
        ColumnHead::number("ways", "Ways of each plug"),
        ColumnHead::number("moving", "For the drives"),
        ColumnHead::number("direct", "Wired straight to the levers"),
        ColumnHead::number("saved", "Saved"),
    ]);
    let rows = wiring.joints.iter().zip(&plan.layout.joints).map(|(load, joint)| {
        let boards = [joint.from.board, joint.to.board].map(|board| &*plan.layout.board(board).name);
        let mut cells = vec![Cell::from(&*joint.name), and(&boards).into()];
        cells.extend(present.iter().map(|of| Cell::from(load.conductors.get(of).copied().unwrap_or(0))));
        cells.extend([load.total().into(), load.plugs.into(), Cell::from(Some(load.ways).filter(|_| load.plugs > 0))]);
        cells.extend([load.moving.into(), load.direct.into(), Cell::Count(load.saved())]);
        Row::of(cells)
    });
    let mut table = Table::new("joints", "", columns).rows(rows).note(
        "Conductors by what they are for; track feeds are not counted, save those of frogs. Ways have the spare ways in them. Make every plug at a joint so that it fits one socket only, or mark both halves. Saved is what the scheme's wiring spares against \
         running every drive's own conductors to its lever.",
    );
    if table.rows.len() > 1 {
        let mut cells = vec![Cell::from("In all"), Cell::Missing];
        cells.extend(
            present.iter().map(|of| Cell::from(wiring.joints.iter().filter_map(|load| load.conductors.get(of)).sum::<u32>())),
        );
        cells.extend([wiring.conductors().into(), wiring.plugs().into(), Cell::Missing]);
        let sum = |of: fn(&crate::wiring::JointLoad) -> i64| Cell::Count(wiring.joints.iter().map(of).sum());
        cells.extend([sum(|load| load.moving.into()), sum(|load| load.direct.into()), sum(crate::wiring::JointLoad::saved)]);
        table.rows.push(Row::total(cells).named("total"));
    }
    Section::new("joints", "At the joints", [table_or(table, "The layout does not come apart: nothing is plugged.")])
}

/// A point in words: `board A, 300 x 120 mm`.
fn place(plan: &Plan, spot: Spot) -> String {
    format!("board {}, {} x {} mm", plan.layout.board(spot.board).name, spot.at.x.mm_up(), spot.at.y.mm_up())
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
    let driven: BTreeMap<u32, DriveId> = (1..).zip(controller.drives.iter().copied()).collect();
    let rows = (1..=controller.channels).map(|channel| {
        let Some(&drive) = driven.get(&channel) else {
            return Row::of([channel.into(), "free".into(), "".into(), Cell::Missing, Cell::Missing, "".into()]);
        };
        let lead = plan.estimate.wiring.leads.get(&drive);
        let note = match lead {
            Some(lead) if lead.too_long => "longer than the scheme allows",
            Some(_) if Subject::Drive(drive).is_owned(plan.layout) => OWNED,
            Some(lead) if lead.extension.is_none() => "the motor's own tail reaches",
            _ => "",
        };
        Row::of([
            channel.into(),
            Cell::from(&*plan.layout.drive(drive).name),
            plan.layout.drive(drive).purpose.word().into(),
            lead.map(|lead| lead.length).into(),
            lead.and_then(|lead| lead.extension).into(),
            note.into(),
        ])
    });
    Table::new(
        "channels",
        format!("Controller {} on {}", id.0 + 1, place(plan, controller.spot)),
        [
            ColumnHead::number("channel", "Channel"),
            ColumnHead::words("drive", "Drive"),
            ColumnHead::words("moves", "Moves"),
            ColumnHead::number("lead", "Lead"),
            ColumnHead::number("extension", "Extension, at least"),
            ColumnHead::words("note", "Note"),
        ],
    )
    .rows(rows)
}

/// The wire chosen for each sort of run.
pub(super) fn sizes(plan: &Plan) -> Option<Section> {
    let rows = plan.estimate.wiring.sizings.iter().map(|sizing| {
        Row::of([
            Cell::from(if sizing.subjects.is_empty() {
                format!("each {}", sizing.per.word())
            } else {
                and(&sizing.subjects.iter().map(|subject| subject.name(plan.layout)).collect::<Vec<_>>())
            }),
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
    .note(
        "The thinnest wire of the catalogue that loses no more voltage than the rules allow and bears the current. Of pulses from a discharge unit: by \
         which every coil still gets what it needs; the current is its peak, which heats little because it is short.",
    );
    (!table.rows.is_empty()).then(|| Section::new("sizes", "Wire sizes", [Block::Table(table)]))
}

/// Where the supplies plug in, in words.
fn source(plan: &Plan) -> String {
    let spot = plan.layout.origin();
    let at = place(plan, spot);
    match &plan.layout.panel {
        Some(panel) if panel.flying.is_some() => "The supplies plug in at the panel, at the end of its flying lead".to_owned(),
        Some(_) => format!("The supplies plug in at the panel ({at})"),
        None => format!("The supplies plug in at the front of the first board ({at})"),
    }
}

/// Every run, board by board where it ends, in the order one lays it: first what comes from the board before, then what is for one device.
fn runs(plan: &Plan) -> Option<Section> {
    let boards = (0..plan.layout.boards.len()).map(BoardId::at);
    let mut blocks: Vec<Block> = boards.filter_map(|board| runs_to(plan, board)).map(Block::Table).collect();
    if blocks.is_empty() {
        return None;
    }
    blocks.insert(0, Block::text(how_to_lay(plan)));
    Some(Section::new("runs", "Runs by board", blocks))
}

/// How to read a schedule of runs, and how to lay them.
pub(super) fn how_to_lay(plan: &Plan) -> String {
    format!(
        "{}; from there the wires go board by board, those of each board in the order to lay them. \
         Lengths are cut lengths: along the boards' edges, down through the top, with a tail at each end and slack. Write the label on both ends. `Over` names the joints a run crosses. \
         Colours are the letters of IEC 60757; which colour stands for what is our own choice: red goes out, black comes home. Keep pulse and \
         track wires 50 mm away from servo leads and links, and let them cross at right angles (common practice).",
        source(plan),
    )
}

/// The runs that end on a board; none where there are none.
pub(super) fn runs_to(plan: &Plan, board: BoardId) -> Option<Table> {
    let mut runs: Vec<&Run> = plan.estimate.wiring.runs.iter().filter(|run| run.to.spot.board == board).collect();
    runs.sort_by_key(|run| !matches!(run.subject, Subject::Board(_) | Subject::Controller(_)));
    let title = format!("To board {}", plan.layout.board(board).name);
    (!runs.is_empty()).then(|| schedule(plan, title, &runs))
}

/// A schedule of runs; with a note on what is owned, if any run of the plan is.
pub(super) fn schedule(plan: &Plan, title: impl Into<String>, runs: &[&Run]) -> Table {
    let some_owned = plan.estimate.wiring.runs.iter().any(|run| run.subject.is_owned(plan.layout));
    let mut columns = Vec::from([
        ColumnHead::words("label", "Label"),
        ColumnHead::words("use", "Use"),
        ColumnHead::words("from", "From"),
        ColumnHead::words("to", "To"),
        ColumnHead::words("colour", "Colour"),
        ColumnHead::number("area", "Copper").detail(),
        ColumnHead::number("length", "Length"),
        ColumnHead::words("crosses", "Over"),
    ]);
    if some_owned {
        columns.push(ColumnHead::words("note", "Note"));
    }
    Table::new("runs", title, columns).rows(runs.iter().map(|run| row(plan, run, some_owned)))
}

fn row(plan: &Plan, run: &Run, some_owned: bool) -> Row {
    let crosses: Vec<&str> = run.crosses.iter().map(|&joint: &JointId| &*plan.layout.joint(joint).name).collect();
    let colours: Vec<&str> = run.colours().map(Colour::letters).collect();
    let mut cells = vec![
        Cell::from(&*run.label),
        run.purpose.word().into(),
        run.from.end.name(plan.layout).into(),
        run.to.end.name(plan.layout).into(),
        colours.join(" ").into(),
        // A cable is bought by its cores, not by their copper.
        plan.estimate.wiring.area_of(run.subject, run.scheme).filter(|_| run.purpose != Use::Link).into(),
        run.length.into(),
        if crosses.is_empty() { Cell::from("none") } else { Cell::from(crosses.join(", ")) },
    ];
    if some_owned {
        cells.push(if run.subject.is_owned(plan.layout) { OWNED } else { "" }.into());
    }
    Row::of(cells)
}

/// The pins of every plug, the same for both halves.
pub(super) fn pins(plan: &Plan) -> Option<Section> {
    let wiring = &plan.estimate.wiring;
    let mut blocks = Vec::new();
    for (load, joint) in wiring.joints.iter().zip(&plan.layout.joints) {
        for plug in 1..=load.plugs {
            let pins = load.pins.iter().filter(|pin| pin.plug == plug).map(|pin| {
                let (label, colour) = wiring.conductor(plan.layout, pin);
                Row::of([Cell::from(pin.number), label.into(), pin.purpose.word().into(), colour.letters().into()])
            });
            let columns = [
                ColumnHead::number("pin", "Pin"),
                ColumnHead::words("label", "Label"),
                ColumnHead::words("use", "Use"),
                ColumnHead::words("colour", "Colour"),
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
             is live when the boards are apart. A label that stands at several pins is one conductor whose current is more than one pin bears.",
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
            ColumnHead::number("length", "Length in all"),
            ColumnHead::words("parts", "Taken"),
        ],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("totals", "Wire, leads and plugs in all", [Block::Table(table)]))
}
