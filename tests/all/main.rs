//! All integration tests, in one binary.

mod catalogue;
mod cli;
mod layout;
mod outside;
mod program;
mod starter;
mod support;
mod trade;
