//! All integration tests, in one binary.

mod catalogue;
mod layout;
mod outside;
mod starter;
mod support;
mod trade;
