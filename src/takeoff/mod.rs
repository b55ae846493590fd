//! The take-off: what the layout needs under an assignment, each amount with its reasons.
//!
//! `subjects` and `places` list everything that can be counted, each with the facts that conditions and measures ask for; `count` applies the rules of
//! the catalogue to them; `bound` refuses beforehand what would count into the millions. Rules read layout and scheme only, never the parts chosen.

mod bound;
mod count;
mod facts;
mod feeds;
mod model;
mod part;
mod places;
mod subjects;

pub use bound::too_many;
pub use count::{spare_rule, take_off};
pub use facts::{Course, Facts, Subject, Subjects, Under};
pub use model::*;
pub use part::part;
pub use subjects::subjects;
