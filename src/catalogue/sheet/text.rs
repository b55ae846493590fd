//! Text of cells and files, brought into one form.

use std::borrow::Cow;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

/// The text of a cell on one line: control codes and marks that turn or hide text become blanks, runs of blanks one blank.
pub(super) fn clean(text: &str) -> String {
    let text: String = text.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether a character moves the cursor, turns the direction of writing or cannot be seen.
fn unprintable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}

/// A number of a workbook as the plain decimal a person would have typed: `0.1`, not `0.1000000000000000055`.
pub(super) fn number(value: f64) -> String {
    Decimal::from_f64(value).map_or_else(|| value.to_string(), |exact| exact.normalize().to_string())
}

/// How the letters of a text file were stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Letters {
    /// As UTF-8 or UTF-16, which can be told for certain.
    Certain,
    /// As Windows-1252, which is a guess where the bytes are no UTF-8.
    Guessed,
}

/// The text of a file: UTF-8 or UTF-16 by its mark, else UTF-8, else Windows-1252. The mark is left out.
pub(super) fn decode(bytes: &[u8]) -> (Cow<'_, str>, Letters) {
    if let Some((encoding, mark)) = encoding_rs::Encoding::for_bom(bytes) {
        return (encoding.decode_without_bom_handling(bytes.get(mark..).unwrap_or_default()).0, Letters::Certain);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => (Cow::Borrowed(text), Letters::Certain),
        Err(_) => (encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0, Letters::Guessed),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_comes_out_on_one_line_without_control_codes() {
        assert_eq!(clean("  wire\u{a0}7/0.2\r\n\tred "), "wire 7/0.2 red");
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c"), "a [31mb c");
    }

    #[test]
    fn numbers_come_out_as_typed() {
        assert_eq!(number(0.1 + 0.2), "0.3");
        assert_eq!(number(12.0), "12");
        assert_eq!(number(-0.05), "-0.05");
        assert_eq!(number(f64::NAN), "NaN");
        assert_eq!(number(1e300).len(), 301);
    }

    #[test]
    fn letters_are_found() {
        assert_eq!(decode(b"\xef\xbb\xbfM\xc3\xbcller"), ("Müller".into(), Letters::Certain));
        assert_eq!(decode(b"M\xfcller \x80"), ("Müller €".into(), Letters::Guessed));
        assert_eq!(decode(b"\xff\xfek\0i\0"), ("ki".into(), Letters::Certain));
    }
}
