//! Pictures as values: what is drawn, with raw figures and in millimetres, and as the table that tells the same to who cannot see it.

use super::document::{Cell, ColumnHead, Row, Table};
use crate::layout::Point;
use crate::quantity::Length;

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Stable id.
    pub id: &'static str,
    /// Title.
    pub title: String,
    /// What it shows, for who cannot see it.
    pub about: String,
    /// What is drawn.
    pub drawing: Drawing,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawing {
    /// Bars made of parts laid end to end.
    Bars(Bars),
    /// From the least to the most, with what is likely between.
    Ranges(Ranges),
    /// Lines over a common axis.
    Lines(Lines),
    /// A small bar for each row under each column.
    Cells(Cells),
    /// Sticks and the pieces cut from them.
    Sticks(Vec<Stick>),
    /// A board, to scale.
    Plan(Plan),
    /// Boards in a row, to one scale, seen from above.
    Row(Vec<Plan>),
    /// What to drill and cut, at full size.
    Template(Template),
}

/// Bars made of parts laid end to end, from nothing on.
#[derive(Debug, Clone, PartialEq)]
pub struct Bars {
    /// What the parts are.
    pub parts: Vec<String>,
    /// The bars.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// What it is of.
    pub label: String,
    /// One value for each part, none of them below nothing.
    pub values: Vec<Cell>,
    /// What stands at its end.
    pub total: Cell,
    /// A mark that it should not pass, with its name.
    pub limit: Option<(String, Cell)>,
}

/// Ranges, one below another.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranges {
    /// What is least, likely and most.
    pub names: [String; 3],
    /// Of what, and its least, likely and most value.
    pub rows: Vec<(String, [Cell; 3])>,
}

/// Lines over a common axis; what is a front, or a growth, is one too.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines {
    /// What goes along.
    pub along: String,
    /// What goes up.
    pub up: String,
    /// The lines.
    pub lines: Vec<Line>,
    /// What happens where.
    pub marks: Vec<(Cell, String)>,
}

/// How the points of a line are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joined {
    /// Each value holds until the next.
    Steps,
    /// Straight from one to the next.
    Straight,
    /// Not at all.
    Not,
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is of.
    pub name: String,
    /// How its points are joined.
    pub joined: Joined,
    /// Its points, along and up.
    pub points: Vec<(Cell, Cell)>,
}

/// A small bar for each row under each column, all to one scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Cells {
    /// What the rows are.
    pub rows_are: String,
    /// The columns.
    pub columns: Vec<String>,
    /// The rows: a name, and a value for each column.
    pub rows: Vec<(String, Vec<Cell>)>,
}

/// Like sticks, and the pieces cut from each.
#[derive(Debug, Clone, PartialEq)]
pub struct Stick {
    /// What it is, and which ones of it.
    pub label: String,
    /// How many are cut alike.
    pub count: usize,
    /// Its length.
    pub length: Length,
    /// The pieces in the order cut: how many alike, and the length of each.
    pub pieces: Vec<(usize, Length)>,
    /// What is left.
    pub left: Length,
}

/// From where a board is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// From above, as the layout file measures.
    FromAbove,
    /// From below, left and right swapped, as one works under it.
    FromBelow,
}

/// A board, to scale. Points are measured as in the layout file, whichever side it is seen from.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The board's name.
    pub name: String,
    /// From where it is seen.
    pub seen: Seen,
    /// Along the front edge.
    pub length: Length,
    /// From front to back.
    pub width: Length,
    /// What stands on or under it.
    pub things: Vec<Thing>,
    /// The sorts of wires on it: the number of the pattern by which each is drawn on every plan, and what it is.
    pub sorts: Vec<(usize, String)>,
    /// The courses of wires.
    pub courses: Vec<Course>,
}

/// What a thing on a plan is; each has a sign of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// The tie bar of a turnout, or a crossing.
    Turnout,
    /// A signal.
    Signal,
    /// Another device.
    Other,
    /// A controller.
    Controller,
    /// A terminal strip.
    Strip,
    /// The panel, a lever at the board's edge, or where power comes in.
    Panel,
    /// A joint to another board.
    Joint,
}

impl Sign {
    /// All signs.
    pub const ALL: [Self; 7] =
        [Self::Turnout, Self::Signal, Self::Other, Self::Controller, Self::Strip, Self::Panel, Self::Joint];

    /// The word in print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Turnout => "turnout",
            Self::Signal => "signal",
            Self::Other => "other device",
            Self::Controller => "controller",
            Self::Strip => "terminal strip",
            Self::Panel => "panel, lever or supply",
            Self::Joint => "joint",
        }
    }
}

/// A thing on a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    /// What it is.
    pub sign: Sign,
    /// Its name.
    pub name: String,
    /// Where.
    pub at: Point,
}

/// Wires that go the same way on a board: along the front edge from the first point, then across to the second.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// Its sort: the number of its pattern.
    pub sort: usize,
    /// From.
    pub from: Point,
    /// To.
    pub to: Point,
    /// Conductors.
    pub conductors: u32,
}

/// What to drill and cut, at full size, about a centre.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    /// A piece laid about the centre: its name, length along and width across; the width is drawn only where it is known.
    pub outline: Option<(String, Length, Option<Length>)>,
    /// The holes; those that lie alike on either side of the centre follow one another.
    pub holes: Vec<Hole>,
}

/// On which leg of an angle a hole lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leg {
    /// The one that lies against the top, and the top itself.
    Foot,
    /// The one that stands down from it.
    Down,
}

/// A hole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hole {
    /// What goes through it.
    pub what: String,
    /// On which leg.
    pub leg: Leg,
    /// How far along from the centre.
    pub along: Length,
    /// Its diameter in the top, and its depth where it does not go through.
    pub in_top: Option<(Length, Option<Length>)>,
    /// Its diameter in the bracket.
    pub in_bracket: Option<Length>,
}

impl Hole {
    /// The wider of its diameters.
    pub fn widest(&self) -> Length {
        self.in_top.map(|(bore, _)| bore).max(self.in_bracket).unwrap_or_default()
    }
}

impl Picture {
    /// What it draws, as a table.
    pub fn data(&self) -> Table {
        let mut table = match &self.drawing {
            Drawing::Bars(bars) => bars.data(),
            Drawing::Ranges(ranges) => ranges.data(),
            Drawing::Lines(lines) => lines.data(),
            Drawing::Cells(cells) => cells.data(),
            Drawing::Sticks(sticks) => sticks_data(sticks),
            Drawing::Plan(plan) => plans_data(std::slice::from_ref(plan)),
            Drawing::Row(plans) => plans_data(plans),
            Drawing::Template(template) => template.data(),
        };
        table.id = self.id;
        table.title.clone_from(&self.title);
        table
    }
}

/// A table without a name yet.
fn table(columns: Vec<ColumnHead>, rows: impl IntoIterator<Item = Row>) -> Table {
    Table::new("", "", columns).rows(rows)
}

impl Bars {
    fn data(&self) -> Table {
        let limit = self.bars.iter().find_map(|bar| bar.limit.as_ref()).map(|(name, _)| name);
        let mut columns = vec![ColumnHead::words("what", "What")];
        columns.extend(self.parts.iter().enumerate().map(|(at, part)| ColumnHead::number(format!("part:{at}"), part)));
        columns.push(ColumnHead::number("total", "In all"));
        columns.extend(limit.map(|name| ColumnHead::number("limit", name)));
        let rows = self.bars.iter().map(|bar| {
            let mut cells = vec![Cell::from(&bar.label)];
            cells.extend(bar.values.iter().cloned());
            cells.push(bar.total.clone());
            cells.extend(limit.map(|_| bar.limit.as_ref().map_or(Cell::Missing, |(_, value)| value.clone())));
            Row::of(cells)
        });
        table(columns, rows)
    }
}

impl Ranges {
    fn data(&self) -> Table {
        let mut columns = vec![ColumnHead::words("what", "What")];
        columns.extend(["low", "likely", "high"].into_iter().zip(&self.names).map(|(id, name)| ColumnHead::number(id, name)));
        let rows = self
            .rows
            .iter()
            .map(|(name, values)| Row::of(std::iter::once(Cell::from(name)).chain(values.iter().cloned()).collect::<Vec<_>>()));
        table(columns, rows)
    }
}

impl Lines {
    fn data(&self) -> Table {
        let columns =
            vec![ColumnHead::words("line", "Line"), ColumnHead::number("along", &self.along), ColumnHead::number("up", &self.up)];
        let points = self
            .lines
            .iter()
            .flat_map(|line| line.points.iter().map(|(along, up)| Row::of([Cell::from(&line.name), along.clone(), up.clone()])));
        let marks = self.marks.iter().map(|(along, what)| Row::of([Cell::from(what), along.clone(), Cell::Missing]));
        table(columns, points.chain(marks))
    }
}

impl Cells {
    fn data(&self) -> Table {
        let mut columns = vec![ColumnHead::words("what", &self.rows_are)];
        columns.extend(self.columns.iter().enumerate().map(|(at, name)| ColumnHead::number(format!("column:{at}"), name)));
        let rows = self
            .rows
            .iter()
            .map(|(name, values)| Row::of(std::iter::once(Cell::from(name)).chain(values.iter().cloned()).collect::<Vec<_>>()));
        table(columns, rows)
    }
}

fn sticks_data(sticks: &[Stick]) -> Table {
    let columns = vec![
        ColumnHead::words("stick", "Stick"),
        ColumnHead::number("length", "Its length"),
        ColumnHead::number("pieces", "Pieces"),
        ColumnHead::number("each", "Length of each"),
        ColumnHead::number("left", "Left over"),
    ];
    let rows = sticks.iter().flat_map(|stick| {
        stick.pieces.iter().map(|&(count, each)| {
            Row::of([Cell::from(&stick.label), stick.length.into(), count.into(), each.into(), stick.left.into()])
        })
    });
    table(columns, rows)
}

fn plans_data(plans: &[Plan]) -> Table {
    let columns = vec![
        ColumnHead::words("board", "Board"),
        ColumnHead::words("sign", "What"),
        ColumnHead::words("name", "Name"),
        ColumnHead::number("x", "Along the front"),
        ColumnHead::number("y", "From the front"),
    ];
    let rows = plans.iter().flat_map(|plan| {
        plan.things.iter().map(|thing| {
            let (x, y) = (thing.at.x, thing.at.y);
            Row::of([Cell::from(&plan.name), thing.sign.word().into(), Cell::from(&thing.name), x.into(), y.into()])
        })
    });
    table(columns, rows)
}

impl Template {
    /// The holes, each with its letter.
    pub fn lettered(&self) -> impl Iterator<Item = (char, &Hole)> {
        ('a'..).zip(&self.holes)
    }

    fn data(&self) -> Table {
        let columns = vec![
            ColumnHead::words("what", "What"),
            ColumnHead::number("along", "From the centre"),
            ColumnHead::number("in_top", "Diameter in the top"),
            ColumnHead::number("depth", "Depth in the top"),
            ColumnHead::number("in_bracket", "Diameter in the bracket"),
            ColumnHead::number("length", "Length"),
            ColumnHead::number("width", "Width"),
        ];
        let outline = self.outline.iter().map(|(name, length, width)| {
            let none = [Cell::Missing, Cell::Missing, Cell::Missing, Cell::Missing];
            Row::of(std::iter::once(Cell::from(name)).chain(none).chain([(*length).into(), (*width).into()]).collect::<Vec<_>>())
        });
        let holes = self.holes.iter().map(|hole| {
            let (bore, depth) = (hole.in_top.map(|(bore, _)| bore), hole.in_top.and_then(|(_, depth)| depth));
            Row::of([
                Cell::from(&hole.what),
                hole.along.into(),
                bore.into(),
                depth.into(),
                hole.in_bracket.into(),
                Cell::Missing,
                Cell::Missing,
            ])
        });
        table(columns, outline.chain(holes))
    }
}
