//! The resistor that empties a discharge unit once its power is off.

use super::discharge::TOLERANCE;
use super::series::next_e24;
use crate::quantity::{Capacitance, Current, Power, Resistance, Seconds, Voltage};

/// What is left when a capacitor counts as empty: no spark, no shock (common practice, no source).
pub const EMPTY: Voltage = Voltage(1.0);

/// In about so long a unit should be empty (common practice, no source).
const SOON: Seconds = Seconds(25.0);

/// A resistor across the capacitor of a discharge unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bleeder {
    /// Its resistance.
    pub resistance: Resistance,
    /// Whether a row of the catalogue asks for it, so that it is on the bill; else it is the one to fit.
    pub is_planned: bool,
    /// How long it takes at most until no more than a volt is left.
    pub empties_in: Seconds,
    /// What flows in it at most as long as the unit is charged.
    pub current: Current,
    /// The heat in it as long as the unit is full.
    pub heat: Power,
}

impl Bleeder {
    /// The one planned, or else the next value of E24 that empties the unit in some 25 seconds: R = t ÷ (C ln (V ÷ 1 V)), with the capacitor
    /// above its mark. `None` for a unit that is never charged to a volt.
    pub fn new(planned: Option<Resistance>, capacitance: Capacitance, highest: Voltage) -> Option<Self> {
        let farads = capacitance.0 * 1e-6 * (1.0 + TOLERANCE.0);
        let constants = (highest / EMPTY).ln();
        if !(farads > 0.0 && constants > 0.0) {
            return None;
        }
        let resistance = match planned {
            Some(planned) => planned,
            None => next_e24(Resistance(SOON.0 / farads / constants))?,
        };
        Some(Self {
            resistance,
            is_planned: planned.is_some(),
            empties_in: Seconds(resistance.0 * farads * constants),
            current: highest / resistance,
            heat: highest * (highest / resistance),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kilohm_empties_a_common_unit_in_twenty_seconds() {
        // By hand: 1 kohm × 4700 µF × 1.2 = 5.64 s; ln 26.88 = 3.291; 18.6 s. Heat 26.88² ÷ 1000 = 0.7225 W.
        let bleeder = Bleeder::new(Some(Resistance(1000.0)), Capacitance(4700.0), Voltage(26.88)).unwrap();
        assert!((bleeder.empties_in.0 - 18.563).abs() < 0.01, "{bleeder:?}");
        assert!((bleeder.heat.0 - 0.7225).abs() < 1e-3 && (bleeder.current.0 - 0.026_88).abs() < 1e-9);
        // 25 s ÷ (0.00564 F × 3.291) = 1347 ohm: the next of E24 is 1.5 kohm.
        let found = Bleeder::new(None, Capacitance(4700.0), Voltage(26.88)).unwrap();
        assert_eq!((found.resistance, found.is_planned), (Resistance(1500.0), false));
        assert_eq!(Bleeder::new(None, Capacitance(4700.0), Voltage(0.5)), None);
    }
}
