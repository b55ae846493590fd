//! Power: what the plan draws from each feed, whether the supplies carry it, and what to buy.
//!
//! [`demand()`] comes before the take-off, since supplies and fuses are needs, with a likely number of encoders that is held against the order;
//! [`check()`] follows the purchase. Beneath them lie the sums of physics, which know neither layout nor catalogue: [`conductor`], [`feed`], [`fuse`], [`series`], [`pulse`], [`discharge`], [`charger`], [`overload`].

mod before;
mod bleeder;
mod branch;
pub mod charger;
mod check;
pub mod conductor;
mod converter;
mod demand;
pub mod discharge;
mod discharge_unit;
mod encoders;
#[allow(clippy::indexing_slicing, reason = "matrices and trees numbered as they are made")]
pub mod feed;
pub mod fuse;
mod lamps;
mod model;
pub mod overload;
pub mod pulse;
mod sections;
pub mod series;
mod store;
mod switch_on;
mod timeline;

pub use before::Before;
pub use bleeder::{Bleeder, EMPTY};
pub use branch::{Hung, OnFuse, branches};
pub(crate) use branch::{contacts_bear, fuses_branches, levers_bear};
pub use check::{Fitted, check};
pub use converter::{ConverterCheck, converters, drawn_by};
pub use demand::{demand, demand_with, feed_of};
pub use discharge_unit::{Charged, CoilNeeds, Discharge, LeverThrow, PulseStore};
pub use encoders::{Encoders, likely_encoders, ordered_encoders};
pub use fuse::next_r10;
pub use lamps::{LampCheck, lamps};
pub use model::*;
pub use store::{coil_needs, discharges, pulse_stores, starved, throws};
pub use switch_on::{at_switch_on, cure, cure_taken, twitches};
pub use timeline::{APART, Moment, Planned, Timeline, timelines};
