//! The sheet `Assemblies`.

use super::asks::{Subject, amount, asks, conditions};
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use crate::catalogue::model::{AssemblyRule, Kind};
use crate::catalogue::vocabulary::Per;
use crate::id::{KindId, SchemeId};

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn assemblies(
    page: Option<&Page<'_>>,
    schemes: &Names,
    kind_names: &Names,
    kinds: &[Option<Kind>],
    log: &mut Log,
) -> Vec<Option<AssemblyRule>> {
    page.into_iter().flat_map(Page::rows).map(|row| rule(&row, schemes, kind_names, kinds, log)).collect()
}

fn rule(row: &Row<'_>, schemes: &Names, kind_names: &Names, kinds: &[Option<Kind>], log: &mut Log) -> Option<AssemblyRule> {
    let scheme = schemes.refer(&row.field("scheme"), log);
    let per: Option<Per> = row.field("per").word(log);
    let kind = kind_names.refer(&row.field("kind"), log);
    let subject = Subject { per, kind: kind.and_then(|kind| kinds.get(kind)?.as_ref()) };
    let asks = asks(&row.field("asks"), subject, log);
    let amount = amount(&row.field("amount"), subject, log);
    let when = conditions(&row.field("when"), per, log);
    let why = row.field("why").text(log);
    let (amount, measure) = amount?;
    Some(AssemblyRule {
        place: row.place(),
        scheme: scheme.map(SchemeId::at),
        per: per?,
        kind: KindId::at(kind?),
        asks,
        amount,
        measure,
        when,
        why: why?.to_owned(),
    })
}
