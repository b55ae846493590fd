//! Markdown: `CommonMark` with the pipe tables of GitHub Flavored Markdown. What comes from data is escaped: it never becomes markup,
//! a link or HTML.

use super::document::{Block, Document, Section, Table};
use super::figures::{Figures, bracket, sentence};
use super::grid::BEST;
use super::plain::harmless;
use super::text_table::TextTable;
use crate::finding::Finding;

/// The document as Markdown, ending with a line end.
pub fn to_markdown(document: &Document) -> String {
    let mut page = Page::default();
    page.block(&format!("# {}", escaped(&document.title)));
    for notice in &document.notices {
        page.block(&format!("> {}", paragraph(notice)));
    }
    for section in &document.sections {
        page.section(section);
    }
    page.0
}

/// A page as it is written: blocks with a blank line between.
#[derive(Default)]
struct Page(String);

impl Page {
    fn block(&mut self, lines: &str) {
        if !self.0.is_empty() {
            self.0.push('\n');
        }
        self.0.push_str(lines.trim_end_matches('\n'));
        self.0.push('\n');
    }

    fn section(&mut self, section: &Section) {
        self.block(&format!("## {}", escaped(&section.heading)));
        for block in &section.blocks {
            match block {
                Block::Text(prose) => self.block(&paragraph(&sentence(prose))),
                Block::List(items) => {
                    let items = items.iter().map(|item| format!("- {}\n", paragraph(&sentence(item))));
                    self.block(&items.collect::<String>());
                }
                Block::Table(table) => self.table(table),
                Block::Findings(findings) => self.block(&findings.iter().map(finding).collect::<String>()),
                Block::Picture(picture) => {
                    self.block(&paragraph(&picture.about));
                    self.table(&picture.data());
                }
            }
        }
    }

    fn table(&mut self, table: &Table) {
        let table = &table.told();
        let text = TextTable::of(table, Figures::Rounded);
        if !table.title.is_empty() {
            self.block(&format!("### {}", escaped(&text.title(&table.title))));
        }
        self.block(&lines(table, &text));
        if table.rows.iter().any(|row| !row.best.is_empty()) {
            self.block(&escaped(&format!("{BEST} the best of its row")));
        }
        if let Some(note) = &table.note {
            self.block(&paragraph(note));
        }
    }
}

/// The lines of a table: numbers to the right, sums in bold.
fn lines(table: &Table, text: &TextTable) -> String {
    let line = |cells: &mut dyn Iterator<Item = String>| format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "));
    let headings = line(&mut text.headings.iter().map(|heading| escaped(heading)));
    let rule = line(&mut table.columns.iter().map(|head| if head.is_number { "---:" } else { "---" }.to_owned()));
    let rows = table.rows.iter().zip(&text.rows).map(|(row, cells)| {
        line(&mut cells.iter().enumerate().map(|(at, cell)| {
            let cell = escaped(cell.trim_matches([' ', '\u{a0}']));
            match (row.is_total && !cell.is_empty(), row.best.contains(&at)) {
                (true, _) => format!("**{cell}**"),
                (false, true) => format!("{cell} {}", escaped(BEST)),
                (false, false) => cell,
            }
        }))
    });
    format!("{headings}{rule}{}", rows.collect::<String>())
}

/// A finding as an item of a list, with what would be seen and what mends it below.
fn finding(finding: &Finding) -> String {
    let code = escaped(&format!("[{}]", finding.code));
    let what = format!("- **{}:** {} {code}\n", finding.weight.word(), escaped(&finding.what));
    let seen = finding.seen.as_ref().map(|seen| format!("  - You would see: {}\n", escaped(seen)));
    let mends =
        finding.mends.iter().map(|mend| format!("  - To mend it: {}\n", escaped(&format!("{}{}", mend.text, bracket(mend)))));
    std::iter::once(what).chain(seen).chain(mends).collect()
}

/// Text that begins a line: escaped, and with nothing in front that would make it a list, a rule or code.
fn paragraph(text: &str) -> String {
    let text = escaped(text);
    let text = text.trim();
    let number = text.trim_start_matches(|c: char| c.is_ascii_digit());
    match text.chars().next() {
        // After a paragraph, a line that begins with a colon would define it.
        Some('-' | '+' | ':') => format!("\\{text}"),
        // `3. ` and `3) ` would begin a numbered list.
        Some('0'..='9') if number.starts_with(['.', ')']) => {
            let digits = text.len() - number.len();
            format!("{}\\{number}", text.get(..digits).unwrap_or_default())
        }
        _ => text.to_owned(),
    }
}

fn ends_with_www(text: &str) -> bool {
    text.get(text.len().wrapping_sub(3)..).is_some_and(|last| last.eq_ignore_ascii_case("www"))
}

/// The text as Markdown that shows it letter by letter.
fn escaped(text: &str) -> String {
    let text = harmless(text).replace('\u{a0}', " ");
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        let after = letters.peek().copied().unwrap_or(' ');
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '#' | '~' | '$' | '^' | '=' => out.extend(['\\', c]),
            // By name: not every reader knows a backslash before these, and a table's cells are parted before backslashes count.
            '|' => out.push_str("&#124;"),
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            // Readers make links of bare addresses: the dot of `www.`, the colon of `http://`.
            '.' if ends_with_www(&out) => out.push_str("\\."),
            ':' if after != ' ' => out.push_str("\\:"),
            // No escape stops a reader from making a link of what looks like a mail address; a comment within it does.
            '@' if !before.is_whitespace() && !after.is_whitespace() => out.push_str("@<!-- -->"),
            // A space wider or narrower than usual would be trimmed at an end, and keeps asterisks beside it from making bold.
            c if c.is_whitespace() && c != ' ' => out.extend(["&#x", &format!("{:x}", u32::from(c)), ";"]),
            c => out.push(c),
        }
        before = c;
    }
    out
}
