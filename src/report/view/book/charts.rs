//! The charts of the book, each from the table or the values that stand beside it.

use crate::catalogue::Word;
use crate::report::figures::{Figures, with_unit};
use crate::report::picture::{Bar, Bars, Cells, Drawing, Joined, Line, Lines, Picture, Ranges};
use crate::report::view::compare::groups;
use crate::report::view::measures::Side;
use crate::report::view::plan::Plan;
use crate::report::view::words::and;
use crate::report::{Block, Cell, Section, Table};

/// So many rows of a chart fit a page.
const ROWS: usize = 30;

/// Cost by scheme: the table of groups, and its columns as bars.
pub(super) fn cost(side: Side) -> Vec<Block> {
    let table = groups(side);
    let parts: Vec<_> = table.rows.iter().filter(|row| !row.is_total).collect();
    let name = |cells: &[Cell]| match cells.first() {
        Some(Cell::Text(name)) => name.clone(),
        _ => String::new(),
    };
    let total = table.rows.iter().find(|row| row.is_total);
    let cell = |cells: &[Cell], at: usize| cells.get(at).cloned().unwrap_or(Cell::Missing);
    let bars = table.columns.iter().enumerate().skip(1).map(|(at, head)| Bar {
        label: head.title.clone(),
        values: parts.iter().map(|row| cell(&row.cells, at)).collect(),
        total: total.map_or(Cell::Missing, |row| cell(&row.cells, at)),
        limit: None,
    });
    let bars = Bars { parts: parts.iter().map(|row| name(&row.cells)).collect(), bars: bars.collect() };
    let picture = Picture {
        id: "cost",
        title: "What each scheme costs, and for what".to_owned(),
        about: "A bar for each scheme, made of what it costs by group, postage last; its whole cost stands at the end. The table below has the figures.".to_owned(),
        drawing: Drawing::Bars(bars),
    };
    vec![Block::Picture(picture), Block::Table(table)]
}

/// Conductors at each joint by scheme; nothing where the layout does not come apart.
pub(super) fn conductors(side: Side) -> Option<Section> {
    let columns = &side.comparison.columns;
    let rows = side.layout.joints.iter().enumerate().map(|(at, joint)| {
        let loads =
            columns.iter().map(|column| column.estimate.wiring.joints.get(at).map(crate::wiring::JointLoad::total).into());
        (joint.name.to_string(), loads.collect())
    });
    let rows: Vec<(String, Vec<Cell>)> = rows.collect();
    let pictures = rows.chunks(ROWS).map(|rows| Picture {
        id: "conductors",
        title: "Conductors that part at each joint, by scheme".to_owned(),
        about: "A row for each joint and a column for each scheme, with the number of conductors and a bar as long as it."
            .to_owned(),
        drawing: Drawing::Cells(Cells {
            rows_are: "Joint".to_owned(),
            columns: columns.iter().map(|column| side.catalogue.scheme(column.scheme).title.clone()).collect(),
            rows: rows.to_vec(),
        }),
    });
    let pictures: Vec<Block> = pictures.map(Block::Picture).collect();
    (!pictures.is_empty()).then(|| Section::new("joints_by_scheme", "What parts at the joints", pictures))
}

/// The most that each feed draws against what its supply gives.
pub(super) fn headroom(plan: &Plan) -> Option<Picture> {
    let bars: Vec<Bar> = plan
        .estimate
        .supplies
        .iter()
        .filter_map(|check| {
            let demand = plan.estimate.demands.iter().find(|demand| demand.id == check.feed)?;
            let feed = demand.name();
            Some(Bar {
                label: format!("{} ({feed}), {} left", check.name, with_unit(&check.headroom().into(), Figures::Rounded)),
                values: vec![check.most.into()],
                total: check.most.into(),
                limit: Some(("what the supply gives".to_owned(), check.rating.into())),
            })
        })
        .collect();
    let picture = Picture {
        id: "headroom",
        title: "The most that is drawn, what the supply gives, and the headroom left".to_owned(),
        about: "A bar for each supply: the most that is drawn from it in use or at switch-on, with a mark at its rating; what is left stands beside its name."
            .to_owned(),
        drawing: Drawing::Bars(Bars { parts: vec!["the most drawn".to_owned()], bars: bars.clone() }),
    };
    (!bars.is_empty()).then_some(picture)
}

/// Hours by stage as ranges.
pub(super) fn stages(plan: &Plan) -> Picture {
    let hours = &plan.estimate.hours;
    let rows = hours.stages.iter().map(|stage| {
        (stage.stage.word().to_owned(), [Cell::hours(stage.at_20), Cell::hours(stage.mean), Cell::hours(stage.at_80)])
    });
    let all = ("in all".to_owned(), [Cell::hours(hours.at_20), Cell::hours(hours.mean), Cell::hours(hours.at_80)]);
    let names = ["exceeded in 4 builds of 5", "likely", "enough in 4 builds of 5"].map(str::to_owned);
    Picture {
        id: "stages",
        title: "Hours by stage, in the order done".to_owned(),
        about: "A range for each stage, from the hours that four builds of five exceed to those that are enough for four of five, with what is likely marked."
            .to_owned(),
        drawing: Drawing::Ranges(Ranges { names, rows: rows.chain([all]).collect() }),
    }
}

/// Before each route's table, its currents over time.
pub(super) fn beside_timelines(plan: &Plan, section: &mut Section) {
    let mut pictures = plan.estimate.timelines.iter().filter(|timeline| timeline.changes()).map(|timeline| {
        let lines = plan.estimate.demands.iter().enumerate().map(|(at, demand)| Line {
            name: demand.name(),
            joined: Joined::Steps,
            points: timeline
                .moments
                .iter()
                .filter_map(|moment| Some((moment.at.into(), (*moment.currents.get(at)?).into())))
                .collect(),
        });
        let marks = timeline.moments.iter().filter(|moment| !moment.throws.is_empty()).map(|moment| {
            let levers: Vec<&str> = moment.throws.iter().map(|&lever| plan.layout.lever(lever).name.as_ref()).collect();
            (Cell::from(moment.at), format!("{} {}", if levers.len() == 1 { "lever" } else { "levers" }, and(&levers)))
        });
        Picture {
            id: "route",
            title: format!("Route {}: current while it is thrown", plan.layout.route(timeline.route).name),
            about: "The current of each feed over time, in steps, with a numbered mark where a lever is thrown. The table below has the figures.".to_owned(),
            drawing: Drawing::Lines(Lines {
                along: "time since the first throw".to_owned(),
                up: "current from the supply".to_owned(),
                lines: lines.collect(),
                marks: marks.collect(),
            }),
        }
    });
    let blocks = std::mem::take(&mut section.blocks);
    for block in blocks {
        if matches!(&block, Block::Table(Table { id: "timeline", .. })) {
            section.blocks.extend(pictures.next().map(Block::Picture));
        }
        section.blocks.push(block);
    }
}
