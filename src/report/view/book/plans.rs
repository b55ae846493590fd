//! Boards as plans to scale.

use std::collections::BTreeSet;

use super::Book;
use crate::id::{BoardId, SchemeId};
use crate::layout::Point;
use crate::report::picture::{Course, Plan, Seen, Sign, Thing};
use crate::wiring::{End, Use, strip_name};

impl Book<'_> {
    /// A board with all that stands on it, as it is worked on: from below.
    pub(super) fn plan_below(&self, id: BoardId) -> Plan {
        let mut things = self.devices(id);
        things.extend(self.controllers(id));
        things.extend(self.strips(id));
        things.extend(self.levers(id));
        things.extend(self.joints(id));
        let mut uses: Vec<Use> = self.courses_on(id).map(|course| course.purpose).collect();
        uses.sort_unstable();
        uses.dedup();
        // The same use has the same pattern on every board.
        let pattern = |purpose: Use| Use::ALL.iter().position(|known| *known == purpose).unwrap_or_default();
        let courses = self.courses_on(id).map(|course| Course {
            sort: pattern(course.purpose),
            from: course.from,
            to: course.to,
            conductors: course.conductors,
        });
        let courses = courses.collect();
        let sorts = uses.iter().map(|&purpose| (pattern(purpose), format!("{} wires", purpose.word()))).collect();
        self.drawn(id, Seen::FromBelow, things, sorts, courses)
    }

    /// A board with its devices, as the operator sees it: from above.
    pub(super) fn plan_above(&self, id: BoardId) -> Plan {
        let mut things = self.devices(id);
        things.extend(self.joints(id));
        self.drawn(id, Seen::FromAbove, things, Vec::new(), Vec::new())
    }

    fn drawn(&self, id: BoardId, seen: Seen, things: Vec<Thing>, sorts: Vec<(usize, String)>, courses: Vec<Course>) -> Plan {
        let board = self.plan.layout.board(id);
        Plan { name: board.name.to_string(), seen, length: board.length.value, width: board.width.value, things, sorts, courses }
    }

    fn courses_on(&self, id: BoardId) -> impl Iterator<Item = &crate::wiring::Course> {
        self.courses.iter().filter(move |course| course.board == id && course.from != course.to)
    }

    /// The devices; one of several drives by the name of each, since each has a tie bar of its own.
    fn devices(&self, id: BoardId) -> Vec<Thing> {
        let layout = self.plan.layout;
        let mut things = Vec::new();
        for device in &layout.devices {
            let sign = match &device.kind {
                kind if kind.is_turnout() => Sign::Turnout,
                kind if kind.is_signal() => Sign::Signal,
                _ => Sign::Other,
            };
            let drives = device.drives.iter().map(|&drive| layout.drive(drive));
            let drives: Vec<_> = drives.map(|drive| (drive.name.to_string(), drive.spot)).collect();
            let all = if drives.len() > 1 { drives } else { vec![(device.name.to_string(), device.spot.value)] };
            let here = all.into_iter().filter(|(_, spot)| spot.board == id);
            things.extend(here.map(|(name, spot)| Thing { sign, name, at: spot.at }));
        }
        things
    }

    fn controllers(&self, id: BoardId) -> impl Iterator<Item = Thing> {
        let controllers = (1..).zip(&self.plan.estimate.assignment.controllers);
        controllers.filter(move |(_, controller)| controller.spot.board == id).map(|(number, controller)| Thing {
            sign: Sign::Controller,
            name: format!("controller {number}"),
            at: controller.spot.at,
        })
    }

    /// The terminal strips at which runs begin or end.
    fn strips(&self, id: BoardId) -> Vec<Thing> {
        let ends = self.plan.estimate.wiring.runs.iter().flat_map(|run| [run.from, run.to]);
        let strips: BTreeSet<(Option<SchemeId>, Point)> = ends
            .filter_map(|end| match end.end {
                End::Strip(on, serves) if on == id => Some((serves, end.spot.at)),
                _ => None,
            })
            .collect();
        let named = |(serves, at)| Thing { sign: Sign::Strip, name: strip_name(self.plan.catalogue, serves), at };
        strips.into_iter().map(named).collect()
    }

    /// The panel, or without one the levers at the board's edge and where power comes in.
    fn levers(&self, id: BoardId) -> Vec<Thing> {
        let layout = self.plan.layout;
        if layout.panel.is_some() {
            let panel = Thing { sign: Sign::Panel, name: "panel".to_owned(), at: layout.origin().at };
            return if layout.origin().board == id { vec![panel] } else { Vec::new() };
        }
        let levers = layout.levers.iter().filter(|lever| lever.spot.board == id);
        let mut things: Vec<Thing> =
            levers.map(|lever| Thing { sign: Sign::Panel, name: format!("lever {}", lever.name), at: lever.spot.at }).collect();
        if layout.origin().board == id && !self.plan.estimate.demands.is_empty() {
            things.push(Thing { sign: Sign::Panel, name: "supply".to_owned(), at: layout.origin().at });
        }
        things
    }

    fn joints(&self, id: BoardId) -> Vec<Thing> {
        let layout = self.plan.layout;
        let sides = layout.joints.iter().flat_map(|joint| [(joint.from, joint.to), (joint.to, joint.from)]);
        let here = sides.filter(|(near, _)| near.board == id);
        here.map(|(near, far)| Thing { sign: Sign::Joint, name: format!("to {}", layout.board(far.board).name), at: near.at })
            .collect()
    }
}
