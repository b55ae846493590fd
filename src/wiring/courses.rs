//! Which way every wire takes over each board: from where it comes in, or begins, to where it leaves, or ends.

use std::collections::BTreeMap;

use super::model::{Use, Wiring};
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
        walk(layout, run.from.spot, run.to.spot, &run.crosses, |board, from, to| {
            courses.push(Course { board, purpose: run.purpose, from, to, conductors: run.conductors });
        });
    }
    for lead in wiring.leads.values() {
        let Some(controller) = assignment.controllers.get(lead.controller.index()) else { continue };
        let motor = layout.drive(lead.drive).spot;
        walk(layout, controller.spot, motor, &lead.crosses, |board, from, to| {
            courses.push(Course { board, purpose: Use::Drive, from, to, conductors: lead.conductors });
        });
    }
    courses.sort_unstable();
    courses
}

/// Goes from spot to spot over the joints, and tells the stretch on each board.
fn walk(layout: &Layout, from: Spot, to: Spot, crosses: &[JointId], mut tell: impl FnMut(BoardId, Point, Point)) {
    let mut at = from;
    for &joint in crosses {
        let joint = layout.joint(joint);
        let (here, there) = if joint.from.board == at.board { (joint.from, joint.to) } else { (joint.to, joint.from) };
        tell(at.board, at.at, here.at);
        at = there;
    }
    tell(at.board, at.at, to.at);
}

/// The runs that come over one joint of a board and leave over another, joint by joint, nearer the panel first.
pub fn passing(layout: &Layout, wiring: &Wiring, board: BoardId) -> BTreeMap<[JointId; 2], Vec<u32>> {
    let touches = |joint: JointId| [layout.joint(joint).from.board, layout.joint(joint).to.board].contains(&board);
    let mut passing: BTreeMap<[JointId; 2], Vec<u32>> = BTreeMap::new();
    for (index, run) in (0..).zip(&wiring.runs) {
        for pair in run.crosses.windows(2) {
            if let &[into, out] = pair
                && touches(into)
                && touches(out)
            {
                passing.entry([into, out]).or_default().push(index);
            }
        }
    }
    passing
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::from_starter;
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
            let wiring = plan(&layout, &catalogue, &assign(&layout, &catalogue, scheme));
            assert!(wiring.runs.len() > 50);
            for run in &wiring.runs {
                let mut drawn: Length = run.crosses.iter().map(|&joint| layout.joint(joint).lead).sum();
                walk(&layout, run.from.spot, run.to.spot, &run.crosses, |_, from, to| {
                    drawn = drawn + from.x.abs_diff(to.x) + from.y.abs_diff(to.y);
                });
                assert_eq!(drawn, paths.between(run.from.spot, run.to.spot).unwrap().length, "{}", run.label);
            }
        }
    }

    #[test]
    fn what_passes_a_board_neither_begins_nor_ends_there() {
        let catalogue = from_starter().unwrap();
        let text = include_str!("../../examples/saltmarsh-harbour.yaml");
        let layout = crate::layout::read("harbour.yaml", text, &catalogue).unwrap();
        let scheme = layout.rules.schemes.value[0];
        let wiring = plan(&layout, &catalogue, &assign(&layout, &catalogue, scheme));
        let mut passed = 0;
        for board in (0..layout.boards.len()).map(BoardId::at) {
            for index in passing(&layout, &wiring, board).into_values().flatten() {
                let run = &wiring.runs[index as usize];
                assert!(run.from.spot.board != board && run.to.spot.board != board, "{}", run.label);
                passed += 1;
            }
        }
        assert!(passed > 0);
    }
}
