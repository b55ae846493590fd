//! The defaults taken, told shortly or in full.

use std::collections::BTreeMap;

use crate::diagnostic::Place;
use crate::layout::{DefaultTaken, Layout};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};

/// How defaults are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Told {
    /// Each by the name of what it is of.
    InFull,
    /// Those that differ only in which turnout or board they are of in one line.
    InShort,
    /// The same, in words, since nothing can be looked up on paper.
    OnPaper,
}

/// The defaults taken.
pub(super) fn defaults(layout: &Layout, told: Told) -> Option<Section> {
    let in_full = told == Told::InFull;
    let mut rows: Vec<(String, String, usize)> = Vec::new();
    let names = names(layout);
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for default in &layout.defaults {
        times.entry(in_words(&default.path)).and_modify(|times| *times = times.saturating_add(1)).or_insert(1);
    }
    let alone = |path: &str| times.get(&in_words(path)) == Some(&1);
    for DefaultTaken { path, value } in &layout.defaults {
        let path = if in_full || alone(path) { named(path, &names) } else { in_words(path) };
        match rows.iter_mut().find(|(known, ..)| *known == path) {
            Some((_, known, times)) => {
                *times += 1;
                if known != value {
                    let each = if told == Told::OnPaper { "one for each" } else { "one for each; `check` lists them" };
                    each.clone_into(known);
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
    let file = if told == Told::OnPaper { file_name(&layout.file) } else { &*layout.file };
    Some(Section::new(
        "defaults",
        "Defaults taken",
        [Block::text(format!("{file} does not say these; write them there to have them otherwise.")), Block::Table(table)],
    ))
}

/// The name of a file without its folders.
pub(super) fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

/// What has a name, by the path of its entry in the layout file.
fn names(layout: &Layout) -> BTreeMap<String, &str> {
    // A board that is a default itself is not written anywhere.
    let boards = layout.boards.iter().enumerate().map(|(at, board)| (format!("boards[{at}]"), &*board.name));
    let joints = layout.joints.iter().map(|joint| (&joint.place, &joint.name));
    let devices = layout.devices.iter().map(|device| (&device.place, &device.name));
    let named = joints.chain(devices).filter_map(|(place, name)| match place {
        Place::Yaml { path, .. } => Some((path.to_string(), &**name)),
        _ => None,
    });
    boards.chain(named).collect()
}

/// `turnouts[2].frog` as `T3: frog`; what has no name by its place in its list, counted from 1.
fn named(path: &str, names: &BTreeMap<String, &str>) -> String {
    let Some((entry, key)) = path.split_once("].") else { return path.replace('.', ": ") };
    let counted = || {
        let (list, at) = entry.split_once('[')?;
        Some(format!("{list} no. {}", at.parse::<usize>().ok()?.saturating_add(1)))
    };
    let name = names.get(&*format!("{entry}]")).map(|&name| name.to_owned()).or_else(counted);
    name.map_or_else(|| in_words(path), |name| format!("{name}: {key}"))
}

/// `turnouts[3].frog` as `turnouts: frog`.
fn in_words(path: &str) -> String {
    without_numbers(path).replace("[]", "").replace('.', ": ")
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
        assert_eq!(in_words("joints[3].lead"), "joints: lead");
        let names = BTreeMap::from([("turnouts[2]".to_owned(), "T3")]);
        assert_eq!(named("turnouts[2].frog", &names), "T3: frog");
        assert_eq!(named("boards[0].top", &names), "boards no. 1: top");
        assert_eq!(named("rules.lamps", &names), "rules: lamps");
        assert_eq!(named("panel", &names), "panel");
        assert_eq!(file_name("/home/me/layout.yaml"), "layout.yaml");
        assert_eq!(without_numbers("rules.spare channels 2"), "rules.spare channels 2");
    }
}
