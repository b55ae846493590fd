//! The catalogue: what the trade sells and how things are put together, as the user's spreadsheet says.
//!
//! `sheet` reads a workbook or a folder of tables into cells with places, `build` checks them and makes the [`Catalogue`] of
//! `model`, `starter` is the embedded one. A catalogue that exists is valid: every name in one sheet is found in the sheet it points to.

mod build;
mod model;
mod sheet;
mod starter;
mod vocabulary;

pub use build::{from_folder, from_folder_sized, from_starter, from_workbook, from_workbook_sized};
pub use model::*;
pub use starter::{Starter, starter};
pub use vocabulary::*;
