//! `explain`: the cause and the cure of an error or a finding, by its name.

use clap::Args;

use super::output::terminal_width;
use super::stop::Stop;
use super::tell::hanging;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::findings::SORTS;
use crate::name::same;

/// What to explain.
#[derive(Debug, Args)]
pub(super) struct Explain {
    /// The word in square brackets of an error or a finding; without it, all are listed
    #[arg(value_name = "NAME")]
    code: Vec<String>,
}

/// What can be explained.
struct Entry {
    name: &'static str,
    short: &'static str,
    cause: &'static str,
    cure: &'static str,
}

fn errors() -> impl Iterator<Item = Entry> {
    Code::ALL.iter().map(|code| Entry { name: code.as_str(), short: code.short(), cause: code.cause(), cure: code.cure() })
}

fn findings() -> impl Iterator<Item = Entry> {
    SORTS.iter().map(|sort| Entry { name: sort.name, short: sort.short, cause: sort.cause, cure: sort.cure })
}

/// The explanation of a code, or a list of all codes.
pub(super) fn explain(args: &Explain) -> Result<String, Stop> {
    let width = usize::from(terminal_width().unwrap_or(100)).min(100);
    if args.code.is_empty() {
        return Ok(list(width));
    }
    // The words of a name, if somebody writes it with blanks.
    let words = args.code.join(" ");
    let asked = words.trim().trim_start_matches('[').trim_end_matches(']').split_whitespace().collect::<Vec<_>>().join("-");
    let entry = errors().chain(findings()).find(|entry| same(entry.name, &asked)).ok_or_else(|| {
        Diagnostic::error(Code::UnknownWord, Place::Flag("explain".into()), "no error and no finding has this name")
            .one_of(&asked, errors().chain(findings()).map(|entry| entry.name))
            .expected("one of the names that `underboard explain` lists")
    })?;
    let heading = hanging(&format!("{}: ", entry.name), entry.short, width);
    let cause = hanging("  Cause: ", entry.cause, width);
    Ok(format!("{heading}\n{cause}\n{}", hanging("  Cure:  ", entry.cure, width)))
}

fn list(width: usize) -> String {
    let longest = errors().chain(findings()).map(|entry| entry.name.len()).max().unwrap_or(0);
    let lines = |entries: &mut dyn Iterator<Item = Entry>| -> String {
        entries.map(|entry| hanging(&format!("{:longest$}  ", entry.name), entry.short, width)).collect()
    };
    format!("Errors of files:\n{}\nFindings of plans:\n{}", lines(&mut errors()), lines(&mut findings()))
}
