//! underboard: a bill-of-materials and build-cost estimator for motorising the turnouts and signals of a model railway.
//!
//! ```text
//! layout.yaml ─► layout ─┐
//!                        ├─► assignment ─► wiring ─► power::demand ─► takeoff ─► buying ─► Purchase ─┐
//! catalogue ──► catalogue┘   (a scheme for                     │                                     ├─► Estimate ─► report::view ─► Document ─► terminal, Markdown, CSV, workbook, JSON, HTML
//!                             every drive)                     └────────► hours   power::check ◄─────┘
//! ```
//!
//! One direction, each step a pure function from values to values. Reading and writing stand at the ends, in [`cli`]; the middle
//! opens no file, prints nothing and knows no clock. [`estimate::estimate`] is the one exact evaluator: a scheme for the whole
//! layout, a mix, a what-if are all assignments put through it.

// What reads what others wrote can neither panic nor count wrongly: all of it is held to these. The sums below it are excepted one by
// one, since they go over lists and numbers that the readers bounded; DEVELOPERS.md has the argument.
#![cfg_attr(
    not(test),
    deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::string_slice, clippy::panic, clippy::unreachable)
)]

pub mod catalogue;
pub mod cli;
pub mod day;
pub mod diagnostic;
pub mod estimate;
pub mod finding;
pub mod id;
pub mod layout;
pub mod mends;
pub mod money;
pub mod name;
pub mod quantity;
pub mod size;

#[allow(clippy::arithmetic_side_effects, clippy::indexing_slicing, reason = "all in lists that the search itself made")]
pub mod buying;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod choice;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod commissioning;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod cutlist;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod findings;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod hours;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod mechanics;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod phases;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod pooled;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod power;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod report;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod scheme;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod takeoff;
#[allow(clippy::arithmetic_side_effects, reason = "counts of what the readers bounded")]
pub mod wiring;
