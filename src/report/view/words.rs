//! Small turns of phrase that several views share.

use crate::catalogue::{Per, Word};
use crate::id::PartId;
use crate::report::{Block, Cell, ColumnHead, Prose, Row, Table};

/// `1 drive`, `8 drives`.
pub(super) fn count_of(n: usize, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// `each drive`. What stands on the layout with lights is counted with the signals.
pub(super) fn each(per: Per) -> String {
    match per {
        Per::Signal => "each signal or other thing with lights".to_owned(),
        Per::FrogToContact => "each frog that needs a contact fitted".to_owned(),
        per => format!("each {}", per.word()),
    }
}

/// The words with a capital letter first.
pub(super) fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn and<T: AsRef<str>>(items: &[T]) -> String {
    match items {
        [] => "none".to_owned(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// Names in the order they come, each once, the repeated ones with how often: `T1, T2 (3 times)`.
pub(super) fn named_once(names: impl IntoIterator<Item = String>) -> String {
    let mut counted: Vec<(String, usize)> = Vec::new();
    for name in names {
        match counted.iter_mut().find(|(known, _)| *known == name) {
            Some((_, times)) => *times += 1,
            None => counted.push((name, 1)),
        }
    }
    let each = counted.into_iter().map(|(name, times)| if times > 1 { format!("{name} ({times} times)") } else { name });
    each.collect::<Vec<_>>().join(", ")
}

/// A table, or a sentence in its place where it would have no rows.
pub(super) fn table_or(table: Table, otherwise: impl Into<Prose>) -> Block {
    if table.rows.is_empty() { Block::text(otherwise) } else { Block::Table(table) }
}

/// A key for sorting parts as the catalogue lists them within kinds as it lists those.
pub(super) fn by_kind(catalogue: &crate::catalogue::Catalogue, part: PartId) -> (crate::catalogue::CostGroup, u32, PartId) {
    let kind = catalogue.part(part).kind;
    (catalogue.kind(kind).role.group(), kind.0, part)
}

/// A table of two columns: what, and how much or which.
pub(super) fn pairs(id: &'static str, title: &str, rows: impl IntoIterator<Item = (&'static str, &'static str, Cell)>) -> Table {
    Table::new(id, title, [ColumnHead::words("what", "What"), ColumnHead::number("value", "Number")])
        .rows(rows.into_iter().map(|(id, what, value)| Row::of([Cell::from(what), value]).named(id)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_people_say_them() {
        assert_eq!(and::<&str>(&[]), "none");
        assert_eq!(and(&["a"]), "a");
        assert_eq!(and(&["a", "b", "c"]), "a, b and c");
        assert_eq!(named_once(["T1", "T2", "T1"].map(str::to_owned)), "T1 (2 times), T2");
        assert_eq!((count_of(1, "drive"), count_of(0, "drive")), ("1 drive".to_owned(), "0 drives".to_owned()));
    }
}
