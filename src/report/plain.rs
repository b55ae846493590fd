//! Text for a terminal: made harmless, measured and wrapped.

use tabled::grid::util::string::get_line_width;

/// The text with everything that a terminal would obey shown instead: control characters and marks that turn the direction of
/// writing become `\u{1b}` and the like, line ends and tabs become spaces. Text from a file stays data.
pub fn harmless(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\t' => out.push(' '),
            '\r' => {}
            c if c.is_control() || turns_writing(c) => out.extend(c.escape_unicode()),
            c => out.push(c),
        }
    }
    out
}

/// Marks of the Unicode bidirectional algorithm (UAX 9) and the line separators, which could show text in another order than it has.
fn turns_writing(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// How many columns of a terminal a line takes.
pub fn display_width(line: &str) -> usize {
    get_line_width(line)
}

/// The text in lines of at most `width` columns, broken at spaces; a word that is longer is broken where it must be. At least one
/// line, which may be empty.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let long = display_width(word);
        if used > 0 && used + 1 + long <= width {
            line.push(' ');
            used += 1;
        } else if used > 0 {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used + long <= width {
            line.push_str(word);
            used += long;
            continue;
        }
        for part in breakable(word, width) {
            let long = display_width(part);
            if used + long > width && used > 0 {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            line.push_str(part);
            used += long;
        }
    }
    lines.push(line);
    lines
}

/// A word in parts of at most `width` columns, parted after hyphens and strokes where there are any, else letter by letter.
fn breakable(word: &str, width: usize) -> Vec<&str> {
    let parts = word
        .split_inclusive(['-', '/'])
        .flat_map(|part| if display_width(part) > width { part.split_inclusive(|_: char| true).collect() } else { vec![part] });
    parts.collect()
}

/// The width of the longest word: the least a column can have without breaking words.
pub(super) fn longest_word(text: &str) -> usize {
    text.split(' ').map(display_width).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn codes_are_shown_and_not_obeyed() {
        assert_eq!(harmless("a\u{1b}[31mred\u{9b}0m\u{202e}x\ty\r\n"), "a\\u{1b}[31mred\\u{9b}0m\\u{202e}x y ");
    }

    #[test]
    fn words_stay_whole_where_they_fit() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefgh ij", 3), ["abc", "def", "gh", "ij"]);
        assert_eq!(wrap("", 5), [""]);
        assert_eq!(wrap("a servo-controller", 12), ["a", "servo-", "controller"]);
        assert_eq!(wrap("ab/cdefghij", 4), ["ab/c", "defg", "hij"]);
    }

    proptest! {
        #[test]
        fn no_line_is_too_wide_and_no_letter_is_lost(text in "\\PC{0,80}", width in 2_usize..40) {
            let text = harmless(&text);
            let lines = wrap(&text, width);
            for line in &lines {
                prop_assert!(display_width(line) <= width, "{line:?} in {width}");
            }
            let letters = |s: &str| s.chars().filter(|c| *c != ' ').collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }
    }
}
