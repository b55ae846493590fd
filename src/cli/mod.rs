//! The command line: reads files, calls the stages, writes the result. Nothing else opens files.
//!
//! `run` is the list of stages. The report goes to standard output; what is wrong with the input, and what was passed over in reading
//! it, goes to standard error.

mod args;
mod book;
mod choices;
mod completions;
mod explain;
mod files;
mod moves;
mod named;
mod orders;
mod output;
mod plan;
mod progress;
mod run;
mod shop;
mod start;
mod stop;
mod tell;
mod values;

pub use run::run;
