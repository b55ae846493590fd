//! The resistor in series with a lamp: its value from the E24 series, what flows then, and the heat it must shed.

use crate::quantity::{Current, Power, Resistance, Voltage};

/// The E24 series of IEC 60063: two digits, times any power of ten.
const E24: [u32; 24] = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

/// Values that differ by less than this part of themselves count as equal.
const SAME: f64 = 1e-9;

/// The smallest value of the E24 series that is not below a resistance, from 1 ohm to 10 megohms.
///
/// `None` above that, at zero or below, and for what is no number.
pub fn next_e24(least: Resistance) -> Option<Resistance> {
    if least <= Resistance::ZERO {
        return None;
    }
    let decades = (0..=6).map(|power| 10_f64.powi(power));
    let values = decades.flat_map(|decade| E24.iter().map(move |&value| f64::from(value) * decade / 10.0)).chain([1e7]);
    values.map(Resistance).find(|value| value.0 >= least.0 * (1.0 - SAME))
}

/// A resistor in series with lamps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeriesResistor {
    /// Its value in the E24 series.
    pub value: Resistance,
    /// The current that flows with it: what the lamp asked for, or a little less.
    pub current: Current,
    /// The heat it sheds; buy one rated for more.
    pub dissipation: Power,
}

/// The resistor that keeps a lamp, or a string of them with the sum of their voltages, at `current` or a little below.
///
/// `None` where the feed is not above the lamps' voltage or no current is asked for: no resistor makes them light as they should.
pub fn lamp_resistor(feed: Voltage, lamps: Voltage, current: Current) -> Option<SeriesResistor> {
    let across = feed - lamps;
    if !(across.0 > 0.0 && current.0 > 0.0) {
        return None;
    }
    let value = next_e24(Resistance(across.0 / current.0))?;
    let flows = across / value;
    Some(SeriesResistor { value, current: flows, dissipation: across * flows })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_of_the_series_is_its_own_next() {
        assert_eq!(next_e24(Resistance(150.0)), Some(Resistance(150.0)));
        assert_eq!(next_e24(Resistance(150.1)), Some(Resistance(160.0)));
        assert_eq!(next_e24(Resistance(920.0)), Some(Resistance(1000.0)));
        assert_eq!(next_e24(Resistance(0.3)), Some(Resistance(1.0)));
    }

    #[test]
    fn out_of_range_there_is_none() {
        for bad in [0.0, -1.0, 1.1e7, f64::NAN, f64::INFINITY] {
            assert_eq!(next_e24(Resistance(bad)), None, "{bad}");
        }
    }

    #[test]
    fn a_lamp_gets_no_more_than_it_asks_for() {
        let resistor = lamp_resistor(Voltage(12.0), Voltage(2.0), Current(0.004)).unwrap();
        assert_eq!(resistor.value, Resistance(2700.0));
        assert!(resistor.current.0 < 0.004 && resistor.current.0 > 0.0036);
    }

    #[test]
    fn a_feed_below_the_lamp_has_no_resistor() {
        assert_eq!(lamp_resistor(Voltage(3.0), Voltage(3.0), Current(0.005)), None);
        assert_eq!(lamp_resistor(Voltage(5.0), Voltage(2.0), Current::ZERO), None);
    }
}
