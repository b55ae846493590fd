//! The document: headings, text, tables and findings with stable ids and raw values.

use crate::finding::Finding;
use crate::money::Money;
use crate::quantity::Quantity;

/// One value of a table.
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
    /// Likely hours, and hours not exceeded in four builds of five.
    HoursRange(f64, f64),
    /// A share of one, printed in whole per cent; may be negative.
    Percent(f64),
    /// Yes or no.
    Flag(bool),
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<u32> for Cell {
    fn from(count: u32) -> Self {
        Self::Count(i64::from(count))
    }
}

impl From<Money> for Cell {
    fn from(money: Money) -> Self {
        Self::Money(money)
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Missing, Into::into)
    }
}

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnHead {
    /// Stable id, lower case with underscores.
    pub id: &'static str,
    /// Heading in print; dynamic where columns are schemes.
    pub title: String,
    /// Whether its values are numbers, set to the right.
    pub is_number: bool,
}

/// One row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The values, one for each column.
    pub cells: Vec<Cell>,
    /// Columns whose value is the best of the row.
    pub best: Vec<usize>,
    /// Whether it is a sum of the rows above.
    pub is_total: bool,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Stable id.
    pub id: &'static str,
    /// Its title.
    pub title: String,
    /// Its columns.
    pub columns: Vec<ColumnHead>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// A line below it that says how to read it.
    pub note: Option<String>,
}

/// A part of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A paragraph.
    Text(String),
    /// A list of short lines.
    List(Vec<String>),
    /// A table.
    Table(Table),
    /// Findings.
    Findings(Vec<Finding>),
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
