//! All integration tests, in one binary.

mod buying;
mod catalogue;
mod cli;
mod instances;
mod layout;
mod outside;
mod program;
mod readme;
mod reference;
mod starter;
mod starter_values;
mod support;
mod trade;
