//! The sheet `Tasks`.

use super::asks::conditions;
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use super::rates::minutes;
use crate::catalogue::rules::Task;
use crate::catalogue::vocabulary::Per;
use crate::diagnostic::Code;
use crate::id::SchemeId;
use crate::quantity::Dimension;

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn tasks(page: Option<&Page<'_>>, schemes: &Names, log: &mut Log) -> Vec<Option<Task>> {
    page.into_iter().flat_map(Page::rows).map(|row| task(&row, schemes, log)).collect()
}

fn task(row: &Row<'_>, schemes: &Names, log: &mut Log) -> Option<Task> {
    let scheme = schemes.refer(&row.field("scheme"), log);
    let per: Option<Per> = row.field("per").word(log);
    let title = row.field("task").text(log);
    let stage = row.field("stage").word(log);
    let mut time = |column| row.field(column).quantity_in(log, Dimension::Time, "min");
    let (low, likely, high) = (time("low"), time("likely"), time("high"));
    let when = conditions(&row.field("when"), per, log);
    let (low, likely, high) = (low?, likely?, high?);
    for (column, least, most, above) in [("likely", low, likely, "low"), ("high", likely, high, "likely")] {
        if most < least {
            let field = row.field(column);
            let what = format!("the time `{column}` is shorter than `{above}`");
            log.push(field.error(Code::Contradiction, what).expected(format!("at least {} min", minutes(least).0)));
        }
    }
    Some(Task {
        place: row.place(),
        scheme: scheme.map(SchemeId::at),
        per: per?,
        title: title?.to_owned(),
        stage: stage?,
        low: minutes(low),
        likely: minutes(likely),
        high: minutes(high),
        when,
    })
}
