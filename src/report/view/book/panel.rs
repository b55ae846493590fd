//! The chapter of the panel: levers, lamps, their wires, and all boards as the operator sees them.

use super::{Book, with_fill};
use crate::id::{BoardId, LeverId};
use crate::layout::BoardRole;
use crate::report::picture::{Drawing, Picture};
use crate::report::view::panel::panel;
use crate::report::view::schedule::{how_to_lay, key, of_pieces};
use crate::report::view::words::{and, table_or};
use crate::report::{Block, Cell, ColumnHead, Fill, Row, Section, Table};
use crate::wiring::{Colour, End, Run, lamps_of};

/// So many boards go into one picture.
const AT_ONCE: usize = 8;

impl Book<'_> {
    pub(super) fn panel(&self) -> Vec<Section> {
        let layout = self.plan.layout;
        let stands = match &layout.panel {
            Some(panel) => {
                let board = &layout.board(panel.spot.board).name;
                match panel.flying {
                    Some(joint) => {
                        format!("The panel stands on a flying lead, plugged in at joint {}.", layout.joint(joint).name)
                    }
                    None => format!("The panel is fixed to board {board}."),
                }
            }
            None => "There is no panel: each lever stands at the edge of its board.".to_owned(),
        };
        let boards: Vec<BoardId> = self.boards().collect();
        let pictures = boards.chunks(AT_ONCE).map(|boards| Picture {
            id: "boards",
            title: "The boards to one scale, seen from above, the front edge at the bottom".to_owned(),
            about: "Each board with its turnouts and signals by name. The table of levers says which lever throws which."
                .to_owned(),
            drawing: Drawing::Row(boards.iter().map(|&board| self.plan_above(board)).collect()),
        });
        let blocks: Vec<Block> = std::iter::once(Block::text(stands)).chain(pictures.map(Block::Picture)).collect();
        let mut sections = vec![
            Section::new("panel", "The panel", blocks).chapter(),
            Section::new("levers", "Levers and lamps", [table_or(self.lever_table(), "There are no levers.")]),
        ];
        sections.extend(panel(&self.plan));
        sections.extend(self.wires());
        if let Some(panel) = layout.panel.as_ref().filter(|panel| panel.flying.is_some()) {
            sections.extend(self.tests(panel.spot.board));
        }
        sections
    }

    fn lever_table(&self) -> Table {
        let plan = &self.plan;
        let rows = plan.layout.levers.iter().enumerate().map(|(at, lever)| {
            let drives: Vec<&str> = lever.drives.iter().map(|&drive| plan.layout.drive(drive).name.as_ref()).collect();
            let lights: Vec<&str> = lever.lights.iter().map(|&device| plan.layout.device(device).name.as_ref()).collect();
            let mut actions: Vec<&str> = lever
                .drives
                .iter()
                .filter_map(|&drive| plan.estimate.assignment.of(drive))
                .map(|scheme| plan.catalogue.scheme(scheme).action.word())
                .collect();
            actions.dedup();
            let named = |names: &[&str]| if names.is_empty() { Cell::Missing } else { and(names).into() };
            let lamps = lamps_of(plan.layout, plan.catalogue, &plan.estimate.assignment, lever);
            Row::of([
                Cell::from(LeverId::at(at).index() + 1),
                Cell::from(&*lever.name),
                named(&drives),
                named(&lights),
                named(&actions),
                lamps.word().into(),
                match plan.layout.board(lever.spot.board) {
                    board if board.role == BoardRole::FlyingPanel => "panel".into(),
                    board => format!("board {}", board.name).into(),
                },
            ])
        });
        let table = Table::new(
            "levers",
            "",
            [
                ColumnHead::number("number", "No."),
                ColumnHead::words("lever", "Lever"),
                ColumnHead::words("throws", "Throws"),
                ColumnHead::words("lights", "Lights"),
                ColumnHead::words("action", "Works"),
                ColumnHead::words("lamps", "Its lamps"),
                ColumnHead::words("place", "Where"),
            ],
        )
        .rows(rows)
        .note("Commanded: the lamp shows what the lever asks for. Proved: it shows what a contact on the drive has reported.");
        with_fill(table, "done", "Done", Fill::Tick, false)
    }

    /// The pieces that lie in a panel on a flying lead, to cut and tick here. Where the panel is fixed, its wires are cut and ticked with the board
    /// on which they lie, once, so that here stands only which is joined to what.
    fn wires(&self) -> Option<Section> {
        let layout = self.plan.layout;
        let runs = &self.plan.estimate.wiring.runs;
        let legend = key(runs.iter().flat_map(Run::colours));
        if let Some(panel) = layout.panel.as_ref().filter(|panel| panel.flying.is_some()) {
            let table = of_pieces(&self.plan, "", |_, piece| piece.board == panel.spot.board).note(legend);
            let table = with_fill(table, "done", "Done", Fill::Tick, false);
            let how = Block::text(how_to_lay(&self.plan));
            return (!table.rows.is_empty())
                .then(|| Section::new("panel_wires", "Wires at the panel", [how, Block::Table(table)]));
        }
        let begins = |run: &&Run| run.from.end.is_at_origin() || matches!(run.from.end, End::Lever(..) | End::Lamp(..));
        let rows = runs.iter().filter(begins).map(|run| {
            let colours: Vec<&str> = run.colours().map(Colour::letters).collect();
            Row::of([
                Cell::from(&*run.label),
                run.from.end.name(layout, self.plan.catalogue).into(),
                colours.join(" ").into(),
                layout.board(run.from.spot.board).name.as_ref().into(),
            ])
        });
        let table = Table::new(
            "panel_wires",
            "What is joined here",
            [
                ColumnHead::words("label", "Label"),
                ColumnHead::words("from", "At"),
                ColumnHead::words("colour", "Colour"),
                ColumnHead::words("board", "Cut with board"),
            ],
        )
        .rows(rows)
        .note(format!("Each is cut from the list of the board named, with its length, and ticked there. {legend}"));
        (!table.rows.is_empty()).then(|| Section::new("panel_wires", "Wires at the panel", [Block::Table(table)]))
    }
}
