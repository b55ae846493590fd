//! What is wired at the panel: feeds and their fuses, and each lever from its encoder to what it works.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::Plan;
use super::words::{and, by_kind};
use crate::catalogue::{Attr, Role};
use crate::id::{LeverId, PartId};
use crate::power::Branch;
use crate::quantity::Current;
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::takeoff::Subject;
use crate::wiring::{Encoder, End, Set, Shown, served, shown};

/// The tables of the panel, or of the levers beside the boards.
pub(super) fn panel(plan: &Plan) -> Option<Section> {
    let tables = [feeds(plan), levers(plan), jumpers(plan), holes(plan)];
    let blocks: Vec<Block> = tables.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect();
    (!blocks.is_empty())
        .then(|| Section::new("at_panel", if plan.layout.panel.is_some() { "At the panel" } else { "Feeds and levers" }, blocks))
}

/// Each feed, or each section of one that is divided: its fuse, and what its wires go to from there.
fn feeds(plan: &Plan) -> Table {
    let runs = &plan.estimate.wiring.runs;
    let ends = |from: End| {
        let ends: BTreeSet<End> = runs.iter().filter(|run| run.from.end == from).map(|run| run.to.end).collect();
        let names: Vec<String> = ends.into_iter().map(|end| end.name(plan.layout, plan.catalogue)).collect();
        if names.is_empty() { Cell::Missing } else { Cell::from(and(&names)) }
    };
    let rows = plan.estimate.demands.iter().enumerate().flat_map(|(at, demand)| {
        demand.sections.iter().enumerate().flat_map(move |(number, section)| {
            let source = demand.source(number);
            let fuse = section.fuse.map(Current::quantity).into();
            let here = |branch: &&Branch| branch.feed.index() == at && branch.section as usize == number;
            let fuses: Vec<(&Branch, End)> = plan
                .estimate
                .branches
                .iter()
                .filter(here)
                .flat_map(|branch| {
                    let numbers = if branch.count > 1 { 1..=branch.count } else { 0..=0 };
                    numbers.map(move |n| (branch, End::Branch(source, branch.scheme, n)))
                })
                .filter(|(_, end)| runs.iter().any(|run| run.from.end == *end))
                .collect();
            let from_fuse = if fuses.is_empty() {
                ends(End::Fuse(source))
            } else {
                let beside: BTreeSet<End> =
                    runs.iter().filter(|run| run.from.end == End::Fuse(source)).map(|run| run.to.end).collect();
                let beside = beside.into_iter().map(|end| end.name(plan.layout, plan.catalogue));
                Cell::from(and(&beside.chain(["the branch fuses beside it".to_owned()]).collect::<Vec<_>>()))
            };
            let main = Row::of([Cell::from(source.name()), fuse, from_fuse, ends(End::Socket(source))]);
            let branches = fuses.into_iter().map(move |(branch, end)| {
                let number = if let End::Branch(.., n @ 1..) = end { format!(" {n}") } else { String::new() };
                Row::of([
                    format!("{}, branch{number} of {}", source.name(), served(plan.catalogue, branch.scheme)).into(),
                    branch.fuse.into(),
                    ends(end),
                    Cell::Missing,
                ])
            });
            std::iter::once(main).chain(branches).collect::<Vec<_>>()
        })
    });
    Table::new(
        "feeds",
        "Feeds",
        [
            ColumnHead::words("feed", "Feed"),
            ColumnHead::number("fuse", "Fuse"),
            ColumnHead::words("from_fuse", "From the fuse to"),
            ColumnHead::words("from_socket", "From the socket's other pole to"),
        ],
    )
    .rows(rows)
    .note(
        "A supply plugs into its socket; its supply lead goes from there to the fuse, and all that goes out begins behind the fuse. Where a feed is divided, \
         each section has a supply, a socket and a fuse of its own; their plus poles are never joined, and the minus of direct current is, from socket to socket by wires of the schedule. A branch fuse stands beside the fuse of its feed and is \
         joined to it by a short piece of the feed's own wire, from an offcut: the thinner wires begin behind it.",
    )
}

/// Each lever: the encoder's input that reads it, the outputs that light its lamps, the channels it works or the wires that leave it.
fn levers(plan: &Plan) -> Table {
    let estimate = &plan.estimate;
    let rows = plan.layout.levers.iter().enumerate().map(|(at, lever)| {
        let id = LeverId::at(at);
        let input = estimate.encoders.iter().flat_map(|encoder| &encoder.inputs).find(|input| input.lever == id);
        let shown = shown(plan.layout, plan.catalogue, &estimate.assignment, id).map(|(_, shown)| shown);
        let outputs = || input.map_or(&[][..], |input| &input.outputs).iter().map(u32::to_string).collect::<Vec<_>>();
        let lit = match shown {
            None => String::new(),
            Some(Shown::Encoder) => format!("outputs {}", and(&outputs())),
            Some(Shown::Latch) => "by its latch".to_owned(),
            Some(Shown::Poles | Shown::Reversed) => "by the poles of the lever".to_owned(),
            Some(Shown::Contact) => "by the wires of the contact".to_owned(),
        };
        let mut works: Vec<String> = Vec::new();
        for drive in &lever.drives {
            if let Some(lead) = estimate.wiring.leads.get(drive) {
                works.push(format!("{}: {}.{}", plan.layout.drive(*drive).name, lead.controller.0 + 1, lead.channel));
            }
        }
        let wires = estimate.wiring.runs.iter().filter(|run| match run.from.end {
            End::Lever(of, ..) | End::Lamp(of, ..) => of == id && !matches!(run.subject, Subject::Layout),
            _ => false,
        });
        let wires: Vec<&str> = wires.map(|run| run.label.as_str()).collect();
        let named = |names: String| if names.is_empty() { Cell::Missing } else { Cell::from(names) };
        Row::of([
            Cell::from(&*lever.name),
            input.map(|input| format!("{}.{}", input.encoder, input.input)).into(),
            named(lit),
            named(works.join(", ")),
            named(wires.join(", ")),
        ])
    });
    let named = |encoder: &Encoder| {
        let free = if encoder.inputs.is_empty() { kept_free(plan) } else { String::new() };
        format!("Encoder {} is: {}{free}", encoder.number, plan.catalogue.part(encoder.part).title)
    };
    let which: Vec<String> = estimate.encoders.iter().map(named).collect();
    let table = Table::new(
        "lever_wiring",
        "Levers",
        [
            ColumnHead::words("lever", "Lever"),
            ColumnHead::words("input", "Encoder.input"),
            ColumnHead::words("outputs", "Its lamps are lit"),
            ColumnHead::words("works", "Works controller.channel"),
            ColumnHead::words("wires", "Wires that leave it"),
        ],
    )
    .rows(rows);
    if which.is_empty() {
        return table;
    }
    table.note(format!(
        "2.3 is input 3 of encoder 2, or channel 3 of controller 2. {}. Feed and link come to the first encoder and go on from one to the next. Which tag of a lever is joined to which \
         terminal stands among the short wires; teach the link which input works which channel as this table has it.",
        which.join(". ")
    ))
}

/// Whether the lamps of a lever stand across the poles by which it reverses its motor.
pub(super) fn reverses(plan: &Plan) -> bool {
    let how = |lever| shown(plan.layout, plan.catalogue, &plan.estimate.assignment, lever);
    (0..plan.layout.levers.len()).any(|at| matches!(how(LeverId::at(at)), Some((_, Shown::Reversed))))
}

/// Why there is an encoder that reads nothing yet.
fn kept_free(plan: &Plan) -> String {
    let spare = plan.layout.rules.spare_channels.value;
    let levers = u32::try_from(plan.layout.levers.len()).unwrap_or(u32::MAX);
    if spare.on(levers) == levers {
        return "; all its inputs are free".to_owned();
    }
    format!(
        "; no lever is at it yet: it is there only for the inputs that the rule of spare channels ({spare}) keeps free for later"
    )
}

/// The short wires behind the levers, between encoders, and from contacts to their controllers.
fn jumpers(plan: &Plan) -> Table {
    let rows = plan.estimate.jumpers.iter().map(|jumper| {
        let end = |end: End| Cell::from(end.name(plan.layout, plan.catalogue));
        let set = match jumper.set {
            Set::Lever(_) => "lever",
            Set::Encoder(_) => "encoder",
            Set::Contact(_) => "contact",
        };
        let label = Cell::from(&*jumper.label);
        Row::of([label, end(jumper.from), end(jumper.to), jumper.colour.letters().into(), set.into()])
    });
    Table::new(
        "jumpers",
        "Short wires",
        [
            ColumnHead::words("label", "Wire"),
            ColumnHead::words("from", "From"),
            ColumnHead::words("to", "To"),
            ColumnHead::words("colour", "Colour"),
            ColumnHead::words("set", "Set"),
        ],
    )
    .rows(rows)
    .note(format!(
        "They stand ready in sets and are not cut from reels: wires behind the levers, the lead that comes with an encoder, wires for a contact. Normal and reverse of a tag say when it is joined to the common one: when lever or blades stand so. \
         What a changeover or a lever is called by on its case may differ: find its tags with a meter.{}",
        if reverses(plan) {
            " The second lamp of a lever that reverses stands the other way round to the first; one resistor, before the first of the two wires, serves \
             both."
        } else {
            ""
        }
    ))
}

/// What is set into the panel, or into the plates of levers beside the boards, with the hole that each takes.
fn holes(plan: &Plan) -> Table {
    let mut parts: BTreeMap<_, (PartId, u32)> = BTreeMap::new();
    for need in &plan.estimate.takeoff.needs {
        if matches!(plan.catalogue.kind(need.kind).role, Role::Switch | Role::Lamp) {
            for used in plan.estimate.purchase.uses.iter().filter(|used| used.need == need.id) {
                let whole = need.counted().try_into().unwrap_or(used.count);
                parts.entry(by_kind(plan.catalogue, used.part)).or_insert((used.part, 0)).1 += used.count.min(whole);
            }
        }
    }
    let rows = parts.into_values().map(|(part, count)| {
        let part = plan.catalogue.part(part);
        Row::of([Cell::from(&part.title), count.into(), part.measured(Attr::Diameter).into()])
    });
    Table::new(
        "holes",
        "Holes of levers and lamps",
        [ColumnHead::words("part", "Part"), ColumnHead::number("holes", "Holes"), ColumnHead::number("diameter", "Drill")],
    )
    .rows(rows)
    .note("Measure the thread of your own part before you drill. A dash: no round hole; file the slot by the part itself. Drill both from the front, \
           on scrap wood, with a smaller hole first.")
}
