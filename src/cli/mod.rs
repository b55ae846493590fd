//! The command line: reads files, calls the stages, writes the result.

use std::ffi::OsString;
use std::process::ExitCode;

/// Runs the program and gives its exit code.
pub fn run(_args: impl IntoIterator<Item = OsString>) -> ExitCode {
    unimplemented!()
}
