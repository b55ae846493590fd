//! The live frogs: which tag of which contact takes which of their wires.

use super::plan::Plan;
use super::words::capitalised;
use crate::id::{BoardId, FrogId};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::takeoff::Subject;
use crate::wiring::{Colour, End};

/// How a contact is wired, and which rail is which. Common practice, no source.
const HOW: &str = "A changeover contact has three tags. The middle one, its common, takes the wire of the frog. Put the drive at normal and find with a \
                   meter which of the other two is joined to the common: that takes the wire of the rail for normal, the third that of the rail for reverse. \
                   The rail for normal is the one whose polarity the frog must have while the drive stands at normal: of a turnout the outer rail that a blade then \
                   lies against. Of any other crossing: set the road, and push a wagon over the frog; the wheel that runs over it has come along one of the two rails, and that rail is \
                   the one. The wrong way round there is a short as soon as an engine comes.";

/// The frogs that are wired, all or those of one board, with what is read to wire them.
pub(super) fn frogs(plan: &Plan, board: Option<BoardId>) -> Option<Section> {
    let layout = plan.layout;
    let here = |spot: BoardId| board.is_none_or(|board| spot == board);
    let rows = layout.frogs.iter().enumerate().filter_map(|(at, frog)| {
        let device = layout.device(frog.device);
        let runs = plan.estimate.wiring.runs_of(Subject::Frog(FrogId::at(at)));
        let wire = |wanted: fn(End) -> bool| {
            let run = runs.iter().find(|run| wanted(run.to.end))?;
            let colours: Vec<&str> = run.colours().map(Colour::letters).collect();
            Some(format!("{} {}", run.label, colours.join(" ")))
        };
        let number = runs.iter().find_map(|run| if let End::Contact(_, n @ 1.., _) = run.from.end { Some(n + 1) } else { None });
        let drive = &layout.drive(frog.drive).name;
        let contact = number.map_or_else(|| drive.to_string(), |number| format!("{drive}, contact {number}"));
        (here(device.spot.value.board) && !runs.is_empty()).then(|| {
            Row::of([
                Cell::from(&*frog.name),
                device.kind.word().into(),
                contact.into(),
                wire(|end| matches!(end, End::Frog(_))).into(),
                wire(|end| matches!(end, End::Rail(_, 0))).into(),
                wire(|end| matches!(end, End::Rail(_, 1))).into(),
            ])
        })
    });
    let table = Table::new(
        "frogs",
        "",
        [
            ColumnHead::words("frog", "Frog"),
            ColumnHead::words("of", "Of a"),
            ColumnHead::words("drive", "Contact at drive"),
            ColumnHead::words("common", "Common tag"),
            ColumnHead::words("normal", "Tag joined at normal"),
            ColumnHead::words("reverse", "Tag joined at reverse"),
        ],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("frogs", "Frogs and their contacts", [Block::text(HOW), Block::Table(table)]))
}

/// Which drive and which frog of the turnouts of a board has which letter, kind by kind, as the catalogue says.
pub(super) fn letters(plan: &Plan, board: BoardId) -> Vec<String> {
    let here = |spot: BoardId| spot == board;
    let devices = plan.layout.devices.iter().filter(|device| here(device.spot.value.board));
    let mut kinds: Vec<&str> = devices.map(|device| device.kind.word()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let told = |kind: &str| {
        let letters = plan.catalogue.turnout(kind)?.letters.as_ref()?;
        Some(format!("{}: {}.", capitalised(kind), letters.trim_end_matches('.')))
    };
    kinds.into_iter().filter_map(told).collect()
}
