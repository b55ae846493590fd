//! `book`: what a person reads in it, what it does with names that look like markup, and when it writes.

use std::fs;

use crate::cove::{self, COVE};
use crate::forms::{Read, markdown};
use crate::program::Desk;

/// The words of a page, an element that stands by itself on a line; pictures and their words are left out.
fn words(page: &str) -> String {
    let mut text = String::new();
    let body = page.split_once("<body>").unwrap().1;
    let mut rest = body;
    while let Some((before, after)) = rest.split_once('<') {
        text.push_str(before);
        let (tag, after) = after.split_once('>').unwrap();
        rest = if tag.starts_with("svg") { after.split_once("</svg>").unwrap().1 } else { after };
        match tag.trim_start_matches('/').split(' ').next().unwrap() {
            "td" | "th" => text.push('\t'),
            "span" if tag.contains("tick") => text.push_str("[ ]"),
            "span" if tag.contains("fill") => text.push_str("____"),
            "bdi" | "strong" | "em" | "a" | "span" => {}
            _ => text.push('\n'),
        }
    }
    let lines = text.lines().map(|line| line.split('\t').filter(|cell| !cell.is_empty()).collect::<Vec<_>>().join(" | "));
    let lines: Vec<String> = lines.filter(|line| !line.trim().is_empty()).collect();
    lines
        .join("\n")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
        .replace('\u{a0}', " ")
}

fn page(desk: &Desk, args: &[&str]) -> String {
    let ran = desk.run(&[&["book", "cove.yaml", "-o", "book.html", "--force"], args].concat());
    assert_eq!((ran.stdout.as_str(), ran.stderr.as_str(), ran.code), ("Written: book.html\n", "", Some(0)));
    fs::read_to_string(desk.path("book.html")).unwrap()
}

#[test]
fn the_book_of_a_small_layout_reads_as_it_did() {
    let desk = cove::desk();
    let whole = page(&desk, &["--scheme", "servo-made"]);
    insta::assert_snapshot!("book", words(&whole));
    assert_eq!(page(&desk, &["--scheme", "servo-made"]), whole, "the same bytes each time");
}

/// Every row of the other reports stands in the book with the same figures. Left out are what other ways to order would cost and what will
/// be left over: the book is for one who has decided. Places in the layout file and the workbook are of no use on paper.
#[test]
fn the_book_tells_the_figures_of_the_other_reports() {
    let desk = Desk::new().file("cove.yaml", include_str!("../../examples/saltmarsh-harbour.yaml"));
    let squeezed = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let book = words(&page(&desk, &[])).lines().map(squeezed).collect::<Vec<_>>().join("\n");
    let mut seen = 0;
    for verb in ["compare", "bill", "shop", "wiring", "power", "hours"] {
        let shown = markdown::read(&desk.run(&[verb, "cove.yaml", "--format", "markdown"]).report(0));
        let is_beside = |table: &&Read| {
            !table.headings.iter().any(|heading| ["Way", "Left", "In the layout file"].contains(&heading.as_str()))
        };
        let told = |table: &Read| table.headings.iter().filter(|heading| *heading != "Row").count();
        let rows = shown.tables.iter().filter(is_beside).flat_map(|table| table.rows.iter().map(|row| (row, told(table))));
        for (row, told) in rows {
            let cells: Vec<String> = row.iter().take(told).map(|cell| squeezed(cell)).filter(|cell| !cell.is_empty()).collect();
            let line = cells.join(" | ");
            assert!(book.contains(&line), "{verb}: the book lacks `{line}`");
            seen += 1;
        }
    }
    assert!(seen > 400, "{seen}");
}

#[test]
fn only_the_chapters_asked_for_are_in_it() {
    let desk = cove::desk();
    let text = words(&page(&desk, &["--only", "shopping,wiring"]));
    assert!(text.contains("Shopping list") && text.contains("Joints and wiring"));
    assert!(!text.contains("Board Pier") && !text.contains("Test sheet"));
    let ran = desk.run(&["book", "cove.yaml", "-o", "other.html", "--only", "poetry"]);
    assert_eq!(ran.code, Some(2));
    assert!(!desk.path("other.html").exists());
}

#[test]
fn a_book_that_is_there_is_kept() {
    let desk = cove::desk().file("book.html", "mine");
    let ran = desk.run(&["book", "cove.yaml", "-o", "book.html"]);
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(desk.path("book.html")).unwrap(), "mine");
}

#[test]
fn the_book_asks_for_nothing_and_runs_nothing() {
    let page = page(&cove::desk(), &[]);
    for word in ["<script", "javascript:", "src=", "@import", "url(http", "<link", "<iframe"] {
        assert!(!page.contains(word), "{word}");
    }
    let hrefs = page.split("href=\"").skip(1).all(|rest| rest.starts_with('#'));
    assert!(hrefs);
}

#[test]
fn names_that_look_like_markup_pass_unharmed() {
    let long = "x".repeat(200);
    let rtl = "רציף הדגים";
    let layout = COVE.replace("T1", "'<b>&\"''</b>'").replace("Town", &long).replace("S1", rtl);
    let desk = Desk::new().file("cove.yaml", layout);
    let whole = page(&desk, &[]);
    assert!(!whole.contains("<b>"));
    assert!(whole.contains(&format!("<bdi>{rtl}</bdi>")));
    let text = words(&whole);
    assert!(text.contains("<b>&\"'</b>") && text.contains(&long) && text.contains(rtl));
}

/// The sums of the book are those of the verbs, to the last coin.
#[test]
fn the_book_tells_the_figures_of_the_other_verbs() {
    let desk = cove::desk();
    let text = words(&page(&desk, &["--scheme", "solenoid"]));
    let mut told = 0;
    for verb in ["bill", "shop"] {
        let json = desk.run(&[verb, "cove.yaml", "--scheme", "solenoid", "--format", "json"]).report(0);
        let report: serde_json::Value = serde_json::from_str(&json).unwrap();
        let blocks = report["sections"].as_array().unwrap().iter().flat_map(|section| section["blocks"].as_array().unwrap());
        let rows = blocks.filter_map(|block| block["rows"].as_array()).flatten();
        for row in rows.filter(|row| row["is_total"] == true) {
            for value in row["values"].as_object().unwrap().values().filter(|value| value["is"] == "money") {
                let amount = value["amount"].as_str().unwrap();
                assert!(text.contains(amount), "{verb}: {amount}");
                told += 1;
            }
        }
    }
    assert!(told > 10, "{told}");
}

/// Nothing can be typed on paper: no command, no option, no place in a workbook or path; and each wire and channel is ticked once.
#[test]
fn paper_speaks_in_words_and_has_one_box_for_each_wire() {
    for scheme in ["servo-made", "solenoid"] {
        let desk = cove::desk();
        let text = words(&page(&desk, &["--scheme", scheme]));
        for command in
            ["`compare`", "`bill", "`shop", "`wiring`", "`check`", "`power`", "`hours`", " › ", "[].", "` --", "--patience"]
        {
            assert!(!text.contains(command), "{scheme}: {command}");
        }
        let with_box = |start: &str| text.lines().filter(|line| line.starts_with(start) && line.ends_with("[ ]")).count();
        assert_eq!(with_box("T1 frog |"), 1, "{scheme}");
        assert_eq!(
            text.lines().filter(|line| line.starts_with("Controller 1 on board")).count(),
            usize::from(scheme == "servo-made")
        );
        assert_eq!(text.contains("discharge unit"), scheme == "solenoid", "{scheme}");
        assert!(text.contains("Electrolytic capacitor") == (scheme == "servo-made") && text.contains("Letters of the colours"));
    }
}
