//! From plans to documents, one file per verb.
//!
//! Every figure comes from the plan: a view names, orders, and adds what a table's sum shows; it computes nothing else.

mod asked;
mod beside;
mod bill;
mod book;
mod budget;
mod check;
mod compare;
mod cutting;
mod defaults;
mod discharge;
mod frogs;
mod hours;
mod laying;
mod measures;
mod orders;
mod panel;
mod phases;
mod plan;
mod pool;
mod power;
mod rods;
mod schedule;
mod shop;
mod strips;
mod supplies;
mod timeline;
mod verdict;
mod why;
mod wiring;
mod words;

pub use bill::bill;
pub use book::{Book, Chapter, book};
pub use budget::budget;
pub use check::check;
pub use compare::compare;
pub use hours::hours;
pub use phases::phases;
pub use plan::{Pick, Plan};
pub use pool::pool;
pub use power::power;
pub use shop::shop;
pub use why::{Why, why};
pub use wiring::wiring;
