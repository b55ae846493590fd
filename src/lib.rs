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

pub mod buying;
pub mod catalogue;
pub mod choice;
pub mod cli;
pub mod commissioning;
pub mod cutlist;
pub mod day;
pub mod diagnostic;
pub mod estimate;
pub mod finding;
pub mod findings;
pub mod hours;
pub mod id;
pub mod layout;
pub mod mechanics;
pub mod mends;
pub mod money;
pub mod name;
pub mod phases;
pub mod pooled;
pub mod power;
pub mod quantity;
pub mod report;
pub mod scheme;
pub mod size;
pub mod takeoff;
pub mod wiring;
