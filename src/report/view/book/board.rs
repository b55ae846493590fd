//! The chapter of one board: what the builder has under the board, by the light of a torch.

use super::{Book, with_fill};
use crate::commissioning::Check;
use crate::id::{BoardId, ControllerId, DriveId};
use crate::mechanics::Drilling;
use crate::quantity::Length;
use crate::report::picture::{Drawing, Picture, Template};
use crate::report::view::schedule::{how_to_lay, key, on_board};
use crate::report::view::wiring::channels;
use crate::report::view::words::{and, count_of};
use crate::report::{Block, Cell, ColumnHead, Fill, Row, Section, Table};

/// Lines to write notes on.
const NOTES: usize = 5;

impl Book<'_> {
    /// All sections of a board.
    pub(super) fn board(&self, id: BoardId) -> Vec<Section> {
        let name = &self.plan.layout.board(id).name;
        let picture = Picture {
            id: "plan",
            title: format!("Board {name} from below: left and right are swapped, the front edge is at the bottom"),
            about: "What stands on the board and the ways of its wires, to scale, mirrored as one sees it from below. The tables of this chapter name every thing and wire."
                .to_owned(),
            drawing: Drawing::Plan(self.plan_below(id)),
        };
        let how = "Drawn as you see it lying underneath: what is on the left from above is on the right here. Wires go square to the edges; those for the same use that go the same way are drawn as one line. \
                   Signs that would cover one another stand side by side; measure from the table.";
        let plan = Section::new(
            "board",
            format!("Board {name}"),
            [Block::text(how), Block::Picture(picture), Block::Table(self.on_board(id))],
        );
        let sections = [self.drilling(id), self.schedule(id), self.channel_tables(id), self.settings(id), self.tests(id)];
        let notes = Table::new("notes", "", [ColumnHead::words("notes", "What differs from the plan, and what to remember")])
            .rows((0..NOTES).map(|_| Row::of([Cell::ToFill(Fill::Words)])));
        let notes = Section::new("notes", format!("Notes on board {name}"), [Block::Table(notes)]);
        std::iter::once(plan.chapter()).chain(sections.into_iter().flatten()).chain([notes]).collect()
    }

    /// What stands on the board, as measured from above.
    fn on_board(&self, id: BoardId) -> Table {
        let plan = self.plan_below(id);
        let layout = self.plan.layout;
        let what = |name: &str, sign: &'static str| {
            let device = layout.devices.iter().find(|device| &*device.name == name);
            device.map_or(sign.to_owned(), |device| {
                format!("{}{}", device.kind.word(), if device.owned { ", motorised already" } else { "" })
            })
        };
        let rows = plan.things.iter().map(|thing| {
            let kind = what(&thing.name, thing.sign.word());
            Row::of([Cell::from(&thing.name), kind.into(), Cell::Count(thing.at.x.mm_up()), Cell::Count(thing.at.y.mm_up())])
        });
        Table::new(
            "on_board",
            "What stands on it",
            [
                ColumnHead::words("name", "Name"),
                ColumnHead::words("what", "What"),
                ColumnHead::number("x", "From the left end seen from above, in mm"),
                ColumnHead::number("y", "From the front edge, in mm"),
            ],
        )
        .rows(rows)
        .note("From below, the left end seen from above is on your right.")
    }

    /// What to drill, at full size.
    fn drilling(&self, id: BoardId) -> Option<Section> {
        let mut blocks = Vec::new();
        for drilling in self.drillings {
            let here = |drive: &&DriveId| self.plan.layout.drive(**drive).spot.board == id;
            let drives: Vec<&str> =
                drilling.drives.iter().filter(here).map(|&drive| self.plan.layout.drive(drive).name.as_ref()).collect();
            if !drives.is_empty() {
                blocks.push(Block::text(format!(
                    "{}: {}, for {}.",
                    self.plan.title(drilling.scheme),
                    count_of(drives.len(), "time"),
                    and(&drives)
                )));
                blocks.push(Block::Picture(template(self.plan.title(drilling.scheme), drilling)));
            }
        }
        if blocks.is_empty() {
            return None;
        }
        let how = "Print at 100 %, without fitting to the page, and measure the 100 mm bar before you drill. Cut the template out, lay its centre under the middle of the tie bar's travel and its long side square to the \
                   travel, mark with a punch, and drill from the side where a torn edge does not show. Which way round suits is yours to see: keep clear of sleepers and frame.";
        blocks.insert(0, Block::text(how));
        Some(Section::new("drilling", "Drilling templates at full size", blocks))
    }

    /// The pieces of wire that lie here.
    fn schedule(&self, id: BoardId) -> Option<Section> {
        let wiring = &self.plan.estimate.wiring;
        let colours = wiring.sections().filter(|(_, piece)| piece.board == id).flat_map(|(run, _)| run.colours());
        let mut tables = on_board(&self.plan, id);
        let first = tables.first_mut()?;
        *first = first.clone().note(key(colours));
        let tables = tables.into_iter().map(|table| Block::Table(with_fill(table, "done", "Done", Fill::Tick, false)));
        let blocks: Vec<Block> = std::iter::once(Block::text(how_to_lay(&self.plan))).chain(tables).collect();
        Some(Section::new("schedule", "Wires of this board", blocks))
    }

    fn channel_tables(&self, id: BoardId) -> Option<Section> {
        let controllers = self.plan.estimate.assignment.controllers.iter().enumerate();
        let tables = controllers
            .filter(|(_, controller)| controller.spot.board == id)
            .map(|(at, controller)| Block::Table(channels(&self.plan, ControllerId::at(at), controller)));
        let blocks: Vec<Block> = tables.collect();
        (!blocks.is_empty()).then(|| Section::new("channels", "Channels", blocks))
    }

    /// A sheet for what is set at each drive.
    fn settings(&self, id: BoardId) -> Option<Section> {
        let plan = &self.plan;
        let here = plan.layout.drive_ids().filter(|&drive| plan.layout.drive(drive).spot.board == id);
        let rows = here.map(|id| {
            let drive = plan.layout.drive(id);
            let channel = plan.estimate.wiring.leads.get(&id).map(|lead| format!("{} / {}", lead.controller.0 + 1, lead.channel));
            let mut cells = vec![Cell::from(&*drive.name), drive.purpose.word().into(), channel.into()];
            cells.extend((0..5).map(|_| Cell::ToFill(Fill::Words)));
            Row::of(cells)
        });
        let table = Table::new(
            "settings",
            "",
            [
                ColumnHead::words("drive", "Drive"),
                ColumnHead::words("moves", "Moves"),
                ColumnHead::words("channel", "Controller / channel"),
                ColumnHead::words("normal", "End for normal"),
                ColumnHead::words("reverse", "End for reverse"),
                ColumnHead::words("speed", "Speed"),
                ColumnHead::words("turned", "Wires or sense swapped"),
                ColumnHead::words("date", "Set on"),
            ],
        )
        .rows(rows);
        (!table.rows.is_empty()).then(|| Section::new("settings", "Settings of the drives", [Block::Table(table)]))
    }

    /// What to measure, in the order that harms nothing.
    pub(super) fn tests(&self, id: BoardId) -> Option<Section> {
        let checks: Vec<&Check> = self.checks.iter().filter(|check| check.board == id).collect();
        let rows = checks.iter().map(|check| {
            let mut cells = vec![Cell::from(check.phase.word()), Cell::from(&check.what), Cell::from(&check.place)];
            cells.extend([check.expected.into(), check.least.into(), check.most.into()]);
            cells.extend([Cell::ToFill(Fill::Words), Cell::ToFill(Fill::Tick)]);
            Row::of(cells)
        });
        let table = Table::new(
            "tests",
            "",
            [
                ColumnHead::words("phase", "Phase"),
                ColumnHead::words("what", "Measure"),
                ColumnHead::words("place", "Where"),
                ColumnHead::number("expected", "Expect"),
                ColumnHead::number("least", "Good from"),
                ColumnHead::number("most", "Good up to"),
                ColumnHead::words("read", "You read"),
                ColumnHead::words("good", "Good"),
            ],
        )
        .rows(rows)
        .note("How far a reading may be off is common practice. A reading out of its bounds: power off, find out why, begin again at phase 1.");
        let how = "Finish a phase before the next. 1: no supply connected, controllers and drives unplugged. 2: the supply alone, behind its fuse. 3: one controller plugged in, no drives. 4: one drive. 5: all of them, twenty throws each, \
                   a hand on the switch.";
        (!checks.is_empty()).then(|| Section::new("tests", "Test sheet", [Block::text(how), Block::Table(table)]))
    }
}

fn template(scheme: &str, drilling: &Drilling) -> Picture {
    let mut holes = vec![("hole in the top, under the tie bar".to_owned(), Length::ZERO, drilling.top)];
    let mut outline = None;
    if let Some(bracket) = &drilling.bracket {
        outline = Some(("foot of the bracket".to_owned(), bracket.length, bracket.width));
        holes.push(("hole in the bracket, which guides the rod".to_owned(), Length::ZERO, bracket.fulcrum));
        for side in [Length::ZERO - bracket.screws_at, bracket.screws_at] {
            holes.push(("screw of the bracket".to_owned(), side, bracket.screw));
        }
    }
    Picture {
        id: "template",
        title: format!("{scheme}: full size, if the 100 mm bar measures 100 mm"),
        about: "Holes about the centre at full size, each with a letter; what they are and their sizes stand beside them."
            .to_owned(),
        drawing: Drawing::Template(Template { outline, holes }),
    }
}
