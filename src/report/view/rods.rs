//! The rods from drives to blades.

use super::plan::Plan;
use super::words::and;
use crate::quantity::{Dimension, Quantity};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};

/// How the rods work.
pub(super) fn rods(plan: &Plan) -> Option<Section> {
    let number = |value: f64| {
        let decimal = rust_decimal::Decimal::try_from(value).unwrap_or_default().round_dp(2);
        Cell::Quantity(Quantity::new(Dimension::Count, decimal))
    };
    let rows = plan.estimate.rods.iter().map(|rod| {
        let drives: Vec<&str> = rod.drives.iter().map(|&drive| plan.layout.drive(drive).name.as_ref()).collect();
        Row::of([
            Cell::from(plan.title(rod.scheme)),
            and(&drives).into(),
            rod.diameter.into(),
            rod.above.into(),
            rod.below.into(),
            number(rod.stiffness.0),
            number(rod.travel_ratio),
            rod.least_drive.into(),
            rod.least_hole.into(),
        ])
    });
    let table = Table::new(
        "rods",
        "",
        [
            ColumnHead::words("scheme", "Scheme"),
            ColumnHead::words("drives", "Drives"),
            ColumnHead::number("diameter", "Wire"),
            ColumnHead::number("above", "Above the fulcrum"),
            ColumnHead::number("below", "Below it"),
            ColumnHead::number("stiffness", "Newtons at the blades for each mm"),
            ColumnHead::number("ratio", "Drive moves for each mm"),
            ColumnHead::number("least_drive", "Drive must travel"),
            ColumnHead::number("hole", "Hole at least"),
        ],
    )
    .rows(rows)
    .note(
        "The hole in the bracket is the fulcrum: above it the rod passes the top, below it lies the arm. Travel and hole are told where the layout \
         gives its `scale`, as the least that lets wheels pass the open blade; the common hole is 5 mm.",
    );
    (!table.rows.is_empty()).then(|| Section::new("rods", "Rods", [Block::Table(table)]))
}
