//! How wide text is, near enough above what any common typeface without serifs takes, and how it is cut to fit.

use crate::report::document::Cell;
use crate::report::figures::{Figures, with_unit};
use crate::report::plain::{display_width, harmless};

/// The width of a letter in ems: the widths of a broad typeface.
fn ems(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' | 'I' | 'J' => 0.30,
        ' ' | '\u{a0}' | '.' | ',' | '·' => 0.33,
        'f' | 't' | '-' | '/' | ':' | ';' | '(' | ')' | '[' | ']' | '!' => 0.40,
        'r' | '"' => 0.47,
        's' | 'z' | 'c' | '_' => 0.56,
        'm' | 'W' | 'M' | '%' | '…' | '@' | '—' => 1.0,
        'w' | 'O' | 'Q' | '<' | '>' | '=' | '+' | '×' | '±' | '#' | '&' | 'G' | 'D' => 0.84,
        'A'..='Z' => 0.75,
        c if c.is_ascii() => 0.64,
        c => match display_width(c.encode_utf8(&mut [0; 4])) {
            0 => 0.0,
            1 => 0.75,
            _ => 1.1,
        },
    }
}

/// A value with its unit, to be read.
pub(super) fn told(cell: &Cell) -> String {
    with_unit(cell, Figures::Rounded)
}

/// The width of a text at a size.
pub(super) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(ems).sum::<f64>() * size
}

/// A text that has been cut to fit, and the whole of it where that is more.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fitted {
    /// What is printed.
    pub(super) shown: String,
    /// The whole, where it was cut.
    pub(super) whole: Option<String>,
}

/// The text made harmless and cut to a width, with `…` at its end where it is cut.
pub(super) fn fit(text: &str, size: f64, room: f64) -> Fitted {
    let text = harmless(text);
    if width(&text, size) <= room {
        return Fitted { shown: text, whole: None };
    }
    let mut shown = String::new();
    let mut used = width("…", size);
    for c in text.chars() {
        used += ems(c) * size;
        if used > room {
            break;
        }
        shown.push(c);
    }
    shown.truncate(shown.trim_end().len());
    shown.push('…');
    Fitted { shown, whole: Some(text) }
}

/// The text in at most `most` lines of a width, broken at spaces; what is too long for that is cut.
pub(super) fn lines(text: &str, size: f64, room: f64, most: usize) -> Vec<Fitted> {
    let whole = harmless(text);
    let mut lines: Vec<String> = Vec::new();
    for word in whole.split(' ').filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if lines_fit(line, word, size, room) => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        lines.push(rest);
    }
    let mut fitted: Vec<Fitted> = lines.iter().map(|line| fit(line, size, room)).collect();
    if fitted.iter().any(|line| line.whole.is_some()) {
        fitted.iter_mut().for_each(|line| line.whole = Some(whole.clone()));
    }
    fitted
}

fn lines_fit(line: &str, word: &str, size: f64, room: f64) -> bool {
    width(line, size) + width(" ", size) + width(word, size) <= room
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_too_long_is_cut_and_kept_whole_beside() {
        let fitted = fit("a name that goes on and on", 3.0, 20.0);
        assert!(fitted.shown.ends_with('…') && width(&fitted.shown, 3.0) <= 20.0, "{fitted:?}");
        assert_eq!(fitted.whole.as_deref(), Some("a name that goes on and on"));
        assert_eq!(fit("short", 3.0, 20.0), Fitted { shown: "short".to_owned(), whole: None });
    }

    #[test]
    fn lines_break_at_spaces() {
        let shown: Vec<String> = lines("Servo, home-made bracket", 3.0, 22.0, 3).into_iter().map(|line| line.shown).collect();
        assert_eq!(shown, ["Servo,", "home-made", "bracket"]);
        assert_eq!(lines(&"word ".repeat(40), 3.0, 22.0, 2).len(), 2);
    }
}
