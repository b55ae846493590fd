//! Check: what was read, which defaults were taken, and everything there is to know about the plan.

use super::defaults::{Told, defaults};
use super::plan::{Plan, Show};
use super::rods::rods;
use super::words::pairs;
use crate::diagnostic::Diagnostic;
use crate::layout::BoardRole;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table};

/// What was read, and what is to be said of the plan.
pub fn check(plan: &Plan) -> Document {
    let mut sections = vec![read(plan)];
    sections.extend(defaults(plan.layout, Told::InFull));
    sections.extend(rods(plan));
    sections.extend(notices(&plan.catalogue.notices));
    if plan.estimate.findings.is_empty() {
        sections.push(Section::new("findings", "What to know", [Block::text("Nothing was found to be wrong with the plan.")]));
    }
    plan.document("check", "check", sections, Show::All)
}

fn read(plan: &Plan) -> Section {
    let (layout, catalogue) = (plan.layout, plan.catalogue);
    let of = |is: &dyn Fn(&crate::layout::Device) -> bool| Cell::from(layout.devices.iter().filter(|device| is(device)).count());
    let boards = layout.boards.iter().filter(|board| board.role == BoardRole::Baseboard).count();
    let counts = pairs(
        "layout",
        &format!("Layout, from {}", layout.file),
        [
            ("boards", "Baseboards", boards.into()),
            ("joints", "Joints, a flying panel's among them", layout.joints.len().into()),
            ("turnouts", "Turnouts and crossings", of(&|device| device.kind.is_turnout())),
            ("signals", "Signals", of(&|device| device.kind.is_signal())),
            ("others", "Other devices", of(&|device| !device.kind.is_turnout() && !device.kind.is_signal())),
            ("owned", "Devices already motorised", of(&|device| device.owned)),
            ("drives", "Drives: things to be moved", layout.drives.len().into()),
            ("levers", "Levers: switches to throw", layout.levers.len().into()),
            ("frogs", "Frogs to change over", layout.frogs.len().into()),
            ("routes", "Routes", layout.routes.len().into()),
            ("supplies", "Supplies you have", layout.supplies.len().into()),
        ],
    );
    let sheets = pairs(
        "catalogue",
        &format!("Catalogue, from {}", catalogue.book),
        [
            ("kinds", "Kinds of part", catalogue.kinds.len().into()),
            ("parts", "Parts", catalogue.parts.len().into()),
            ("offers", "Offers", catalogue.offers.len().into()),
            ("suppliers", "Suppliers", catalogue.suppliers.len().into()),
            ("stock", "Parts you have some of", catalogue.parts.iter().filter(|part| part.stock > 0).count().into()),
            ("schemes", "Schemes, with those that only others are like", catalogue.schemes.len().into()),
            ("compared", "Schemes to compare", layout.rules.schemes.value.len().into()),
            ("rules", "Rules of assembly", catalogue.rules.len().into()),
            ("tasks", "Tasks", catalogue.tasks.len().into()),
            ("turnout_kinds", "Kinds of turnout", catalogue.turnouts.len().into()),
        ],
    );
    Section::new("read", "What was read", [Block::Table(counts), Block::Table(sheets)])
}

/// What was passed over in reading.
fn notices(notices: &[Diagnostic]) -> Option<Section> {
    let rows = notices
        .iter()
        .map(|notice| Row::of([Cell::from(notice.place.to_string()), Cell::from(&notice.what), notice.code.as_str().into()]));
    let table = Table::new(
        "notices",
        "",
        [ColumnHead::words("place", "Where"), ColumnHead::words("what", "What"), ColumnHead::words("code", "Code")],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("notices", "Passed over in reading", [Block::Table(table)]))
}
