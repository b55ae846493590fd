//! From plans to documents, one file per verb.
//!
//! Every figure comes from the plan: a view names, orders, and adds what a table's sum shows; it computes nothing else.

mod bill;
mod book;
mod check;
mod compare;
mod defaults;
mod discharge;
mod hours;
mod laying;
mod measures;
mod plan;
mod power;
mod rods;
mod shop;
mod timeline;
mod verdict;
mod why;
mod wiring;
mod words;

pub use bill::bill;
pub use book::{Book, Chapter, book};
pub use check::check;
pub use compare::compare;
pub use hours::hours;
pub use plan::{Pick, Plan};
pub use power::power;
pub use shop::shop;
pub use why::{Why, why};
pub use wiring::wiring;
