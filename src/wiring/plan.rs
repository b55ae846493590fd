//! Plans the wiring: every run, the wire for it, what parts at each joint.

use super::crossing::Crossing;
use super::flows::small_currents;
use super::joints::load_joints;
use super::labels::label;
use super::model::Wiring;
use super::planner::Planner;
use super::run::Run;
use super::sizing::size;
use crate::catalogue::{Catalogue, Condition};
use crate::id::SchemeId;
use crate::layout::{Lamps, Layout, Lever};
use crate::power::{Demand, Encoders, demand_with};
use crate::scheme::{Action, Assignment, Connection};
use crate::takeoff::Subject;

/// What each feed draws where so many encoders do, and the wiring that goes with it.
pub fn feeds_and_wiring(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    encoders: &Encoders,
) -> (Vec<Demand>, Wiring) {
    let demands = demand_with(layout, catalogue, assignment, encoders);
    let wiring = plan(layout, catalogue, assignment, &demands);
    (demands, wiring)
}

/// Plans runs, leads and joints.
pub fn plan(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, demands: &[Demand]) -> Wiring {
    let mut planner = Planner::new(layout, catalogue, assignment, demands);
    for family in open_families(catalogue, assignment) {
        match catalogue.scheme(family).connection {
            Connection::Direct { conductors, shared } => planner.direct(family, conductors, shared),
            Connection::Local { tail, longest, conductors, link, feed } => {
                planner.leads(family, tail, longest, conductors);
                planner.links(family, link, feed);
            }
            Connection::None => {}
        }
        planner.at_panel(family);
    }
    planner.proving();
    planner.frogs();
    planner.lights();
    planner.lamps();
    planner.common_minus();
    let Planner { mut paths, mut wiring, .. } = planner;
    wiring.runs.sort_by_key(|run| (run.subject, run.scheme, run.purpose));
    label(layout, &mut wiring.runs);
    small_currents(layout, catalogue, assignment, demands, &mut wiring.runs);
    may_carry(demands, &mut wiring.runs);
    wiring.crossing = Crossing::new(layout, catalogue);
    size(layout, catalogue, assignment, demands, &mut wiring);
    wiring.joints = load_joints(layout, catalogue, assignment, &mut paths, &wiring);
    wiring
}

/// What the supplies of a divided feed have in common must bear whatever a fuse lets through: where a return fails, the current of its section comes
/// home that way.
fn may_carry(demands: &[Demand], runs: &mut [Run]) {
    for run in runs {
        if let Subject::Supply(feed, _) = run.subject {
            run.carries = demands.get(feed.index()).and_then(Demand::largest_fuse).unwrap_or_default();
        }
    }
}

/// The schemes that move anything, in the order of the catalogue.
pub fn open_schemes(assignment: &Assignment) -> Vec<SchemeId> {
    let mut schemes: Vec<SchemeId> = assignment.schemes.iter().copied().flatten().collect();
    schemes.sort_unstable();
    schemes.dedup();
    schemes
}

/// The families of the schemes that move anything, in the order of the catalogue.
pub fn open_families(catalogue: &Catalogue, assignment: &Assignment) -> Vec<SchemeId> {
    let mut families: Vec<SchemeId> = open_schemes(assignment).into_iter().map(|scheme| catalogue.family(scheme)).collect();
    families.sort_unstable();
    families.dedup();
    families
}

/// What the panel lamps of a lever show. A lever that springs back keeps no state: its lamps can show what was asked only if the
/// catalogue has rows that remember it (`lamps commanded`), else they are proved.
pub fn lamps_of(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, lever: &Lever) -> Lamps {
    let Some(scheme) = lever.drives.first().and_then(|&drive| assignment.of(drive)) else { return Lamps::None };
    if layout.panel.is_none() {
        return Lamps::None;
    }
    match (layout.rules.lamps.value, catalogue.scheme(scheme).action) {
        (Lamps::None, _) | (_, Action::ByHand) => Lamps::None,
        (Lamps::Proved, _) => Lamps::Proved,
        (Lamps::Commanded, Action::Momentary) if !remembers(catalogue, scheme) => Lamps::Proved,
        (Lamps::Commanded, _) => Lamps::Commanded,
    }
}

/// Whether the catalogue has parts that make commanded lamps work under a scheme.
fn remembers(catalogue: &Catalogue, scheme: SchemeId) -> bool {
    catalogue.rules.iter().any(|rule| {
        rule.when.contains(&Condition::LampsCommanded)
            && rule.scheme.is_some_and(|written| catalogue.counts_under(written, scheme))
    })
}
