//! All integration tests, in one binary.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::float_cmp_const,
    clippy::expect_used,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

mod at_the_bench;
mod book;
mod buying;
mod catalogue;
mod choice;
mod cli;
mod codes;
mod cove;
mod drilling;
mod drops;
mod electrics;
mod ends;
mod examples;
#[cfg(unix)]
mod faults;
mod feeds;
mod forms;
mod fourth_scheme;
mod instances;
mod joints;
mod layout;
mod moments;
#[cfg(unix)]
mod odd_files;
mod ordering;
mod outside;
mod program;
mod ratings;
mod readme;
mod recharge;
mod reference;
mod shortfalls;
mod small;
mod starter;
mod starter_values;
mod support;
mod takeoff;
mod tiny;
mod told;
mod trade;
mod usage;
mod walk;
mod wiring;
