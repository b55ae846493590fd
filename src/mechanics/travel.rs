//! How far blades must travel at least, by scale, read off the open standards for track.

use crate::quantity::Length;

/// A scale, its gauge, and the least travel of its blades.
///
/// No standard states a travel. A lower bound is inferred: an open blade must stand clear of the backs of the wheels, by the gauge
/// less the spread over both points (NMRA S-3.2), or for scales it leaves out by the gauge less the greatest dimension E, the check
/// between the rails (NEM 110). What is built commonly travels further.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scale {
    /// Its names, the common one first.
    pub names: &'static [&'static str],
    /// Its gauge.
    pub gauge: Length,
    /// The least travel of its blades.
    pub least_travel: Length,
    /// The standard it is read off.
    pub source: &'static str,
}

const fn row(names: &'static [&'static str], gauge_um: i64, travel_um: i64, source: &'static str) -> Scale {
    Scale { names, gauge: Length::from_um(gauge_um), least_travel: Length::from_um(travel_um), source }
}

/// The scales known, from the smallest. Gauges by NEM 010; that of 00 by common practice, since NMRA S-3.2 gives it 19.1 mm.
pub const SCALES: [Scale; 7] = [
    row(&["Z"], 6500, 900, "NEM 110"),
    row(&["N"], 9000, 1200, "NEM 110"),
    row(&["TT"], 12_000, 1300, "NEM 110"),
    row(&["H0", "HO"], 16_500, 1600, "NMRA S-3.2"),
    row(&["00", "OO"], 16_500, 1630, "NMRA S-3.2"),
    row(&["S"], 22_500, 1600, "NMRA S-3.2"),
    row(&["0", "O"], 32_000, 2440, "NMRA S-3.2"),
];

/// The scale of that name; case does not matter.
pub fn scale(name: &str) -> Option<&'static Scale> {
    SCALES.iter().find(|scale| scale.names.iter().any(|known| known.eq_ignore_ascii_case(name.trim())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_is_found_by_any_of_its_names() {
        assert_eq!(scale("ho"), scale("H0"));
        assert_eq!(scale(" O "), scale("0"));
        assert_eq!(scale("XX"), None);
    }

    /// Gauge and points of NMRA S-3.2 (2010), target values, in thousandths of an inch; read in a stored copy of the standard.
    #[test]
    fn the_travel_is_the_gauge_less_the_points() {
        for (name, gauge, points) in [("O", 1252.0, 1156.0), ("S", 885.0, 822.0), ("OO", 752.0, 688.0), ("HO", 651.0, 588.0)] {
            let travel: f64 = (gauge - points) * 0.0254;
            assert!((scale(name).unwrap().least_travel.mm() - travel).abs() < 0.005, "{name}: {travel}");
        }
    }

    /// Gauge and greatest E of NEM 110 (2009), in tenths of a millimetre; read in a stored copy of the standard.
    #[test]
    fn the_travel_is_the_gauge_less_the_check() {
        for (name, gauge, check) in [("Z", 65, 56), ("N", 90, 78), ("TT", 120, 107)] {
            assert_eq!(scale(name).unwrap().least_travel, Length::from_um((gauge - check) * 100), "{name}");
        }
    }
}
