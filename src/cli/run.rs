//! From arguments to an exit code.

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::Parser;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::args::{Command, Described, OneScheme, Power, Verb};
use super::book::book;
use super::completions::completions;
use super::explain::explain;
use super::files::{quoted, read};
use super::moves::follow;
use super::output::{show, write_text};
use super::plan::choose;
use super::progress::watched;
use super::shop::{pool, shop};
use super::start::start;
use super::stop::{BAD, Stop};
use super::tell::{tell, tell_notices};
use super::values::wrong_value;
use crate::choice::compare;
use crate::layout;
use crate::report::view::{self, Plan, Why};
use crate::report::{Document, harmless, schema};

/// Runs the program and gives its exit code.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let verb = match Command::try_parse_from(args) {
        Ok(command) => command.verb,
        Err(words) => {
            if let Some(wrong) = wrong_value(&words) {
                return tell(&wrong.into());
            }
            // Help that nobody reads is no failure.
            let _ = words.print();
            if is_about(&words, "--scheme") {
                let _ = writeln!(io::stderr(), "{NO_SCHEME}");
            }
            if let Some(file) = file_for_verb(&words) {
                let _ = writeln!(io::stderr(), "\nA verb comes first, then the file: `underboard compare {file}`.");
            }
            return ExitCode::from(u8::try_from(words.exit_code()).unwrap_or(BAD));
        }
    };
    carry_out(&verb).unwrap_or_else(|stop| tell(&stop))
}

/// What is told to one who names a scheme where none is taken.
const NO_SCHEME: &str = "\nWhere several schemes are compared, the layout file says which: `schemes` under `rules`. \
The plan of a single one: `underboard bill LAYOUT --scheme NAME`.";

/// Whether an option that does not exist begins like this.
fn is_about(words: &clap::Error, option: &str) -> bool {
    let unknown = words.get(ContextKind::InvalidArg);
    words.kind() == ErrorKind::UnknownArgument && matches!(unknown, Some(ContextValue::String(arg)) if arg.starts_with(option))
}

/// A file that stands where a verb belongs.
fn file_for_verb(words: &clap::Error) -> Option<String> {
    let Some(ContextValue::String(word)) = words.get(ContextKind::InvalidSubcommand) else { return None };
    let path = Path::new(word);
    let is_file = path.is_file() || path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
    is_file.then(|| harmless(&quoted(path)))
}

fn carry_out(verb: &Verb) -> Result<ExitCode, Stop> {
    match verb {
        Verb::Compare(sources) => {
            let inputs = read(&sources.files, &sources.buying)?;
            tell_notices(&inputs.catalogue.notices);
            let home = inputs.catalogue.rates.home;
            let comparison = watched(home, || compare(&inputs.layout, &inputs.catalogue, &inputs.choices));
            show(&view::compare(&inputs.layout, &inputs.catalogue, &inputs.choices, &comparison), &sources.look)
        }
        Verb::Bill(bill) => match &bill.why {
            None => planned(&bill.plan, view::bill),
            Some(word) => planned_or_stop(&bill.plan, |plan| Ok(view::why(plan, &Why::find(plan.catalogue, word)?))),
        },
        Verb::Shop(args) => shop(args),
        Verb::Pool(args) => pool(args),
        Verb::Wiring(args) => planned(args, view::wiring),
        Verb::Power(args) => power(args),
        Verb::Hours(args) => planned(args, view::hours),
        Verb::Check(args) => planned(args, view::check),
        Verb::Book(args) => book(args),
        Verb::Explain(args) => write_text(&explain(args)?),
        Verb::Schema(args) => write_text(&match args.of {
            Described::Report => schema(),
            Described::Layout => layout::schema(),
        }),
        Verb::Completions(args) => write_text(&completions(args)),
        Verb::Start(args) => write_text(&start(args)?),
    }
}

/// Reads the files, chooses the scheme, and shows the view of its plan.
fn planned(args: &OneScheme, view: impl FnOnce(&Plan) -> Document) -> Result<ExitCode, Stop> {
    planned_or_stop(args, |plan| Ok(view(plan)))
}

/// The power of a plan, with the moves that are named.
fn power(args: &Power) -> Result<ExitCode, Stop> {
    let sources = &args.plan.sources;
    let mut inputs = read(&sources.files, &sources.buying)?;
    let mut chosen = choose(&inputs, args.plan.scheme.as_deref())?;
    let followed = follow(&mut inputs, chosen.estimate_mut(), &args.throws)?;
    let document = view::power(&chosen.plan(&inputs));
    tell_notices(&[inputs.catalogue.notices.clone(), followed].concat());
    show(&document, &sources.look)
}

fn planned_or_stop(args: &OneScheme, view: impl FnOnce(&Plan) -> Result<Document, Stop>) -> Result<ExitCode, Stop> {
    let inputs = read(&args.sources.files, &args.sources.buying)?;
    let chosen = choose(&inputs, args.scheme.as_deref())?;
    let document = view(&chosen.plan(&inputs))?;
    if document.verb != "check" {
        tell_notices(&inputs.catalogue.notices);
    }
    show(&document, &args.sources.look)
}
