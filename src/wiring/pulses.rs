//! Wire for pulses from a discharge unit: the thinnest by which every lever's coils still get what they need, while the mains is low where a wire
//! that is sold does that, else while it is as rated. The discharge itself is the judge, not a steady current; and a coil near the panel needs no
//! wire as thick as the farthest.

use std::collections::{BTreeMap, BTreeSet};

use super::circuit::Circuit;
use super::crossing::Crossing;
use super::in_turn::along;
use super::model::{Sizing, Wiring};
use super::round_trip::Stretch;
use super::run::Use;
use super::sizing::{sizing, sold};
use crate::catalogue::Per;
use crate::id::{DriveId, LeverId};
use crate::layout::Layout;
use crate::power::conductor::Wire;
use crate::power::discharge::Throw;
use crate::power::pulse::heats;
use crate::power::{CoilNeeds, coil_needs};
use crate::quantity::{Current, Resistance};
use crate::scheme::Draw;
use crate::takeoff::Subject;

/// Over how many sizes the drives are spread: each size takes reels of its own in each colour, and more of them cost more than they save
/// (common practice, no source).
const SIZES: usize = 3;

/// What one lever throws together, over which wires.
struct Thrown {
    drives: Vec<DriveId>,
    /// What lies between the discharge unit and the levers on a panel.
    feed: Stretch,
    /// The longest trunk.
    shared: Stretch,
    /// The longest of their own.
    own: Stretch,
    /// The sum over its drives, for what the wire costs in copper.
    own_together: f64,
}

/// The wires and plugs of a throw.
struct Wires<'a> {
    own: Wire,
    trunk: Option<Wire>,
    feed: Option<Wire>,
    crossing: &'a Crossing,
    draw: Draw,
}

impl Wires<'_> {
    /// What a joint takes of a conductor in which such a current flows at the first moment.
    fn resists(&self, wire: Wire, purpose: Use, peak: Current) -> Resistance {
        self.crossing.resists(purpose, Some(wire.area), self.crossing.pins(heats(self.draw, peak)))
    }
}

/// What was chosen for a family whose pulses are stored.
pub(super) struct Chosen {
    pub(super) sizings: Vec<Sizing>,
    /// By number of coils that a lever throws together, the most that they take.
    pub(super) thrown: BTreeMap<u32, Current>,
}

/// Chooses the wire of a family whose pulses are stored and whose drives are wired direct. `None` where that is not so.
pub(super) fn size_pulses(circuit: &Circuit<'_>, layout: &Layout, wiring: &Wiring) -> Option<Chosen> {
    let needs = coil_needs(layout, circuit.catalogue, circuit.assignment, circuit.scheme).filter(|_| !circuit.is_local())?;
    let own = circuit.sold.get(&Per::Drive)?;
    let levers = thrown(circuit, layout, wiring);
    let trunk_length: f64 = circuit.runs.iter().filter(|run| run.subject.per() == Per::Board).map(|run| run.length.mm()).sum();
    let trunks: Vec<Option<Wire>> = match circuit.sold.get(&Per::Board) {
        Some(wires) if trunk_length > 0.0 => wires.iter().copied().map(Some).collect(),
        _ => vec![None],
    };
    let plans = trunks.into_iter().map(|trunk| {
        let feed = feed(circuit, trunk);
        let with = |wire: &Wire| Wires { own: *wire, trunk, feed, crossing: circuit.crossing, draw: circuit.draw };
        let thinnest = |lever, met: Met| own.iter().position(|wire| throws(lever, &with(wire), &needs, met));
        let at_low_mains: Vec<Option<usize>> =
            levers.iter().map(|lever| thinnest(lever, CoilNeeds::are_met_at_low_mains)).collect();
        let least: Vec<Option<usize>> =
            levers.iter().zip(&at_low_mains).map(|(lever, low)| low.or_else(|| thinnest(lever, CoilNeeds::are_met_by))).collect();
        let (sizes, copper) = few_sizes(&levers, &least, own);
        let [starved, weak] = [&least, &at_low_mains].map(|least| least.iter().filter(|least| least.is_none()).count());
        let copper = copper + trunk.map_or(0.0, |wire| wire.area.0 * trunk_length);
        // Where some starve whatever the wire, the thickest does the most for them.
        let rank = if starved > 0 { -trunk.map_or(0.0, |wire| wire.area.0) } else { copper };
        ((starved, weak), rank, trunk, sizes)
    });
    let (_, _, trunk, sizes) = plans.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))?;
    Some(sizings(circuit, &needs, &levers, (own, &sizes), trunk))
}

fn thrown(circuit: &Circuit<'_>, layout: &Layout, wiring: &Wiring) -> Vec<Thrown> {
    let feeds = along(&wiring.in_turn(circuit.scheme, 0), |near: Option<Stretch>, run| near.unwrap_or_default().with(run, 1));
    let of = layout.levers.iter().enumerate().filter_map(|(index, lever)| {
        let drives: Vec<DriveId> = lever.drives.iter().copied().filter(|drive| circuit.is_mine(*drive)).collect();
        drives.first()?;
        let legs = drives.iter().map(|&drive| wiring.legs(layout, circuit.scheme, drive).unwrap_or_default());
        let (shared, own): (Vec<Stretch>, Vec<Stretch>) =
            legs.map(|legs| (Stretch::of(&legs.shared), Stretch::of(&legs.own))).unzip();
        let longest = |of: &[Stretch]| Stretch {
            length: of.iter().map(|it| it.length).max().unwrap_or_default(),
            joints: of.iter().map(|it| it.joints).max().unwrap_or(0),
        };
        let own_together = own.iter().map(|own| own.length.mm()).sum();
        let feed = feeds.get(&LeverId::at(index)).copied().unwrap_or_default();
        Some(Thrown { drives, feed, shared: longest(&shared), own: longest(&own), own_together })
    });
    of.collect()
}

/// A lever's throw over such wires. At the joints each conductor has the pins that its own pulse asks for.
fn throw(lever: &Thrown, wires: &Wires<'_>, needs: &CoilNeeds) -> Throw {
    let coils = u32::try_from(lever.drives.len()).unwrap_or(u32::MAX);
    let over = |own: Resistance, shared: Resistance| Throw {
        capacitance: needs.largest,
        beside: needs.latch,
        shared: wires.feed.map_or(Resistance::ZERO, |feed| lever.feed.resists(feed.line, Resistance::ZERO))
            + wires.trunk.map_or(Resistance::ZERO, |trunk| lever.shared.resists(trunk.line, shared)),
        own: lever.own.resists(wires.own.line, own),
        coil: needs.coil,
        coils,
        held: needs.held,
    };
    let single = |peak: Current| {
        let trunk = wires.trunk.map(|trunk| wires.resists(trunk, Use::Return, peak * f64::from(coils)));
        over(wires.resists(wires.own, Use::Drive, peak), trunk.unwrap_or_default())
    };
    // One pin each is the worst; the pulse over so much is the least, and more pins only make it larger.
    single(needs.most_in(single(Current::ZERO)))
}

/// Whether coils get what they need from a throw.
type Met = fn(&CoilNeeds, Throw) -> bool;

/// Whether a lever's coils get what they need through such wires, and the wires bear the pulse as often as it may come.
fn throws(lever: &Thrown, wires: &Wires<'_>, needs: &CoilNeeds, met: Met) -> bool {
    let throw = throw(lever, wires, needs);
    let peak = needs.most_in(throw);
    let bears = |wire: Wire, current: Current| wire.rating >= heats(wires.draw, current);
    met(needs, throw) && bears(wires.own, peak) && wires.trunk.is_none_or(|trunk| bears(trunk, peak * f64::from(throw.coils)))
}

/// The wire from the discharge unit to the levers: rated for the fuse at the panel, and as thick as what brings the pulses home.
fn feed(circuit: &Circuit<'_>, trunk: Option<Wire>) -> Option<Wire> {
    let by_fuse = circuit.at_panel?;
    let thick = by_fuse.area.0.max(trunk.map_or(0.0, |trunk| trunk.area.0));
    let sold = sold(circuit.catalogue, Some(circuit.scheme), Per::Layout);
    Some(sold.into_iter().find(|wire| wire.area.0 >= thick).unwrap_or(by_fuse))
}

/// By lever, an index of the wires sold: the thinnest that serves among so few sizes as take the least copper together. A lever that none serves
/// gets the thickest. With them, that copper.
fn few_sizes(levers: &[Thrown], least: &[Option<usize>], own: &[Wire]) -> (Vec<usize>, f64) {
    let thickest = own.len().saturating_sub(1);
    let wanted: Vec<usize> = least.iter().map(|least| least.unwrap_or(thickest)).collect();
    let used: Vec<usize> = wanted.iter().copied().collect::<BTreeSet<_>>().into_iter().collect();
    let Some((&most, rest)) = used.split_last() else { return (Vec::new(), 0.0) };
    let sets = subsets(rest, SIZES - 1).into_iter().map(|mut set| {
        set.push(most);
        let given: Vec<usize> =
            wanted.iter().map(|least| set.iter().copied().find(|size| size >= least).unwrap_or(most)).collect();
        let copper = given.iter().zip(levers).filter_map(|(size, lever)| Some(own.get(*size)?.area.0 * lever.own_together)).sum();
        (given, copper)
    });
    sets.min_by(|a: &(Vec<usize>, f64), b| a.1.total_cmp(&b.1)).unwrap_or_default()
}

/// All subsets of at most so many of sorted numbers, each sorted.
fn subsets(of: &[usize], most: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for &next in of {
        let with: Vec<Vec<usize>> =
            all.iter().filter(|set| set.len() < most).map(|set| [set.as_slice(), &[next]].concat()).collect();
        all.extend(with);
    }
    all
}

fn sizings(
    circuit: &Circuit<'_>,
    needs: &CoilNeeds,
    levers: &[Thrown],
    (own, sizes): (&[Wire], &[usize]),
    trunk: Option<Wire>,
) -> Chosen {
    let peak = |lever: &Thrown, wire: &Wire| {
        let wires = Wires { own: *wire, trunk, feed: feed(circuit, trunk), crossing: circuit.crossing, draw: circuit.draw };
        needs.most_in(throw(lever, &wires, needs))
    };
    let with = |wire: Wire, per: Per, carries: Current| Sizing {
        bears: wire.rating >= heats(circuit.draw, carries),
        ..sizing(Some(circuit.scheme), per, wire, carries)
    };
    let given: BTreeSet<usize> = sizes.iter().copied().collect();
    let mut sizings: Vec<Sizing> = given
        .iter()
        .filter_map(|&size| {
            let wire = *own.get(size)?;
            let mine: Vec<&Thrown> = levers.iter().zip(sizes).filter(|(_, of)| **of == size).map(|(lever, _)| lever).collect();
            let carries = mine.iter().map(|lever| peak(lever, &wire)).fold(Current::ZERO, Current::max);
            let subjects = mine.iter().flat_map(|lever| &lever.drives).map(|&drive| Subject::Drive(drive)).collect();
            Some(Sizing { subjects, ..with(wire, Per::Drive, carries) })
        })
        .collect();
    let mut thrown: BTreeMap<u32, Current> = BTreeMap::new();
    for (lever, wire) in levers.iter().zip(sizes.iter().map(|&size| own.get(size))) {
        let coils = u32::try_from(lever.drives.len()).unwrap_or(u32::MAX);
        let together = wire.map_or(Current::ZERO, |wire| peak(lever, wire) * f64::from(coils));
        let most = thrown.entry(coils).or_default();
        *most = most.max(together);
    }
    let most = thrown.values().copied().fold(Current::ZERO, Current::max);
    sizings.extend(trunk.map(|trunk| with(trunk, Per::Board, most)));
    sizings.extend(feed(circuit, trunk).map(|wire| with(wire, Per::Layout, most)));
    Chosen { sizings, thrown }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::power::Charged;
    use crate::quantity::{Area, Capacitance, Energy, Length, LineResistance, Seconds, Voltage};

    fn lever(coils: usize, own: i64, shared: i64) -> Thrown {
        let stretch = |mm: i64| Stretch { length: Length::from_mm(mm), joints: 0 };
        let drives = (0..coils).map(DriveId::at).collect();
        Thrown { drives, feed: stretch(0), shared: stretch(shared), own: stretch(own), own_together: stretch(own).length.mm() }
    }

    fn wire(area: f64, line: f64) -> Wire {
        Wire { area: Area(area), line: LineResistance(line), rating: Current(f64::INFINITY) }
    }

    fn needs(least_coil: f64, most: f64) -> CoilNeeds {
        CoilNeeds {
            coil: Resistance(4.4),
            least_coil: Resistance(least_coil),
            needs: crate::power::discharge::Needs { current: Current(4.75), energy: Energy(0.7) },
            charged: Charged { least: Voltage(23.5), most: Voltage(most), at_low_mains: Voltage(21.0) },
            held: Seconds(0.05),
            largest: Capacitance(3760.0),
            latch: None,
        }
    }

    #[test]
    fn the_peak_is_that_of_the_charge_over_coil_and_wires() {
        let needs = needs(4.4, 23.5);
        // By hand: 10 m of wire of 39 ohm/km are 0.39 ohm; 23.5 V ÷ 4.79 ohm = 4.906 A; two coils on a shared metre of it: each 23.5 V ÷
        // (0.039 + 4.79 ÷ 2) ohm ÷ 2 = 4.827 A.
        let peak = |coils, own, shared| {
            let (own_wire, crossing) = (wire(0.5, 39.0), Crossing::default());
            let draw = Draw::Pulse { current: Current(5.0), duration: needs.held };
            let wires = Wires { own: own_wire, trunk: Some(own_wire), feed: None, crossing: &crossing, draw };
            needs.most_in(throw(&lever(coils, own, shared), &wires, &needs)).0
        };
        assert!((peak(1, 10_000, 0) - 4.906).abs() < 5e-4);
        assert!((peak(2, 10_000, 1_000) - 4.8275).abs() < 5e-4);
    }

    #[test]
    fn a_wire_throws_at_the_least_charge_and_bears_the_most() {
        let draw = Draw::Pulse { current: Current(5.0), duration: Seconds(0.05) };
        let crossing = Crossing::default();
        let serves = |needs: &CoilNeeds, rating: f64| {
            let own = Wire { rating: Current(rating), ..wire(0.5, 39.0) };
            let wires = Wires { own, trunk: None, feed: None, crossing: &crossing, draw };
            throws(&lever(1, 1_000, 0), &wires, needs, CoilNeeds::are_met_by)
        };
        // By hand: 50 ms each second heat like √0.05 of the peak. 23.5 V ÷ 4.439 ohm: 1.184 A; 26.9 V: 1.355 A; through a coil of 4 ohm: 1.489 A.
        assert!(serves(&needs(4.4, 23.5), 1.19) && !serves(&needs(4.4, 23.5), 1.18));
        assert!(serves(&needs(4.4, 26.9), 1.36) && !serves(&needs(4.4, 26.9), 1.35));
        assert!(serves(&needs(4.0, 26.9), 1.49) && !serves(&needs(4.0, 26.9), 1.48));
        // Whether it throws is asked at the least, however high it may be charged.
        let mut weak = needs(4.4, 99.0);
        weak.charged.least = Voltage(20.0);
        assert!(!serves(&weak, 99.0));
    }

    #[test]
    fn of_many_sizes_few_are_taken_and_none_thinner_than_needed() {
        let own: Vec<Wire> = [(0.22, 89.0), (0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (2.5, 8.0)].map(|(a, l)| wire(a, l)).into();
        let levers: Vec<Thrown> = (0..5).map(|_| lever(1, 1_000, 0)).collect();
        let (sizes, copper) = few_sizes(&levers, &[Some(0), Some(1), Some(2), Some(3), None], &own);
        assert!(sizes.iter().zip(0..).all(|(size, least)| *size >= least), "{sizes:?}");
        assert_eq!(sizes.iter().collect::<BTreeSet<_>>().len(), SIZES);
        // By hand: 0.22, 1 and 2.5 mm²: 0.22 + 3 × 1 + 2.5 = 5.72; 0.75 and 1: 3 × 0.75 + 1 + 2.5 = 5.75; 0.5 and 1: 2 × 0.5 + 2 × 1 + 2.5 = 5.5.
        assert!((copper - 5_500.0).abs() < 1e-6, "{copper}");
    }
}
