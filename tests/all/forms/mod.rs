//! The forms a report takes: each read back by other means than wrote it, and compared with the document's raw values.

mod agree;
mod any_text;
mod csv;
mod figures;
pub(crate) mod markdown;
mod plans;
mod program;
mod workbook;

/// A table as it was read back from a form: what stands in its cells, as text.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Read {
    /// What stands above the table, such as its title.
    pub(crate) above: String,
    /// The headings.
    pub(crate) headings: Vec<String>,
    /// The rows.
    pub(crate) rows: Vec<Vec<String>>,
}
