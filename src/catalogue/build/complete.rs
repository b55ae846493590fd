//! Whether the sheets together hold what a plan cannot do without: rows of `Assemblies` that are looked for by role.

use std::sync::Arc;

use crate::catalogue::model::Catalogue;
use crate::catalogue::rules::{Asked, AssemblyRule};
use crate::catalogue::vocabulary::{Attr, Measure, Per, Role};
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::id::{PartId, SchemeId};
use crate::scheme::Connection;

/// Notes each row that is looked for and not there.
pub(super) fn complete(catalogue: &Catalogue) -> Vec<Diagnostic> {
    let mut notices = controllers(catalogue);
    let draws = catalogue.schemes.iter().any(|scheme| scheme.offered && scheme.electrics.is_some());
    if draws && !catalogue.rules.iter().any(|rule| asks_for(catalogue, rule, (Per::Joint, Role::Connector)) && covers_plugs(rule))
    {
        let what = "no row asks for the plugs by which wires part at a joint";
        let expected = "a row per joint whose kind has the role connector, which asks `ways ways`, with the amount `plugs`";
        notices.push(missing(catalogue, what, expected));
    }
    if draws && !catalogue.rules.iter().any(|rule| asks_for(catalogue, rule, (Per::Supply, Role::Supply))) {
        notices.push(missing(catalogue, "no row asks for a supply", "a row per supply whose kind has the role supply"));
    }
    notices
}

/// Schemes with controllers for which none can be planned.
fn controllers(catalogue: &Catalogue) -> Vec<Diagnostic> {
    let local = catalogue
        .schemes
        .iter()
        .enumerate()
        .filter(|(_, scheme)| scheme.offered && matches!(scheme.connection, Connection::Local { .. }));
    let without = local.filter(|(index, _)| {
        let counts =
            |rule: &&AssemblyRule| rule.scheme.is_none_or(|written| catalogue.counts_under(written, SchemeId::at(*index)));
        let mut rules = catalogue.rules.iter().filter(|rule| asks_for(catalogue, rule, (Per::Controller, Role::Controller)));
        !rules.any(|rule| counts(&rule) && has_channels(catalogue, rule))
    });
    let notice = without.map(|(_, scheme)| {
        let what = format!("no controller can be planned for the scheme `{}`, which is wired `local`", scheme.name);
        let expected = "a row per controller for it in the sheet Assemblies, whose kind has the role controller and a part with \
                        `channels` that is offered or in stock";
        Diagnostic::notice(Code::MissingKey, scheme.place.clone(), what).expected(expected)
    });
    notice.collect()
}

fn asks_for(catalogue: &Catalogue, rule: &AssemblyRule, wanted: (Per, Role)) -> bool {
    (rule.per, catalogue.kind(rule.kind).role) == wanted
}

fn covers_plugs(rule: &AssemblyRule) -> bool {
    rule.measure == Some(Measure::Plugs) && rule.asks.contains(&(Attr::Ways, Asked::Measure(Measure::Ways)))
}

fn has_channels(catalogue: &Catalogue, rule: &AssemblyRule) -> bool {
    let mut parts = catalogue.parts.iter().enumerate().filter(|(_, part)| part.kind == rule.kind);
    parts.any(|(index, part)| {
        catalogue.is_to_be_had(PartId::at(index))
            && part.measured(Attr::Channels).is_some_and(|channels| !channels.value().is_zero())
    })
}

fn missing(catalogue: &Catalogue, what: &str, expected: &str) -> Diagnostic {
    let place = Place::Cell { book: Arc::clone(&catalogue.book), sheet: "Assemblies".into(), cell: "".into() };
    Diagnostic::notice(Code::MissingKey, place, what).expected(expected)
}
