//! What can be written on the command line.

use std::path::PathBuf;

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};
use rust_decimal::Decimal;

use super::completions::Completions;
use super::explain::Explain;
use super::start::Start;
use super::values::{day, money, whole};
use crate::buying::Fresh;
use crate::catalogue::Catalogue;
use crate::day::Day;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::name::same;
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
    /// Compare the ways of driving: money, hours, conductors at joints, and which to take
    Compare(Sources),
    /// List every part, how many, and what they cost
    Bill(Bill),
    /// List what to order from whom, what you have, and how to cut
    Shop(Shop),
    /// Put several layouts into one order: what that saves, and each one's share
    Pool(Pool),
    /// List joints, controllers and channels, runs and wire
    Wiring(OneScheme),
    /// Show what each feed draws and whether the supplies carry it
    ///
    /// Ends with exit code 1 where the plan falls short, and also where a supply that you have is too small for what hangs on it. The other verbs
    /// do not count that: what serves in its place is on the bill.
    Power(Power),
    /// Show how long the build takes, by stage and by task
    Hours(OneScheme),
    /// Write the book of the build: one HTML file to print or to read on a phone
    Book(Book),
    /// Show what was read, which defaults were taken, and everything to know about the plan
    Check(OneScheme),
    /// Explain an error or a finding by its name: its cause and its cure
    Explain(Explain),
    /// Print a JSON Schema: of the reports in JSON, or of the layout file
    Schema(SchemaOf),
    /// Print a script by which a shell completes the words of this program
    Completions(Completions),
    /// Write a layout file and the starter catalogue into a folder, to edit
    Start(Start),
}

/// Which schema to print.
#[derive(Debug, Args)]
pub(super) struct SchemaOf {
    /// What the schema is of
    #[arg(value_enum, value_name = "WHAT", default_value_t = Described::Report)]
    pub(super) of: Described,
}

/// What has a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Described {
    /// The reports of `--format json`
    Report,
    /// The layout file
    Layout,
}

/// Which files to read.
#[derive(Debug, Args)]
pub(super) struct Files {
    /// The layout file (YAML)
    #[arg(value_name = "LAYOUT")]
    pub(super) layout: PathBuf,

    /// The catalogue: a workbook (.xlsx, .ods) or a folder of tables (.csv); without it, the starter catalogue, whose prices are invented
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

/// Which files to read, whom to buy from, and how to show the result.
#[derive(Debug, Args)]
pub(super) struct Sources {
    #[command(flatten)]
    pub(super) files: Files,

    #[command(flatten)]
    pub(super) look: Look,

    #[command(flatten)]
    pub(super) buying: Buying,
}

/// Whom to buy from, and how long to look for the cheapest way.
#[derive(Debug, Default, Args)]
pub(super) struct Buying {
    /// Order from these suppliers only, by their names or titles in the catalogue, with commas between
    #[arg(long, help_heading = "Order", value_name = "SUPPLIER", value_delimiter = ',')]
    pub(super) only: Vec<String>,

    /// Order nothing from these suppliers
    #[arg(long, help_heading = "Order", value_name = "SUPPLIER", value_delimiter = ',')]
    pub(super) without: Vec<String>,

    /// Order from at most so many suppliers
    #[arg(long, help_heading = "Order", value_name = "N", value_parser = whole::<u16>(1, 1000), allow_negative_numbers = true)]
    pub(super) parcels: Option<u16>,

    /// Look for the cheapest way of each order for up to so many seconds, in place of a fixed amount of work
    #[arg(long, help_heading = "Order", value_name = "SECONDS", value_parser = whole::<u32>(1, 86_400), allow_negative_numbers = true)]
    pub(super) patience: Option<u32>,
}

/// How to show the result.
#[derive(Debug, Args)]
pub(super) struct Look {
    /// What form the report takes
    #[arg(long, value_enum, value_name = "FORM", default_value_t = Format::Terminal, ignore_case = true)]
    pub(super) format: Format,

    /// With `--format csv`: this table alone, by the id that the whole report gives it
    #[arg(long, value_name = "ID")]
    pub(super) table: Option<String>,

    /// How many columns wide the report may be; without it, as wide as the terminal, or 80
    #[arg(long, value_name = "N", value_parser = whole::<u16>(40, 10_000), allow_negative_numbers = true)]
    pub(super) width: Option<u16>,

    /// Whether headings are bold
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Colour::Auto, ignore_case = true)]
    pub(super) colour: Colour,

    /// The same as `--colour never`
    #[arg(long, conflicts_with = "colour")]
    pub(super) no_colour: bool,
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

    /// The scheme to plan with, by its name or title; without it, the one that `compare` chooses, else the cheapest
    #[arg(long, value_name = "NAME")]
    pub(super) scheme: Option<String>,
}

/// What to show of the power.
#[derive(Debug, Args)]
pub(super) struct Power {
    #[command(flatten)]
    pub(super) plan: OneScheme,

    /// Follow these devices second by second, thrown one after the other, beside the routes of the layout: `--throws T1,T3`. What is
    /// named again is thrown back; `T3/2` is the second lever of a device that has several
    #[arg(long, value_name = "DEVICES", value_delimiter = ',')]
    pub(super) throws: Vec<String>,
}

/// What to shop for.
#[derive(Debug, Args)]
pub(super) struct Shop {
    #[command(flatten)]
    pub(super) plan: OneScheme,

    /// Write the purchase as an integer programme (free MPS) as well, for any solver to check
    #[arg(long, value_name = "FILE", help_heading = "Order")]
    pub(super) mps: Option<PathBuf>,

    /// Write the orders instead of showing them: as a workbook (.xlsx), or into a folder as a table (.csv) for each supplier
    #[arg(long, value_name = "PATH", help_heading = "Order")]
    pub(super) to: Option<PathBuf>,

    /// Replace files that are there already
    #[arg(long, help_heading = "Order")]
    pub(super) force: bool,

    /// Say what to build first for so much money, in the order of the layout file, and what to order for that
    #[arg(long, value_name = "MONEY", value_parser = money, allow_negative_numbers = true, conflicts_with_all = ["phases", "mps"], help_heading = "Order")]
    pub(super) budget: Option<Decimal>,

    /// Order board by board, in the order of the layout file, and say what that costs against ordering at once
    #[arg(long, conflicts_with = "mps", help_heading = "Order")]
    pub(super) phases: bool,

    #[command(flatten)]
    pub(super) age: Age,
}

/// How old a price may be.
#[derive(Debug, Default, Args)]
pub(super) struct Age {
    /// The day of the order, such as 2024-05-31: prices that were checked long before it are marked
    #[arg(long, help_heading = "Order", value_name = "DAY", value_parser = day)]
    on: Option<Day>,

    /// For how many days after it was checked a price is good
    #[arg(long, help_heading = "Order", value_name = "DAYS", default_value_t = 90, requires = "on", value_parser = whole::<u32>(0, 36_500), allow_negative_numbers = true)]
    good_for: u32,
}

impl Age {
    /// The day of the order, if it was given, and for how long a price is good.
    pub(super) fn fresh(&self) -> Option<Fresh> {
        self.on.map(|on| Fresh { on, days: self.good_for })
    }

    /// A notice where prices were checked after the day of the order.
    pub(super) fn notice(&self, catalogue: &Catalogue) -> Option<Diagnostic> {
        let on = self.on?;
        let later = catalogue.offers.iter().filter_map(|offer| offer.checked_on).filter(|checked| *checked > on);
        let last = later.clone().max()?;
        let prices = match later.count() {
            1 => "1 price was".to_owned(),
            more => format!("{more} prices were"),
        };
        let what = format!("{prices} checked after this day, so none of them is marked as old");
        let notice = Diagnostic::notice(Code::Contradiction, Place::Flag("--on".into()), what);
        Some(notice.found(on.to_string()).expected(format!("the day on which you order, {last} or later")))
    }
}

/// Which layouts to order for together.
#[derive(Debug, Args)]
pub(super) struct Pool {
    #[command(flatten)]
    pub(super) plan: OneScheme,

    /// Further layout files
    #[arg(value_name = "MORE", required = true)]
    pub(super) more: Vec<PathBuf>,

    #[command(flatten)]
    pub(super) age: Age,
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

    /// The scheme to plan with, by its name or title; without it, the one that `compare` chooses, else the cheapest
    #[arg(long, value_name = "NAME")]
    pub(super) scheme: Option<String>,

    /// Only these chapters, by their words or headings, with commas between
    #[arg(long, value_name = "CHAPTERS", value_delimiter = ',', value_parser = chapters(), ignore_case = true)]
    pub(super) only: Vec<Chapter>,

    /// Replace the file if it is there already
    #[arg(long)]
    pub(super) force: bool,
}

/// Reads the word of a chapter, or its heading.
fn chapters() -> impl TypedValueParser<Value = Chapter> {
    let named = |word: &str, chapter: Chapter| same(chapter.word(), word) || same(chapter.heading(), word);
    PossibleValuesParser::new(Chapter::ALL.map(|chapter| PossibleValue::new(chapter.word()).alias(chapter.heading())))
        .map(move |word| Chapter::ALL.into_iter().find(|&chapter| named(&word, chapter)).unwrap_or(Chapter::Decision))
}
