//! Text of files on a page: without control codes, and runs that are written right to left kept from turning what stands beside them.

use std::fmt::Write;

use maud::{Markup, html};

use crate::report::plain::harmless;

/// The text, each run that is written right to left in an element of its own.
pub(super) fn isolated(text: &str) -> Markup {
    let text = harmless(text);
    html! { @for (run, is_rtl) in runs(&text) { @if is_rtl { bdi { (run) } } @else { (run) } } }
}

/// The text in runs; one written right to left begins and ends with a letter that is.
fn runs(text: &str) -> Vec<(&str, bool)> {
    let mut runs = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find(is_rtl) {
        let (before, from) = rest.split_at(start);
        let before_the_next = from.split(|c: char| c.is_alphanumeric() && !is_rtl(c)).next().unwrap_or(from);
        let (run, after) = from.split_at(before_the_next.trim_end_matches(|c| !is_rtl(c)).len());
        runs.push((before, false));
        runs.push((run, true));
        rest = after;
    }
    runs.push((rest, false));
    runs.retain(|(run, _)| !run.is_empty());
    runs
}

/// Whether a letter is written right to left: the blocks that the Unicode Character Database sets aside for such scripts.
fn is_rtl(c: char) -> bool {
    matches!(c, '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefc}' | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1efff}')
}

/// The longest running head that fits beside nothing else.
const HEAD: usize = 70;

/// The text, cut to fit the head or foot of a page, as a string of CSS: all but plain letters and figures by their number, so that nothing can end it.
pub(super) fn css(text: &str) -> String {
    let mut string = String::from("\"");
    let text = harmless(text);
    let cut = text.chars().count() > HEAD;
    for c in text.chars().take(HEAD).chain(cut.then_some('…')) {
        if c.is_ascii_alphanumeric() || c == ' ' {
            string.push(c);
        } else {
            // Writing to a string cannot fail.
            let _ = write!(string, "\\{:x} ", u32::from(c));
        }
    }
    string.push('"');
    string
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_runs_right_to_left_stands_apart() {
        assert_eq!(isolated("lever שלום עולם 12").into_string(), "lever <bdi>שלום עולם</bdi> 12");
        assert_eq!(isolated("<b>&\"'").into_string(), "&lt;b&gt;&amp;&quot;'");
    }

    #[test]
    fn no_text_ends_its_string() {
        assert_eq!(css("a\"}</style>"), "\"a\\22 \\7d \\3c \\2f style\\3e \"");
    }
}
