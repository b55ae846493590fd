//! A table as lines of text of a given width.

use tabled::builder::Builder;
use tabled::settings::formatting::AlignmentStrategy;
use tabled::settings::object::{Cell as At, Columns, Segment};
use tabled::settings::style::HorizontalLine;
use tabled::settings::themes::Theme;
use tabled::settings::{Alignment, Padding};

use super::document::{ColumnHead, Table};
use super::figures::Figures;
use super::plain::{display_width, longest_word, wrap};
use super::text_table::TextTable;

/// Columns of a terminal between two columns of a table.
const GAP: usize = 2;

/// Words of a table longer than these may be broken to fit: the first if need be, the others where that keeps the table in one piece.
const WORDS: [usize; 3] = [24, 16, 12];

/// A column of words wider than this can be wrapped without harm to reading.
const COMFORT: usize = 28;

/// What marks the best value of a row.
pub(super) const BEST: &str = "*";

/// A table as lines. Where it is too wide even with its cells wrapped, it is cut into several, each beginning with the first column.
#[derive(Debug)]
pub(super) struct Grid {
    /// Its title, with the unit that all its values share.
    pub(super) title: String,
    /// Whether any value is marked as the best of its row.
    pub(super) marks: bool,
    /// Headings of columns left out for want of room.
    pub(super) left_out: Vec<String>,
    /// The pieces: of each the lines of its heading, then the others.
    pub(super) pieces: Vec<(Vec<String>, Vec<String>)>,
}

/// A column ready to be laid out.
struct Column {
    heading: String,
    cells: Vec<String>,
    is_number: bool,
    is_detail: bool,
    /// The width of its longest word.
    word: usize,
    /// The least width it may have: no number is broken, and no word of usual length.
    least: usize,
    /// The width at which nothing wraps.
    natural: usize,
    /// The width at which it reads well: headings wrapped, cells only if they are long.
    comfort: usize,
}

impl Grid {
    /// Lays a table out.
    pub(super) fn of(table: &Table, width: usize) -> Self {
        let text = TextTable::of(table, Figures::Rounded);
        let mut columns = columns(table, &text);
        let left_out = leave_out(&mut columns, width);
        break_words(&mut columns, width);
        let totals: Vec<bool> = table.rows.iter().map(|row| row.is_total).collect();
        let pieces = pieces(&columns, width).iter().map(|piece| paint(&columns, piece, &totals, width)).collect();
        Self { title: text.title(&table.title), marks: table.rows.iter().any(|row| !row.best.is_empty()), left_out, pieces }
    }
}

/// The columns of a table, with the marks of the best of each row.
fn columns(table: &Table, text: &TextTable) -> Vec<Column> {
    let columns = table.columns.iter().zip(&text.headings).enumerate().map(|(at, (head, heading))| {
        let marked = table.rows.iter().any(|row| row.best.contains(&at));
        let cells = table.rows.iter().zip(&text.rows).map(|(row, texts)| {
            let text = texts.get(at).map_or("", String::as_str);
            match row.best.contains(&at) {
                true => format!("{text}\u{a0}{BEST}"),
                // The mark's room is kept, so that figures stand under one another.
                false if marked => format!("{text}\u{a0}\u{a0}"),
                false => text.to_owned(),
            }
        });
        Column::new(heading.clone(), cells.collect(), head)
    });
    columns.collect()
}

impl Column {
    fn new(heading: String, cells: Vec<String>, head: &ColumnHead) -> Self {
        let words = || std::iter::once(&heading).chain(&cells);
        let natural = words().map(|text| display_width(text)).max().unwrap_or(0);
        let word = words().map(|text| longest_word(text)).max().unwrap_or(0);
        let longest = cells.iter().map(|text| display_width(text)).max().unwrap_or(0);
        let least = word.min(WORDS[0]);
        let comfort = least.max(longest.min(COMFORT));
        Self { heading, cells, is_number: head.is_number, is_detail: head.is_detail, word, least, natural, comfort }
    }
}

/// Takes out columns of detail, the last first, until the others have room; gives their headings in order.
fn leave_out(columns: &mut Vec<Column>, width: usize) -> Vec<String> {
    let mut left_out = Vec::new();
    let crowded = |columns: &[Column]| {
        let wanted: usize = columns.iter().map(|column| column.comfort + GAP).sum();
        wanted > width + GAP
    };
    while crowded(columns) {
        let Some(at) = columns.iter().rposition(|column| column.is_detail) else { break };
        left_out.insert(0, columns.remove(at).heading);
    }
    left_out
}

/// Lets long words be broken where that keeps a table in one piece: a row is read more easily on a few lines than in two places.
fn break_words(columns: &mut [Column], width: usize) {
    let needs = |columns: &[Column], most: usize| {
        let least = columns.iter().map(|column| if column.is_number { column.least } else { column.word.min(most) } + GAP);
        least.sum::<usize>()
    };
    let Some(most) = WORDS.into_iter().find(|&most| needs(columns, most) <= width + GAP) else { return };
    for column in columns.iter_mut().filter(|column| !column.is_number) {
        column.least = column.word.min(most);
    }
}

/// Which columns stand in which piece: as few pieces as hold all columns at their least widths, and those as even as can be, so that none
/// is crowded while another has room to spare.
fn pieces(columns: &[Column], width: usize) -> Vec<Vec<usize>> {
    let fewest = pieces_within(columns, width).len();
    let even = (1..width).find(|&less| pieces_within(columns, less).len() == fewest);
    pieces_within(columns, even.unwrap_or(width))
}

/// Pieces of as many columns as fit at their least widths, the first column in each.
fn pieces_within(columns: &[Column], width: usize) -> Vec<Vec<usize>> {
    let least = |at: usize| columns.get(at).map_or(0, |column| column.least);
    let mut pieces: Vec<Vec<usize>> = Vec::new();
    let mut used = 0;
    for at in 1..columns.len() {
        let more = GAP + least(at);
        match pieces.last_mut() {
            Some(piece) if used + more <= width => piece.push(at),
            _ => {
                pieces.push(vec![0, at]);
                used = least(0);
            }
        }
        used += more;
    }
    if pieces.is_empty() && !columns.is_empty() {
        pieces.push(vec![0]);
    }
    pieces
}

/// Widths for the columns of a piece: none wider than it needs, and as even as that allows.
fn widths(columns: &[&Column], width: usize) -> Vec<usize> {
    let room = width.saturating_sub(GAP * columns.len().saturating_sub(1)).max(columns.len());
    // The first column is read most: it may be as wide as it needs, up to a share of the page, where the others still fit.
    let first = columns.first().map_or(0, |column| column.natural.min(width * 2 / 5).max(column.least));
    let others: usize = columns.iter().skip(1).map(|column| column.least).sum();
    let least = |at: usize, column: &Column| if at == 0 && first + others <= room { first } else { column.least };
    let at_level = |level: usize| {
        columns.iter().enumerate().map(move |(at, column)| column.natural.min(least(at, column).max(level)).max(1))
    };
    let fits = |level: &usize| at_level(*level).sum::<usize>() <= room;
    let level = (0..=room).rev().find(fits);
    let mut widths: Vec<usize> = match level {
        Some(level) => at_level(level).collect(),
        // Too narrow for whole words: shared out evenly, and words are broken.
        None => columns.iter().map(|column| column.least.min(room / columns.len()).max(1)).collect(),
    };
    let mut rest = room.saturating_sub(widths.iter().sum());
    for (width, column) in widths.iter_mut().zip(columns) {
        let more = column.natural.saturating_sub(*width).min(rest);
        *width += more;
        rest -= more;
    }
    widths
}

/// The lines of a piece: of its heading, and the others.
fn paint(columns: &[Column], piece: &[usize], totals: &[bool], width: usize) -> (Vec<String>, Vec<String>) {
    let columns: Vec<&Column> = piece.iter().filter_map(|&at| columns.get(at)).collect();
    let widths = widths(&columns, width);
    let wrapped = |text: &str, width: usize| wrap(text, width).join("\n");
    let mut builder = Builder::default();
    builder.push_record(columns.iter().zip(&widths).map(|(column, &width)| wrapped(&column.heading, width)));
    for row in 0..totals.len() {
        builder.push_record(
            columns.iter().zip(&widths).map(|(column, &width)| wrapped(column.cells.get(row).map_or("", String::as_str), width)),
        );
    }
    let mut table = builder.build();
    let mut theme = Theme::new();
    theme.insert_horizontal_line(1, HorizontalLine::new('─').intersection('─'));
    for (row, pair) in totals.windows(2).enumerate() {
        match pair {
            [false, true] => theme.insert_horizontal_line(row + 2, HorizontalLine::new('┄').intersection('┄')),
            [true, false] => theme.insert_horizontal_line(row + 2, HorizontalLine::new(' ').intersection(' ')),
            _ => {}
        }
    }
    table.with(theme);
    table.modify(Segment::all(), Padding::new(0, GAP, 0, 0)).modify(Segment::all(), AlignmentStrategy::PerLine);
    table.modify(Columns::last(), Padding::zero());
    for (at, column) in columns.iter().enumerate() {
        if column.is_number {
            table.modify(Columns::one(at), Alignment::right());
        }
    }
    // A heading stands on the line below it, however many lines its neighbours take.
    for at in 0..columns.len() {
        table.modify(At::new(0, at), Alignment::bottom());
    }
    let mut lines: Vec<String> = table.to_string().lines().map(str::to_owned).collect();
    let heading = lines.iter().position(|line| line.starts_with('─')).unwrap_or(0);
    let body = lines.split_off(heading);
    (lines, body)
}
