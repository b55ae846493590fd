//! Work by task and stage.

use crate::catalogue::Stage;
use crate::id::TaskId;
use crate::quantity::Minutes;

/// One task, done so many times.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The row of `Tasks`.
    pub task: TaskId,
    /// How many times.
    pub times: u32,
    /// Expected minutes for all of them, with learning.
    pub mean: Minutes,
    /// Their standard deviation.
    pub deviation: Minutes,
}

/// The work of one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct StageWork {
    /// The stage.
    pub stage: Stage,
    /// Expected minutes.
    pub mean: Minutes,
    /// Standard deviation.
    pub deviation: Minutes,
    /// Exceeded in four builds of five.
    pub at_20: Minutes,
    /// Not exceeded in four builds of five.
    pub at_80: Minutes,
}

/// All work.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Hours {
    /// Task by task, in the order of the sheet.
    pub work: Vec<Work>,
    /// Stage by stage, in the order done.
    pub stages: Vec<StageWork>,
    /// Expected minutes.
    pub mean: Minutes,
    /// Standard deviation.
    pub deviation: Minutes,
    /// Exceeded in four builds of five.
    pub at_20: Minutes,
    /// Not exceeded in four builds of five.
    pub at_80: Minutes,
    /// Expected minutes to plug the joints at each set-up.
    pub set_up: Minutes,
}
