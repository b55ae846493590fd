//! What cannot be moved, and what cannot be had.

use super::names::names;
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::layout::Layout;

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
        findings.push(
            Finding::new("cannot-be-bought", Weight::Shortfall, format!("{}{place}: {}", need.title(catalogue), unmet.why))
                .seen("The order leaves this out; the price shown is too low by it.")
                .mend("Add an offer for such a part to the sheet Offers (and the part to Parts, if it is not there), or what you have to the sheet Stock.", None)
                .mend("Buy it elsewhere and leave it off this list.", None),
        );
    }
}
