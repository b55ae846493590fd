//! What is wired at the panel: feeds and their fuses, and each lever from its encoder to what it works.

use std::collections::BTreeSet;

use super::plan::Plan;
use super::words::and;
use crate::id::LeverId;
use crate::layout::Lamps;
use crate::power::Branch;
use crate::quantity::Current;
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::takeoff::Subject;
use crate::wiring::{Encoder, End, Set, lamps_of, served};

/// The tables of the panel, or of the levers beside the boards.
pub(super) fn panel(plan: &Plan) -> Option<Section> {
    let tables = [feeds(plan), levers(plan), jumpers(plan)];
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
            let main = Row::of([Cell::from(source.name()), fuse, ends(End::Fuse(source)), ends(End::Socket(source))]);
            let here = move |branch: &&Branch| branch.feed.index() == at && branch.section as usize == number;
            let branches = plan.estimate.branches.iter().filter(here).map(move |branch| {
                Row::of([
                    format!("{}, branch of {}", source.name(), served(plan.catalogue, branch.scheme)).into(),
                    branch.fuse.into(),
                    ends(End::Branch(source, branch.scheme)),
                    Cell::Missing,
                ])
            });
            std::iter::once(main).chain(branches)
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
        let lamps = lamps_of(plan.layout, plan.catalogue, &estimate.assignment, lever);
        let lit = match (input, lamps) {
            (_, Lamps::None) => String::new(),
            (Some(input), _) if !input.outputs.is_empty() => {
                format!("outputs {}", and(&input.outputs.iter().map(u32::to_string).collect::<Vec<_>>()))
            }
            (_, Lamps::Commanded) if is_latched(plan, id) => "by its latch".to_owned(),
            (_, Lamps::Commanded) => "by the poles of the lever".to_owned(),
            (_, Lamps::Proved) => "by the wires of the contact".to_owned(),
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
        let free = if encoder.inputs.is_empty() { "; all its inputs are free" } else { "" };
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
        which.join("; ")
    ))
}

/// Whether a lever's lamps are lit by its latch.
fn is_latched(plan: &Plan, id: LeverId) -> bool {
    plan.estimate.jumpers.iter().any(|jumper| matches!(jumper.to, End::Latch(of, _) if of == id))
}

/// The short wires behind the levers, between encoders, and from contacts to their controllers.
fn jumpers(plan: &Plan) -> Table {
    let rows = plan.estimate.jumpers.iter().map(|jumper| {
        let end = |end: End| Cell::from(end.name(plan.layout, plan.catalogue));
        let set = match jumper.set {
            Set::Lever(_) => "wires behind the levers",
            Set::Encoder(_) => "the lead of that encoder",
            Set::Contact(_) => "wires for a contact",
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
            ColumnHead::words("set", "Out of the set of"),
        ],
    )
    .rows(rows)
    .note(
        "They stand ready in sets and are not cut from reels. Normal and reverse of a tag say when it is joined to the common one: when lever or blades stand so. \
         What a changeover or a lever is called by on its case may differ: find its tags with a meter. The second lamp of a lever that reverses stands the \
         other way round to the first; one resistor, before the first of the two wires, serves both.",
    )
}
