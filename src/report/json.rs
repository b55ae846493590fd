//! JSON: the stable face for other programs. Values are raw; rounding and wording are the reader's.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use schemars::{JsonSchema, schema_for};
use serde::{Deserialize, Serialize};

use super::document as doc;
use crate::finding::{Finding, Weight};
use crate::quantity::Dimension;

/// The version of the JSON form; it grows when a reader would notice.
pub const SCHEMA_VERSION: u32 = 1;

/// The document as JSON, ending with a line end.
pub fn to_json(document: &doc::Document) -> String {
    written(&Report::from(document))
}

/// Reads a report and writes it again: the same text, if it is one of this version.
///
/// # Errors
/// The text is no report of this form.
pub fn rewritten(text: &str) -> serde_json::Result<String> {
    serde_json::from_str::<Report>(text).map(|report| written(&report))
}

/// JSON Schema of the form (draft 2020-12), ending with a line end.
pub fn schema() -> String {
    written(&schema_for!(Report))
}

fn written(value: &impl Serialize) -> String {
    // Writing plain structures to memory cannot fail.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    // JSON allows DEL and the upper control characters raw within strings; a terminal would obey them.
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        if c.is_control() && c != '\n' {
            safe.extend(format!("\\u{:04x}", u32::from(c)).chars());
        } else {
            safe.push(c);
        }
    }
    safe
}

/// A report of underboard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Report {
    /// The version of this form; it grows when a reader would notice.
    version: u32,
    /// The verb that made the report, such as `compare`.
    verb: String,
    /// Title.
    title: String,
    /// Whether the plan falls short; the exit code is 1 then.
    falls_short: bool,
    /// Notices that belong to every figure, such as that prices are invented.
    notices: Vec<String>,
    /// Sections in the order of the report.
    sections: Vec<Section>,
}

/// A section with a heading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Section {
    /// Stable id.
    id: String,
    /// Heading.
    heading: String,
    /// Parts of the section, in order.
    blocks: Vec<Block>,
}

/// A part of a section.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "block", rename_all = "snake_case", deny_unknown_fields)]
enum Block {
    /// A paragraph: words and values in turn.
    Text {
        /// Words and values.
        parts: Vec<Value>,
    },
    /// Short lines, each of words and values in turn.
    List {
        /// The lines.
        items: Vec<Vec<Value>>,
    },
    /// A table.
    Table {
        /// Stable id.
        id: String,
        /// Title; empty where the section's heading says enough.
        title: String,
        /// Columns in order.
        columns: Vec<Column>,
        /// Rows in order.
        rows: Vec<Row>,
        /// How to read it.
        note: Option<String>,
    },
    /// What the builder should know about the plan.
    Findings {
        /// The findings.
        findings: Vec<Found>,
    },
    /// A picture, in words and as the table of what it draws.
    Picture {
        /// Stable id.
        id: String,
        /// Title.
        title: String,
        /// What it shows, for who cannot see it.
        about: String,
        /// What it draws; always a table.
        data: Box<Block>,
    },
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Column {
    /// Stable id; a column of a scheme is `scheme:` and the scheme's name in the workbook.
    id: String,
    /// Heading.
    title: String,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Row {
    /// Stable id, where the rows of the table are fixed.
    id: Option<String>,
    /// Values by column id.
    values: BTreeMap<String, Value>,
    /// Ids of the columns whose value is the best of the row.
    best: Vec<String>,
    /// Whether it is a sum of rows above.
    is_total: bool,
}

/// A value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "snake_case", deny_unknown_fields)]
enum Value {
    /// Nothing is known.
    Missing,
    /// Words.
    Text {
        /// The words.
        text: String,
    },
    /// A whole number.
    Count {
        /// The number.
        count: i64,
    },
    /// An amount of money.
    Money {
        /// The exact amount in major units, as text.
        #[schemars(regex(pattern = r"^-?\d+(\.\d+)?$"))]
        amount: String,
        /// Code of ISO 4217.
        currency: String,
    },
    /// A measured value.
    Quantity {
        /// The exact number, as text.
        #[schemars(regex(pattern = r"^-?\d+(\.\d+)?$"))]
        amount: String,
        /// Its unit; empty for a number of things. A share is in `%`.
        unit: String,
    },
    /// Hours of work.
    Hours {
        /// The hours.
        hours: f64,
    },
    /// Minutes of work.
    Minutes {
        /// The minutes.
        minutes: f64,
    },
    /// A share of one: 0.2 is 20 %. Negative where something falls short.
    Share {
        /// The share.
        share: f64,
    },
    /// Yes or no.
    Flag {
        /// Yes or no.
        flag: bool,
    },
    /// To be filled in by hand.
    ToFill {
        /// What with.
        fill: Fill,
    },
}

/// What is filled in by hand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum Fill {
    /// A tick.
    Tick,
    /// A word or a figure.
    Words,
}

/// One thing the builder should know about the plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Found {
    /// Stable name of this sort of finding.
    code: String,
    /// How much it matters.
    weight: Matters,
    /// What is wrong, with the figures.
    what: String,
    /// What the builder would see at the layout.
    seen: Option<String>,
    /// Ways to mend it.
    mends: Vec<Mend>,
}

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum Matters {
    /// The plan falls short.
    Shortfall,
    /// The plan works, with a doubt.
    Doubt,
    /// Work can hurt.
    Caution,
    /// Worth knowing.
    Note,
}

/// A way to mend a finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Mend {
    /// What to do.
    text: String,
    /// The price, where it is known: a difference to the plan's, or a part of it.
    price: Option<Value>,
    /// Whether the plan's price has it in it already, so that nothing more is to pay.
    in_sum: bool,
}

impl From<&doc::Document> for Report {
    fn from(document: &doc::Document) -> Self {
        Self {
            version: SCHEMA_VERSION,
            verb: document.verb.to_owned(),
            title: document.title.clone(),
            falls_short: document.falls_short,
            notices: document.notices.clone(),
            sections: document.sections.iter().map(Section::from).collect(),
        }
    }
}

impl From<&doc::Section> for Section {
    fn from(section: &doc::Section) -> Self {
        let blocks = section.blocks.iter().map(Block::from).collect();
        Self { id: section.id.to_owned(), heading: section.heading.clone(), blocks }
    }
}

fn parts(prose: &doc::Prose) -> Vec<Value> {
    prose.0.iter().map(Value::from).collect()
}

impl From<&doc::Block> for Block {
    fn from(block: &doc::Block) -> Self {
        match block {
            doc::Block::Text(prose) => Self::Text { parts: parts(prose) },
            doc::Block::List(items) => Self::List { items: items.iter().map(parts).collect() },
            doc::Block::Table(table) => table.into(),
            doc::Block::Findings(findings) => Self::Findings { findings: findings.iter().map(Found::from).collect() },
            doc::Block::Picture(picture) => Self::Picture {
                id: picture.id.to_owned(),
                title: picture.title.clone(),
                about: picture.about.clone(),
                data: Box::new(Self::from(&picture.data())),
            },
        }
    }
}

impl From<&doc::Table> for Block {
    fn from(table: &doc::Table) -> Self {
        let id = |at: usize| table.columns.get(at).map(|column| column.id.clone());
        let row = |row: &doc::Row| Row {
            id: row.id.map(str::to_owned),
            values: row.cells.iter().enumerate().filter_map(|(at, cell)| Some((id(at)?, cell.into()))).collect(),
            best: row.best.iter().filter_map(|&at| id(at)).collect(),
            is_total: row.is_total,
        };
        Self::Table {
            id: table.id.to_owned(),
            title: table.title.clone(),
            columns: table.columns.iter().map(|head| Column { id: head.id.clone(), title: head.title.clone() }).collect(),
            rows: table.rows.iter().map(row).collect(),
            note: table.note.clone(),
        }
    }
}

impl From<&doc::Cell> for Value {
    fn from(cell: &doc::Cell) -> Self {
        match cell {
            doc::Cell::Missing => Self::Missing,
            doc::Cell::Text(text) => Self::Text { text: text.clone() },
            doc::Cell::Count(count) => Self::Count { count: *count },
            doc::Cell::Money(money) => {
                Self::Money { amount: money.amount().to_string(), currency: money.currency().code().to_owned() }
            }
            doc::Cell::Quantity(quantity) => {
                let of_unit = if quantity.dimension() == Dimension::Share { Decimal::from(100) } else { Decimal::ONE };
                let amount = quantity.value().checked_mul(of_unit).unwrap_or_default().normalize();
                Self::Quantity { amount: amount.to_string(), unit: quantity.dimension().base_symbol().to_owned() }
            }
            // JSON has no other numbers than finite ones.
            doc::Cell::Hours(value) | doc::Cell::Minutes(value) | doc::Cell::Percent(value) if !value.is_finite() => {
                Self::Missing
            }
            doc::Cell::Hours(hours) => Self::Hours { hours: *hours },
            doc::Cell::Minutes(minutes) => Self::Minutes { minutes: *minutes },
            doc::Cell::Percent(share) => Self::Share { share: *share },
            doc::Cell::Flag(flag) => Self::Flag { flag: *flag },
            doc::Cell::ToFill(doc::Fill::Tick) => Self::ToFill { fill: Fill::Tick },
            doc::Cell::ToFill(doc::Fill::Words) => Self::ToFill { fill: Fill::Words },
        }
    }
}

impl From<&Finding> for Found {
    fn from(finding: &Finding) -> Self {
        let mends = finding.mends.iter().map(|mend| Mend {
            text: mend.text.clone(),
            price: mend.price.map(|price| Value::from(&doc::Cell::from(price))),
            in_sum: mend.is_in_the_sum(),
        });
        Self {
            code: finding.code.to_owned(),
            weight: match finding.weight {
                Weight::Shortfall => Matters::Shortfall,
                Weight::Doubt => Matters::Doubt,
                Weight::Caution => Matters::Caution,
                Weight::Note => Matters::Note,
            },
            what: finding.what.clone(),
            seen: finding.seen.clone(),
            mends: mends.collect(),
        }
    }
}

#[cfg(test)]
mod tests;
