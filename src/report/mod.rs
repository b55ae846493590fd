//! Reports: a [`Document`] is built once from a finished plan; every output form is a dress over it.
//!
//! `view` turns values into tables and sentences, one file per verb; `terminal` and `json` dress a document. Nothing here computes:
//! every figure is taken from the plan.

mod document;
mod json;
mod terminal;
pub mod view;

pub use document::*;
pub use json::{SCHEMA_VERSION, schema, to_json};
pub use terminal::{Dress, to_terminal};
