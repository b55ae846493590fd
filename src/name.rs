//! Names as people see them: when two are the same, and which one a slip was meant for.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use unicode_normalization::UnicodeNormalization;

/// How much of a name is looked at to find the nearest, in characters.
const COMPARED: usize = 64;

/// A name as names are compared: without regard to case, to blanks about it, to how many blanks part its words, and to how its letters are
/// composed (Unicode normal form C of UAX 15).
pub fn folded(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    let words = words.join(" ");
    // Most names need no more, and a catalogue has many.
    if words.is_ascii() { words.to_ascii_lowercase() } else { words.nfc().collect::<String>().to_lowercase().nfc().collect() }
}

/// Whether two names are one to those who read them.
pub fn same(one: &str, other: &str) -> bool {
    one == other || folded(one) == folded(other)
}

/// The valid name nearest to what was written, if one is near: at most a third of its letters left out, put in, changed or swapped with
/// their neighbours, or one swap in a name however short.
pub fn nearest<'a>(written: &str, valid: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let short = |name: &str| folded(name).chars().take(COMPARED).collect::<String>();
    let written = short(written);
    let near = |name| {
        let other = short(name);
        let allowed = written.chars().count().max(other.chars().count()) / 3;
        let distance = strsim::osa_distance(&written, &other);
        (distance <= allowed || distance == 1 && letters(&written) == letters(&other)).then_some((distance, name))
    };
    valid.into_iter().filter_map(near).min().map(|(_, name)| name)
}

/// The letters of a name in order, by which a swap is told from a change.
fn letters(name: &str) -> Vec<char> {
    let mut letters: Vec<char> = name.chars().collect();
    letters.sort_unstable();
    letters
}

/// A word that prints as it was written and compares as people see it: `RD` is `rd`.
#[derive(Debug, Clone)]
pub struct Term {
    written: Arc<str>,
    folded: Arc<str>,
}

impl Term {
    /// The word as written.
    pub fn as_str(&self) -> &str {
        &self.written
    }
}

impl From<&str> for Term {
    fn from(written: &str) -> Self {
        Self { written: written.into(), folded: folded(written).into() }
    }
}

impl PartialEq for Term {
    fn eq(&self, other: &Self) -> bool {
        self.folded == other.folded
    }
}

impl Eq for Term {}

impl PartialOrd for Term {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Term {
    fn cmp(&self, other: &Self) -> Ordering {
        self.folded.cmp(&other.folded)
    }
}

impl Hash for Term {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.folded.hash(state);
    }
}

impl fmt::Display for Term {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.written)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_the_same_as_people_see_them() {
        assert!(same("Münster", "MU\u{308}NSTER"));
        assert!(same(" Goods  yard", "goods\u{a0}yard "));
        assert!(!same("T1", "T11"));
        // The precomposed letter of the angstrom sign is another code point for the same letter.
        assert!(same("\u{212b}", "å"));
    }

    #[test]
    fn the_nearest_name_is_found_and_a_far_one_is_not() {
        assert_eq!(nearest("turnots", ["turnouts", "signals"]), Some("turnouts"));
        assert_eq!(nearest("bord", ["boards", "board"]), Some("board"));
        assert_eq!(nearest("xyz", ["turnouts", "signals"]), None);
        assert_eq!(nearest("T2", ["T1", "B"]), None, "another device is no slip");
    }

    #[test]
    fn two_letters_that_changed_places_are_one_slip() {
        assert_eq!(nearest("wno", ["own", "won"]), Some("won"));
        assert_eq!(nearest("rpa", ["rap", "arm"]), Some("rap"));
        assert_eq!(nearest("1T", ["T2", "T1"]), Some("T1"));
        assert_eq!(nearest("gaet", ["gate", "lamp"]), Some("gate"));
    }
}
