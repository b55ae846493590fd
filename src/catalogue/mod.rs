//! The catalogue: what the trade sells and how things are put together, as the user's spreadsheet says.
//!
//! `sheet` reads a workbook or a folder of tables into cells with places, `build` checks them and makes the [`Catalogue`] of
//! `model`, with the `goods` and the `rules` in it, `starter` is the embedded one. A catalogue that exists is valid: every name in one sheet is found in the sheet it points to.

mod build;
mod goods;
mod model;
mod rules;
mod sheet;
mod starter;
mod vocabulary;

pub use build::{from_folder, from_folder_sized, from_starter, from_workbook, from_workbook_sized};
pub use goods::*;
pub use model::*;
pub use rules::*;
pub use starter::{Starter, starter};
pub use vocabulary::*;
