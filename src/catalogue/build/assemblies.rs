//! The sheet `Assemblies`.

use super::asks::{Subject, amount, asks, conditions};
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use super::served::served;
use crate::catalogue::goods::{Kind, Part};
use crate::catalogue::rules::AssemblyRule;
use crate::catalogue::vocabulary::Per;
use crate::id::{KindId, SchemeId};

/// What rules refer to.
pub(super) struct Context<'a> {
    /// The schemes by name.
    pub(super) schemes: &'a Names,
    /// The kinds by name.
    pub(super) kind_names: &'a Names,
    /// The kinds' rows.
    pub(super) kinds: &'a [Option<Kind>],
    /// The parts' rows.
    pub(super) parts: &'a [Option<Part>],
}

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn assemblies(page: Option<&Page<'_>>, context: &Context<'_>, log: &mut Log) -> Vec<Option<AssemblyRule>> {
    page.into_iter().flat_map(Page::rows).map(|row| rule(&row, context, log)).collect()
}

fn rule(row: &Row<'_>, context: &Context<'_>, log: &mut Log) -> Option<AssemblyRule> {
    let scheme = context.schemes.refer(&row.field("scheme"), log);
    let per: Option<Per> = row.field("per").word(log);
    let index = context.kind_names.refer(&row.field("kind"), log);
    let kind = index.and_then(|index| context.kinds.get(index)?.as_ref());
    let subject = Subject { per, kind };
    let asks = asks(&row.field("asks"), subject, log);
    let amount = amount(&row.field("amount"), subject, log);
    let when = conditions(&row.field("when"), per, log);
    let why = row.field("why").text(log);
    let id = KindId::at(index?);
    // What cannot be met may only be a part that is wrong, and that is told already.
    if let Some(kind) = kind.filter(|_| log.is_clean()) {
        let field = if asks.is_empty() { row.field("kind") } else { row.field("asks") };
        served(&field, (id, kind), &asks, context.parts, log);
    }
    let (amount, measure) = amount?;
    Some(AssemblyRule {
        place: row.place(),
        scheme: scheme.map(SchemeId::at),
        per: per?,
        kind: id,
        asks,
        amount,
        measure,
        when,
        why: why?.to_owned(),
    })
}
