//! What cannot be moved, and what cannot be had.

use super::names::names;
use super::stored::OWN_LEVERS;
use crate::catalogue::{Catalogue, Role};
use crate::estimate::Estimate;
use crate::finding::{Change, Finding, Weight};
use crate::layout::Layout;
use crate::mends::without_switch;
use crate::takeoff::Subject;
use crate::wiring::open_families;

pub(super) fn nothing_moves(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let still: Vec<_> = layout.drive_ids().filter(|&drive| estimate.assignment.of(drive).is_none()).collect();
    if still.is_empty() {
        return;
    }
    let title = &catalogue.scheme(estimate.assignment.chosen).title;
    let which = names(still.iter().map(|&drive| layout.drive(drive).name.as_ref()));
    findings.push(
        Finding::new(
            "nothing-moves-it",
            Weight::Shortfall,
            format!("{title} cannot move {which}, and names no scheme that does so instead."),
        )
        .seen("These stay worked by hand: no motor, lever or wire is planned for them.")
        .mend("Give them a scheme of their own in the layout file (`scheme:`).", None)
        .mend("Name a scheme in the column `instead` of the sheet Schemes.", None),
    );
}

pub(super) fn unmet(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for unmet in &estimate.purchase.unmet {
        let need = estimate.takeoff.need(unmet.need);
        let place = need.site.map_or(String::new(), |site| format!(" for the {}", site.name(layout)));
        let finding =
            Finding::new("cannot-be-bought", Weight::Shortfall, format!("{}{place}: {}", need.title(catalogue), unmet.why))
                .seen("The order leaves this out; the price shown is too low by it.")
                .mend("Add an offer for such a part to the sheet Offers (and the part to Parts, if it is not there), or what you have to the sheet Stock.", None)
                .mend("Buy it elsewhere and leave it off this list.", None);
        // A switch that bears fewer drives may be sold.
        let families = open_families(catalogue, &estimate.assignment).into_iter();
        let family = families.filter(|_| catalogue.kind(need.kind).role == Role::Switch).find(|&family| {
            let levers = without_switch(layout, catalogue, estimate, family);
            need.reasons.iter().any(|reason| matches!(reason.subject, Subject::Lever(lever) if levers.contains(&lever)))
        });
        findings.push(match family {
            Some(family) => finding.mend_by(OWN_LEVERS, Change::OwnLevers(family)),
            None => finding,
        });
    }
}
