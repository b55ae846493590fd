//! Copper conductors: resistance from what they are made of, and the thinnest that serves.
//!
//! ```
//! use underboard::power::conductor::{Allowance, Rule, Wire, line_resistance, run_drop, strands, thinnest};
//! use underboard::quantity::{Current, Length, Voltage};
//!
//! let sold = [7, 16, 32].map(|count| {
//!     let area = strands(count, Length::from_um(200));
//!     Wire { area, line: line_resistance(area, Allowance::Class5), rating: Current(3.0) }
//! });
//! let rule = Rule { carries: Current(1.0), largest_drop: Voltage(0.6) };
//! let there_and_back = Length::from_mm(12_000);
//! let chosen = thinnest(&sold, rule, |line| Some(run_drop(line, there_and_back, rule.carries)));
//! assert_eq!(chosen, Some(1));
//! ```

use std::f64::consts::PI;

use crate::quantity::{Area, Current, Length, LineResistance, Voltage};

/// Resistivity of annealed copper at 20 °C, 1/58 ohm mm²/m, in ohm mm² per km (IEC 60028, from memory).
const COPPER: f64 = 17.241;

/// The part of its resistance at 20 °C that copper gains with each kelvin (IEC 60028, from memory).
const PER_KELVIN: f64 = 0.003_93;

/// Which resistance is counted for a cross-section of copper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Allowance {
    /// The metal's alone, by the resistivity of IEC 60028: what textbooks and simulations use.
    None,
    /// The most that IEC 60228 allows a flexible conductor (class 5, plain copper) of that nominal cross-section, which covers the
    /// lay of the strands and the tolerance of the maker: 13 % more up to 1 mm², 16 % more above. The choice for planning.
    Class5,
}

impl Allowance {
    /// Ohm mm² per kilometre. The class 5 maxima of IEC 60228 are 19.5 over the area up to 1 mm² (39.0, 26.0, 19.5 ohm/km at 0.5, 0.75,
    /// 1 mm²) and 19.95 over it at 1.5 and 2.5 mm² (13.3, 7.98 ohm/km); smaller areas than the standard lists take the former.
    fn ohm_mm2_per_km(self, area: Area) -> f64 {
        match self {
            Self::None => COPPER,
            Self::Class5 if area.0 <= 1.0 => 19.5,
            Self::Class5 => 19.95,
        }
    }
}

/// Resistance of a copper conductor at 20 °C by its cross-section; infinite for an area of zero or less.
pub fn line_resistance(area: Area, allowance: Allowance) -> LineResistance {
    if area.0 > 0.0 { LineResistance(allowance.ohm_mm2_per_km(area) / area.0) } else { LineResistance(f64::INFINITY) }
}

/// A temperature in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius(pub f64);

/// A resistance at 20 °C brought to another temperature, by the constant-mass coefficient of IEC 60028.
pub fn at_temperature(at_20: LineResistance, temperature: Celsius) -> LineResistance {
    at_20 * (1.0 + PER_KELVIN * (temperature.0 - 20.0))
}

/// Copper in a number of round strands: `16/0.2` is sixteen of 0.2 mm.
pub fn strands(count: u32, diameter: Length) -> Area {
    Area(f64::from(count) * circle(diameter.mm()).0)
}

/// A size of American wire gauge, from 0000 (written -3) to 40.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gauge(i8);

impl Gauge {
    /// The gauge of that number; `None` outside -3..=40.
    pub fn new(number: i8) -> Option<Self> {
        (-3..=40).contains(&number).then_some(Self(number))
    }

    /// Diameter in inches: 0.005 × 92^((36 − n) ÷ 39) (ASTM B258).
    fn inches(self) -> f64 {
        0.005 * 92_f64.powf((36.0 - f64::from(self.0)) / 39.0)
    }

    /// Diameter of the solid wire, to the nearest micrometre.
    pub fn diameter(self) -> Length {
        #[expect(clippy::cast_possible_truncation, reason = "between 0.08 and 12 millimetres")]
        Length::from_um((self.inches() * 25_400.0).round() as i64)
    }

    /// Cross-section of the solid wire.
    pub fn area(self) -> Area {
        circle(self.inches() * 25.4)
    }
}

fn circle(diameter_mm: f64) -> Area {
    Area(PI * diameter_mm * diameter_mm / 4.0)
}

/// A wire that is sold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Cross-section of its copper.
    pub area: Area,
    /// Its resistance, as its maker states it or by [`line_resistance`].
    pub line: LineResistance,
    /// What it may carry.
    pub rating: Current,
}

/// The voltage lost on the way to a single load and home again, over conductors of one kind.
pub fn run_drop(line: LineResistance, there_and_back: Length, current: Current) -> Voltage {
    current * (line * there_and_back)
}

/// What a run asks of its wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The most that flows through any of it.
    pub carries: Current,
    /// The most that may be lost at its far end.
    pub largest_drop: Voltage,
}

/// The place in `wires` of the thinnest that carries the current and loses no more than the rule allows; of equal areas the first.
///
/// `lost` tells what is lost at the far end over wire of that resistance, `None` where the feed collapses: [`run_drop`] for a single
/// load, [`Feed`](super::feed::Feed) where several share it. The result is `None` where no wire serves.
pub fn thinnest(wires: &[Wire], rule: Rule, lost: impl Fn(LineResistance) -> Option<Voltage>) -> Option<usize> {
    let mut by_area: Vec<_> = wires.iter().enumerate().collect();
    by_area.sort_by(|(_, a), (_, b)| a.area.0.total_cmp(&b.area.0));
    let serves = |wire: &Wire| wire.rating >= rule.carries && lost(wire.line).is_some_and(|lost| lost <= rule.largest_drop);
    by_area.into_iter().find(|(_, wire)| serves(wire)).map(|(place, _)| place)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Equipment wire as in the trade: common practice, from memory.
    fn sold() -> [Wire; 3] {
        let wire = |count, rating| {
            let area = strands(count, Length::from_um(200));
            Wire { area, line: line_resistance(area, Allowance::Class5), rating: Current(rating) }
        };
        [wire(32, 6.0), wire(7, 1.4), wire(16, 3.0)]
    }

    fn choose(current: f64, metres: i64, largest: f64) -> Option<usize> {
        let rule = Rule { carries: Current(current), largest_drop: Voltage(largest) };
        thinnest(&sold(), rule, |line| Some(run_drop(line, Length::from_mm(metres * 1000), rule.carries)))
    }

    #[test]
    fn the_thinnest_that_serves_is_taken() {
        assert_eq!(choose(0.1, 4, 0.6), Some(1));
        assert_eq!(choose(2.0, 4, 0.6), Some(2), "7/0.2 is not rated for it");
        assert_eq!(choose(1.0, 20, 0.6), Some(0), "thinner wire loses too much");
        assert_eq!(choose(7.0, 1, 0.6), None, "nothing is rated for it");
        assert_eq!(choose(5.0, 50, 0.6), None, "everything loses too much");
    }

    #[test]
    fn a_feed_that_collapses_is_not_served() {
        let rule = Rule { carries: Current(0.1), largest_drop: Voltage(1.0) };
        assert_eq!(thinnest(&sold(), rule, |_| None), None);
    }

    #[test]
    fn warm_copper_resists_more() {
        let warm = at_temperature(LineResistance(100.0), Celsius(45.0));
        assert!((warm.0 - 109.825).abs() < 1e-9);
    }

    #[test]
    fn gauges_have_their_range_and_no_copper_conducts_nothing() {
        assert_eq!(Gauge::new(41), None);
        assert_eq!(Gauge::new(-4), None);
        assert_eq!(Gauge::new(24).unwrap().diameter(), Length::from_um(511));
        assert_eq!(line_resistance(Area::ZERO, Allowance::None), LineResistance(f64::INFINITY));
    }
}
