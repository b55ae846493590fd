//! What the views of one plan share: the frame of the document and the sentence that names the scheme.

use std::collections::BTreeMap;

use super::asked::{asked, asked_of};
use crate::buying::Choices;
use crate::catalogue::{Catalogue, Form, Word};
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::{NeedId, SchemeId};
use crate::layout::{DecideBy, Layout};
use crate::report::view::words::{and, count_of};
use crate::report::{Block, Cell, ColumnHead, Document, Prose, Row, Section, Table, prose};
use crate::takeoff::Need;

/// Why a report is about this scheme and no other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pick {
    /// The user named it.
    Named,
    /// The comparison chose it, by this; by everything where there is nothing to weigh.
    Chosen(Option<DecideBy>),
    /// The comparison left the choice open, and it is the cheapest.
    Cheapest,
    /// No scheme can be built as things stand, and it lacks least.
    NoneFits,
}

/// The code of the finding about a need that is not to be had.
const NOT_TO_BE_HAD: &str = "cannot-be-bought";

/// So many things that cannot be had are named in the head of a report; of more, how many.
const MOST_LACKING: usize = 5;

/// Whether a plan falls short: exit code 1.
pub(super) fn falls_short(estimate: &Estimate) -> bool {
    !estimate.can_be_built() || estimate.shortfalls().next().is_some()
}

/// What makes a plan fall short or doubtful, the gravest first, save what is not to be had: a table of the report lists that.
pub(super) fn grave(estimate: &Estimate) -> Vec<Finding> {
    let is_grave =
        |finding: &&Finding| matches!(finding.weight, Weight::Shortfall | Weight::Doubt) && finding.code != NOT_TO_BE_HAD;
    let mut findings: Vec<Finding> = estimate.findings.iter().filter(is_grave).cloned().collect();
    findings.sort_by_key(|finding| finding.weight);
    findings
}

/// A plan to report on.
#[derive(Debug, Clone, Copy)]
pub struct Plan<'a> {
    /// The layout.
    pub layout: &'a Layout,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// What the user asks of the order.
    pub choices: &'a Choices,
    /// Everything about the plan.
    pub estimate: &'a Estimate,
    /// Why this plan.
    pub pick: Pick,
}

/// Which findings a report shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Show {
    /// What makes the plan fall short or doubtful, save what is not to be had: a table of the report lists that.
    ForOrder,
    /// Everything.
    All,
}

impl Plan<'_> {
    /// The document of a verb: which scheme and why, the sections, then the findings.
    pub(super) fn document(&self, verb: &'static str, what: &str, sections: Vec<Section>, show: Show) -> Document {
        let scheme = Section::new("scheme", format!("Scheme: {}", self.title(self.estimate.assignment.chosen)), self.scheme());
        let findings = self.findings(show);
        let findings = (!findings.is_empty()).then(|| Section::new("findings", "What to know", [Block::Findings(findings)]));
        Document {
            verb,
            title: format!("{}: {what}", self.layout.name),
            notices: self.catalogue.notice.iter().cloned().collect(),
            sections: std::iter::once(scheme).chain(self.asked()).chain(sections).chain(findings).collect(),
            falls_short: falls_short(self.estimate),
        }
    }

    /// What was asked of the order.
    pub(super) fn asked(&self) -> Option<Section> {
        if self.pick == Pick::Named {
            return asked(self.choices, self.catalogue);
        }
        asked_of(
            self.choices,
            self.catalogue,
            "The scheme was picked under these conditions: without them it may be another. To keep this one, name it by `--scheme`.",
        )
    }

    /// The findings to show, the gravest first.
    pub(super) fn findings(&self, show: Show) -> Vec<Finding> {
        match show {
            Show::ForOrder => grave(self.estimate),
            Show::All => {
                let mut findings = self.estimate.findings.clone();
                findings.sort_by_key(|finding| finding.weight);
                findings
            }
        }
    }

    /// A scheme's title.
    pub(super) fn title(&self, scheme: SchemeId) -> &str {
        &self.catalogue.scheme(scheme).title
    }

    /// Which scheme, why this one, and what drives those that it does not.
    pub(super) fn scheme(&self) -> Vec<Block> {
        let chosen = self.estimate.assignment.chosen;
        let name = &self.catalogue.scheme(chosen).name;
        let why: Prose = match self.pick {
            Pick::Named => format!("You named `{name}`.").into(),
            Pick::Chosen(None) => format!(
                "`compare` chose `{name}`: it is the cheapest, the quickest, and has the fewest conductors over the joints."
            )
            .into(),
            Pick::Chosen(Some(by)) => format!("`compare` chose `{name}` by {}.", by.word()).into(),
            Pick::Cheapest => {
                format!("`{name}` is the cheapest; the rules do not say what to decide by. For another, add `--scheme NAME`.")
                    .into()
            }
            Pick::NoneFits => {
                format!("No scheme can be built as things stand; `{name}` lacks least. For another, add `--scheme NAME`.").into()
            }
        };
        std::iter::once(Block::Text(why)).chain(self.lacking().map(Block::Text)).chain(self.others()).collect()
    }

    /// What cannot be had, by name, said before anything is ordered; the table of it says why.
    fn lacking(&self) -> Option<Prose> {
        lacking(self.estimate.purchase.unmet.iter().map(|unmet| self.need_title(self.need(unmet.need))))
    }

    /// What drives those that the chosen scheme does not.
    pub(super) fn others(&self) -> Vec<Block> {
        let chosen = self.estimate.assignment.chosen;
        let mut drives: BTreeMap<Option<SchemeId>, Vec<&str>> = BTreeMap::new();
        for drive in self.layout.drive_ids() {
            drives.entry(self.estimate.assignment.of(drive)).or_default().push(&self.layout.drive(drive).name);
        }
        drives.remove(&Some(chosen));
        let others = drives.iter().map(|(scheme, names)| {
            let by = scheme.map_or_else(
                || "nothing in the catalogue can drive".to_owned(),
                |scheme| format!("{} drives", self.title(scheme)),
            );
            prose![format!("{by} {}: {}", count_of(names.len(), "drive"), and(names))]
        });
        let others: Vec<Prose> = others.collect();
        if others.is_empty() {
            return Vec::new();
        }
        vec![Block::text("Not all drives are of this scheme:"), Block::List(others)]
    }

    /// A need.
    pub(super) fn need(&self, id: NeedId) -> &Need {
        self.estimate.takeoff.need(id)
    }

    /// What a need asks for, and where, in words.
    pub(super) fn need_title(&self, need: &Need) -> String {
        let title = need.title(self.catalogue);
        match need.site {
            Some(site) => format!("{title}, for {}", site.name(self.layout)),
            None => title,
        }
    }

    /// A need's amount in the unit of its kind, in words.
    fn need_amount(&self, need: &Need) -> String {
        let kind = self.catalogue.kind(need.kind);
        let unit = match kind.form {
            Form::Pieces => "pieces",
            Form::Capacity(attr) => attr.word(),
            Form::AtLeast => &kind.unit,
        };
        format!("{} {unit}", need.amount().normalize())
    }

    /// What cannot be had from the catalogue, if anything.
    pub(super) fn elsewhere(&self) -> Option<Section> {
        let rows = self.estimate.purchase.unmet.iter().map(|unmet| {
            let need = self.need(unmet.need);
            Row::of([Cell::from(self.need_title(need)), self.need_amount(need).into(), Cell::from(&unmet.why)])
        });
        let note = if self.choices.leave_all() {
            "Buy these elsewhere, or add parts and offers for them to the catalogue. They are in no sum of money here."
        } else {
            "Order from more suppliers, buy these elsewhere, or add parts and offers for them to the catalogue. They are in no sum of money here."
        };
        not_to_be_had(|table| table.rows(rows).note(note))
    }
}

/// What cannot be had, by name, in the head of a report; nothing where all is to be had.
pub(super) fn lacking(names: impl Iterator<Item = String>) -> Option<Prose> {
    let mut names: Vec<String> = names.collect();
    names.dedup();
    let more = names.len().saturating_sub(MOST_LACKING);
    if more > 0 {
        names.truncate(MOST_LACKING);
        names.push(format!("{more} more"));
    }
    (!names.is_empty()).then(|| {
        format!("Not to be had, or not enough of it: {}. What is missing is in no order and no sum here.", and(&names)).into()
    })
}

/// The section of what cannot be had, with the rows that `filled` puts in; none without rows.
pub(super) fn not_to_be_had(filled: impl FnOnce(Table) -> Table) -> Option<Section> {
    let table = filled(Table::new(
        "elsewhere",
        "",
        [
            ColumnHead::words("need", "What"),
            ColumnHead::words("amount", "How much"),
            ColumnHead::words("why", "Why it is not in the order"),
        ],
    ));
    (!table.rows.is_empty()).then(|| Section::new("elsewhere", "Not to be had from the catalogue", [Block::Table(table)]))
}
