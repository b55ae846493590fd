//! All integration tests, in one binary.

mod catalogue;
mod layout;
mod outside;
mod support;
mod trade;
