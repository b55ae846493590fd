//! Music wire (ASTM A228): how stiff and how strong it is, by its diameter.

use std::fmt;

use crate::quantity::Length;

/// A stress, or a modulus of elasticity, in newtons per square millimetre (megapascals).
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct Stress(pub f64);

impl fmt::Display for Stress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} N/mm²", self.0)
    }
}

/// Modulus of elasticity by largest diameter in micrometres: Shigley's Mechanical Engineering Design, table 10-5. A diameter
/// between two rows of the table (in inches there) takes the softer.
const MODULI: [(i64, f64); 3] = [(812, 203_400.0), (1600, 200_000.0), (3175, 196_500.0)];
const MODULUS_ABOVE: f64 = 193_000.0;

/// The modulus of elasticity of music wire.
pub fn modulus(diameter: Length) -> Stress {
    Stress(MODULI.iter().find(|(largest, _)| diameter.um() <= *largest).map_or(MODULUS_ABOVE, |&(_, modulus)| modulus))
}

/// The least tensile strength of music wire: 2211 N/mm² over the diameter in millimetres to the power 0.145, for 0.10 to 6.5 mm
/// (Shigley's Mechanical Engineering Design, table 10-4; its 201 kpsi in^0.145 seen, the metric figure and range from memory).
pub fn tensile_strength(diameter: Length) -> Stress {
    Stress(2211.0 / diameter.mm().powf(0.145))
}

/// The stress in bending from which music wire may stay bent: 65 % of its tensile strength, the lower end of Shigley's table 10-5.
pub fn elastic_limit(diameter: Length) -> Stress {
    Stress(0.65 * tensile_strength(diameter).0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thicker_wire_is_softer_steel() {
        let modulus = |um| modulus(Length::from_um(um)).0;
        let found = [500, 800, 812, 830, 1000, 1600, 1610, 3175, 3200].map(modulus);
        let expected = [203_400.0, 203_400.0, 203_400.0, 200_000.0, 200_000.0, 200_000.0, 196_500.0, 196_500.0, 193_000.0];
        assert!(found.iter().zip(&expected).all(|(a, b)| (a - b).abs() < 0.5), "{found:?}");
    }

    #[test]
    fn thicker_wire_is_weaker_steel() {
        assert!((tensile_strength(Length::from_mm(1)).0 - 2211.0).abs() < 1e-9);
        assert!(elastic_limit(Length::from_mm(1)) < elastic_limit(Length::from_um(800)));
        assert_eq!(elastic_limit(Length::from_mm(1)).to_string(), "1437 N/mm²");
    }
}
