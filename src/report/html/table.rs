//! Tables of the page.

use maud::{Markup, html};

use super::text::isolated;
use crate::report::document::{Cell, ColumnHead, Fill, Row, Table};
use crate::report::figures::Figures;
use crate::report::grid::BEST;
use crate::report::plain::{harmless, longest_word};
use crate::report::text_table::TextTable;

/// A word so long that it must be broken to fit.
const LONG: usize = 18;

/// A text so short that it stays on one line: a label, a code to order by.
const SHORT: usize = 12;

/// A text so long that it wants room even on a phone.
const WORDY: usize = 24;

/// A table of so few rows is kept on one page of paper. Before a longer one stands room for its head and first rows: no browser keeps these
/// together by itself.
const KEPT: usize = 9;

/// The table; `heading` names it where it has no title of its own.
pub(super) fn table(table: &Table, id: &str, heading: &str) -> Markup {
    let text = TextTable::of(table, Figures::Rounded);
    let name = if table.title.is_empty() { heading } else { &table.title };
    let is_kept = table.rows.len() <= KEPT;
    let marks = table.rows.iter().any(|row| !row.best.is_empty());
    html! {
        @if !is_kept { div class="room" {} }
        div class=(if is_kept { "wide kept" } else { "wide" }) tabindex="0" role="group" aria-label=(harmless(name)) {
            table id=(id) {
                @if !table.title.is_empty() { caption { (isolated(&text.title(&table.title))) } }
                thead { tr {
                    @for (head, words) in table.columns.iter().zip(&text.headings) {
                        th scope="col" class=[head_class(head)] { (isolated(words)) }
                    }
                } }
                tbody { @for (row, words) in table.rows.iter().zip(&text.rows) { (line(table, row, words)) } }
            }
        }
        @if marks { p class="note" { (BEST) " the best of its row" } }
        @if let Some(note) = &table.note { p class="note" { (isolated(note)) } }
    }
}

fn line(table: &Table, row: &Row, words: &[String]) -> Markup {
    html! {
        tr class=[row.is_total.then_some("total")] {
            @for (at, (head, words)) in table.columns.iter().zip(words).enumerate() {
                @let cell = row.cells.get(at).unwrap_or(&Cell::Missing);
                @if at == 0 && !head.is_number && matches!(cell, Cell::Text(text) if !text.is_empty()) {
                    th scope="row" class=[class(false, cell)] { (isolated(words)) }
                } @else {
                    td class=[class(head.is_number, cell)] {
                        @if row.best.contains(&at) { strong { (value(cell, words)) " " (BEST) } } @else { (value(cell, words)) }
                    }
                }
            }
        }
    }
}

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
        (false, Cell::Text(text)) if text.chars().count() > WORDY => Some("wordy"),
        (false, _) => None,
    }
}

fn value(cell: &Cell, words: &str) -> Markup {
    match cell {
        Cell::ToFill(Fill::Tick) => html! { span class="tick" role="img" aria-label="a box to tick" {} },
        Cell::ToFill(Fill::Words) => html! { span class="fill" role="img" aria-label="a line to write on" {} },
        _ => isolated(words),
    }
}
