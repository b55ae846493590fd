//! Names as people see them: when two are the same, and which one a slip was meant for.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use unicode_normalization::UnicodeNormalization;

/// How much of a name is looked at to find the nearest, in characters.
const COMPARED: usize = 64;
/// As many names that share words with a slip are shown.
const AKIN: usize = 3;

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

/// The valid names that may have been meant: the nearest, if one is near, with at most a third of its letters left out, put in, changed or
/// swapped with their neighbours, or one swap in a name however short; else the few that share their words with what was written.
pub fn nearest<'a>(written: &str, valid: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let short = |name: &str| folded(name).chars().take(COMPARED).collect::<String>();
    let written = short(written);
    let words_written = words(&written);
    let mut akin = Vec::new();
    let near = |name| {
        let other = short(name);
        let allowed = written.chars().count().max(other.chars().count()) / 3;
        let distance = strsim::osa_distance(&written, &other);
        if share_words(&words_written, &words(&other)) {
            akin.push(name);
        }
        (distance <= allowed || distance == 1 && letters(&written) == letters(&other)).then_some((distance, name))
    };
    let found = match valid.into_iter().filter_map(near).min() {
        Some((_, name)) => vec![name],
        // More than these would be no hint.
        None if akin.len() > AKIN => Vec::new(),
        None => akin,
    };
    found.into_iter().map(str::to_owned).collect()
}

/// The words of a folded name, each without the `s` of a plural, small numbers in letters.
fn words(name: &str) -> Vec<String> {
    const NUMBERS: [&str; 4] = ["one", "two", "three", "four"];
    let number = |word: &str| NUMBERS.get(word.parse::<usize>().ok()?.checked_sub(1)?).map(|&number| number.to_owned());
    let singular = |word: &str| word.strip_suffix('s').filter(|rest| rest.len() > 2).unwrap_or(word).to_owned();
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(|word| number(word).unwrap_or_else(|| singular(word))).collect()
}

/// Whether all words of one stand in the other: a name of which a part was written, or one with more about it.
fn share_words(one: &[String], other: &[String]) -> bool {
    let (few, many) = if one.len() <= other.len() { (one, other) } else { (other, one) };
    // A single letter or digit says too little.
    few.iter().any(|word| word.len() > 2)
        && few.iter().all(|word| many.iter().any(|other| other == word || word.len() > 2 && other.starts_with(word.as_str())))
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
        assert_eq!(nearest("turnots", ["turnouts", "signals"]), ["turnouts"]);
        assert_eq!(nearest("bord", ["boards", "board"]), ["board"]);
        assert!(nearest("xyz", ["turnouts", "signals"]).is_empty());
        assert!(nearest("T2", ["T1", "B"]).is_empty(), "another device is no slip");
    }

    #[test]
    fn two_letters_that_changed_places_are_one_slip() {
        assert_eq!(nearest("wno", ["own", "won"]), ["won"]);
        assert_eq!(nearest("rpa", ["rap", "arm"]), ["rap"]);
        assert_eq!(nearest("1T", ["T2", "T1"]), ["T1"]);
        assert_eq!(nearest("gaet", ["gate", "lamp"]), ["gate"]);
    }

    #[test]
    fn names_that_share_words_are_found_where_none_is_near() {
        let kinds = ["plain", "three-way", "single slip", "double slip"];
        assert_eq!(nearest("slip", kinds), ["single slip", "double slip"]);
        assert_eq!(nearest("3-way", kinds), ["three-way"]);
        assert_eq!(nearest("Double slips, long", kinds), ["double slip"]);
        assert_eq!(nearest("brackets", ["bracket-screw", "servo"]), ["bracket-screw"]);
        assert_eq!(nearest("sol", ["solenoid", "servo"]), ["solenoid"], "the beginning of a word");
        assert!(nearest("a", ["a b c", "x"]).is_empty(), "a letter says too little");
        assert!(nearest("wire", ["wire one", "wire two", "wire red", "wire blue"]).is_empty(), "too many are no hint");
    }
}
