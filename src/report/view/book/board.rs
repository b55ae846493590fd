//! The chapter of one board: what the builder has under the board, by the light of a torch.

use std::collections::BTreeMap;

use super::{Book, with_fill};
use crate::commissioning::{Check, Phase};
use crate::id::{BoardId, ControllerId, DriveId};
use crate::layout::DeviceKind;
use crate::mechanics::Drilling;
use crate::quantity::{Length, Quantity};
use crate::report::picture::{Drawing, Hole, Leg, Picture, Template};
use crate::report::view::frogs::{frogs, letters};
use crate::report::view::schedule::{how_to_lay, key, on_board};
use crate::report::view::strips::strips;
use crate::report::view::wiring::channels;
use crate::report::view::words::{and, capitalised, count_of};
use crate::report::{Block, Cell, ColumnHead, Fill, Prose, Row, Section, Table};

/// Lines to write notes on: they stand below the plan, where there is room, and never make a page of their own.
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
        let kinds = letters(&self.plan, id);
        let several = self.plan.layout.devices.iter().any(|device| device.drives.len() > 1 && device.spot.value.board == id);
        let letters = several.then(|| {
            Block::text(
                "A name with a, b or c behind it is one drive of a turnout or signal that has several. Call a the one nearest the left end seen from above, \
                 and keep to that at its lever, channel and frog.",
            )
        });
        let at_one_place = self.at_one_place(id).map(Block::Text);
        let kinds = (!kinds.is_empty()).then(|| Block::List(kinds.into_iter().map(Prose::from).collect()));
        let blocks = [
            Some(Block::text(how)),
            Some(Block::Picture(picture)),
            letters,
            at_one_place,
            kinds,
            Some(Block::Table(self.on_board(id))),
        ];
        let plan = Section::new("board", format!("Board {name}"), blocks.into_iter().flatten().collect::<Vec<_>>());
        let sections = [
            self.drilling(id),
            self.schedule(id),
            strips(&self.plan, |board| board == Some(id)),
            frogs(&self.plan, Some(id)),
            self.channel_tables(id),
            self.settings(id),
            self.tests(id),
        ];
        let notes = Table::new("notes", "", [ColumnHead::words("notes", "What differs from the plan, and what to remember")])
            .rows((0..NOTES).map(|_| Row::of([Cell::ToFill(Fill::Words)])));
        let notes = Section::new("notes", format!("Notes on board {name}"), [Block::Table(notes)]);
        [plan.chapter(), notes].into_iter().chain(sections.into_iter().flatten()).collect()
    }

    /// Which drives of one device the layout file puts at one place, though each needs its own.
    fn at_one_place(&self, id: BoardId) -> Option<Prose> {
        let layout = self.plan.layout;
        let mut alike: BTreeMap<_, Vec<&str>> = BTreeMap::new();
        for drive in layout.drives.iter().filter(|drive| drive.spot.board == id) {
            alike.entry((drive.device, drive.spot.at)).or_default().push(&drive.name);
        }
        let (mut together, mut is_signal): (Vec<String>, bool) = (Vec::new(), false);
        for ((device, _), names) in alike.into_iter().filter(|(_, names)| names.len() > 1) {
            together.push(and(&names));
            is_signal |= layout.device(device).kind == DeviceKind::Semaphore;
        }
        let arms = if is_signal {
            " Which arm of a signal is which the file does not say: choose, write it down in the notes, and keep to it."
        } else {
            ""
        };
        (!together.is_empty()).then(|| {
            format!(
                "The layout file gives one place for {}, but each needs its own: measure at the turnout or signal where each rod comes through, \
                 and mark them all before you drill the first hole.{arms}",
                together.join("; for ")
            )
            .into()
        })
    }

    /// What stands on the board, as measured from above.
    fn on_board(&self, id: BoardId) -> Table {
        let plan = self.plan_below(id);
        let layout = self.plan.layout;
        let what = |name: &str, sign: &'static str| {
            let of_drive = layout.drives.iter().find(|drive| &*drive.name == name).map(|drive| layout.device(drive.device));
            let device = layout.devices.iter().find(|device| &*device.name == name).or(of_drive);
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
                let times = count_of(drives.len(), "time");
                let title = format!("{}: {times}, for {}", self.plan.title(drilling.scheme), and(&drives));
                blocks.push(Block::Picture(template(title, drilling)));
            }
        }
        if blocks.is_empty() {
            return None;
        }
        let made = self.drillings.iter().any(|drilling| drilling.bracket.is_some());
        let how = format!(
            "Print at 100 %, without fitting to the page, and measure the 100 mm bar before you drill. Cut the template out, lay its centre under the middle of the rod's travel{}, \
             mark with a punch, and drill from the side where a torn edge does not show. A hole in the top that has a depth is blind: wind tape round the drill so far from its point. \
             Which way round suits is yours to see: keep clear of sleepers and frame.",
            if made { " and the long side of a bracket square to the travel" } else { "" }
        );
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

    /// A sheet for what is set at each drive: ends and speed where a controller keeps them, else which way round its wires are.
    fn settings(&self, id: BoardId) -> Option<Section> {
        let plan = &self.plan;
        let here = plan.layout.drive_ids().filter(|&drive| plan.layout.drive(drive).spot.board == id);
        let (led, direct): (Vec<DriveId>, Vec<DriveId>) = here
            .filter(|&drive| {
                plan.estimate.assignment.of(drive).is_some_and(|scheme| plan.catalogue.scheme(scheme).electrics.is_some())
            })
            .partition(|drive| plan.estimate.wiring.leads.contains_key(drive));
        let drive = |id: &DriveId| [Cell::from(&*plan.layout.drive(*id).name), plan.layout.drive(*id).purpose.word().into()];
        let fill = |count: usize| (0..count).map(|_| Cell::ToFill(Fill::Words));
        let kept = led.iter().map(|id| {
            let channel = plan.estimate.wiring.leads.get(id).map(|lead| format!("{} / {}", lead.controller.0 + 1, lead.channel));
            Row::of(drive(id).into_iter().chain([channel.into()]).chain(fill(5)).collect::<Vec<_>>())
        });
        let name = || [ColumnHead::words("drive", "Drive"), ColumnHead::words("moves", "Moves")];
        let kept = Table::new(
            "settings",
            "",
            name()
                .into_iter()
                .chain([
                    ColumnHead::words("channel", "Controller / channel"),
                    ColumnHead::words("normal", "End for normal"),
                    ColumnHead::words("reverse", "End for reverse"),
                    ColumnHead::words("speed", "Speed"),
                    ColumnHead::words("turned", "Sense swapped"),
                    ColumnHead::words("date", "Set on"),
                ])
                .collect::<Vec<_>>(),
        )
        .rows(kept);
        let turned = direct.iter().map(|id| Row::of(drive(id).into_iter().chain(fill(2)).collect::<Vec<_>>()));
        let turned = Table::new(
            "turned",
            "",
            name()
                .into_iter()
                .chain([ColumnHead::words("turned", "Its wires swapped"), ColumnHead::words("date", "Set on")])
                .collect::<Vec<_>>(),
        )
        .rows(turned);
        let tables: Vec<Block> = [kept, turned].into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect();
        (!tables.is_empty()).then(|| Section::new("settings", "Settings of the drives", tables))
    }

    /// What to measure, in the order that harms nothing: a table for each phase that occurs.
    pub(super) fn tests(&self, id: BoardId) -> Option<Section> {
        let checks: Vec<&Check> = self.checks.iter().filter(|check| check.board == id).collect();
        let phases = checks.chunk_by(|one, next| one.phase == next.phase).zip(1..);
        let tables = phases.filter_map(|(checks, number)| {
            let phase = checks.first()?.phase;
            let title = format!("{number}. {}: {}", capitalised(phase.word()), phase.connected());
            Some(Block::Table(if phase == Phase::Throws { throws(title, checks) } else { readings(title, checks) }))
        });
        let how = "Finish one table before the next. A reading out of its bounds: power off, find out why, begin again at table 1. How far a reading may be off is common practice.";
        let blocks: Vec<Block> = std::iter::once(Block::text(how)).chain(tables).collect();
        (!checks.is_empty()).then(|| Section::new("tests", "Test sheet", blocks))
    }
}

/// A line for each drive: where, and what is likely wrong, is the same for all.
fn throws(title: String, checks: &[&Check]) -> Table {
    let rows = checks
        .iter()
        .map(|check| Row::of([Cell::from(&check.what), check.least.into(), Cell::ToFill(Fill::Words), Cell::ToFill(Fill::Tick)]));
    let columns = [
        ColumnHead::words("what", "Throw"),
        ColumnHead::number("least", "Good from"),
        ColumnHead::words("read", "You count"),
        ColumnHead::words("good", "Good"),
    ];
    let table = Table::new("tests", title, columns).rows(rows);
    match checks.first() {
        Some(check) => table.note(format!("Good: {}. If not, likely: {}.", check.place, check.cause)),
        None => table,
    }
}

/// The readings of a phase, with room to write.
fn readings(title: String, checks: &[&Check]) -> Table {
    let before = std::iter::once("").chain(checks.iter().map(|check| check.cause));
    let rows = checks.iter().zip(before).map(|(check, before)| {
        // Where there is no bound on a side there is nothing to print.
        let bound = |bound: Option<Quantity>| bound.map_or(Cell::from(""), Cell::from);
        Row::of([
            Cell::from(&check.what),
            Cell::from(&check.place),
            check.sign.map_or_else(|| bound(check.expected), Cell::from),
            bound(check.least),
            bound(check.most),
            Cell::ToFill(Fill::Words),
            Cell::ToFill(Fill::Tick),
            if check.cause == before { "as above" } else { check.cause }.into(),
        ])
    });
    Table::new(
        "tests",
        title,
        [
            ColumnHead::words("what", "Measure"),
            ColumnHead::words("place", "Where"),
            ColumnHead::number("expected", "Expect"),
            ColumnHead::number("least", "Good from"),
            ColumnHead::number("most", "Good up to"),
            ColumnHead::words("read", "You read"),
            ColumnHead::words("good", "Good"),
            ColumnHead::words("cause", "If not, likely"),
        ],
    )
    .rows(rows)
}

fn template(title: String, drilling: &Drilling) -> Picture {
    let bracket = drilling.bracket.as_ref();
    let rod = Hole {
        what: "for the rod".to_owned(),
        leg: Leg::Foot,
        along: Length::ZERO,
        in_top: Some((drilling.top, None)),
        in_bracket: bracket.map(|bracket| bracket.fulcrum),
    };
    let mut holes = vec![rod];
    let mut outline = None;
    let pilot = drilling.screws.map(|screws| (screws.pilot, Some(screws.depth)));
    if let Some(bracket) = bracket {
        let name = if bracket.lugs.is_some() && bracket.width.is_some() {
            "foot of the bracket, and below it its other leg, unfolded"
        } else {
            "foot of the bracket"
        };
        outline = Some((name.to_owned(), bracket.length, bracket.width));
        let either_side = |at: Length| [Length::ZERO - at, at];
        holes.extend(either_side(bracket.screws_at).map(|along| Hole {
            what: "screw".to_owned(),
            leg: Leg::Foot,
            along,
            in_top: pilot,
            in_bracket: Some(bracket.through),
        }));
        if let Some((hole, at)) = bracket.lugs {
            let lug = |along| Hole { what: "lug".to_owned(), leg: Leg::Down, along, in_top: None, in_bracket: Some(hole) };
            holes.extend(either_side(at).map(lug));
        }
    }
    let then = match (bracket, drilling.screws) {
        (Some(bracket), _) if bracket.lugs.is_some() => {
            " Motors differ: hold yours against the leg, the hole of its arm under hole a at half travel, and mark through its own lugs before you drill those two."
                .to_owned()
        }
        (Some(_), _) => " Mark the holes of the other leg through the motor's own lugs.".to_owned(),
        (None, Some(screws)) => format!(
            " For its screws the motor, or the plate or bracket that it sits in, is the template: pilot holes of {}, {} deep.",
            screws.pilot, screws.depth
        ),
        (None, None) => " For its screws the motor, or the plate or bracket that it sits in, is the template.".to_owned(),
    };
    Picture {
        id: "template",
        title: format!("{title}. Full size, if the 100 mm bar measures 100 mm.{then}"),
        about: "Holes about the centre at full size, each with a letter; beside them what they are and their sizes in the top and in the bracket."
            .to_owned(),
        drawing: Drawing::Template(Template { outline, holes }),
    }
}
