//! The discharge unit of a family: what its coils ask of it, what it is, and what it gives them.

use std::collections::BTreeMap;

use super::bleeder::Bleeder;
use super::charger::{Charger, Limit};
use super::discharge::{MAINS_HIGH, MAINS_LOW, Needs, RISES, TOLERANCE, Throw, at_bridge, rectified};
use crate::id::{LeverId, PartId, SchemeId};
use crate::quantity::{Capacitance, Current, Energy, Resistance, Seconds, Voltage};

/// The discharge unit of a family of schemes with stored pulses.
#[derive(Debug, Clone, PartialEq)]
pub struct Discharge {
    /// The family.
    pub scheme: SchemeId,
    /// The part bought for it; `None` where none is, and then the throws are unknown.
    pub unit: Option<PartId>,
    /// What the part states.
    pub capacitance: Option<Capacitance>,
    /// What its capacitor is rated for.
    pub rating: Option<Voltage>,
    /// The voltages it may be charged to.
    pub charged: Charged,
    /// What each coil needs.
    pub needs: Needs,
    /// What the unit must be able to store.
    pub asked: PulseStore,
    /// The charging current that the time it states comes to. That time is taken to be of the part as it is sold, without the resistor across it,
    /// which the builder adds.
    pub limit: Current,
    /// The most it draws from its transformer: what its part states, else its scheme.
    pub draws: Current,
    /// What empties it once its power is off.
    pub bleeder: Option<Bleeder>,
    /// From empty to full, with the resistor across it; `None` where that keeps it from ever getting full.
    pub charges_in: Option<Seconds>,
    /// The fuse at its input: the next rating above the largest charging current, so that it holds however often levers are thrown and blows when
    /// the unit fails. `None` where the series has none.
    pub fuse: Option<Current>,
    /// What each lever's coils get, by lever.
    pub throws: Vec<LeverThrow>,
}

/// What a discharge unit must be able to store, so that every lever's coils get what they need.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct PulseStore {
    /// The capacitance that must be marked on it, in whole microfarads.
    pub capacitance: Capacitance,
    /// The energy in that at the motors' voltage, ½ C V², in whole hundredths of a joule.
    pub energy: Energy,
}

/// Between what voltages a discharge unit may be charged, as its transformer gives more or less above its rating when nothing else is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charged {
    /// What the coils can count on.
    pub least: Voltage,
    /// What capacitor, wires, pins and switches must bear.
    pub most: Voltage,
    /// What is left of the least where the mains is as low as [`MAINS_LOW`]; the same where a supply keeps its voltage.
    pub at_low_mains: Voltage,
}

impl Charged {
    /// What a bridge makes of a transformer of such a voltage.
    pub fn by_transformer(rated: Voltage) -> Self {
        let [least, most] = RISES.map(|rise| rectified(rated, rise));
        Self { least, most, at_low_mains: rectified(rated * (1.0 - MAINS_LOW.0), RISES[0]) }
    }

    /// A voltage that is kept whatever the mains does.
    pub fn steady(voltage: Voltage) -> Self {
        Self { least: voltage, most: voltage, at_low_mains: voltage }
    }
}

/// What the coils of one lever get from a charged unit that is as poor as its tolerance allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeverThrow {
    /// The lever.
    pub lever: LeverId,
    /// Its coils and wires.
    pub throw: Throw,
    /// The current in each coil at the first moment.
    pub peak: Current,
    /// The energy that reaches each coil.
    pub energy: Energy,
    /// The voltage at each coil at the first moment.
    pub at_coil: Voltage,
    /// What is left in the unit.
    pub residual: Voltage,
    /// How many coils such as these one charge throws.
    pub most_coils: u32,
    /// How soon the same lever can be thrown again; `None` where the unit never gets there.
    pub next: Option<Seconds>,
    /// Whether each coil gets what it needs.
    pub suffices: bool,
}

impl Discharge {
    /// The lever whose coils get the least.
    pub fn worst(&self) -> Option<&LeverThrow> {
        self.throws.iter().min_by(|a, b| a.energy.0.total_cmp(&b.energy.0))
    }

    /// By number of coils thrown together, the lever whose coils get the least.
    pub fn worst_by_coils(&self) -> Vec<&LeverThrow> {
        let mut worst: BTreeMap<u32, &LeverThrow> = BTreeMap::new();
        for throw in &self.throws {
            let known = worst.entry(throw.throw.coils).or_insert(throw);
            if throw.energy < known.energy {
                *known = throw;
            }
        }
        worst.into_values().collect()
    }

    /// The levers that throw while the mains gives what it should, and whose coils get too little while it is low.
    pub fn weak_at_low_mains(&self) -> impl Iterator<Item = &LeverThrow> {
        let (low, needs) = (self.charged.at_low_mains, self.needs);
        self.throws.iter().filter(move |lever| lever.suffices && !lever.throw.suffices(low, needs))
    }

    /// The lever that wants the highest charge of those that are weak while the mains is low, and that charge.
    pub fn weakest_at_low_mains(&self) -> Option<(&LeverThrow, Voltage)> {
        let wants = self.weak_at_low_mains().map(|weak| (weak, weak.throw.least_voltage(self.needs)));
        wants.max_by(|a, b| a.1.0.total_cmp(&b.1.0))
    }

    /// The transformer of the least whole volts above those of the one planned from which, with the mains low, the coils that are weak then get
    /// what they need through the same wires, and to what it charges the unit. `None` where no coil is weak, and where the capacitor does not stand what
    /// such a transformer gives without load while the mains is high, or states no rating.
    pub fn transformer_for_low_mains(&self, rated: Voltage) -> Option<(Voltage, Charged)> {
        let ((_, needed), rating) = (self.weakest_at_low_mains()?, self.rating?);
        let needs = at_bridge(needed).0 / ((1.0 - MAINS_LOW.0) * (1.0 + RISES[0].0));
        let volts = Voltage(needs.ceil().max(rated.0.floor() + 1.0));
        let charged = Charged::by_transformer(volts);
        let highest = rectified(volts * (1.0 + MAINS_HIGH.0), RISES[1]);
        (charged.at_low_mains >= needed && highest <= rating).then_some((volts, charged))
    }

    /// The throw of a lever.
    pub fn of(&self, lever: LeverId) -> Option<&LeverThrow> {
        self.throws.iter().find(|throw| throw.lever == lever)
    }

    /// How it is charged at its slowest: the capacitor larger than marked, the resistor across it. `None` without a unit.
    pub fn charger(&self) -> Option<Charger> {
        let capacitance = self.capacitance? * (1.0 + TOLERANCE.0);
        let across = self.bleeder.map(|bleeder| bleeder.resistance);
        Some(Charger { source: self.charged.least, limit: Limit::Current(self.limit), capacitance, across })
    }

    /// Whether its capacitor stands the highest voltage; unknown where the part does not say.
    pub fn stands(&self) -> Option<bool> {
        self.rating.map(|rating| rating >= self.charged.most)
    }
}

impl LeverThrow {
    /// What a unit gives the coils of a lever.
    pub(super) fn new(lever: LeverId, throw: Throw, unit: &Discharge, source: Charger) -> Self {
        let (full, needs) = (unit.charged.least, unit.needs);
        let peak = throw.peak(full);
        Self {
            lever,
            throw,
            peak,
            energy: throw.into_coil(full),
            at_coil: peak * throw.coil,
            residual: throw.residual(full),
            most_coils: throw.most_coils(full, needs),
            next: source.next_throw(full, throw, throw, needs),
            suffices: throw.suffices(full, needs),
        }
    }
}

/// What the coils of a family with stored pulses ask for, before anything is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilNeeds {
    /// The resistance of each coil.
    pub coil: Resistance,
    /// The least resistance that the coil of any motor to be had may have: through it the most flows.
    pub least_coil: Resistance,
    /// What each needs.
    pub needs: Needs,
    /// The voltages the unit may be charged to.
    pub charged: Charged,
    /// For how long a lever is held.
    pub held: Seconds,
    /// The coil of the latch that each lever throws with them; `None` where levers have none, or its part does not say.
    pub latch: Option<Resistance>,
    /// What the largest unit to be had holds at the least; of one that is not known, more than any coil asks for.
    pub largest: Capacitance,
}

impl CoilNeeds {
    /// Whether each coil of a throw gets what it needs: at the least voltage.
    pub fn are_met_by(&self, throw: Throw) -> bool {
        throw.suffices(self.charged.least, self.needs)
    }

    /// Whether each coil of a throw gets what it needs even while the mains is low.
    pub fn are_met_at_low_mains(&self, throw: Throw) -> bool {
        throw.suffices(self.charged.at_low_mains, self.needs)
    }

    /// The current in each coil's own wires that parts must bear: at the first moment, at the highest voltage, in the coil that resists least.
    pub fn most_in(&self, throw: Throw) -> Current {
        Throw { coil: self.least_coil, ..throw }.peak(self.charged.most)
    }
}
