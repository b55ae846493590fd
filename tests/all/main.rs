//! All integration tests, in one binary.

mod buying;
mod instances;
mod reference;
