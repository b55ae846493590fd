//! Hours: how long the build takes, by stage and by task, and how long the plugs take at each set-up.

use super::plan::{Plan, Show};
use super::words::each;
use crate::catalogue::Word;
use crate::diagnostic::Place;
use crate::hours::Work;
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table, prose};

/// The hours of a plan.
pub fn hours(plan: &Plan) -> Document {
    let sections = vec![stages(plan), tasks(plan), set_up(plan)];
    plan.document("hours", "hours of work", sections, Show::All)
}

fn stages(plan: &Plan) -> Section {
    let hours = &plan.estimate.hours;
    let rows = hours
        .stages
        .iter()
        .map(|stage| Row::of([Cell::from(stage.stage.word()), Cell::hours(stage.mean), Cell::hours(stage.at_80)]));
    let table = Table::new(
        "stages",
        "",
        [
            ColumnHead::words("stage", "Stage"),
            ColumnHead::number("likely", "Likely"),
            ColumnHead::number("at_80", "Enough in 4 builds of 5"),
        ],
    )
    .rows(rows)
    .rows([Row::total([Cell::from("In all"), Cell::hours(hours.mean), Cell::hours(hours.at_80)]).named("total")])
    .note("Every figure is rounded by itself, so that a column may differ from its sum in the last place. The stages of the last column come to more than their sum besides: not every stage goes badly at once.");
    Section::new("stages", "By stage, in the order done", [Block::Table(table)])
}

fn tasks(plan: &Plan) -> Section {
    let task = |work: &Work| plan.catalogue.task(work.task);
    let mut work: Vec<&Work> = plan.estimate.hours.work.iter().collect();
    work.sort_by_key(|work| task(work).stage);
    let rows = work.into_iter().map(|work| {
        let task = task(work);
        let place = match &task.place {
            Place::Cell { sheet, cell, .. } => format!("{sheet} › {cell}"),
            place => place.to_string(),
        };
        Row::of([
            Cell::from(&task.title),
            task.stage.word().into(),
            each(task.per).into(),
            work.times.into(),
            Cell::hours(work.mean),
            task.likely.into(),
            task.low.into(),
            task.high.into(),
            place.into(),
        ])
    });
    let table = Table::new(
        "tasks",
        "",
        [
            ColumnHead::words("task", "Task"),
            ColumnHead::words("stage", "Stage"),
            ColumnHead::words("per", "For"),
            ColumnHead::number("times", "Times"),
            ColumnHead::number("likely", "All of them"),
            ColumnHead::number("once_likely", "Once, likely").detail(),
            ColumnHead::number("once_low", "Once, at best").detail(),
            ColumnHead::number("once_high", "Once, at worst").detail(),
            ColumnHead::words("place", "Row").detail(),
        ],
    )
    .rows(rows)
    .note("What is done often goes quicker each time: all of them take less than so many times the first. Change the minutes to your own in the catalogue's Tasks sheet.");
    Section::new("tasks", "By task, in the order done", [Block::Table(table)])
}

fn set_up(plan: &Plan) -> Section {
    let plugs = plan.estimate.wiring.plugs();
    let block = if plugs == 0 {
        Block::text("Nothing is plugged when the layout is set up.")
    } else {
        let rules = &plan.layout.rules;
        Block::Text(prose![
            "Each set-up takes ",
            plan.estimate.hours.set_up,
            " to plug ",
            plugs,
            if plugs == 1 { " plug" } else { " plugs" },
            "; the rules count ",
            rules.set_ups.value,
            " set-ups a year."
        ])
    };
    Section::new("set_up", "At each set-up", [block])
}
