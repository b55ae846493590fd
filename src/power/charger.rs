//! How a discharge unit is charged: through a resistor or by a current, with or without the resistor across it that empties it.

use super::discharge::{Needs, Throw, farads};
use crate::quantity::{Capacitance, Current, Resistance, Seconds, Voltage};

/// What limits the charging current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// A resistor, or a lamp counted as one.
    Resistor(Resistance),
    /// A source of constant current.
    Current(Current),
}

/// How a capacitor is charged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charger {
    /// The voltage behind the limit.
    pub source: Voltage,
    /// The limit.
    pub limit: Limit,
    /// The capacitance that is really there: the marked one plus its tolerance for the longest wait.
    pub capacitance: Capacitance,
    /// The resistor across the capacitor, which takes some of the charging current.
    pub across: Option<Resistance>,
}

impl Charger {
    /// What the capacitor sees, by the theorems of Thévenin and Norton: a voltage behind a resistance. `None` where a constant current flows into
    /// nothing else.
    fn seen(self) -> Option<(Voltage, Resistance)> {
        match (self.limit, self.across) {
            (Limit::Resistor(limit), None) => Some((self.source, limit)),
            (Limit::Resistor(limit), Some(across)) => {
                let part = across / (limit + across);
                Some((self.source * part, limit * part))
            }
            (Limit::Current(limit), Some(across)) => Some((limit * across, across)),
            (Limit::Current(_), None) => None,
        }
    }

    /// The voltage it cannot pass however long it is charged: that of the source, or what the resistor across the capacitor leaves of it.
    pub fn settles_at(self) -> Voltage {
        let open = self.seen().map_or(self.source, |(open, _)| open);
        if open < self.source { open } else { self.source }
    }

    /// The time to charge from one voltage to another; zero where it is there already.
    ///
    /// With a voltage V behind a resistance R it is R C ln((V − from) ÷ (V − to)). A current I into a capacitor with R across it, dV/dt = (I − V ÷ R) ÷ C,
    /// is a voltage I R behind R.
    ///
    /// `None` where it never gets there: through a resistor, or with one across the capacitor, it never quite reaches the voltage V, so ask for
    /// a part of it.
    pub fn time(self, from: Voltage, to: Voltage) -> Option<Seconds> {
        if to <= from {
            return Some(Seconds::ZERO);
        }
        let farads = farads(self.capacitance);
        let seconds = match (self.seen(), self.limit) {
            _ if to > self.source => return None,
            (Some((open, _)), _) if to >= open => return None,
            (Some((open, through)), _) => through.0 * farads * ((open - from) / (open - to)).ln(),
            (None, Limit::Current(current)) => farads * (to - from).0 / current.0,
            (None, Limit::Resistor(_)) => return None,
        };
        seconds.is_finite().then_some(Seconds(seconds))
    }

    /// The voltage a time after another, as it charges; never above that of the source.
    pub fn after(self, from: Voltage, time: Seconds) -> Voltage {
        let (farads, time) = (farads(self.capacitance), time.0.max(0.0));
        let reached = match (self.seen(), self.limit) {
            (Some((open, through)), _) => open + (from - open) * (-time / (through.0 * farads)).exp(),
            (None, Limit::Current(current)) => from + Voltage(current.0 * time / farads),
            (None, Limit::Resistor(_)) => from,
        };
        if reached < self.source { reached } else { self.source }
    }

    /// The largest charging current: from empty, or while a lever is held that nothing cuts off.
    pub fn most(self) -> Current {
        match self.limit {
            Limit::Resistor(limit) => self.source / limit,
            Limit::Current(limit) => limit,
        }
    }

    /// How soon after one throw, at `charged`, the next can follow: zero where the residual voltage is enough for it already.
    /// `None` where the unit never gets there. Throws may differ, as do the steps of a route.
    pub fn next_throw(self, charged: Voltage, this: Throw, next: Throw, needs: Needs) -> Option<Seconds> {
        self.time(this.residual(charged), next.least_voltage(needs))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::Energy;

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-4 * expected.abs(), "{found} is not {expected}");
    }

    fn charger(limit: Limit, across: Option<f64>) -> Charger {
        Charger { source: Voltage(22.0), limit, capacitance: Capacitance(4700.0), across: across.map(Resistance) }
    }

    #[test]
    fn a_resistor_charges_ever_more_slowly() {
        let charger = charger(Limit::Resistor(Resistance(100.0)), None);
        near(charger.time(Voltage::ZERO, Voltage(22.0 * 0.632_121)).unwrap().0, 0.47);
        assert_eq!(charger.time(Voltage(5.0), Voltage(5.0)), Some(Seconds::ZERO));
        assert_eq!(charger.time(Voltage(5.0), Voltage(22.0)), None);
        assert_eq!(charger.most(), Current(0.22));
    }

    #[test]
    fn a_constant_current_charges_evenly() {
        let charger = charger(Limit::Current(Current(0.047)), None);
        near(charger.time(Voltage(2.0), Voltage(22.0)).unwrap().0, 2.0);
        near(charger.after(Voltage(2.0), Seconds(1.0)).0, 12.0);
        assert_eq!(charger.after(Voltage(2.0), Seconds(9.0)), Voltage(22.0));
        assert_eq!(charger.time(Voltage::ZERO, Voltage(23.0)), None);
        let never = Charger { limit: Limit::Current(Current::ZERO), ..charger };
        assert_eq!(never.time(Voltage::ZERO, Voltage(1.0)), None);
    }

    /// By hand: 117.45 mA into 12000 µF with 1 kohm across settle at 117.45 V with 12 s. From empty to 23.49 V 12 s × ln(117.45 ÷ 93.96) = 2.678 s, where
    /// the current alone takes 2.4 s; from 6.77 V to 23.46 V 12 s × ln(110.68 ÷ 93.99) = 1.961 s in place of 1.705 s.
    #[test]
    fn a_resistor_across_the_capacitor_takes_its_part_of_the_current() {
        let alone = Charger {
            source: Voltage(23.49),
            limit: Limit::Current(Current(0.117_45)),
            capacitance: Capacitance(12_000.0),
            across: None,
        };
        let with = Charger { across: Some(Resistance(1000.0)), ..alone };
        near(alone.time(Voltage::ZERO, Voltage(23.49)).unwrap().0, 2.4);
        near(with.time(Voltage::ZERO, Voltage(23.49)).unwrap().0, 2.6777);
        near(alone.time(Voltage(6.77), Voltage(23.46)).unwrap().0, 1.7052);
        near(with.time(Voltage(6.77), Voltage(23.46)).unwrap().0, 1.9614);
        // 150 ohm hold it at 17.6 V for good.
        let held = Charger { across: Some(Resistance(150.0)), ..alone };
        near(held.settles_at().0, 17.6175);
        assert_eq!((held.time(Voltage::ZERO, Voltage(17.7)), with.settles_at()), (None, Voltage(23.49)));
        // Behind a resistor as large as that across it, it settles at half, as soon as through half of it.
        let halved = charger(Limit::Resistor(Resistance(100.0)), Some(100.0));
        assert_eq!((halved.settles_at(), halved.time(Voltage::ZERO, Voltage(11.0))), (Voltage(11.0), None));
        near(halved.time(Voltage::ZERO, Voltage(11.0 * 0.632_121)).unwrap().0, 0.235);
        assert_eq!(halved.most(), Current(0.22));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn charging_in_steps_takes_as_long_as_at_once_and_leads_there(
            low in 0.0..10.0, middle in 10.0..15.0, high in 15.0..21.0, ohms in 1.0..100.0, across in 2200.0..1e6,
        ) {
            for limit in [Limit::Resistor(Resistance(ohms)), Limit::Current(Current(1.0 / ohms))] {
                for charger in [charger(limit, None), charger(limit, Some(across))] {
                    let time = |from, to| charger.time(Voltage(from), Voltage(to)).unwrap();
                    let (steps, once) = (time(low, middle) + time(middle, high), time(low, high));
                    prop_assert!((steps.0 - once.0).abs() <= 1e-9 * once.0);
                    prop_assert!((charger.after(Voltage(low), once).0 - high).abs() <= 1e-6);
                }
            }
        }

        /// The law itself in small steps: C dV/dt is the current in, less V ÷ R of the resistor across.
        #[test]
        fn the_sums_follow_the_law_step_by_step(from in 0.0..15.0, ohms in 10.0..100.0, across in 500.0..5000.0) {
            for limit in [Limit::Resistor(Resistance(ohms)), Limit::Current(Current(2.0 / ohms))] {
                let charger = charger(limit, Some(across));
                let (mut volts, step): (f64, f64) = (from, 1e-5);
                for _ in 0..10_000 {
                    let given = match limit {
                        Limit::Resistor(limit) => (22.0 - volts) / limit.0,
                        Limit::Current(current) => current.0,
                    };
                    volts += step * (given - volts / across) / 4700e-6;
                }
                prop_assert!((charger.after(Voltage(from), Seconds(0.1)).0 - volts.min(22.0)).abs() < 1e-2);
            }
        }
    }

    #[test]
    fn the_next_throw_waits_for_the_voltage_it_needs() {
        let throw = Throw {
            capacitance: Capacitance(4700.0),
            beside: None,
            shared: Resistance::ZERO,
            own: Resistance(0.274_399),
            coil: Resistance(4.5),
            coils: 1,
            held: Seconds(0.05),
        };
        let charger = charger(Limit::Resistor(Resistance(100.0)), None);
        let needs = Needs { current: Current(3.0), energy: Energy(0.4) };
        let wait = charger.next_throw(Voltage(22.0), throw, throw, needs).unwrap();
        assert_eq!(Some(wait), charger.time(throw.residual(Voltage(22.0)), throw.least_voltage(needs)));
        let light = Needs { current: Current(0.1), energy: Energy(0.001) };
        assert_eq!(charger.next_throw(Voltage(22.0), throw, throw, light), Some(Seconds::ZERO));
        let heavy = Needs { current: Current(30.0), energy: Energy(0.4) };
        assert_eq!(charger.next_throw(Voltage(22.0), throw, throw, heavy), None);
    }
}
