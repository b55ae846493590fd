//! Which way every wire takes over each board: from where it comes in, or begins, to where it leaves, or ends.

use super::model::Wiring;
use super::run::Use;
use crate::id::{BoardId, JointId};
use crate::layout::{Layout, Point, Spot};
use crate::scheme::Assignment;

/// The course of a run or lead over one board. A wire goes square to the edges, so it is as long as the two points are apart along the
/// front and towards the back together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Course {
    /// The board.
    pub board: BoardId,
    /// What its conductors are for; a lead counts as [`Use::Drive`].
    pub purpose: Use,
    /// From here, nearer the panel.
    pub from: Point,
    /// To here.
    pub to: Point,
    /// Conductors.
    pub conductors: u32,
}

/// The courses of all runs and leads, board by board.
pub fn courses(layout: &Layout, assignment: &Assignment, wiring: &Wiring) -> Vec<Course> {
    let mut courses = Vec::new();
    for run in &wiring.runs {
        walk(layout, run.from.spot, run.to.spot, &run.crosses, |board, [from, to], _| {
            courses.push(Course { board, purpose: run.purpose, from, to, conductors: run.conductors });
        });
    }
    for lead in wiring.leads.values() {
        let Some(controller) = assignment.controllers.get(lead.controller.index()) else { continue };
        let motor = layout.drive(lead.drive).spot;
        walk(layout, controller.spot, motor, &lead.crosses, |board, [from, to], _| {
            courses.push(Course { board, purpose: Use::Drive, from, to, conductors: lead.conductors });
        });
    }
    courses.sort_unstable();
    courses
}

/// Goes from spot to spot over the joints, and tells the stretch on each board with the joints at its two ends.
pub(super) fn walk(
    layout: &Layout,
    from: Spot,
    to: Spot,
    crosses: &[JointId],
    mut tell: impl FnMut(BoardId, [Point; 2], [Option<JointId>; 2]),
) {
    let (mut at, mut into) = (from, None);
    for &id in crosses {
        let joint = layout.joint(id);
        let (here, there) = if joint.from.board == at.board { (joint.from, joint.to) } else { (joint.to, joint.from) };
        tell(at.board, [at.at, here.at], [into, Some(id)]);
        (at, into) = (there, Some(id));
    }
    tell(at.board, [at.at, to.at], [into, None]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::from_starter;
    use crate::power::demand;
    use crate::quantity::Length;
    use crate::scheme::assign;
    use crate::wiring::{Paths, plan};

    /// What is drawn is as long as what is cut, without tails and slack.
    #[test]
    fn the_courses_of_a_run_are_as_long_as_its_way() {
        let catalogue = from_starter().unwrap();
        let text = include_str!("../../examples/brindlewold-exhibition.yaml");
        let layout = crate::layout::read("club.yaml", text, &catalogue).unwrap();
        let mut paths = Paths::new(&layout);
        for &scheme in &layout.rules.schemes.value {
            let assignment = assign(&layout, &catalogue, scheme);
            let wiring = plan(&layout, &catalogue, &assignment, &demand(&layout, &catalogue, &assignment));
            assert!(wiring.runs.len() > 50);
            for run in &wiring.runs {
                let mut drawn: Length = run.crosses.iter().map(|&joint| layout.joint(joint).lead).sum();
                walk(&layout, run.from.spot, run.to.spot, &run.crosses, |_, [from, to], _| {
                    drawn = drawn + from.x.abs_diff(to.x) + from.y.abs_diff(to.y);
                });
                assert_eq!(drawn, paths.between(run.from.spot, run.to.spot).unwrap().length, "{}", run.label);
            }
        }
    }
}
