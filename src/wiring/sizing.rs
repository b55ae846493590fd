//! Chooses wire: the thinnest sold that keeps drop and current within the rules at the far end, when the most moves that may.

use std::collections::{BTreeMap, BTreeSet};

use super::cases::Case;
use super::circuit::{Circuit, Installation, SORTS, fuse_before};
use super::crossing::line_of;
use super::model::{FarEnd, Sizing, Wiring};
use super::net::{Outcome, Pins};
use super::plan::open_families;
use super::pulses::size_pulses;
use super::run::{Run, Use};
use crate::catalogue::{Asked, Attr, Catalogue, Measure, Per, Role, Value};
use crate::id::{DriveId, SchemeId};
use crate::layout::Layout;
use crate::power::conductor::Wire;
use crate::power::pulse::heats;
use crate::power::{Demand, feed_of};
use crate::quantity::{Area, Current};
use crate::scheme::Assignment;
use crate::takeoff::Subject;

/// Chooses the wire of every scheme's motor and power runs, and tells what flows in each and what reaches the worst device.
pub(super) fn size(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, demands: &[Demand], wiring: &mut Wiring) {
    // At the panel the fuse alone says how thick a wire must be; the others' sums meet it on their way.
    let is_at_panel = |run: &&Run| run.subject == Subject::Layout;
    wiring.sizings = fixed(catalogue, demands, wiring.runs.iter().filter(is_at_panel), &[]);
    let mut sizings = wiring.sizings.clone();
    let mut far_ends = Vec::new();
    let mut flows: Flows = BTreeMap::new();
    let mut pins: BTreeMap<(SchemeId, Subject, Use), u32> = BTreeMap::new();
    let mut thrown: BTreeMap<(SchemeId, u32), Current> = BTreeMap::new();
    for scheme in open_families(catalogue, assignment) {
        let Some(electrics) = catalogue.scheme(scheme).electrics else { continue };
        let circuit = Circuit::new(Installation { layout, catalogue, assignment, demands, wiring }, scheme, electrics);
        if electrics.stored
            && let Some(chosen) = size_pulses(&circuit, layout, wiring)
        {
            replace(&mut sizings, chosen.sizings);
            thrown.extend(chosen.thrown.into_iter().map(|(coils, most)| ((scheme, coils), most)));
            continue;
        }
        let fuse = if electrics.stored { Current::ZERO } else { fuse_of(catalogue, demands, Some(scheme)) };
        let chosen = circuit.choose(fuse);
        replace(&mut sizings, chosen.sizings);
        far_ends.extend(chosen.far_end);
        flows.extend(chosen.flows.into_iter().map(|((subject, purpose), current)| ((scheme, subject, purpose), current)));
        pins.extend(chosen.pins.into_iter().map(|((subject, purpose), pins)| ((scheme, subject, purpose), pins)));
    }
    for run in &mut wiring.runs {
        let Some(scheme) = run.scheme.filter(|scheme| moves_motors(run) || brings_pulses(catalogue, *scheme, run)) else {
            continue;
        };
        if let Subject::Lever(lever) = run.subject {
            let mine = |drive: &&DriveId| assignment.family_of(catalogue, **drive) == Some(scheme);
            let coils = layout.lever(lever).drives.iter().filter(mine).map(|_| 1).sum::<u32>();
            let pulse = thrown.get(&(scheme, coils)).copied();
            run.carries = pulse.unwrap_or_else(|| most_of_one(&sizings, scheme) * f64::from(coils));
            continue;
        }
        // What no case reaches by itself is like the worst of its sort.
        let most = sizings.iter().find(|sizing| sizing.is_for(run)).map(|sizing| sizing.carries);
        run.carries = flows.get(&(scheme, run.subject, run.purpose)).copied().or(most).unwrap_or_default();
    }
    let small = fixed(catalogue, demands, wiring.runs.iter().filter(|run| !is_at_panel(run)), &sizings);
    sizings.extend(small);
    (wiring.sizings, wiring.far_ends, wiring.thrown) = (sizings, far_ends, thrown);
    for run in &mut wiring.runs {
        let solved = run.scheme.and_then(|scheme| pins.get(&(scheme, run.subject, run.purpose)));
        let warms = run.scheme.map_or(run.carries, |scheme| heats(catalogue.scheme(scheme).draw, run.carries));
        let feed = feed_of(catalogue, demands, run.scheme).filter(|_| !catalogue.is_stored(run.scheme));
        let rating =
            wiring.sizings.iter().find(|sizing| sizing.is_for(run)).map_or(Current(f64::INFINITY), |sizing| sizing.rating);
        let borne = feed.and_then(|feed| fuse_before(catalogue, feed, run, rating)).unwrap_or_default();
        run.pins = solved.copied().unwrap_or_else(|| wiring.crossing.pins(warms.max(borne)));
    }
}

/// Puts sizes in place of those known of the same sort of runs.
fn replace(sizings: &mut Vec<Sizing>, chosen: Vec<Sizing>) {
    sizings.retain(|known| !chosen.iter().any(|new| new.is_of_the_sort_of(known)));
    sizings.extend(chosen);
}

/// What flows in the conductors of each family, by subject and use.
type Flows = BTreeMap<(SchemeId, Subject, Use), Current>;

/// The fuse of the feed of a family of schemes, or of the lights; zero where there is none.
fn fuse_of(catalogue: &Catalogue, demands: &[Demand], scheme: Option<SchemeId>) -> Current {
    feed_of(catalogue, demands, scheme).and_then(Demand::largest_fuse).unwrap_or_default()
}

/// Whether a run carries the current of motors: its own sums tell how much.
pub(super) fn moves_motors(run: &Run) -> bool {
    run.scheme.is_some() && SORTS.contains(&run.subject.per()) && matches!(run.purpose, Use::Drive | Use::Return | Use::Power)
}

/// Whether a run brings levers what a discharge unit gives.
fn brings_pulses(catalogue: &Catalogue, scheme: SchemeId, run: &Run) -> bool {
    catalogue.is_stored(Some(scheme))
        && run.purpose == Use::Power
        && (run.feeds_levers() || matches!(run.subject, Subject::Lever(_)))
}

/// The most that flows in the wire of any one motor or coil of a family that is wired direct.
fn most_of_one(sizings: &[Sizing], scheme: SchemeId) -> Current {
    let mine = sizings.iter().filter(|sizing| sizing.scheme == Some(scheme) && sizing.per == Per::Drive);
    mine.map(|sizing| sizing.carries).fold(Current::ZERO, Current::max)
}

/// What comes of cases with certain wires.
struct Solved {
    /// The worst of them, and those in which most flows in wires of some sort.
    deciding: BTreeSet<usize>,
    /// By sort, the most that flows in any of them.
    carried: BTreeMap<Per, Current>,
    /// By use and subject, the most that flows in any of them.
    flows: BTreeMap<(Subject, Use), Current>,
    /// By sort, the power lost in the worst of them.
    lost: BTreeMap<Per, f64>,
    far_end: FarEnd,
    pins: Pins,
}

/// What was chosen for a scheme.
struct Chosen {
    sizings: Vec<Sizing>,
    flows: BTreeMap<(Subject, Use), Current>,
    pins: Pins,
    far_end: Option<FarEnd>,
}

/// The current at which the feed of the track should trip: what the rule for frogs asks of their contacts. `None` where there is none.
pub fn trip_current(catalogue: &Catalogue) -> Option<Current> {
    let rules =
        catalogue.rules.iter().filter(|rule| rule.per == Per::FrogToContact && catalogue.kind(rule.kind).role == Role::Contact);
    let asked = rules.flat_map(|rule| &rule.asks).filter_map(|(attr, asked)| match asked {
        Asked::Value(Value::Measured(current)) if *attr == Attr::Current => Current::try_from(*current).ok(),
        _ => None,
    });
    asked.reduce(Current::max)
}

/// Sorts of runs for lights and contacts, and at the panel: the thinnest wire of their rule that bears what flows in any of them. What lies right
/// behind a fuse at the panel must be rated for that; what feeds a lever beside its drives is as thick as their own wire.
fn fixed<'a>(catalogue: &Catalogue, demands: &[Demand], runs: impl Iterator<Item = &'a Run>, sizings: &[Sizing]) -> Vec<Sizing> {
    let mut carried: BTreeMap<(Option<SchemeId>, Per, bool), (Current, Current)> = BTreeMap::new();
    for run in runs {
        let per = run.subject.per();
        if run.scheme.is_none() || !SORTS.contains(&per) {
            let mut warms = run.scheme.map_or(run.carries, |scheme| heats(catalogue.scheme(scheme).draw, run.carries));
            if per == Per::Layout {
                warms = warms.max(fuse_of(catalogue, demands, run.scheme));
            }
            let (most, warmest) = carried.entry((run.scheme, per, run.feeds_levers())).or_default();
            (*most, *warmest) = (most.max(run.carries), warmest.max(warms));
        }
    }
    let sized = carried.into_iter().filter_map(|((scheme, per, feeds_levers), (carries, warms))| {
        let sold = sold(catalogue, scheme, per);
        let of_drives = sizings.iter().filter(|sizing| per == Per::Lever && sizing.per == Per::Drive && sizing.scheme == scheme);
        let thickest = of_drives.map(|sizing| sizing.area.0).fold(0.0, f64::max);
        let thick = |wire: &&Wire| wire.area.0 >= thickest;
        let wire = sold.iter().filter(thick).find(|wire| wire.rating >= warms).or(sold.last())?;
        Some(Sizing { feeds_levers, bears: wire.rating >= warms, ..sizing(scheme, per, *wire, carries) })
    });
    sized.collect()
}

/// The size of the runs of a sort; at the panel, of those that feed levers.
pub(super) fn sizing(scheme: Option<SchemeId>, per: Per, wire: Wire, carries: Current) -> Sizing {
    Sizing {
        scheme,
        per,
        subjects: Vec::new(),
        feeds_levers: per == Per::Layout,
        area: wire.area,
        line: wire.line,
        rating: wire.rating,
        carries,
        bears: wire.rating >= carries,
    }
}

/// The wires that the rule for such runs can get, thinnest first: all of its kind, or the one size it names. A wire that states no
/// resistance has that of its cross-section with the allowance for flexible conductors; one that states no rating bears anything.
pub(super) fn sold(catalogue: &Catalogue, scheme: Option<SchemeId>, per: Per) -> Vec<Wire> {
    // At a place that several schemes share, blank rows take only what serves none of them: the wires of lights.
    let is_shared = matches!(per, Per::Board | Per::Joint | Per::Panel | Per::Layout);
    let counts = |written: Option<SchemeId>| match (written, scheme) {
        (None, scheme) => !is_shared || scheme.is_none(),
        (Some(written), Some(scheme)) => catalogue.counts_under(written, scheme),
        (Some(_), None) => false,
    };
    let rule =
        catalogue.rules.iter().find(|rule| rule.per == per && rule.measure == Some(Measure::RunLength) && counts(rule.scheme));
    let Some(rule) = rule else { return Vec::new() };
    let named = rule.asks.iter().find_map(|(attr, asked)| match (attr, asked) {
        (Attr::Area, Asked::Value(Value::Measured(area))) => Some(*area),
        _ => None,
    });
    let mut wires: Vec<Wire> = catalogue
        .to_be_had(rule.kind)
        .filter_map(|(_, part)| {
            let area = part.measured(Attr::Area).filter(|area| named.is_none_or(|named| *area == named))?;
            let area = Area(area.to_f64());
            let line = line_of(part)?;
            let rating = part.measured(Attr::Current).map_or(Current(f64::INFINITY), |rating| Current(rating.to_f64()));
            Some(Wire { area, line, rating })
        })
        .collect();
    wires.sort_by(|a, b| a.area.0.total_cmp(&b.area.0).then(a.line.0.total_cmp(&b.line.0)));
    wires.dedup_by(|later, earlier| later.area == earlier.area);
    wires
}

impl Circuit<'_> {
    /// Starts with the thinnest and thickens, one step at a time, the sort that is not rated for its current, else the one that loses most on the
    /// way to the worst device, until all rules hold or nothing thicker is sold. The trunk to controllers has no fuse but that of its feed, so it
    /// must be rated for that.
    fn choose(&self, fuse: Current) -> Chosen {
        let mut level: BTreeMap<Per, usize> = self.sold.keys().map(|&per| (per, 0)).collect();
        let cases = self.cases();
        // As long as the cases that decided before ask for thicker wire, the others need not be solved.
        let mut deciding: Option<Vec<&Case>> = None;
        loop {
            let of = deciding.clone().unwrap_or_else(|| cases.iter().collect());
            let Some(solved) = self.solved(&of, &level) else {
                let sizings = self.sizings(&level, &BTreeMap::new());
                return Chosen { sizings, flows: BTreeMap::new(), pins: Pins::new(), far_end: None };
            };
            if let Some(at) = self.step(&solved, &level, fuse).and_then(|per| level.get_mut(&per)) {
                *at += 1;
                deciding = deciding.or_else(|| Some(solved.deciding.iter().filter_map(|&case| of.get(case).copied()).collect()));
            } else if deciding.take().is_none() {
                let Solved { carried, flows, pins, far_end, .. } = solved;
                return Chosen { sizings: self.sizings(&level, &carried), flows, pins, far_end: Some(far_end) };
            }
        }
    }

    /// The sort to thicken next.
    fn step(&self, solved: &Solved, level: &BTreeMap<Per, usize>, fuse: Current) -> Option<Per> {
        let thicker = |per: &Per| self.chosen(level, *per).is_some_and(|(_, thicker)| !thicker.is_empty());
        let bears = |per: &Per| self.chosen(level, *per).map_or(Current::ZERO, |(wire, _)| wire.rating);
        let must_bear = |per: Per, current: Current| {
            let heats = heats(self.draw, current);
            if self.is_local() && per != Per::Drive { heats.max(fuse) } else { heats }
        };
        let mut carried = solved.carried.iter();
        let overloaded = carried.find(|(per, current)| thicker(per) && bears(per) < must_bear(**per, **current));
        if let Some((&per, _)) = overloaded {
            return Some(per);
        }
        let lossy = solved.lost.iter().filter(|(per, _)| thicker(per)).max_by(|a, b| a.1.total_cmp(b.1)).map(|(per, _)| *per);
        if solved.far_end.is_within() { None } else { lossy }
    }

    /// Cases solved with wires of such sizes, over as many pins at the joints as bear what flows in any of them. `None` where nothing draws.
    fn solved(&self, cases: &[&Case], level: &BTreeMap<Per, usize>) -> Option<Solved> {
        let least = self.least_pins(level);
        let mut pins = least.clone();
        loop {
            let net = self.net(level, &pins)?;
            let grown = net.grow();
            let mut most: Vec<(Current, usize)> = Vec::new();
            let mut worst: Option<(Outcome, usize)> = None;
            for (case, moves) in cases.iter().enumerate() {
                let Some(outcome) = net.outcome(&grown, &self.draws(&net.loads, moves)) else { continue };
                let currents = outcome.currents.as_deref().unwrap_or_default();
                most.resize(most.len().max(currents.len()), (Current::ZERO, case));
                for (most, &current) in most.iter_mut().zip(currents).filter(|(most, current)| **current > most.0) {
                    *most = (current, case);
                }
                if worst.as_ref().is_none_or(|(worst, _)| outcome.arrives < worst.arrives) {
                    worst = Some((outcome, case));
                }
            }
            let (worst, of) = worst?;
            let currents: Vec<Current> = most.iter().map(|(current, _)| *current).collect();
            let flows = net.flows(&currents);
            let wanted = flows.iter().map(|(run, &current)| (*run, self.crossing.pins(heats(self.draw, current))));
            // Never fewer than before, so that the search ends.
            let wanted = wanted.map(|(run, wanted)| (run, wanted.max(pins.get(&run).copied().unwrap_or(1))));
            let mut all = least.clone();
            all.extend(wanted);
            let carried = net.carried(&currents);
            let tellers = carried.values().filter_map(|(_, at)| most.get(*at)).map(|(_, case)| *case);
            let solved = Solved {
                deciding: tellers.chain([of]).collect(),
                carried: carried.iter().map(|(&per, &(current, _))| (per, current)).collect(),
                flows,
                lost: net.lost(&worst),
                far_end: FarEnd {
                    scheme: self.scheme,
                    worst: worst.worst,
                    fed: self.fed(),
                    arrives: worst.arrives,
                    allowed: self.layout.rules.drop.value,
                },
                pins: all,
            };
            if solved.pins.iter().all(|(run, wanted)| *wanted <= pins.get(run).copied().unwrap_or(1)) {
                return Some(solved);
            }
            pins = solved.pins;
        }
    }

    fn sizings(&self, level: &BTreeMap<Per, usize>, carried: &BTreeMap<Per, Current>) -> Vec<Sizing> {
        let used = level.iter().filter(|(per, _)| self.runs.iter().any(|run| run.subject.per() == **per));
        used.filter_map(|(&per, _)| {
            let (&wire, _) = self.chosen(level, per)?;
            let most = carried.get(&per).copied().unwrap_or_default();
            Some(Sizing { bears: wire.rating >= heats(self.draw, most), ..sizing(Some(self.scheme), per, wire, most) })
        })
        .collect()
    }

    /// The wire chosen for runs of one sort, and the thicker ones sold.
    fn chosen(&self, level: &BTreeMap<Per, usize>, per: Per) -> Option<(&Wire, &[Wire])> {
        self.sold.get(&per)?.get(*level.get(&per)?..)?.split_first()
    }
}
