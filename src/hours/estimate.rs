//! Tasks counted over the subjects of a plan.

use super::model::{Hours, StageWork, Work};
use super::three_point::{Z_80, deviation, learning_sum, mean};
use crate::catalogue::{Catalogue, Stage, Word};
use crate::id::TaskId;
use crate::quantity::Minutes;
use crate::takeoff::Subjects;
use crate::wiring::Wiring;

/// Hours of a plan, without the set-ups.
///
/// Repeats of one task share a deviation, since who is slow at the first is slow at all: theirs add up. Different tasks do not depend on
/// each other: the squares of theirs add up. So stages at 80 % add to more than the whole at 80 %.
pub fn hours(catalogue: &Catalogue, subjects: &Subjects) -> Hours {
    let work: Vec<Work> = catalogue
        .tasks
        .iter()
        .enumerate()
        .filter_map(|(index, task)| {
            let counted = subjects
                .of(task.per)
                .iter()
                .filter(|facts| facts.is_worked_on(task.stage) && facts.counted_by(catalogue, task.scheme, &task.when).is_some());
            let times: u32 = counted.map(|facts| facts.times).sum();
            let repeats = learning_sum(catalogue.rates.learning, times);
            (times > 0).then(|| Work {
                task: TaskId::at(index),
                times,
                mean: mean(task.low, task.likely, task.high) * repeats,
                deviation: deviation(task.low, task.high) * repeats,
            })
        })
        .collect();
    let of_stage = |stage: Stage| work.iter().filter(move |work| catalogue.task(work.task).stage == stage);
    let stages = Stage::ALL.iter().filter(|&&stage| of_stage(stage).next().is_some()).map(|&stage| {
        let (mean, deviation) = sum(of_stage(stage));
        let [at_20, at_80] = four_of_five(mean, deviation);
        StageWork { stage, mean, deviation, at_20, at_80 }
    });
    let stages = stages.collect();
    let (mean, deviation) = sum(work.iter());
    let [at_20, at_80] = four_of_five(mean, deviation);
    Hours { work, stages, mean, deviation, at_20, at_80, set_up: Minutes::ZERO }
}

/// The sum of independent tasks: means add, variances add.
fn sum<'a>(work: impl Iterator<Item = &'a Work> + Clone) -> (Minutes, Minutes) {
    let mean: Minutes = work.clone().map(|work| work.mean).sum();
    let variance: f64 = work.map(|work| work.deviation.0.powi(2)).sum();
    (mean, Minutes(variance.sqrt()))
}

/// What four builds of five exceed, and what four of five do not.
fn four_of_five(mean: Minutes, deviation: Minutes) -> [Minutes; 2] {
    let away = deviation.0 * Z_80;
    [Minutes((mean.0 - away).max(0.0)), Minutes(mean.0 + away)]
}

/// Expected minutes to plug all joints at a set-up.
pub fn set_up(catalogue: &Catalogue, wiring: &Wiring) -> Minutes {
    let [low, likely, high] = catalogue.rates.plug;
    mean(low, likely, high) * f64::from(wiring.plugs())
}
