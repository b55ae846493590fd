//! Tables of cells with places, from a workbook or from CSV.
//!
//! Both readers end in the same [`Table`]s, so that nothing after them knows which it was. A cell is text, cleaned of control
//! codes and stray blanks; numbers of a workbook become the plain decimal a person would have typed. What cannot be read as a
//! table is an error here; what a cell means is for `build` to say.

mod csv;
mod ods;
mod table;
mod text;
mod workbook;
mod xlsx;

pub(super) use csv::{excerpt, read_folder};
pub(super) use table::{Cell, Table, name_columns};
pub(super) use workbook::read_workbook;
