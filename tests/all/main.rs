//! All integration tests, in one binary.

mod buying;
mod catalogue;
mod instances;
mod layout;
mod outside;
mod reference;
mod starter;
mod support;
mod trade;
