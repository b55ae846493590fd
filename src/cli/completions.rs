//! `completions`: a script by which a shell completes what is typed.

use clap::{Args, CommandFactory};
use clap_complete::{Shell, generate};

use super::args::Command;

/// For which shell.
#[derive(Debug, Args)]
pub(super) struct Completions {
    /// The shell that you type into
    #[arg(value_enum, value_name = "SHELL")]
    shell: Shell,
}

/// The script, as the shell reads it.
pub(super) fn completions(args: &Completions) -> String {
    let mut command = Command::command();
    let name = command.get_name().to_owned();
    let mut script = Vec::new();
    generate(args.shell, &mut command, name, &mut script);
    String::from_utf8_lossy(&script).into_owned()
}
