//! Power: what the plan draws from each feed, whether the supplies carry it, and what to buy.

mod check;
mod demand;
mod fuse;
mod model;

pub use check::check;
pub use demand::demand;
pub use fuse::next_r10;
pub use model::*;
