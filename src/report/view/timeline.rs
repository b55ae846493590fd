//! Routes as they are thrown, second by second.

use super::plan::Plan;
use super::words::and;
use crate::layout::AtOnce;
use crate::power::{APART, Timeline};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};

/// What happens while each route is thrown.
pub(super) fn timelines(plan: &Plan) -> Option<Section> {
    let timelines = &plan.estimate.timelines;
    if timelines.is_empty() {
        return None;
    }
    let stored = if plan.estimate.discharges.is_empty() {
        ""
    } else {
        " Coils are thrown when the discharge unit has charged far enough for them. Charge is what is left just after a throw."
    };
    let mut blocks = vec![Block::text(format!("{}{stored}", apart(plan)))];
    blocks.extend(timelines.iter().filter(|timeline| timeline.changes()).map(|timeline| Block::Table(table(plan, timeline))));
    let still = timelines.iter().filter(|timeline| !timeline.changes());
    let still: Vec<&str> = still.map(|timeline| plan.layout.route(timeline.route).name.as_ref()).collect();
    if !still.is_empty() {
        blocks.push(Block::text(format!("While these routes are thrown the current of no feed changes: {}.", and(&still))));
    }
    Some(Section::new("timeline", "Routes, second by second", blocks))
}

/// How far apart levers are thrown, in words: the rule that also says what the most in use is.
fn apart(plan: &Plan) -> String {
    let levers = match plan.layout.rules.at_once.value {
        AtOnce::Routes => {
            return format!(
                "The levers of a route are thrown {APART} apart, whether those before still move or not (`at once: routes`)."
            );
        }
        AtOnce::Levers(levers) => levers,
    };
    let together = if levers == 1 { "one lever moves".to_owned() } else { format!("{levers} levers move") };
    format!(
        "At most {together} at once (`at once` in the rules), and the figures above count no more: each lever is thrown {APART} after the one before, \
         or when that many have not yet come to rest, as soon as one has."
    )
}

fn table(plan: &Plan, timeline: &Timeline) -> Table {
    let schemes: Vec<_> = crate::wiring::open_families(plan.catalogue, &plan.estimate.assignment)
        .into_iter()
        .filter(|scheme| timeline.moments.iter().any(|moment| moment.lowest.iter().any(|(lowest, ..)| lowest == scheme)))
        .collect();
    let mut columns = vec![ColumnHead::number("at", "At"), ColumnHead::words("throws", "Thrown")];
    columns.extend(plan.estimate.demands.iter().map(|demand| {
        let feed = demand.name();
        ColumnHead::number(format!("feed:{feed}"), format!("From {feed}"))
    }));
    columns.extend(plan.estimate.discharges.iter().map(|unit| {
        let name = &plan.catalogue.scheme(unit.scheme).name;
        ColumnHead::number(format!("charge:{name}"), "Charge")
    }));
    columns.extend(schemes.iter().flat_map(|&scheme| {
        let name = &plan.catalogue.scheme(scheme).name;
        [
            ColumnHead::number(format!("lowest:{name}"), format!("Lowest, {}", plan.title(scheme))),
            ColumnHead::words(format!("at:{name}"), "There").detail(),
        ]
    }));
    let rows = timeline.moments.iter().map(|moment| {
        let levers: Vec<&str> = moment.throws.iter().map(|&lever| plan.layout.lever(lever).name.as_ref()).collect();
        let mut cells = vec![Cell::from(moment.at), if levers.is_empty() { Cell::Missing } else { and(&levers).into() }];
        cells.extend(moment.currents.iter().copied().map(Cell::from));
        cells.extend(moment.charges.iter().copied().map(Cell::from));
        for scheme in &schemes {
            let lowest = moment.lowest.iter().find(|(lowest, ..)| lowest == scheme);
            cells.push(Cell::from(lowest.map(|(_, _, voltage)| *voltage)));
            cells.push(Cell::from(lowest.map(|(_, subject, _)| subject.name(plan.layout))));
        }
        Row::of(cells)
    });
    Table::new("timeline", format!("Route {}", plan.layout.route(timeline.route).name), columns).rows(rows)
}
