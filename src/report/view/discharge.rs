//! The discharge units: what they store, what each lever's coils get, how soon they can be thrown again.

use super::plan::Plan;
use super::words::pairs;
use crate::power::Discharge;
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};

/// One section for each discharge unit.
pub(super) fn discharges<'a>(plan: &'a Plan) -> impl Iterator<Item = Section> + 'a {
    plan.estimate.discharges.iter().map(|unit| section(plan, unit))
}

fn section(plan: &Plan, unit: &Discharge) -> Section {
    let part = unit.unit.map(|part| plan.catalogue.part(part).title.clone());
    let facts = pairs(
        "discharge_unit",
        "",
        [
            ("unit", "Unit", Cell::from(part)),
            ("capacitance", "Its capacitance", unit.capacitance.into()),
            ("asked_capacitance", "Must have at least", unit.asked.capacitance.into()),
            ("asked", "Stores then, at the motors' voltage", unit.asked.energy.into()),
            ("charged", "Charged to at least", unit.charged.least.into()),
            ("highest", "Charged to at most, off load", unit.charged.most.into()),
            ("rating", "Its capacitor is rated for", unit.rating.into()),
            ("needs_energy", "Each coil needs", unit.needs.energy.into()),
            ("needs_current", "And at the first moment", unit.needs.current.into()),
            ("draws", "Draws from its transformer, at most", unit.draws.into()),
            ("limit", "Charging current on average, by the time it states", unit.limit.into()),
            ("charges_in", "From empty to full", unit.charges_in.into()),
            ("fuse", "Fuse at its input", unit.fuse.into()),
            ("bleeder", "Resistor across it, to empty it", unit.bleeder.map(|bleeder| bleeder.resistance).into()),
            ("empties_in", "Down to 1 V after, at most", unit.bleeder.map(|bleeder| bleeder.empties_in.rounded_up()).into()),
            (
                "bleeder_current",
                "Flows in that resistor as long as the unit is charged, at most",
                unit.bleeder.map(|bleeder| bleeder.current).into(),
            ),
            ("bleeder_heat", "Heat in that resistor", unit.bleeder.map(|bleeder| bleeder.heat).into()),
        ],
    );
    let rows = unit.worst_by_coils().into_iter().map(|throw| {
        Row::of([
            Cell::from(throw.throw.coils),
            plan.layout.lever(throw.lever).name.as_ref().into(),
            throw.peak.into(),
            throw.at_coil.into(),
            throw.energy.into(),
            throw.residual.into(),
            throw.next.into(),
            throw.most_coils.into(),
            throw.suffices.into(),
        ])
    });
    let throws = Table::new(
        "throws",
        "What the coils get",
        [
            ColumnHead::number("coils", "Coils on one lever"),
            ColumnHead::words("lever", "Worst lever"),
            ColumnHead::number("peak", "Peak current of each"),
            ColumnHead::number("at_coil", "Voltage at the coil"),
            ColumnHead::number("energy", "Energy into each"),
            ColumnHead::number("residual", "Left in the unit"),
            ColumnHead::number("next", "Next throw after"),
            ColumnHead::number("most_coils", "Coils thrown together at most"),
            ColumnHead::words("enough", "Enough"),
        ],
    )
    .rows(rows)
    .note(
        "Counted for the worst: a transformer only 10 % above its rating without load, a capacitor 20 % below its mark, the longest wires. What it \
         must stand is counted with a transformer 25 % above, the charging with a capacitor 20 % above (common practice) and with the resistor across it, which takes some of the current. The mains counts as rated: which coils get too little while it is 10 % low is told among what to know. A route is \
         thrown lever by lever.",
    );
    let mut blocks = vec![Block::Table(facts)];
    if throws.rows.is_empty() {
        blocks.push(Block::text("What the coils get is not known: no unit is bought, or its part states no capacitance."));
    } else {
        blocks.push(Block::Table(throws));
        blocks.extend(above_their_voltage(plan, unit).map(Block::text));
    }
    Section::new("discharge", format!("Discharge unit: {}", plan.title(unit.scheme)), blocks)
}

/// A word on coils that get more than their voltage for the time of a pulse.
fn above_their_voltage(plan: &Plan, unit: &Discharge) -> Option<String> {
    let traits = plan.catalogue.scheme(unit.scheme);
    let made_for = traits.electrics?.motor_voltage;
    (unit.charged.most > made_for).then(|| {
        format!(
            "The coils are made for {made_for}; a full unit puts up to {} on them for as long as its charge lasts, which a coil made for pulses bears \
             (common practice, no source). Ask the maker where in doubt, and never hold a lever.",
            unit.charged.most
        )
    })
}
