//! All integration tests, in one binary.

mod buying;
mod catalogue;
mod cli;
mod fourth_scheme;
mod instances;
mod layout;
mod outside;
mod program;
mod reference;
mod starter;
mod starter_values;
mod support;
mod trade;
