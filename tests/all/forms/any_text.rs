//! Whatever a name holds, it passes through every form unharmed and harms nothing.

use proptest::prelude::*;
use underboard::finding::{Finding, Weight};
use underboard::report::{
    Block, Cell, ColumnHead, Document, Dress, Prose, Row, Section, Table, UnitsBy, csv_of_table, harmless, to_csv, to_json,
    to_markdown, to_terminal,
};

use super::{csv, markdown};

/// Texts that something might take for more than text.
pub(crate) const TEXTS: &[&str] = &[
    "<b>&\"'",
    "=1+1",
    "+44 20",
    "-SUM(A1)",
    "@cmd",
    "\t=1",
    "'=1",
    "|",
    "a | b \\| c \\",
    "`code` ``x``",
    "*a* _b_ **c** ~~d~~ $e$ ^f^ ==g==",
    "[a](http://b.example) ![c](d) [e]: f [^1]",
    "http://a.example www.b.example ftp://c.example mailto:d@e.example f@g.example WWW.h.example",
    "<script>alert(1)</script> <!-- x --> &amp; &#60; &lt;b&gt;",
    "# x",
    "#",
    "1. x",
    "1) x",
    "- x",
    "+ x",
    "---",
    "===",
    "> x",
    "[x] y",
    ": x",
    "    x",
    "a  ",
    "~~~",
    "```",
    "{x}",
    "\\",
    "3",
    "-3.5",
    "1e5",
    "0042",
    "שלום עולם",
    "مرحبا",
    "日本語",
    "e\u{301}",
    "👩‍🔧",
    "\u{202e}abc\u{202c}",
    "\u{1b}[31mred",
    "a\nb\r\nc",
    "\u{0}\u{7f}\u{9b}",
    "\u{feff}x",
    "\u{a0}x",
    "\u{2000}",
    "\u{3000}x\u{2009}",
    "",
];

/// A document with a text wherever a text can stand.
fn of(text: &str) -> Document {
    let columns = || [ColumnHead::words("a", text), ColumnHead::number("b", text), ColumnHead::words("c", text)];
    let rows = || {
        [
            Row::of([Cell::from(text), Cell::Count(-5), Cell::from(text)]).best(vec![1]),
            // A column in which no row says anything is not told.
            Row::total([Cell::from(text), Cell::Percent(-0.1), Cell::Flag(true)]),
        ]
    };
    let by_row = Table { units: UnitsBy::Row, ..Table::new("rows", text, columns()) };
    let finding = Finding::new("code", Weight::Note, text).seen(text).mend(text, None);
    let blocks = [
        Block::text(text),
        Block::List(vec![Prose::from(text), Prose::from(text).then(text)]),
        Block::Table(Table::new("columns", text, columns()).rows(rows()).note(text)),
        Block::Table(by_row.rows(rows()).note(text)),
        Block::Findings(vec![finding]),
    ];
    Document {
        verb: "check",
        title: text.to_owned(),
        notices: vec![text.to_owned()],
        sections: vec![Section::new("one", text, blocks)],
        falls_short: false,
    }
}

/// The text as any form that is read by eye shows it: Markdown and page alike make one of several spaces.
fn seen(text: &str) -> String {
    harmless(text).split([' ', '\u{a0}']).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

fn passes(text: &str) {
    let document = of(text);

    let shown = markdown::read(&to_markdown(&document));
    assert_eq!(shown.tables.len(), 2, "{text:?}");
    for table in &shown.tables {
        assert_eq!(table.rows.len(), 2);
        assert!(table.headings.iter().all(|heading| seen(heading).starts_with(&seen(text))), "{table:?}");
        assert_eq!((seen(&table.rows[0][0]), seen(&table.rows[0][2])), (seen(text), seen(text)));
        let total = seen(&table.rows[1][0]);
        assert_eq!(total.strip_suffix("(%)").unwrap_or(&total).trim_end_matches(' '), seen(text));
    }
    let times = shown.texts.iter().filter(|shown| seen(shown) == seen(text)).count();
    let twice = shown.texts.iter().filter(|shown| seen(shown) == seen(&format!("{text}{text}"))).count();
    assert!(seen(text).is_empty() || (times >= 7 && twice >= 1), "{text:?}: {times} and {twice} in {:?}", shown.texts);

    let rows = csv::rows(&to_csv(&document));
    let alone = csv::rows(&csv_of_table(&document, "columns").unwrap());
    for rows in [&rows, &alone] {
        let found = rows.iter().flatten().filter(|cell| seen(&csv::shown(cell)) == seen(text)).count();
        assert!(found >= 3, "{text:?}: {found}");
    }
    assert_eq!(alone.len(), 3);

    let json: serde_json::Value = serde_json::from_str(&to_json(&document)).unwrap();
    assert_eq!(json["title"], text);

    for width in [40, 80, 200] {
        let terminal = to_terminal(&document, Dress { width, colour: false });
        assert!(terminal.chars().all(|c| c == '\n' || !c.is_control()), "{text:?}");
    }
}

#[test]
fn texts_that_look_like_more_pass_every_form() {
    TEXTS.iter().for_each(|text| passes(text));
    passes(&"x".repeat(200));
    passes(&"=".repeat(200));
    passes(&"| ".repeat(100));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_passes_every_form(
        text in prop_oneof![
            "\\PC{0,40}",
            "[-+=@|*_`~<>&\\[\\]()!#$^:./\\\\ 'wWa1\"{}]{0,30}",
            proptest::collection::vec(any::<char>(), 0..20).prop_map(|letters| letters.into_iter().collect::<String>()),
        ],
    ) {
        passes(&text);
    }
}
