//! The discharge unit: a capacitor charged from a supply, emptied through wire into a coil.
//!
//! Coil and wire count as resistances. A coil's inductance delays the peak by about a millisecond and lowers it by a few per cent;
//! the energy that reaches the coil stays the same within a part in a thousand (simulated in `tests/outside`).
//!
//! A discharge unit holds its charge after it is switched off: let it run down through a resistor, and keep fingers away.

use std::f64::consts::SQRT_2;

use crate::quantity::{Capacitance, Current, Energy, Resistance, Seconds, Share, Voltage};

/// What a silicon diode in the path of the charging current takes (common practice, no source).
pub const DIODE: Voltage = Voltage(0.7);

/// How much a transformer gives above its rated voltage when nothing else is drawn: what a coil can count on, and what a capacitor must
/// stand (common practice, no source).
pub const RISES: [Share; 2] = [Share(0.10), Share(0.25)];

/// By how much the mains may be below its nominal voltage: EN 50160, from memory.
pub const MAINS_LOW: Share = Share(0.10);

/// By how much the mains may be above it: the same.
pub const MAINS_HIGH: Share = Share(0.10);

/// By how much a capacitor may differ from what is marked on it (common practice, no source).
pub const TOLERANCE: Share = Share(0.2);

/// The voltage to which a supply of alternating current charges a capacitor through a bridge of four diodes, two of them in the path.
///
/// `rise` is how much the transformer gives above its rated voltage when nothing else is drawn: 10 to 25 % (common practice). The
/// upper end is what the capacitor must be rated for, the lower what the coil can count on. Never negative.
pub fn rectified(rated: Voltage, rise: Share) -> Voltage {
    let peak = rated * (1.0 + rise.0) * SQRT_2;
    (peak - DIODE * 2.0).max(Voltage::ZERO)
}

/// The alternating voltage at the bridge that charges a capacitor so far: [`rectified`] turned round, for a voltage as it is measured.
pub fn at_bridge(charged: Voltage) -> Voltage {
    Voltage((charged + DIODE * 2.0).0 / SQRT_2)
}

/// What a capacitor holds: ½ C V².
pub fn stored(capacitance: Capacitance, voltage: Voltage) -> Energy {
    Energy(0.5 * farads(capacitance) * voltage.0 * voltage.0)
}

/// In farads.
pub(super) fn farads(capacitance: Capacitance) -> f64 {
    capacitance.0 * 1e-6
}

/// Coils thrown at once through their wires by one capacitor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// The capacitance that is really there: the marked one less its tolerance (20 % low) for what the coil gets.
    pub capacitance: Capacitance,
    /// What else the lever joins to the capacitor as long as it is held: the coil of a latch that remembers the throw.
    pub beside: Option<Resistance>,
    /// The resistance of the wires that all coils of the throw share, out and back.
    pub shared: Resistance,
    /// The resistance of each coil's own wires.
    pub own: Resistance,
    /// The resistance of each coil.
    pub coil: Resistance,
    /// How many coils are thrown together: two for a crossover on one lever. None counts as one.
    pub coils: u32,
    /// For how long the lever is held.
    pub held: Seconds,
}

/// What a motor needs to throw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needs {
    /// The least peak current in its coil.
    pub current: Current,
    /// The least energy into its coil.
    pub energy: Energy,
}

impl Throw {
    fn count(self) -> f64 {
        f64::from(self.coils.max(1))
    }

    /// The resistance of coils and wires together.
    pub fn total(self) -> Resistance {
        self.shared + (self.own + self.coil) / self.count()
    }

    /// The resistance the capacitor sees: coils and wires, and a latch beside them.
    pub fn seen(self) -> Resistance {
        let Some(beside) = self.beside else { return self.total() };
        Resistance(1.0 / (1.0 / self.total().0 + 1.0 / beside.0))
    }

    /// The time constant R C.
    pub fn time_constant(self) -> Seconds {
        Seconds(self.seen().0 * farads(self.capacitance))
    }

    /// What is left of the voltage when the lever is let go.
    pub fn residual(self, charged: Voltage) -> Voltage {
        charged * (-self.held.0.max(0.0) / self.time_constant().0).exp()
    }

    /// The current in each coil at the first moment.
    pub fn peak(self, charged: Voltage) -> Current {
        charged / self.total() / self.count()
    }

    /// For how long each coil has at least a current; zero where the peak does not reach it.
    pub fn lasts_above(self, charged: Voltage, current: Current) -> Seconds {
        let above = self.time_constant() * (self.peak(charged) / current).ln();
        Seconds(above.0.clamp(0.0, self.held.0.max(0.0)))
    }

    /// The part of what the capacitor gives that reaches each coil; the rest heats wires, other coils and the latch.
    pub fn share(self) -> Share {
        Share(self.coil.0 / self.total().0 / (self.count() * self.count()) * (self.seen() / self.total()))
    }

    /// The energy that reaches each coil while the lever is held.
    pub fn into_coil(self, charged: Voltage) -> Energy {
        let given = stored(self.capacitance, charged) - stored(self.capacitance, self.residual(charged));
        given * self.share().0
    }

    /// Whether each coil gets what its motor needs.
    pub fn suffices(self, charged: Voltage, needs: Needs) -> bool {
        self.peak(charged) >= needs.current && self.into_coil(charged) >= needs.energy
    }

    /// The voltage from which each coil gets what its motor needs; infinite where no voltage does.
    pub fn least_voltage(self, needs: Needs) -> Voltage {
        // The peak goes with the voltage, the energy with its square.
        let for_current = needs.current / self.peak(Voltage(1.0));
        let for_energy = (needs.energy / self.into_coil(Voltage(1.0))).sqrt();
        Voltage(for_current.max(for_energy))
    }

    /// The smallest capacitance that brings an energy into each coil while the lever is held, to a part in a million; `None` where none does,
    /// because the time is too short or the wires take too much.
    pub fn least_capacitance(self, charged: Voltage, energy: Energy) -> Option<Capacitance> {
        let brings = |microfarads: f64| {
            energy <= Energy::ZERO || Self { capacitance: Capacitance(microfarads), ..self }.into_coil(charged) >= energy
        };
        let mut enough = (0..40).map(|power| f64::from(power).exp2()).find(|&microfarads| brings(microfarads))?;
        let mut short = enough / 2.0;
        // What is brought only grows with the capacitance, so halving the interval closes in on the least.
        while enough - short > 1e-6 * enough {
            let middle = short.midpoint(enough);
            if brings(middle) { enough = middle } else { short = middle }
        }
        Some(Capacitance(enough))
    }

    /// How many coils like these the charge throws at once, at most [`MOST_COILS`]; zero where it cannot throw one.
    pub fn most_coils(self, charged: Voltage, needs: Needs) -> u32 {
        // More coils never get more each, so the first count that fails ends the search.
        (1..=MOST_COILS)
            .take_while(|&coils| Self { coils, ..self }.suffices(charged, needs))
            .count()
            .try_into()
            .unwrap_or(MOST_COILS)
    }
}

/// More coils than this on one discharge are not counted.
pub const MOST_COILS: u32 = 100;

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// 4700 µF into a coil of 4.5 ohm through wires of 0.274399 ohm, for 50 ms.
    fn throw(coils: u32) -> Throw {
        Throw {
            capacitance: Capacitance(4700.0),
            beside: None,
            shared: Resistance::ZERO,
            own: Resistance(0.274_399),
            coil: Resistance(4.5),
            coils,
            held: Seconds(0.05),
        }
    }

    const NEEDS: Needs = Needs { current: Current(3.0), energy: Energy(0.4) };

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-4 * expected.abs(), "{found} is not {expected}");
    }

    #[test]
    fn a_transformer_off_load_charges_higher_than_its_rating() {
        near(rectified(Voltage(16.0), Share::ZERO).0, 21.2274);
        near(rectified(Voltage(16.0), Share(0.25)).0, 26.8843);
        assert_eq!(rectified(Voltage(0.5), Share::ZERO), Voltage::ZERO);
        near(at_bridge(Voltage(21.2274)).0, 16.0);
    }

    #[test]
    fn one_coil_gets_what_its_part_of_the_resistance_says() {
        let throw = throw(1);
        near(throw.time_constant().0, 0.022_439_7);
        near(stored(throw.capacitance, Voltage(22.0)).0, 1.1374);
        near(throw.share().0, 4.5 / 4.774_399);
    }

    #[test]
    fn the_least_voltage_just_suffices() {
        for coils in 1..4 {
            let throw = throw(coils);
            let least = throw.least_voltage(NEEDS);
            assert!(throw.suffices(least * 1.000_001, NEEDS) && !throw.suffices(least * 0.999_999, NEEDS));
        }
    }

    #[test]
    fn the_least_capacitance_just_brings_the_energy() {
        let energy = throw(2).into_coil(Voltage(22.0));
        near(throw(2).least_capacitance(Voltage(22.0), energy).unwrap().0, 4700.0);
        // However large, in 50 ms no capacitor brings more than 22 V over 4.774 ohm do: 4.5 × 4.608² × 0.05 J, by hand 4.777 J.
        assert!(throw(1).least_capacitance(Voltage(22.0), Energy(4.7)).is_some());
        assert_eq!(throw(1).least_capacitance(Voltage(22.0), Energy(4.8)), None);
    }

    #[test]
    fn coils_thrown_together_share_the_charge() {
        let (one, two) = (throw(1), throw(2));
        assert!(two.peak(Voltage(22.0)) <= one.peak(Voltage(22.0)));
        assert!(two.into_coil(Voltage(22.0)) < one.into_coil(Voltage(22.0)));
        assert_eq!(one.most_coils(Voltage(22.0), NEEDS), 2);
        assert_eq!(one.most_coils(Voltage(10.0), NEEDS), 0);
        let anything = Needs { current: Current::ZERO, energy: Energy::ZERO };
        assert_eq!(one.most_coils(Voltage(22.0), anything), MOST_COILS);
    }

    #[test]
    fn a_shared_wire_costs_more_with_every_coil() {
        let shared = Throw { shared: Resistance(1.0), ..throw(3) };
        assert!(shared.peak(Voltage(22.0)) < throw(3).peak(Voltage(22.0)));
        near(shared.total().0, 1.0 + 4.774_399 / 3.0);
    }

    #[test]
    fn the_current_lasts_until_it_has_decayed() {
        let throw = throw(1);
        let lasts = throw.lasts_above(Voltage(22.0), Current(3.0));
        near(lasts.0, 0.022_439_7 * (22.0_f64 / 4.774_399 / 3.0).ln());
        assert_eq!(throw.lasts_above(Voltage(10.0), Current(3.0)), Seconds::ZERO);
        assert_eq!(throw.lasts_above(Voltage(22.0), Current::ZERO), throw.held);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn more_coils_never_get_more_each_and_all_never_more_than_is_stored(
            capacitance in 100.0..20_000.0, shared in 0.0..5.0, own in 0.0..5.0, coil in 0.5..50.0, coils in 1..20_u32,
            held in 0.001..1.0, charged in 1.0..40.0,
        ) {
            let [shared, own, coil] = [shared, own, coil].map(Resistance);
            let throw = Throw { capacitance: Capacitance(capacitance), beside: None, shared, own, coil, coils, held: Seconds(held) };
            let charged = Voltage(charged);
            let more = Throw { coils: coils + 1, ..throw };
            prop_assert!(more.peak(charged).0 <= throw.peak(charged).0 * (1.0 + 1e-12));
            prop_assert!(more.into_coil(charged).0 <= throw.into_coil(charged).0 * (1.0 + 1e-12));
            prop_assert!(throw.into_coil(charged).0 * f64::from(coils) <= stored(throw.capacitance, charged).0);
            let needs = Needs { current: throw.peak(charged), energy: throw.into_coil(charged) * 0.9 };
            prop_assert!((throw.least_voltage(needs).0 - charged.0).abs() <= 1e-9 * charged.0);
        }
    }
}
