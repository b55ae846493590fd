//! The defaults taken, told shortly or in full.

use crate::layout::{DefaultTaken, Layout};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};

/// The defaults taken. `in_full` lists each; else those that differ only in which turnout or board they are of stand in one line.
pub(super) fn defaults(layout: &Layout, in_full: bool) -> Option<Section> {
    let mut rows: Vec<(String, String, usize)> = Vec::new();
    for DefaultTaken { path, value } in &layout.defaults {
        let path = if in_full { path.to_string() } else { without_numbers(path) };
        match rows.iter_mut().find(|(known, ..)| *known == path) {
            Some((_, known, times)) => {
                *times += 1;
                if known != value {
                    "one for each; `check` lists them".clone_into(known);
                }
            }
            None => rows.push((path, value.clone(), 1)),
        }
    }
    let rows = rows.into_iter().map(|(path, value, times)| Row::of([Cell::from(path), value.into(), times.into()]));
    let mut table = Table::new(
        "defaults",
        "",
        [
            ColumnHead::words("path", "In the layout file"),
            ColumnHead::words("value", "Taken"),
            ColumnHead::number("times", "Times"),
        ],
    )
    .rows(rows);
    if table.rows.is_empty() {
        return None;
    }
    if in_full {
        table.columns.pop();
        table.rows.iter_mut().for_each(|row| row.cells.truncate(2));
    }
    Some(Section::new(
        "defaults",
        "Defaults taken",
        [
            Block::text(format!("{} does not say these; write them there to have them otherwise.", layout.file)),
            Block::Table(table),
        ],
    ))
}

/// `turnouts[3].frog` as `turnouts[].frog`.
fn without_numbers(path: &str) -> String {
    let mut inside = false;
    let kept = path.chars().filter(|&c| {
        inside = (inside || c == '[') && c != ']';
        !(inside && c.is_ascii_digit())
    });
    kept.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_lists_are_left_out_and_others_kept() {
        assert_eq!(without_numbers("turnouts[12].frog"), "turnouts[].frog");
        assert_eq!(without_numbers("rules.spare channels 2"), "rules.spare channels 2");
    }
}
