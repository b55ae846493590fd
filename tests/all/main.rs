//! All integration tests, in one binary.

mod catalogue;
mod starter;
mod support;
