//! `explain`: the cause and the cure of an error, by its code.

use clap::Args;

use super::output::terminal_width;
use super::stop::Stop;
use super::tell::hanging;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::name::same;

/// What to explain.
#[derive(Debug, Args)]
pub(super) struct Explain {
    /// The word in square brackets of an error; without it, all are listed
    #[arg(value_name = "CODE")]
    code: Option<String>,
}

/// The explanation of a code, or a list of all codes.
pub(super) fn explain(args: &Explain) -> Result<String, Stop> {
    let width = usize::from(terminal_width().unwrap_or(100)).min(100);
    let Some(asked) = &args.code else { return Ok(list(width)) };
    let asked = asked.trim().trim_start_matches('[').trim_end_matches(']');
    let code = Code::ALL.iter().find(|code| same(code.as_str(), asked)).ok_or_else(|| {
        let what = "no error has this code; what stands under `What to know` in a report explains itself";
        Diagnostic::error(Code::UnknownWord, Place::Flag("explain".into()), what)
            .one_of(asked, Code::ALL.iter().map(|code| code.as_str()))
    })?;
    let heading = hanging(&format!("{}: ", code.as_str()), code.short(), width);
    let cause = hanging("  Cause: ", code.cause(), width);
    Ok(format!("{heading}\n{cause}\n{}", hanging("  Cure:  ", code.cure(), width)))
}

fn list(width: usize) -> String {
    let longest = Code::ALL.iter().map(|code| code.as_str().len()).max().unwrap_or(0);
    Code::ALL.iter().map(|code| hanging(&format!("{:longest$}  ", code.as_str()), code.short(), width)).collect()
}
