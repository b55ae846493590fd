//! All integration tests, in one binary.

mod catalogue;
mod support;
