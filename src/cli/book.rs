//! `book`: writes the book of the build.

use std::ffi::OsStr;
use std::path::Path;
use std::process::ExitCode;

use super::args::{Book as Args, Buying};
use super::files::{read, spare};
use super::output::{write_file, write_text};
use super::plan::{choose, chosen_of};
use super::progress::watched;
use super::stop::{FALLS_SHORT, Stop};
use super::tell::tell_notices;
use crate::choice::compare;
use crate::commissioning::checks;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::mechanics::drillings;
use crate::report::view::{self, Book};
use crate::report::{harmless, to_html};
use crate::wiring::courses;

/// Works the plan out, writes its book, and tells where it is.
pub(super) fn book(args: &Args) -> Result<ExitCode, Stop> {
    is_page(&args.output)?;
    spare(&args.files, "--output", &args.output)?;
    let inputs = read(&args.files, &Buying::default())?;
    let (layout, catalogue) = (&inputs.layout, &inputs.catalogue);
    let comparison = watched(catalogue.rates.home, || compare(layout, catalogue, &inputs.choices));
    let chosen = match &args.scheme {
        Some(name) => choose(&inputs, Some(name))?,
        None => chosen_of(&inputs, comparison.clone()),
    };
    let plan = chosen.plan(&inputs);
    let estimate = plan.estimate;
    let document = view::book(
        &Book {
            plan,
            comparison: &comparison,
            checks: &checks(layout, catalogue, estimate),
            drillings: &drillings(layout, catalogue, &estimate.takeoff, &estimate.purchase, &estimate.rods),
            courses: &courses(layout, &estimate.assignment, &estimate.wiring),
        },
        &args.only,
    );
    tell_notices(&catalogue.notices);
    write_file(&args.output, to_html(&document).as_bytes(), args.force)?;
    let written = format!("Written: {}\n", harmless(&args.output.display().to_string()));
    let done = write_text(&written)?;
    Ok(if document.falls_short { ExitCode::from(FALLS_SHORT) } else { done })
}

/// The book is a page of HTML; under a name of another form the wrong program would open it.
fn is_page(output: &Path) -> Result<(), Diagnostic> {
    let is_html = |ending: &OsStr| ["html", "htm"].iter().any(|html| ending.eq_ignore_ascii_case(html));
    if output.extension().is_some_and(is_html) {
        return Ok(());
    }
    let problem = Diagnostic::error(Code::UnknownWord, Place::Flag("--output".into()), "the book is not written in this form");
    let expected = "a name that ends in .html; a browser prints that page on paper or into a PDF file";
    Err(problem.found(output.display().to_string()).expected(expected))
}
