//! Reports: a [`Document`] is built once from a finished plan; every output form is a dress over it.
//!
//! `view` turns values into tables and sentences, one file per verb; `terminal` and `json` dress a document. Nothing here computes:
//! every figure is taken from the plan. Rounding, separators and the choice of unit are the dress's own: `figures` for the terminal;
//! JSON gives values raw.

mod csv;
mod document;
mod figures;
mod grid;
mod html;
mod json;
mod markdown;
pub mod picture;
mod plain;
#[cfg(test)]
pub(crate) mod sample;
mod svg;
mod terminal;
mod text_table;
pub mod view;
mod workbook;

pub use csv::{csv_of_orders, csv_of_table, table_ids, to_csv};
pub use document::*;
pub use html::to_html;
pub use json::{SCHEMA_VERSION, rewritten, schema, to_json};
pub use markdown::to_markdown;
pub use plain::{display_width, harmless, wrap};
pub use terminal::{Dress, to_terminal};
pub use workbook::to_workbook;
