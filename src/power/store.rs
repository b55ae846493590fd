//! The stores of a layout, family by family: from levers, catalogue and real wires, what must be asked of discharge units and what those bought give.

use std::collections::BTreeMap;

use super::bleeder::Bleeder;
use super::discharge::{Needs, TOLERANCE, Throw, stored};
use super::discharge_unit::{Charged, CoilNeeds, Discharge, LeverThrow, PulseStore};
use super::fuse::next_r10;
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Condition, Part, Per, Role, Value};
use crate::id::{DriveId, LeverId, PartId, SchemeId};
use crate::layout::{Layout, Waveform};
use crate::quantity::{Capacitance, Current, Energy, LineResistance, Quantity, Resistance, Seconds, Voltage};
use crate::scheme::{Assignment, Draw, Electrics};
use crate::takeoff::{Subject, Takeoff};
use crate::wiring::{RoundTrip, Shown, Wiring, open_families, shown};

/// What one coil is and asks.
#[derive(Debug, Clone, Copy)]
struct Coil {
    resistance: Resistance,
    needs: Needs,
}

/// A family with stored pulses, before anything is bought.
struct Store<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    wiring: &'a Wiring,
    scheme: SchemeId,
    electrics: Electrics,
    current: Current,
    held: Seconds,
}

/// The families whose pulses come from a discharge unit.
fn stores<'a>(
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    wiring: &'a Wiring,
) -> impl Iterator<Item = Store<'a>> {
    open_families(catalogue, assignment).into_iter().filter_map(move |scheme| {
        let traits = catalogue.scheme(scheme);
        let electrics = traits.electrics.filter(|electrics| electrics.stored)?;
        let Draw::Pulse { current, duration: held } = traits.draw else { return None };
        Some(Store { layout, catalogue, assignment, wiring, scheme, electrics, current, held })
    })
}

/// By family, what its discharge unit must be able to store so that every lever's coils get what they need: with the
/// motors the catalogue can get, through the wires chosen, from a poor transformer and a poor capacitor.
pub fn pulse_stores(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    wiring: &Wiring,
) -> BTreeMap<SchemeId, PulseStore> {
    stores(layout, catalogue, assignment, wiring).map(|store| (store.scheme, store.asked(store.coil(&store.sold())))).collect()
}

/// What the coils of a family ask for; `None` of one whose pulses are not stored.
pub fn coil_needs(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, family: SchemeId) -> Option<CoilNeeds> {
    let wiring = Wiring::default();
    let store = stores(layout, catalogue, assignment, &wiring).find(|store| store.scheme == family)?;
    let sold = store.sold();
    let coil = store.coil(&sold);
    Some(CoilNeeds {
        coil: coil.resistance,
        least_coil: store
            .coils(&sold)
            .map(|coil| coil.resistance)
            .fold(coil.resistance, |least, ohms| Resistance(least.0.min(ohms.0))),
        needs: coil.needs,
        charged: store.charged(),
        held: store.held,
        latch: store.latch().filter(|_| (0..layout.levers.len()).any(|lever| store.remembers(LeverId::at(lever)))),
        largest: store.largest(),
    })
}

/// Stands for a unit that states no capacitance: it never runs out while a lever is held.
const UNKNOWN: Capacitance = Capacitance(1e9);

/// The levers of a family whose coils get too little even from the largest discharge unit to be had.
pub fn starved(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    wiring: &Wiring,
    family: SchemeId,
) -> Vec<LeverId> {
    let Some(needs) = coil_needs(layout, catalogue, assignment, family) else { return Vec::new() };
    let store = stores(layout, catalogue, assignment, wiring).find(|store| store.scheme == family);
    let throws = store.map(|store| store.throws(store.coil(&store.sold()), needs.largest)).unwrap_or_default();
    throws.into_iter().filter(|(_, throw)| !needs.are_met_by(*throw)).map(|(lever, _)| lever).collect()
}

/// By lever, the coils it throws together from a unit of one microfarad and the wires they are reached by, family by family.
pub fn throws(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, wiring: &Wiring) -> Vec<(LeverId, Throw)> {
    stores(layout, catalogue, assignment, wiring)
        .flat_map(|store| store.throws(store.coil(&store.sold()), Capacitance(1.0)))
        .collect()
}

/// The discharge units of a plan with the parts bought for it.
pub fn discharges(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    wiring: &Wiring,
    takeoff: &Takeoff,
    purchase: &Purchase,
) -> Vec<Discharge> {
    stores(layout, catalogue, assignment, wiring).map(|store| store.plan(takeoff, purchase)).collect()
}

impl<'a> Store<'a> {
    fn is_of(&self, written: Option<SchemeId>) -> bool {
        let catalogue = self.catalogue;
        written
            .is_some_and(|written| catalogue.counts_under(written, self.scheme) || catalogue.counts_under(self.scheme, written))
    }

    /// The motors that the family's rules can get.
    fn sold(&self) -> Vec<&'a Part> {
        let rules = self.catalogue.rules.iter().filter(|rule| {
            rule.per == Per::Drive && self.catalogue.kind(rule.kind).role == Role::Motor && self.is_of(rule.scheme)
        });
        rules.flat_map(|rule| self.catalogue.to_be_had(rule.kind)).map(|(_, part)| part).collect()
    }

    /// What the largest unit that the family's rules can get holds at the least.
    fn largest(&self) -> Capacitance {
        let rules = self
            .catalogue
            .rules
            .iter()
            .filter(|rule| self.catalogue.kind(rule.kind).role == Role::DischargeUnit && self.is_of(rule.scheme));
        let parts = rules.flat_map(|rule| self.catalogue.to_be_had(rule.kind));
        let stated = parts.filter_map(|(_, part)| part.measured(Attr::Capacitance)).max();
        stated.map_or(UNKNOWN, |stated| Capacitance(stated.to_f64() * (1.0 - TOLERANCE.0)))
    }

    /// The parts of a role that are used for the family.
    fn used(&self, role: Role, takeoff: &Takeoff, purchase: &Purchase) -> Vec<PartId> {
        let needs = takeoff.needs.iter().filter(|need| {
            self.catalogue.kind(need.kind).role == role
                && need.reasons.iter().any(|reason| self.is_of(self.catalogue.rule(reason.rule).scheme))
        });
        needs
            .flat_map(|need| purchase.uses.iter().filter(|used| used.need == need.id && used.count > 0))
            .map(|used| used.part)
            .collect()
    }

    /// What the coils of motors are and ask. A motor that states no resistance has that of its voltage over its current. The current may fall
    /// short by the drop that the rules allow; a motor that states no energy asks for none.
    fn coils(&self, motors: &[&Part]) -> impl Iterator<Item = Coil> {
        let voltage = self.electrics.motor_voltage;
        motors.iter().map(move |motor| {
            let stated = |attr| motor.measured(attr).map(Quantity::to_f64).filter(|value| *value > 0.0);
            let current = stated(Attr::Current).unwrap_or(self.current.0);
            let resistance = Resistance(stated(Attr::Resistance).unwrap_or(voltage.0 / current));
            let current = Current(current * (1.0 - self.layout.rules.drop.value.0));
            Coil { resistance, needs: Needs { current, energy: Energy(stated(Attr::Energy).unwrap_or(0.0)) } }
        })
    }

    /// The coil that asks for the most.
    fn coil(&self, motors: &[&Part]) -> Coil {
        let coils = self.coils(motors);
        let rank = |coil: &Coil| (coil.needs.energy.0, coil.needs.current.0);
        let hardest = coils.max_by(|a, b| rank(a).0.total_cmp(&rank(b).0).then(rank(a).1.total_cmp(&rank(b).1)));
        hardest.unwrap_or(Coil {
            resistance: Resistance(self.electrics.motor_voltage.0 / self.current.0),
            needs: Needs { current: self.current, energy: Energy::ZERO },
        })
    }

    /// To what its unit is charged: of alternating current what a bridge makes of it; a unit fed with direct current is taken to bring it to the
    /// voltage of its motors.
    fn charged(&self) -> Charged {
        match self.electrics.waveform {
            Waveform::Ac => Charged::by_transformer(self.electrics.voltage),
            Waveform::Dc => Charged::steady(self.electrics.motor_voltage.max(self.electrics.voltage)),
        }
    }

    /// The coils each lever throws together, through their wires. All of a lever's coils are counted with the longest of their ways.
    fn throws(&self, coil: Coil, capacitance: Capacitance) -> Vec<(LeverId, Throw)> {
        let mine = |drive: &DriveId| self.assignment.family_of(self.catalogue, *drive) == Some(self.scheme);
        let direct = self.wiring.round_trips(self.layout, self.scheme);
        let thrown = self.layout.levers.iter().enumerate().filter_map(|(index, lever)| {
            let drives: Vec<DriveId> = lever.drives.iter().copied().filter(mine).collect();
            let coils = u32::try_from(drives.len()).ok().filter(|coils| *coils > 0)?;
            let ways = drives.iter().map(|&drive| self.way(drive, &direct));
            let (shared, own) =
                ways.fold((Resistance::ZERO, Resistance::ZERO), |(shared, own), way| (shared.max(way.shared), own.max(way.own)));
            let beside = self.latch().filter(|_| self.remembers(LeverId::at(index)));
            let throw = Throw { capacitance, beside, shared, own, coil: coil.resistance, coils, held: self.held };
            Some((LeverId::at(index), throw))
        });
        thrown.collect()
    }

    /// The coil of the latch by which the family's levers remember what they asked: of those sold the one that takes most.
    fn latch(&self) -> Option<Resistance> {
        let rules =
            self.catalogue.rules.iter().filter(|rule| {
                rule.per == Per::Lever && rule.when.contains(&Condition::LampsCommanded) && self.is_of(rule.scheme)
            });
        let stated =
            rules.flat_map(|rule| self.catalogue.to_be_had(rule.kind)).filter_map(|(_, part)| part.measured(Attr::Resistance));
        stated.min().map(|ohms| Resistance(ohms.to_f64())).filter(|ohms| *ohms > Resistance::ZERO)
    }

    /// Whether a lever has such a latch, which is joined to the wires of its coils.
    fn remembers(&self, lever: LeverId) -> bool {
        shown(self.layout, self.catalogue, self.assignment, lever) == Some((self.scheme, Shown::Latch))
    }

    /// The wires of a drive: those from the panel where it is wired direct, else the cores of its lead, there and back.
    fn way(&self, drive: DriveId, direct: &BTreeMap<DriveId, RoundTrip>) -> RoundTrip {
        match self.wiring.leads.get(&drive) {
            Some(lead) => RoundTrip { shared: Resistance::ZERO, own: self.lead_line() * lead.length * 2.0 },
            None => direct.get(&drive).copied().unwrap_or_default(),
        }
    }

    /// The resistance of a core of the leads sold, the worst of them; none where they do not say.
    fn lead_line(&self) -> LineResistance {
        let leads = self.catalogue.rules.iter().filter(|rule| {
            rule.per == Per::Drive && self.catalogue.kind(rule.kind).role == Role::Lead && self.is_of(rule.scheme)
        });
        let parts = leads.flat_map(|rule| self.catalogue.to_be_had(rule.kind));
        let stated = parts.filter_map(|(_, part)| part.measured(Attr::LineResistance));
        stated.max().map_or(LineResistance::ZERO, |line| LineResistance(line.to_f64()))
    }

    /// What must be marked on a unit, its tolerance counted, so that coils throw while the mains is low, where a unit to be had does that, else while it
    /// is as rated. What no capacitor can bring is not asked for: the plan says then which coils get too little.
    fn asked(&self, coil: Coil) -> PulseStore {
        let charged = self.charged();
        let throws = self.throws(coil, Capacitance(1.0));
        let largest = self.largest();
        let least = throws.iter().filter_map(|(_, throw)| {
            let asks = |charged| throw.least_capacitance(charged, coil.needs.energy);
            let moves_at_low_mains = throw.peak(charged.at_low_mains) >= coil.needs.current;
            let at_low_mains = asks(charged.at_low_mains).filter(|asked| moves_at_low_mains && *asked <= largest);
            at_low_mains.or_else(|| asks(charged.least))
        });
        let least = least.fold(Capacitance::ZERO, Capacitance::max) / (1.0 - TOLERANCE.0);
        if coil.needs.energy <= Energy::ZERO {
            return PulseStore::default();
        }
        // The search for the least is good to a part in a million.
        let capacitance = Capacitance((least.0 * (1.0 - 2e-6)).ceil());
        let energy = stored(capacitance, self.electrics.motor_voltage);
        PulseStore { capacitance, energy: Energy((energy.0 * 100.0).floor() / 100.0) }
    }

    /// The resistor across the unit that the rows of the family ask for.
    fn planned_bleeder(&self, takeoff: &Takeoff) -> Option<Resistance> {
        let need = takeoff.needs.iter().find(|need| {
            self.catalogue.kind(need.kind).role == Role::Resistor
                && need
                    .reasons
                    .iter()
                    .any(|reason| reason.subject == Subject::Layout && self.is_of(self.catalogue.rule(reason.rule).scheme))
        })?;
        need.asks.iter().find_map(|ask| match ask.value {
            Value::Measured(ohms) if ask.attr == Attr::Resistance => Some(Resistance(ohms.to_f64())),
            _ => None,
        })
    }

    fn plan(&self, takeoff: &Takeoff, purchase: &Purchase) -> Discharge {
        let motors: Vec<&Part> =
            self.used(Role::Motor, takeoff, purchase).into_iter().map(|part| self.catalogue.part(part)).collect();
        let coil = self.coil(&if motors.is_empty() { self.sold() } else { motors });
        let charged = self.charged();
        let capacity = |part: &PartId| self.catalogue.part(*part).measured(Attr::Capacitance).map(Quantity::value);
        let unit = self.used(Role::DischargeUnit, takeoff, purchase).into_iter().max_by_key(capacity);
        let states = |attr| Some(self.catalogue.part(unit?).measured(attr)?.to_f64()).filter(|value| *value > 0.0);
        let capacitance = states(Attr::Capacitance).map(Capacitance);
        let limit = Current(states(Attr::Current).unwrap_or(self.electrics.panel.0));
        // A unit that takes longer than its current says is charged by less.
        let by_time =
            capacitance.zip(states(Attr::Time)).map(|(capacitance, time)| capacitance.0 * 1e-6 * charged.least.0 / time);
        let slowed = by_time.map_or(limit, |current| Current(current.min(limit.0)));
        let draws = limit.max(self.electrics.panel);
        let mut discharge = Discharge {
            scheme: self.scheme,
            unit,
            capacitance,
            rating: states(Attr::Voltage).map(Voltage),
            charged,
            needs: coil.needs,
            asked: self.asked(coil),
            limit: slowed,
            draws,
            bleeder: Bleeder::new(self.planned_bleeder(takeoff), capacitance.unwrap_or_default(), charged.most),
            charges_in: None,
            fuse: next_r10(draws),
            throws: Vec::new(),
        };
        let Some((capacitance, source)) = capacitance.zip(discharge.charger()) else { return discharge };
        discharge.charges_in = source.time(Voltage::ZERO, charged.least);
        let poor = capacitance * (1.0 - TOLERANCE.0);
        let throws = self.throws(coil, poor).into_iter();
        discharge.throws = throws.map(|(lever, throw)| LeverThrow::new(lever, throw, &discharge, source)).collect();
        discharge
    }
}
