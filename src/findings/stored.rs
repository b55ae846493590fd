//! Discharge units: coils that get too little, capacitors that are rated too low.

use super::names::names;
use super::price::part_difference;
use crate::catalogue::{Attr, Catalogue, Part};
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::layout::Layout;
use crate::money::Money;
use crate::power::Discharge;

/// One finding for each unit whose coils get too little.
pub(super) fn too_little(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    for unit in &estimate.discharges {
        let starved: Vec<_> = unit.throws.iter().filter(|throw| !throw.suffices).collect();
        let Some(worst) = starved.iter().min_by(|a, b| a.energy.0.total_cmp(&b.energy.0)) else { continue };
        let title = &catalogue.scheme(unit.scheme).title;
        let mut finding = Finding::new(
            "coil-gets-too-little",
            Weight::Shortfall,
            format!(
                "{title}: from the discharge unit at {}, each of the {} coils on lever {} gets {} and {} at the first moment; it needs {} and {}. \
                 Levers: {}.",
                unit.charged,
                worst.throw.coils,
                layout.lever(worst.lever).name,
                worst.energy,
                worst.peak,
                unit.needs.energy,
                unit.needs.current,
                names(starved.iter().map(|throw| layout.lever(throw.lever).name.as_ref())),
            ),
        )
        .seen("The blades start to move and stop half-way, or spring back; now and then it works, most often just after a pause.");
        if worst.energy < unit.needs.energy {
            let price = larger(catalogue, unit);
            finding = finding.mend(format!("Use a discharge unit of at least {}.", unit.asked.capacitance), price);
        }
        if worst.peak < unit.needs.current {
            finding = finding.mend(
                "Add a thicker wire to the workbook, or put the panel, and with it the discharge unit, nearer (`panel:`): the wires take too much of the \
                 voltage.",
                None,
            );
        }
        if worst.throw.coils > 1 {
            finding = finding
                .mend("Give the drives levers of their own (leave out their `with`), and throw one after the other.", None);
        }
        findings.push(finding.mend("Add a motor that asks for less to the workbook.", None));
    }
}

/// One finding for each unit whose capacitor does not stand what a transformer gives without load.
pub(super) fn rated_too_low(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let weak = |unit: &&Discharge| unit.stands() == Some(false);
    for unit in estimate.discharges.iter().filter(weak) {
        let (Some(part), Some(rating)) = (unit.unit, unit.rating) else { continue };
        findings.push(
            Finding::new(
                "capacitor-rated-too-low",
                Weight::Doubt,
                format!(
                    "{}: its capacitor is rated for {rating}; a transformer without load charges it to {}.",
                    catalogue.part(part).title,
                    unit.highest
                ),
            )
            .seen(
                "At first nothing. Then the capacitor gets warm, swells and loses its charge; it may burst and spit hot liquid.",
            )
            .mend("Use a unit whose capacitor is rated for more, 35 V for a transformer of 16 V.", larger(catalogue, unit))
            .mend("Feed it from a transformer of a lower voltage, if the coils still get enough.", None),
        );
    }
}

/// What the cheapest unit costs more that has the capacitance asked and stands the highest voltage.
fn larger(catalogue: &Catalogue, unit: &Discharge) -> Option<Money> {
    let used = unit.unit?;
    let serves = |part: &Part| {
        part.measured(Attr::Capacitance) >= Some(unit.asked.capacitance.quantity())
            && part.measured(Attr::Voltage) >= Some(unit.highest.quantity())
    };
    let serving = catalogue.parts_of(catalogue.part(used).kind).filter(|(_, part)| serves(part));
    serving.filter_map(|(id, _)| part_difference(catalogue, used, id, 1)).min_by_key(|price| price.amount())
}
