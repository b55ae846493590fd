//! Which sheets a catalogue has and which columns each of them.

use crate::catalogue::vocabulary::{Attr, Word};
use crate::quantity::Dimension;

/// A column of a sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Its heading, without the unit.
    pub(super) name: &'static str,
    /// Whether the column must be there and its cells filled.
    pub(super) needed: bool,
    /// What its cells measure: then its heading may hold a unit.
    pub(super) measures: Option<Dimension>,
}

/// A sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Form {
    /// Its name, which is also that of its `.csv` file.
    pub(super) sheet: &'static str,
    /// Whether the sheet must be there.
    pub(super) needed: bool,
    /// Its columns.
    columns: &'static [Column],
    /// Whether every attribute may be a column too.
    attributes: bool,
}

impl Form {
    /// All columns the sheet may have.
    pub(super) fn columns(&self) -> impl Iterator<Item = Column> {
        let attributes = if self.attributes { Attr::ALL } else { &[] };
        let attributes = attributes.iter().map(|attr| Column { name: attr.word(), needed: false, measures: attr.dimension() });
        self.columns.iter().copied().chain(attributes)
    }
}

const fn must(name: &'static str) -> Column {
    Column { name, needed: true, measures: None }
}

const fn may(name: &'static str) -> Column {
    Column { name, needed: false, measures: None }
}

const fn measured(name: &'static str, dimension: Dimension) -> Column {
    Column { name, needed: false, measures: Some(dimension) }
}

const fn minutes(name: &'static str) -> Column {
    Column { name, needed: true, measures: Some(Dimension::Time) }
}

const fn form(sheet: &'static str, columns: &'static [Column]) -> Form {
    Form { sheet, needed: true, columns, attributes: false }
}

/// What moves things.
pub(super) const KINDS: Form = form(
    "Kinds",
    &[must("kind"), must("title"), must("role"), must("unit"), must("form"), may("match"), may("spares"), may("way round")],
);
/// What can serve.
pub(super) const PARTS: Form = Form { attributes: true, ..form("Parts", &[must("part"), must("kind"), must("title")]) };
/// What packs cost.
pub(super) const OFFERS: Form = form(
    "Offers",
    &[must("part"), must("supplier"), may("their code"), must("pack"), must("price"), may("at least"), may("checked on")],
);
/// Who sells.
pub(super) const SUPPLIERS: Form = form(
    "Suppliers",
    &[must("supplier"), must("title"), must("postage"), may("free from"), may("least order"), must("currency"), must("tax")],
);
/// What the user has.
pub(super) const STOCK: Form = Form { needed: false, ..form("Stock", &[must("part"), must("count")]) };
/// Ways of driving.
pub(super) const SCHEMES: Form = form(
    "Schemes",
    &[
        must("scheme"),
        must("title"),
        may("like"),
        may("offered"),
        may("drives"),
        may("instead"),
        may("wiring"),
        may("conductors"),
        may("shared"),
        measured("tail", Dimension::Length),
        measured("longest lead", Dimension::Length),
        may("link conductors"),
        may("feed conductors"),
        may("draw"),
        measured("rest", Dimension::Current),
        measured("moving", Dimension::Current),
        measured("blocked", Dimension::Current),
        measured("switch-on", Dimension::Current),
        measured("duration", Dimension::Time),
        measured("voltage", Dimension::Voltage),
        may("waveform"),
        measured("motor voltage", Dimension::Voltage),
        measured("efficiency", Dimension::Share),
        measured("controller", Dimension::Current),
        measured("panel", Dimension::Current),
        may("stored"),
        may("lever"),
        may("contacts"),
        measured("bracket", Dimension::Length),
        measured("lugs", Dimension::Length),
        measured("arm", Dimension::Length),
        measured("depth", Dimension::Length),
        measured("travel", Dimension::Length),
        measured("blade force", Dimension::Force),
        may("over-centre spring"),
    ],
);
/// Parts that go with a subject.
pub(super) const ASSEMBLIES: Form =
    form("Assemblies", &[may("scheme"), must("per"), must("kind"), may("asks"), must("amount"), may("when"), must("why")]);
/// Work that goes with a subject.
pub(super) const TASKS: Form = form(
    "Tasks",
    &[may("scheme"), must("per"), must("task"), must("stage"), minutes("low"), minutes("likely"), minutes("high"), may("when")],
);
/// Kinds of turnout.
pub(super) const TURNOUTS: Form =
    form("Turnouts", &[must("kind"), must("drives"), must("frogs"), must("levers"), may("frog follows"), may("letters")]);
/// Constants.
pub(super) const RATES: Form = form("Rates", &[must("rate"), must("value"), may("checked on"), may("note")]);

/// All sheets, in the order in which they are told of.
pub(super) const FORMS: [Form; 10] = [KINDS, PARTS, OFFERS, SUPPLIERS, STOCK, SCHEMES, ASSEMBLIES, TASKS, TURNOUTS, RATES];
