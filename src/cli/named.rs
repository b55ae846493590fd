//! What the user names on the command line: a thing of the catalogue by its name or by its title.

use crate::diagnostic::{Code, Diagnostic, Place};
use crate::name::{folded, nearest};

/// A thing's name and title.
pub(super) type Label<'a> = (&'a str, &'a str);

/// Which thing is meant: the one of this name; else the one of this title, with or without what stands in it in round brackets.
///
/// # Errors
/// There is none; the names are told of those that may have been meant.
pub(super) fn named(word: &str, flag: &str, things: &[Label<'_>], unknown: &str) -> Result<usize, Diagnostic> {
    let asked = folded(word);
    let by_name = things.iter().position(|(name, _)| folded(name) == asked);
    let by_title = || things.iter().position(|(_, title)| folded(title) == asked || folded(bare(title)) == asked);
    by_name.or_else(by_title).ok_or_else(|| {
        let names = || things.iter().map(|(name, _)| *name);
        let mut problem = Diagnostic::error(Code::UnknownId, Place::Flag(flag.into()), unknown).one_of(word, names());
        if problem.nearest.is_empty() {
            let titles = nearest(word, things.iter().map(|(_, title)| bare(title)));
            let is_near = |title: &str| titles.iter().any(|near| near == bare(title));
            problem.nearest = things.iter().filter(|(_, title)| is_near(title)).map(|(name, _)| (*name).to_owned()).collect();
        }
        problem
    })
}

/// A title without what stands in it in round brackets.
fn bare(title: &str) -> &str {
    title.split(" (").next().unwrap_or(title)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

    use super::*;

    #[test]
    fn a_thing_is_named_by_its_name_or_title_and_a_part_of_either_is_a_hint() {
        let things =
            [("quem", "Quemberlo Sundries (invented)"), ("stall-motor", "Stall motor"), ("solenoid", "Twin-coil solenoid")];
        let find = |word: &str| named(word, "--x", &things, "no such thing");
        assert_eq!(find("QUEM").unwrap(), 0);
        assert_eq!(find("quemberlo  sundries").unwrap(), 0);
        assert_eq!(find("Stall Motor").unwrap(), 1);
        assert_eq!(find("Sundries").unwrap_err().nearest, ["quem"]);
        assert_eq!(find("Quemberlo Sundry").unwrap_err().nearest, ["quem"]);
        assert_eq!(find("stall").unwrap_err().nearest, ["stall-motor"]);
        assert_eq!(find("twin coil").unwrap_err().nearest, ["solenoid"]);
        assert!(find("xyz").unwrap_err().nearest.is_empty());
    }
}
