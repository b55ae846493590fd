//! The document: headings, prose, tables and findings with stable ids and raw values.

use super::picture::Picture;
use crate::finding::Finding;
use crate::money::Money;
use crate::quantity::{
    Area, Capacitance, Current, Energy, Force, Length, Minutes, Power, Quantity, Resistance, Seconds, Share, Voltage,
};

/// One value of a table or a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing is known; printed as a dash, never as 0.
    Missing,
    /// Words.
    Text(String),
    /// A whole number.
    Count(i64),
    /// An amount of money.
    Money(Money),
    /// A measured value.
    Quantity(Quantity),
    /// Hours, printed with one decimal.
    Hours(f64),
    /// Minutes, printed with one decimal.
    Minutes(f64),
    /// A share of one, printed in per cent with one decimal where it needs one; may be negative.
    Percent(f64),
    /// Yes or no.
    Flag(bool),
    /// Nothing to read: the reader fills it in by hand.
    ToFill(Fill),
}

/// What a reader puts by hand where nothing is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// A tick, in a box.
    Tick,
    /// A word or a figure, on a line.
    Words,
}

impl Cell {
    /// The number it holds, by which values of one sort are compared and drawn: minor units of money, base units of a quantity. `None`
    /// where it holds none, or none that is finite.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Count(count) => Some(*count as f64),
            Self::Money(money) => Some(money.minor() as f64),
            Self::Quantity(quantity) => Some(quantity.to_f64()),
            Self::Hours(value) | Self::Minutes(value) | Self::Percent(value) => Some(*value),
            Self::Missing | Self::Text(_) | Self::Flag(_) | Self::ToFill(_) => None,
        }
        .filter(|value| value.is_finite())
    }

    /// Working time, shown in hours.
    pub fn hours(minutes: Minutes) -> Self {
        Self::Hours(minutes.hours())
    }
}

macro_rules! cells {
    ($($from:ty, $value:ident => $cell:expr;)+) => {$(
        impl From<$from> for Cell {
            fn from($value: $from) -> Self { $cell }
        }
    )+};
}

cells! {
    &str, text => Self::Text(text.to_owned());
    &String, text => Self::Text(text.clone());
    String, text => Self::Text(text);
    u32, count => Self::Count(i64::from(count));
    usize, count => Self::Count(i64::try_from(count).unwrap_or(i64::MAX));
    Money, money => Self::Money(money);
    Quantity, quantity => Self::Quantity(quantity);
    Length, length => Self::Quantity(length.quantity());
    Current, current => Self::Quantity(current.quantity());
    Voltage, voltage => Self::Quantity(voltage.quantity());
    Area, area => Self::Quantity(area.quantity());
    Resistance, resistance => Self::Quantity(resistance.quantity());
    Capacitance, capacitance => Self::Quantity(capacitance.quantity());
    Power, power => Self::Quantity(power.quantity());
    Force, force => Self::Quantity(force.quantity());
    Energy, energy => Self::Quantity(energy.quantity());
    Seconds, time => Self::Quantity(time.quantity());
    Share, share => Self::Percent(share.0);
    Minutes, minutes => Self::Minutes(minutes.0);
    bool, flag => Self::Flag(flag);
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Missing, Into::into)
    }
}

/// A sentence or two: words and raw values in turn, so that a value is rounded only where it is printed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Prose(pub Vec<Cell>);

impl Prose {
    /// With one more word or value.
    #[must_use]
    pub fn then(mut self, next: impl Into<Cell>) -> Self {
        self.0.push(next.into());
        self
    }
}

impl<T: Into<Cell>> From<T> for Prose {
    fn from(words: T) -> Self {
        Self(vec![words.into()])
    }
}

/// Words and values in turn as [`Prose`].
macro_rules! prose {
    ($($part:expr),+ $(,)?) => { $crate::report::Prose(vec![$($crate::report::Cell::from($part)),+]) };
}
pub(crate) use prose;

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnHead {
    /// Stable id, unique in its table: lower case with underscores; a column of a scheme is `scheme:` and its name.
    pub id: String,
    /// Heading in print; dynamic where columns are schemes.
    pub title: String,
    /// Whether its values are numbers, set to the right.
    pub is_number: bool,
    /// Whether it may be left out where a page is too narrow.
    pub is_detail: bool,
    /// Whether its lengths are told in metres, however short: those of wire, so that one wire has one figure wherever it stands.
    pub in_metres: bool,
}

impl ColumnHead {
    /// A column of words.
    pub fn words(id: impl Into<String>, title: impl Into<String>) -> Self {
        Self { id: id.into(), title: title.into(), is_number: false, is_detail: false, in_metres: false }
    }

    /// A column of numbers.
    pub fn number(id: impl Into<String>, title: impl Into<String>) -> Self {
        Self { id: id.into(), title: title.into(), is_number: true, is_detail: false, in_metres: false }
    }

    /// The same, with lengths in metres however short.
    #[must_use]
    pub fn in_metres(mut self) -> Self {
        self.in_metres = true;
        self
    }

    /// The same, to be left out where a page is too narrow.
    #[must_use]
    pub fn detail(mut self) -> Self {
        self.is_detail = true;
        self
    }
}

/// One row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Stable id, where the rows of the table are fixed.
    pub id: Option<&'static str>,
    /// The values, one for each column.
    pub cells: Vec<Cell>,
    /// Columns whose value is the best of the row.
    pub best: Vec<usize>,
    /// Whether it is a sum of rows above.
    pub is_total: bool,
}

impl Row {
    /// A plain row.
    pub fn of(cells: impl Into<Vec<Cell>>) -> Self {
        Self { id: None, cells: cells.into(), best: Vec::new(), is_total: false }
    }

    /// A sum of rows above.
    pub fn total(cells: impl Into<Vec<Cell>>) -> Self {
        Self { is_total: true, ..Self::of(cells) }
    }

    /// With a stable id.
    #[must_use]
    pub fn named(mut self, id: &'static str) -> Self {
        self.id = Some(id);
        self
    }

    /// With the best columns marked.
    #[must_use]
    pub fn best(mut self, columns: Vec<usize>) -> Self {
        self.best = columns;
        self
    }
}

/// Along which side of a table values share a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitsBy {
    /// The values of a column are alike; its heading may name their unit.
    Column,
    /// The values of a row are alike; its first cell may name their unit.
    Row,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Stable id.
    pub id: &'static str,
    /// Its title; empty where its section's heading says enough.
    pub title: String,
    /// Along which side values share a unit.
    pub units: UnitsBy,
    /// Its columns.
    pub columns: Vec<ColumnHead>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// A line below it that says how to read it.
    pub note: Option<String>,
}

impl Table {
    /// A table without rows, whose columns are alike in unit.
    pub fn new(id: &'static str, title: impl Into<String>, columns: impl Into<Vec<ColumnHead>>) -> Self {
        Self { id, title: title.into(), units: UnitsBy::Column, columns: columns.into(), rows: Vec::new(), note: None }
    }

    /// With its rows.
    #[must_use]
    pub fn rows(mut self, rows: impl IntoIterator<Item = Row>) -> Self {
        self.rows.extend(rows);
        self
    }

    /// The same to be read: without columns in which no row says anything. Programs get all columns, whatever is in them.
    #[must_use]
    pub fn told(&self) -> Self {
        let says = |cell: &Cell| match cell {
            Cell::Missing => false,
            Cell::Text(text) => !text.is_empty(),
            _ => true,
        };
        let is_told = |at: usize| at == 0 || self.rows.iter().any(|row| row.cells.get(at).is_some_and(says));
        if self.rows.is_empty() || (0..self.columns.len()).all(is_told) {
            return self.clone();
        }
        let kept: Vec<usize> = (0..self.columns.len()).filter(|&at| is_told(at)).collect();
        let row = |row: &Row| Row {
            cells: kept.iter().map(|&at| row.cells.get(at).cloned().unwrap_or(Cell::Missing)).collect(),
            best: row.best.iter().filter_map(|best| kept.iter().position(|at| at == best)).collect(),
            ..row.clone()
        };
        Self {
            columns: kept.iter().filter_map(|&at| self.columns.get(at).cloned()).collect(),
            rows: self.rows.iter().map(row).collect(),
            ..self.clone()
        }
    }

    /// With a line below it.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = Some(note.into());
        self
    }
}

/// A part of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A paragraph.
    Text(Prose),
    /// A list of short lines.
    List(Vec<Prose>),
    /// A table.
    Table(Table),
    /// Findings.
    Findings(Vec<Finding>),
    /// A picture.
    Picture(Picture),
}

impl Block {
    /// A paragraph.
    pub fn text(words: impl Into<Prose>) -> Self {
        Self::Text(words.into())
    }
}

/// A section with a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Stable id.
    pub id: &'static str,
    /// Heading.
    pub heading: String,
    /// Its parts.
    pub blocks: Vec<Block>,
    /// Whether it begins a chapter: a new page on paper, whose heading stands over every page of it. The sections that follow belong to it.
    pub begins_chapter: bool,
}

impl Section {
    /// A section.
    pub fn new(id: &'static str, heading: impl Into<String>, blocks: impl Into<Vec<Block>>) -> Self {
        Self { id, heading: heading.into(), blocks: blocks.into(), begins_chapter: false }
    }

    /// The same, as the beginning of a chapter.
    #[must_use]
    pub fn chapter(mut self) -> Self {
        self.begins_chapter = true;
        self
    }
}

/// A whole report.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The verb that made it.
    pub verb: &'static str,
    /// Its title.
    pub title: String,
    /// Notices that belong to every page: that prices are invented, for instance.
    pub notices: Vec<String>,
    /// Its sections.
    pub sections: Vec<Section>,
    /// Whether the plan falls short: exit code 1.
    pub falls_short: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_in_which_no_row_says_anything_is_not_told() {
        let columns = [
            ColumnHead::words("name", "Name"),
            ColumnHead::number("none", "None"),
            ColumnHead::words("note", "Note"),
            ColumnHead::number("some", "Some"),
            ColumnHead::words("done", "Done"),
        ];
        let row = |some: Cell| Row::of([Cell::from("a"), Cell::Missing, "".into(), some, Cell::ToFill(Fill::Tick)]).best(vec![3]);
        let table = Table::new("t", "", columns).rows([row(Cell::Missing), row(Cell::Count(0))]);
        let told = table.told();
        assert_eq!(told.columns.iter().map(|head| head.id.as_str()).collect::<Vec<_>>(), ["name", "some", "done"]);
        assert_eq!(told.rows[1].cells, [Cell::from("a"), Cell::Count(0), Cell::ToFill(Fill::Tick)]);
        assert_eq!(told.rows[1].best, [1]);
        assert_eq!(told.told(), told);
    }
}
