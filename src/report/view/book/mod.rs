//! The book: all that the builder takes under the baseboard, chapter by chapter.
//!
//! Its tables are those of the other views, with room to tick and to write; its pictures draw what those tables hold.

mod board;
mod charts;
mod panel;
mod plans;
mod rest;
mod terms;

use super::measures::Side;
use super::plan::{Pick, Plan, falls_short};
use super::{hours, power};
use crate::choice::Comparison;
use crate::commissioning::Check;
use crate::layout::BoardRole;
use crate::mechanics::Drilling;
use crate::report::{Block, Cell, ColumnHead, Document, Fill, Section, Table};
use crate::wiring::Course;

/// What a book is made of.
#[derive(Debug, Clone, Copy)]
pub struct Book<'a> {
    /// The plan that is built.
    pub plan: Plan<'a>,
    /// The schemes side by side.
    pub comparison: &'a Comparison,
    /// What to measure on each board.
    pub checks: &'a [Check],
    /// What to drill.
    pub drillings: &'a [Drilling],
    /// Which way the wires take.
    pub courses: &'a [Course],
}

macro_rules! chapters {
    ($($name:ident, $word:literal, $heading:literal;)+) => {
        /// A chapter of the book, or one for each board.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Chapter {
            $(#[doc = concat!("`", $word, "`")] $name),+
        }

        impl Chapter {
            /// All chapters, in their order.
            pub const ALL: [Self; [$($word),+].len()] = [$(Self::$name),+];

            /// The word by which it is asked for.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word),+ }
            }

            /// What stands over it, without what is the plan's own.
            pub fn heading(self) -> &'static str {
                match self { $(Self::$name => $heading),+ }
            }
        }
    };
}

chapters! {
    Terms, "words", "Words and colours";
    Decision, "decision", "What to build";
    Safety, "safety", "Work safely";
    Shopping, "shopping", "Shopping list";
    Cutting, "cutting", "Cutting list";
    Bill, "bill", "Bill of parts";
    Panel, "panel", "The panel";
    Boards, "boards", "Board";
    Wiring, "wiring", "Joints and wiring";
    Power, "power", "Power";
    Hours, "hours", "Hours";
    Doubts, "doubts", "Defaults and doubts";
}

/// The book of a plan, whole or these chapters of it.
pub fn book(book: &Book, only: &[Chapter]) -> Document {
    let plan = &book.plan;
    let wanted = |chapter: &Chapter| only.is_empty() || only.contains(chapter);
    let sections = Chapter::ALL.iter().filter(|chapter| wanted(chapter)).flat_map(|&chapter| book.chapter(chapter)).collect();
    Document {
        verb: "book",
        title: format!("{}: the book", plan.layout.name),
        notices: plan.catalogue.notice.iter().cloned().collect(),
        sections,
        falls_short: falls_short(plan.estimate),
    }
}

impl Book<'_> {
    fn chapter(&self, chapter: Chapter) -> Vec<Section> {
        let plan = &self.plan;
        match chapter {
            Chapter::Terms => terms::terms(plan),
            Chapter::Decision => self.decision(),
            Chapter::Safety => rest::safety(plan),
            Chapter::Shopping => rest::shopping(plan),
            Chapter::Cutting => rest::cutting(plan),
            Chapter::Bill => rest::bill(plan),
            Chapter::Panel => self.panel(),
            Chapter::Boards => self.boards().flat_map(|board| self.board(board)).collect(),
            Chapter::Wiring => rest::wiring(plan),
            Chapter::Power => self.power(),
            Chapter::Hours => self.hours(),
            Chapter::Doubts => rest::doubts(plan),
        }
    }

    /// The baseboards.
    fn boards(&self) -> impl Iterator<Item = crate::id::BoardId> + use<'_> {
        let boards = self.plan.layout.boards.iter().enumerate();
        boards.filter(|(_, board)| board.role == BoardRole::Baseboard).map(|(index, _)| crate::id::BoardId::at(index))
    }

    fn side(&self) -> Side<'_> {
        Side { layout: self.plan.layout, catalogue: self.plan.catalogue, comparison: self.comparison, on_paper: true }
    }

    /// What is built, why, and how it stands beside the others.
    fn decision(&self) -> Vec<Section> {
        let plan = &self.plan;
        let side = self.side();
        let mut blocks = plan.others();
        blocks.extend(rest::doubted(plan));
        blocks.push(Block::Table(rest::figures(plan)));
        let title = format!("What to build: {}", plan.title(plan.estimate.assignment.chosen));
        let mut which = super::verdict::which(side);
        if plan.pick == Pick::Named {
            "What the comparison would take".clone_into(&mut which.heading);
        }
        let mut sections = vec![Section::new("scheme", title, blocks).chapter(), which];
        sections.extend(super::verdict::missing(side));
        sections.push(Section::new("groups", "Where the money goes", charts::cost(side)));
        sections.push(Section::new("schemes", "Side by side", [Block::Table(super::compare::schemes(side))]));
        sections.extend(charts::conductors(side));
        sections
    }

    fn power(&self) -> Vec<Section> {
        let plan = &self.plan;
        let mut sections =
            of(power(plan), &["feeds", "sections", "supplies", "loads", "far_ends", "lamps", "discharge", "timeline"]);
        if let Some(supplies) = sections.iter_mut().find(|section| section.id == "supplies") {
            supplies.blocks.splice(0..0, charts::headroom(plan).map(Block::Picture));
        }
        if let Some(routes) = sections.iter_mut().find(|section| section.id == "timeline") {
            charts::beside_timelines(plan, routes);
        }
        under(
            Section::new(
                "power",
                "Power",
                [Block::text("What the supplies must carry, what is left, and what reaches the far end.")],
            ),
            sections,
        )
    }

    fn hours(&self) -> Vec<Section> {
        let plan = &self.plan;
        let mut sections = of(hours(plan), &["stages", "tasks", "set_up"]);
        sections.iter_mut().for_each(without_places);
        if let Some(stages) = sections.first_mut() {
            stages.blocks.insert(0, Block::Picture(charts::stages(plan)));
        }
        under(
            Section::new(
                "hours",
                "Hours",
                [Block::text(
                    "How long the build takes: what is likely, and what is enough in four builds of five. The picture also shows the hours of a build that goes well, which only one in five undercuts.",
                )],
            ),
            sections,
        )
    }
}

/// The sections of a document with these ids.
fn of(document: Document, ids: &[&str]) -> Vec<Section> {
    document.sections.into_iter().filter(|section| ids.contains(&section.id)).collect()
}

/// A chapter with sections under it; none where there is nothing under it.
fn under(chapter: Section, sections: Vec<Section>) -> Vec<Section> {
    if sections.is_empty() { Vec::new() } else { std::iter::once(chapter.chapter()).chain(sections).collect() }
}

/// The table with a column to fill in for each row that is no sum: as the first, or the last.
fn with_fill(mut table: Table, id: &'static str, title: &str, fill: Fill, is_first: bool) -> Table {
    let at = if is_first { 0 } else { table.columns.len() };
    table.columns.insert(at, ColumnHead::words(id, title));
    for row in &mut table.rows {
        let cell = if row.is_total { Cell::Missing } else { Cell::ToFill(fill) };
        row.cells.insert(at.min(row.cells.len()), cell);
        if is_first {
            row.best.iter_mut().for_each(|best| *best += 1);
        }
    }
    table
}

/// Leaves out which row of the workbook a row comes from: nothing is looked up there from paper.
fn without_places(section: &mut Section) {
    for block in &mut section.blocks {
        if let Block::Table(table) = block
            && table.columns.last().is_some_and(|head| head.id == "place")
        {
            table.columns.pop();
            table.rows.iter_mut().for_each(|row| row.cells.truncate(table.columns.len()));
        }
    }
}
