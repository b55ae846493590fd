//! All integration tests, in one binary.

mod catalogue;
mod layout;
mod support;
mod trade;
