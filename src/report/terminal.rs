//! The terminal: a document as lines of text that fit a width.

use super::document::{Block, Document, Section, Table};
use super::figures::{bracket, sentence};
use super::grid::{BEST, Grid};
use super::picture::Picture;
use super::plain::{display_width, harmless, wrap};
use crate::finding::Finding;

/// Prose wider than this is hard to read, however wide the terminal.
const PROSE: usize = 100;

/// Select Graphic Rendition of ECMA-48: bold, and back to normal.
const BOLD: (&str, &str) = ("\u{1b}[1m", "\u{1b}[0m");

/// How to dress a document.
#[derive(Debug, Clone, Copy)]
pub struct Dress {
    /// Columns.
    pub width: usize,
    /// Whether headings are bold. Nothing is told by that alone.
    pub colour: bool,
}

/// The document as text.
pub fn to_terminal(document: &Document, dress: Dress) -> String {
    let mut page = Page { dress, out: String::new() };
    let title = harmless(&document.title);
    page.heading(&title);
    page.line(&"═".repeat(display_width(&title).min(page.dress.width)));
    for notice in &document.notices {
        page.paragraph("", &harmless(notice));
    }
    for section in &document.sections {
        page.section(section);
    }
    page.out
}

/// A page as it is written.
struct Page {
    dress: Dress,
    out: String,
}

impl Page {
    fn line(&mut self, line: &str) {
        self.out.push_str(&line.trim_end().replace('\u{a0}', " "));
        self.out.push('\n');
    }

    fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    fn bold(&mut self, line: &str) {
        if self.dress.colour && !line.trim().is_empty() {
            self.line(&format!("{}{}{}", BOLD.0, line.trim_end(), BOLD.1));
        } else {
            self.line(line);
        }
    }

    fn heading(&mut self, text: &str) {
        for line in wrap(text, self.dress.width) {
            self.bold(&line);
        }
    }

    /// Lines after a mark, the further ones under the first.
    fn paragraph(&mut self, mark: &str, text: &str) {
        let indent = mark.chars().count();
        let width = self.dress.width.min(PROSE).saturating_sub(indent);
        for (at, line) in wrap(text, width).iter().enumerate() {
            let lead = if at == 0 { mark.to_owned() } else { " ".repeat(indent) };
            self.line(&format!("{lead}{line}"));
        }
    }

    fn section(&mut self, section: &Section) {
        self.gap();
        let heading = harmless(&section.heading);
        self.heading(&heading);
        self.line(&"─".repeat(display_width(&heading).min(self.dress.width)));
        for (at, block) in section.blocks.iter().enumerate() {
            if at > 0 {
                self.gap();
            }
            match block {
                Block::Text(prose) => self.paragraph("", &sentence(prose)),
                Block::List(items) => items.iter().for_each(|item| self.paragraph("- ", &sentence(item))),
                Block::Table(table) => self.table(table),
                Block::Findings(findings) => self.findings(findings),
                Block::Picture(picture) => self.picture(picture),
            }
        }
    }

    fn table(&mut self, table: &Table) {
        let grid = Grid::of(&table.told(), self.dress.width);
        for (at, (heading, body)) in grid.pieces.iter().enumerate() {
            if at > 0 {
                self.gap();
            }
            match (at, table.title.is_empty()) {
                (0, true) => {}
                (0, false) => self.heading(&grid.title),
                (_, true) => self.heading("Further columns"),
                (_, false) => self.heading(&format!("{}, further columns", grid.title)),
            }
            for line in heading {
                self.bold(line);
            }
            for line in body {
                self.line(line);
            }
        }
        if grid.marks {
            self.paragraph("", &format!("{BEST} the best of its row"));
        }
        if !grid.left_out.is_empty() {
            self.paragraph("", &format!("A wider page also shows: {}.", grid.left_out.join(", ")));
        }
        if let Some(note) = &table.note {
            self.paragraph("", &harmless(note));
        }
    }

    /// What a picture shows, and the table of what it draws.
    fn picture(&mut self, picture: &Picture) {
        self.paragraph("", &harmless(&picture.about));
        self.gap();
        self.table(&picture.data());
    }

    fn findings(&mut self, findings: &[Finding]) {
        for (at, finding) in findings.iter().enumerate() {
            if at > 0 {
                self.gap();
            }
            self.paragraph(&format!("{}: ", finding.weight.word()), &format!("{} [{}]", harmless(&finding.what), finding.code));
            if let Some(seen) = &finding.seen {
                self.paragraph("    You would see: ", &harmless(seen));
            }
            for mend in &finding.mends {
                self.paragraph("    To mend it: ", &format!("{}{}", harmless(&mend.text), bracket(mend)));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Weight;
    use crate::report::sample;

    fn at(width: usize) -> String {
        to_terminal(&sample::document(), Dress { width, colour: false })
    }

    #[test]
    fn looks_as_it_should_at_60_80_and_160_columns() {
        for width in [60, 80, 160] {
            insta::assert_snapshot!(format!("terminal_{width}"), at(width));
        }
    }

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        for width in 24..200 {
            for line in at(width).lines() {
                assert!(display_width(line) <= width, "{width}: {line}");
            }
        }
    }

    #[test]
    fn bold_is_an_addition_only() {
        let bold = to_terminal(&sample::document(), Dress { width: 80, colour: true });
        assert!(bold.contains(BOLD.0));
        assert_eq!(bold.replace(BOLD.0, "").replace(BOLD.1, ""), at(80));
    }

    #[test]
    fn data_never_becomes_a_terminal_code() {
        let evil = "x\u{1b}]0;y\u{7}\u{9b}31m\nz";
        let mut document = sample::document();
        document.title = evil.to_owned();
        document.notices = vec![evil.to_owned()];
        for section in &mut document.sections {
            section.heading = evil.to_owned();
            for block in &mut section.blocks {
                match block {
                    Block::Text(prose) => *prose = evil.into(),
                    Block::List(items) => *items = vec![evil.into()],
                    Block::Table(table) => {
                        table.title = evil.to_owned();
                        table.note = Some(evil.to_owned());
                        table.columns.iter_mut().for_each(|column| column.title = evil.to_owned());
                        table.rows.iter_mut().flat_map(|row| &mut row.cells).for_each(|cell| *cell = evil.into());
                    }
                    Block::Picture(picture) => {
                        picture.title = evil.to_owned();
                        picture.about = evil.to_owned();
                    }
                    Block::Findings(findings) => {
                        *findings = vec![Finding::new("c", Weight::Note, evil).seen(evil).mend(evil, None)];
                    }
                }
            }
        }
        let text = to_terminal(&document, Dress { width: 80, colour: false });
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{text:?}");
        assert!(text.contains("\\u{1b}"));
    }
}
