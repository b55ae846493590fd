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
            rod.force.into(),
            rod.bend.into(),
            rod.least_drive.into(),
            rod.pressing_drive.into(),
            rod.travel.into(),
            rod.least_hole.into(),
            number(rod.stiffness.0),
            number(rod.travel_ratio),
        ])
    });
    let table = Table::new(
        "rods",
        "",
        [
            ColumnHead::words("scheme", "Scheme"),
            ColumnHead::words("drives", "Drives"),
            ColumnHead::number("diameter", "Wire"),
            ColumnHead::number("above", "Above the bracket's hole"),
            ColumnHead::number("below", "Below it"),
            ColumnHead::number("force", "Blades need"),
            ColumnHead::number("bend", "Rod yields by"),
            ColumnHead::number("least_drive", "Drive must move, to reach the rail"),
            ColumnHead::number("pressing_drive", "And to press"),
            ColumnHead::number("travel", "Drive moves"),
            ColumnHead::number("hole", "Hole at least"),
            ColumnHead::number("stiffness", "Newtons for each mm at the blades").detail(),
            ColumnHead::number("ratio", "Drive moves for each mm at the blades").detail(),
        ],
    )
    .rows(rows)
    .note(
        "The rod works like a seesaw in the hole of its bracket: the drive pushes the lower end one way, the blades go the other. Once they lie against \
         the rail the rod bends a little, and that presses them home. What the drive must move is told where the layout gives its `scale`, for the least \
         that lets wheels pass the open blade; the common hole in the top is 5 mm. The cutting list has more for the bends at both ends.",
    );
    (!table.rows.is_empty()).then(|| Section::new("rods", "Rods", [Block::Table(table)]))
}
