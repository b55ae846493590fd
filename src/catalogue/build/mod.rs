//! Checks the sheets and makes the catalogue.
//!
//! `form` says which columns each sheet has, `page` finds them, `field` reads a cell as what it should be, and one file for each
//! sheet makes its rows. All that is wrong goes to the `log`: reading never stops at the first error. A row that is wrong has its
//! name known all the same, so that one mistake is not told again by every row that refers to it.

mod asks;
mod assemblies;
mod complete;
mod field;
mod form;
mod kinds;
mod log;
mod names;
mod offers;
mod page;
mod parts;
mod rates;
mod read;
mod schemes;
mod served;
mod suppliers;
mod tasks;
mod traits;
mod turnouts;

pub use read::{from_folder, from_folder_sized, from_starter, from_workbook, from_workbook_sized};
