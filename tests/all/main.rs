//! All integration tests, in one binary.

mod catalogue;
mod layout;
mod starter;
mod support;
mod trade;
