//! What can be written on the command line.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};

use super::explain::Explain;
use super::start::Start;
use crate::report::view::Chapter;
use crate::size::Size;

/// Works out what it takes to motorise the turnouts and signals of a model railway: which kind of drive, what to buy and from whom, what it
/// costs, whether the power supply carries it, what parts at the baseboard joints, and how long the build takes.
#[derive(Debug, Parser)]
#[command(name = "underboard", version, arg_required_else_help = true, after_help = AFTER, max_term_width = 100)]
pub(super) struct Command {
    #[command(subcommand)]
    pub(super) verb: Verb,
}

const AFTER: &str = "\
To begin: `underboard start my-layout` writes a layout file and a catalogue to edit, then `underboard compare my-layout/layout.yaml` \
compares the ways of driving.

Exit codes: 0 good; 1 the plan falls short, as the report says; 2 something is wrong with the input or the command; 3 a file could not be \
read or written.";

/// What is to be done.
#[derive(Debug, Subcommand)]
pub(super) enum Verb {
    /// Compare the ways of driving: money, hours, conductors at the joints, and which to take
    Compare(Sources),
    /// List every part, how many, and what they cost
    Bill(Bill),
    /// List what to order from whom, what you have, and how to cut
    Shop(Shop),
    /// List joints, controllers and channels, runs and wire
    Wiring(OneScheme),
    /// Show what each feed draws and whether the supplies carry it
    Power(OneScheme),
    /// Show how long the build takes, by stage and by task
    Hours(OneScheme),
    /// Write the book of the build: one HTML file to print or to read on a phone
    Book(Book),
    /// Show what was read, which defaults were taken, and everything to know about the plan
    Check(OneScheme),
    /// Explain an error by its code: its cause and its cure
    Explain(Explain),
    /// Print the JSON Schema of `--format json`
    Schema,
    /// Write a layout file and the starter catalogue into a folder, to edit
    Start(Start),
}

/// Which files to read.
#[derive(Debug, Args)]
pub(super) struct Files {
    /// The layout file (YAML)
    #[arg(value_name = "LAYOUT")]
    pub(super) layout: PathBuf,

    /// The catalogue: a workbook (.xlsx) or a folder of tables (.csv); without it, the starter catalogue, whose prices are invented
    #[arg(long, value_name = "PATH")]
    pub(super) catalogue: Option<PathBuf>,

    /// Take files ten times as large as usual
    #[arg(long)]
    pub(super) large: bool,
}

impl Files {
    /// How large the files may be.
    pub(super) fn size(&self) -> Size {
        if self.large { Size::Large } else { Size::Usual }
    }
}

/// Which files to read, and how to show the result.
#[derive(Debug, Args)]
pub(super) struct Sources {
    #[command(flatten)]
    pub(super) files: Files,

    #[command(flatten)]
    pub(super) look: Look,
}

/// How to show the result.
#[derive(Debug, Args)]
pub(super) struct Look {
    /// What form the report takes
    #[arg(long, value_enum, value_name = "FORM", default_value_t = Format::Terminal)]
    pub(super) format: Format,

    /// With `--format csv`: this table alone, by the id that the whole report gives it
    #[arg(long, value_name = "ID")]
    pub(super) table: Option<String>,

    /// How many columns wide the report may be; without it, as wide as the terminal, or 80
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(40..))]
    pub(super) width: Option<u16>,

    /// Whether headings are bold
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Colour::Auto)]
    pub(super) colour: Colour,
}

/// The form of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// Tables to read
    Terminal,
    /// For documents and web pages
    Markdown,
    /// For spreadsheets: figures in full, their units in the headings
    Csv,
    /// For other programs; `underboard schema` documents it
    Json,
}

/// When headings are bold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Colour {
    /// On a terminal, unless `NO_COLOR` is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// The files, and the scheme that a report is about.
#[derive(Debug, Args)]
pub(super) struct OneScheme {
    #[command(flatten)]
    pub(super) sources: Sources,

    /// The scheme to plan with; without it, the one that `compare` chooses, else the cheapest
    #[arg(long, value_name = "NAME")]
    pub(super) scheme: Option<String>,
}

/// What to shop for.
#[derive(Debug, Args)]
pub(super) struct Shop {
    #[command(flatten)]
    pub(super) plan: OneScheme,

    /// Write the orders instead of showing them: as a workbook (.xlsx), or into a folder as a table (.csv) for each supplier
    #[arg(long, value_name = "PATH", help_heading = "Order")]
    pub(super) to: Option<PathBuf>,

    /// Replace files that are there already
    #[arg(long, help_heading = "Order")]
    pub(super) force: bool,
}

/// What to bill.
#[derive(Debug, Args)]
pub(super) struct Bill {
    #[command(flatten)]
    pub(super) plan: OneScheme,

    /// Show how the number of one kind or part came about, device by device and rule by rule
    #[arg(long, value_name = "KIND")]
    pub(super) why: Option<String>,
}

/// What book to write, and where.
#[derive(Debug, Args)]
pub(super) struct Book {
    #[command(flatten)]
    pub(super) files: Files,

    /// The file to write
    #[arg(short, long, value_name = "FILE.html")]
    pub(super) output: PathBuf,

    /// The scheme to plan with; without it, the one that `compare` chooses, else the cheapest
    #[arg(long, value_name = "NAME")]
    pub(super) scheme: Option<String>,

    /// Only these chapters, with commas between
    #[arg(long, value_name = "CHAPTERS", value_delimiter = ',', value_parser = chapters())]
    pub(super) only: Vec<Chapter>,

    /// Replace the file if it is there already
    #[arg(long)]
    pub(super) force: bool,
}

/// Reads the word of a chapter.
fn chapters() -> impl TypedValueParser<Value = Chapter> {
    PossibleValuesParser::new(Chapter::ALL.map(Chapter::word))
        .map(|word| Chapter::ALL.into_iter().find(|chapter| chapter.word() == word).unwrap_or(Chapter::Decision))
}
