//! All integration tests, in one binary.

mod catalogue;
mod layout;
mod starter;
mod starter_values;
mod support;
mod trade;
