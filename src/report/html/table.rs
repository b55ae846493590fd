//! Tables of the page.

use maud::{Markup, html};

use super::text::isolated;
use crate::report::document::{Cell, ColumnHead, Fill, Row, Table, UnitsBy};
use crate::report::figures::{Scale, in_scale};
use crate::report::plain::{harmless, longest_word};

/// Whether and how the values of a table share units.
struct Units {
    whole: Option<Scale>,
    by_row: Vec<Option<Scale>>,
    by_column: Vec<Option<Scale>>,
}

impl Units {
    fn of(table: &Table) -> Self {
        let is_by_row = table.units == UnitsBy::Row;
        let whole = is_by_row.then(|| Scale::common(table.rows.iter().flat_map(|row| &row.cells))).flatten();
        let by_row = table.rows.iter().map(|row| {
            let own = || Scale::common(row.cells.iter());
            whole.or_else(own).filter(|_| is_by_row)
        });
        let by_column = (0..table.columns.len()).map(|at| {
            let column = || Scale::common(table.rows.iter().filter_map(|row| row.cells.get(at)));
            (!is_by_row).then(column).flatten()
        });
        Self { whole, by_row: by_row.collect(), by_column: by_column.collect() }
    }
}

/// The table; `heading` names it where it has no title of its own.
pub(super) fn table(table: &Table, id: &str, heading: &str) -> Markup {
    let units = Units::of(table);
    let name = if table.title.is_empty() { heading } else { &table.title };
    let marks = table.rows.iter().any(|row| !row.best.is_empty());
    let of_all = units.whole.map(|scale| format!(" ({})", scale.symbol));
    html! {
        div class="wide" tabindex="0" role="group" aria-label=(harmless(name)) {
            table id=(id) {
                @if !table.title.is_empty() { caption { (isolated(&table.title)) @if let Some(unit) = &of_all { (unit) } } }
                thead { tr {
                    @for (head, scale) in table.columns.iter().zip(&units.by_column) {
                        th scope="col" class=[head_class(head)] {
                            (isolated(&head.title)) @if let Some(scale) = scale { " (" (scale.symbol) ")" }
                        }
                    }
                } }
                tbody { @for (row, scale) in table.rows.iter().zip(&units.by_row) { (line(table, row, *scale, &units)) } }
            }
        }
        @if marks { p class="note" { "* the best of its row" } }
        @if let Some(note) = &table.note { p class="note" { (isolated(note)) } }
    }
}

fn line(table: &Table, row: &Row, of_row: Option<Scale>, units: &Units) -> Markup {
    let names_unit = of_row.filter(|_| units.whole.is_none());
    html! {
        tr class=[row.is_total.then_some("total")] {
            @for (at, head) in table.columns.iter().enumerate() {
                @let cell = row.cells.get(at).unwrap_or(&Cell::Missing);
                @let scale = of_row.or(units.by_column.get(at).copied().flatten());
                @let is_best = row.best.contains(&at);
                @if at == 0 && !head.is_number && matches!(cell, Cell::Text(_)) {
                    th scope="row" class=[class(false, cell)] { (value(cell, scale, row)) @if let Some(scale) = names_unit { " (" (scale.symbol) ")" } }
                } @else {
                    td class=[class(head.is_number, cell)] {
                        @if is_best { strong { (value(cell, scale, row)) " *" } } @else { (value(cell, scale, row)) }
                    }
                }
            }
        }
    }
}

/// A word so long that it must be broken to fit.
const LONG: usize = 18;

/// A text so short that it stays on one line: a label, a code to order by.
const SHORT: usize = 12;

fn head_class(head: &ColumnHead) -> Option<&'static str> {
    match (head.is_number, longest_word(&head.title) > LONG) {
        (true, _) => Some("number"),
        (false, true) => Some("long"),
        (false, false) => None,
    }
}

fn class(is_number: bool, cell: &Cell) -> Option<&'static str> {
    match (is_number, cell) {
        (true, Cell::Text(_)) => Some("number words"),
        (true, _) => Some("number"),
        (false, Cell::Text(text)) if longest_word(text) > LONG => Some("long"),
        (false, Cell::Text(text)) if text.chars().count() <= SHORT => Some("short"),
        (false, _) => None,
    }
}

fn value(cell: &Cell, scale: Option<Scale>, row: &Row) -> Markup {
    match cell {
        // A sum has no value in a column that is not added up: nothing is missing there.
        Cell::Missing if row.is_total => html! {},
        Cell::ToFill(Fill::Tick) => html! { span class="tick" role="img" aria-label="a box to tick" {} },
        Cell::ToFill(Fill::Words) => html! { span class="fill" role="img" aria-label="a line to write on" {} },
        Cell::Text(text) => isolated(text),
        cell => html! { (in_scale(cell, scale)) },
    }
}
