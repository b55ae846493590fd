//! What happens second by second while a route is thrown: current of each feed, charge of each discharge unit, lowest voltage.

use std::collections::BTreeMap;

use super::charger::Charger;
use super::discharge_unit::Discharge;
use super::model::Demand;
use crate::catalogue::Catalogue;
use crate::id::{DriveId, LeverId, RouteId, SchemeId};
use crate::layout::{AtOnce, Layout, Route};
use crate::power::pulse::BETWEEN_PULSES;
use crate::quantity::{Current, Seconds, Voltage};
use crate::scheme::{Assignment, Draw};
use crate::takeoff::Subject;
use crate::wiring::{Installation, Wiring, lowest, open_families};

/// Levers that store no pulses are thrown so far apart at least: nobody throws faster by hand.
pub const APART: Seconds = BETWEEN_PULSES;

/// A timeline ends here, whatever still moves.
const LAST: f64 = 300.0;

/// What is so near to a voltage counts as there.
const NEARLY: f64 = 0.999;

/// A route thrown, its levers one after another.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// The route.
    pub route: RouteId,
    /// Every whole second and every throw, in order.
    pub moments: Vec<Moment>,
}

/// One moment of a timeline.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Since the first throw.
    pub at: Seconds,
    /// The levers thrown at this moment.
    pub throws: Vec<LeverId>,
    /// What each feed gives, in the order of the demands.
    pub currents: Vec<Current>,
    /// The voltage of each discharge unit, in the order of the units; of one thrown now, what is left.
    pub charges: Vec<Voltage>,
    /// What gets the lowest voltage under each family of schemes that moves now, in the order of the catalogue.
    pub lowest: Vec<(SchemeId, Subject, Voltage)>,
}

impl Timeline {
    /// Whether any current or charge differs from one moment to another.
    pub fn changes(&self) -> bool {
        self.moments.windows(2).any(|pair| match pair {
            [one, next] => one.currents != next.currents || one.charges != next.charges,
            _ => false,
        })
    }

    /// From the first throw until all is at rest.
    pub fn lasts(&self) -> Seconds {
        self.moments.last().map_or(Seconds::ZERO, |moment| moment.at)
    }
}

/// The plan as far as it is needed here.
#[derive(Debug, Clone, Copy)]
pub struct Planned<'a> {
    /// The layout.
    pub layout: &'a Layout,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The schemes.
    pub assignment: &'a Assignment,
    /// The wiring.
    pub wiring: &'a Wiring,
    /// What each feed draws.
    pub demands: &'a [Demand],
    /// The discharge units.
    pub discharges: &'a [Discharge],
}

/// Every route thrown, each lever as soon as those before allow. Never do more levers move at once than the rules say. A discharge unit must have
/// enough for it, or have been charged that far; levers without stored pulses follow one another a second apart at the soonest.
pub fn timelines(plan: Planned<'_>) -> Vec<Timeline> {
    let mut cast = Cast { plan, solved: BTreeMap::new() };
    plan.layout.routes.iter().enumerate().map(|(index, route)| cast.timeline(RouteId::at(index), route)).collect()
}

/// A unit's voltage after a throw, as long as the lever is held and from then on, as it charges.
#[derive(Debug, Clone, Copy)]
struct Charge {
    thrown: f64,
    since: f64,
    left: Voltage,
}

/// The throws of a route so far.
#[derive(Debug, Default)]
struct Thrown {
    /// When each lever is thrown.
    levers: Vec<(f64, LeverId)>,
    /// By unit, its voltage before and after each throw.
    charges: Vec<Vec<(Voltage, Charge)>>,
}

/// What gets the lowest voltage of a family while some of its drives move.
type Lowest = Option<(Subject, Voltage)>;

struct Cast<'a> {
    plan: Planned<'a>,
    /// What was solved already, by family and what moves.
    solved: BTreeMap<(SchemeId, Vec<DriveId>), Lowest>,
}

impl Cast<'_> {
    fn timeline(&mut self, id: RouteId, route: &Route) -> Timeline {
        let plan = self.plan;
        let thrown = self.schedule(route);
        let rests = thrown
            .levers
            .iter()
            .flat_map(|&(at, lever)| plan.layout.lever(lever).drives.iter().map(move |&drive| at + plan.moves_for(drive)));
        let full = thrown.charges.iter().zip(self.plan.discharges).filter_map(|(charges, unit)| {
            let (_, last) = charges.last()?;
            Some(last.since + fills(unit.charger()?, last.left).0)
        });
        let end = rests.chain(full).fold(0.0, f64::max).min(LAST).ceil();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred seconds at most")]
        let seconds = (0..=end as u32).map(f64::from);
        let mut times: Vec<f64> = seconds.chain(thrown.levers.iter().map(|(at, _)| *at)).collect();
        times.sort_by(f64::total_cmp);
        times.dedup();
        Timeline { route: id, moments: times.into_iter().map(|at| self.moment(at, &thrown)).collect() }
    }

    /// When each lever is thrown.
    fn schedule(&self, route: &Route) -> Thrown {
        let mut thrown = Thrown { levers: Vec::new(), charges: vec![Vec::new(); self.plan.discharges.len()] };
        let mut at = 0.0;
        for (step, &lever) in route.levers.iter().enumerate() {
            let pulses: Vec<usize> = (0..self.plan.discharges.len())
                .filter(|&unit| self.plan.discharges.get(unit).is_some_and(|unit| unit.of(lever).is_some()))
                .collect();
            if let Some(&(before, previous)) = step.checked_sub(1).and_then(|before| thrown.levers.get(before)) {
                let is_pulse = |lever| self.plan.discharges.iter().any(|unit| unit.of(lever).is_some());
                at = before + if is_pulse(previous) && is_pulse(lever) { 0.0 } else { APART.0 };
            }
            at = at.max(self.room(&thrown));
            for &unit in &pulses {
                at = at.max(self.ready(unit, lever, &thrown));
            }
            // Thrown again, it goes back from where it has come to rest.
            if let Some(&(before, _)) = thrown.levers.iter().rfind(|(_, thrown)| *thrown == lever) {
                let drives = &self.plan.layout.lever(lever).drives;
                at = at.max(drives.iter().map(|&drive| before + self.plan.moves_for(drive)).fold(before, f64::max));
            }
            for unit in pulses {
                let Some(throw) = self.plan.discharges.get(unit).and_then(|unit| unit.of(lever)) else { continue };
                let before = self.charge(unit, at, &thrown);
                if let Some(charges) = thrown.charges.get_mut(unit) {
                    charges.push((
                        before,
                        Charge { thrown: at, since: at + throw.throw.held.0, left: throw.throw.residual(before) },
                    ));
                }
            }
            thrown.levers.push((at, lever));
        }
        thrown
    }

    /// When so few levers still move that one more may, by the rules. Of those on a route that is thrown as one all may.
    fn room(&self, thrown: &Thrown) -> f64 {
        let AtOnce::Levers(most) = self.plan.layout.rules.at_once.value else { return 0.0 };
        let mut ends: Vec<f64> = thrown.levers.iter().map(|&(at, lever)| at + self.plan.lever_moves_for(lever)).collect();
        ends.sort_by(f64::total_cmp);
        // All but so many must have come to rest.
        let rests = ends.len().checked_sub(most.max(1) as usize);
        rests.and_then(|last| ends.get(last)).copied().unwrap_or(0.0)
    }

    /// When a unit has charged so far that the lever's coils get what they need, or is full; not before the last lever is let go.
    fn ready(&self, unit: usize, lever: LeverId, thrown: &Thrown) -> f64 {
        let Some(discharge) = self.plan.discharges.get(unit) else { return 0.0 };
        let Some((_, last)) = thrown.charges.get(unit).and_then(|charges| charges.last()) else { return 0.0 };
        let (Some(charger), Some(throw)) = (discharge.charger(), discharge.of(lever)) else { return last.since };
        let enough = charger.time(last.left, throw.throw.least_voltage(discharge.needs));
        last.since + enough.unwrap_or_else(|| fills(charger, last.left)).0
    }

    /// A unit's voltage at a time after its last throw; while that lever is held, what will be left.
    fn charge(&self, unit: usize, at: f64, thrown: &Thrown) -> Voltage {
        let Some(discharge) = self.plan.discharges.get(unit) else { return Voltage::ZERO };
        let before = thrown.charges.get(unit).into_iter().flatten().rfind(|(_, charge)| charge.thrown <= at + 1e-9);
        let (Some((_, charge)), Some(charger)) = (before, discharge.charger()) else { return discharge.charged.least };
        charger.after(charge.left, Seconds(at - charge.since))
    }

    fn moment(&mut self, at: f64, thrown: &Thrown) -> Moment {
        let plan = self.plan;
        let now = |time: f64| (time - at).abs() < 1e-9;
        let now_thrown: Vec<LeverId> = thrown.levers.iter().filter(|(time, _)| now(*time)).map(|(_, lever)| *lever).collect();
        let moving: Vec<DriveId> = thrown
            .levers
            .iter()
            .filter(|(time, _)| *time <= at)
            .flat_map(|&(time, lever)| plan.layout.lever(lever).drives.iter().map(move |&drive| (time, drive)))
            .filter(|&(time, drive)| at < time + plan.moves_for(drive) - 1e-9)
            .map(|(_, drive)| drive)
            .collect();
        let mut charges = Vec::new();
        let mut lowest = Vec::new();
        for (index, unit) in self.plan.discharges.iter().enumerate() {
            let pulse = now_thrown.iter().find_map(|&lever| unit.of(lever));
            let states = thrown.charges.get(index);
            let state = states.and_then(|states| states.iter().find(|(_, charge)| now(charge.thrown)));
            if let (Some(pulse), Some((before, _))) = (pulse, state)
                && let Some(&drive) = self.plan.layout.lever(pulse.lever).drives.first()
            {
                lowest.push((unit.scheme, Subject::Drive(drive), pulse.throw.peak(*before) * pulse.throw.coil));
            }
            charges.push(self.charge(index, at, thrown));
        }
        lowest.extend(self.lowest(&moving));
        lowest.sort_by_key(|(scheme, ..)| *scheme);
        let currents = self.plan.demands.iter().map(|demand| self.current(demand, &moving, &charges)).collect();
        Moment { at: Seconds(at), throws: now_thrown, currents, charges, lowest }
    }

    /// What a feed gives while these move and these units charge.
    fn current(&self, demand: &Demand, moving: &[DriveId], charges: &[Voltage]) -> Current {
        let moves = demand.loads.iter().filter(|load| matches!(load.subject, Subject::Drive(drive) if moving.contains(&drive)));
        let charging = self.plan.discharges.iter().zip(charges).filter(|(unit, voltage)| **voltage < unit.charged.least * NEARLY);
        let charging = charging.filter_map(|(unit, _)| {
            let electrics = self.plan.catalogue.scheme(unit.scheme).electrics?;
            demand.is_of(electrics.voltage, electrics.waveform).then_some(electrics.panel)
        });
        demand.drawn.continuous + moves.map(|load| load.moving).sum() + charging.sum()
    }

    /// The lowest voltage under each family that is fed directly and moves.
    fn lowest(&mut self, moving: &[DriveId]) -> Vec<(SchemeId, Subject, Voltage)> {
        let Planned { layout, catalogue, assignment, wiring, demands, .. } = self.plan;
        let mut lowests = Vec::new();
        for family in open_families(catalogue, assignment) {
            if self.plan.discharges.iter().any(|unit| unit.scheme == family) {
                continue;
            }
            let is_mine = |drive: &DriveId| assignment.family_of(catalogue, *drive) == Some(family);
            if !moving.iter().any(is_mine) {
                continue;
            }
            let solved = self.solved.entry((family, moving.to_vec()));
            let installation = Installation { layout, catalogue, assignment, demands, wiring };
            let found = *solved.or_insert_with(|| lowest(installation, family, moving));
            lowests.extend(found.map(|(subject, voltage)| (family, subject, voltage)));
        }
        lowests
    }
}

/// How long a unit charges: until it is full, or so near to where the resistor across it holds it as makes no odds.
fn fills(charger: Charger, from: Voltage) -> Seconds {
    let full = charger.time(from, charger.source).or_else(|| charger.time(from, charger.settles_at() * NEARLY));
    full.unwrap_or_default()
}

impl Planned<'_> {
    /// For how long any drive of a lever moves.
    fn lever_moves_for(&self, lever: LeverId) -> f64 {
        self.layout.lever(lever).drives.iter().map(|&drive| self.moves_for(drive)).fold(0.0, f64::max)
    }

    /// For how long a drive moves.
    fn moves_for(&self, drive: DriveId) -> f64 {
        let draw = self.assignment.of(drive).map(|scheme| self.catalogue.scheme(scheme).draw);
        match draw {
            Some(Draw::Pulse { duration, .. } | Draw::Move { duration, .. } | Draw::Hold { duration, .. }) => duration.0,
            Some(Draw::None) | None => 0.0,
        }
    }
}
