//! The rod of spring wire from drive to blades: a beam over the hole in the bracket, which is its fulcrum.
//!
//! ```text
//!   blades ──┬── tip: the tie bar holds it once the blades lie against the rail
//!            │  a
//!  bracket ──┼── fulcrum: the hole lets it turn, but not move sideways
//!            │  b
//!    drive ──┴── pinned: a hole in the drive's arm lets it turn; or clamped: a screw or block does not
//! ```
//!
//! Pinned, it is the beam on two supports with a load on its overhang (Shigley's Mechanical Engineering Design, table A-9, case 10):
//! the tip yields F a² (a + b) / 3EI. Clamped, it is the propped cantilever with an overhang: the support turns by F a b / 4EI instead
//! of F a b / 3EI, as a beam does under a couple at its propped end, so that the tip yields F a² (4a + 3b) / 12EI. Both go over
//! into the cantilever, F a³ / 3EI, as b becomes short. Small deflections; friction in the holes is not counted.

use std::f64::consts::PI;

use super::wire::{Stress, elastic_limit, modulus};
use crate::quantity::{Force, Length};

/// A stiffness in newtons per millimetre.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct Stiffness(pub f64);

/// How the drive holds the lower end of the rod.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DriveEnd {
    /// It may turn: the wire stands in a hole or a slot.
    Pinned,
    /// It may not turn: the wire is clamped, and the drive moves it sideways.
    Clamped,
}

/// A rod of music wire over a fulcrum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rod {
    diameter: Length,
    above: Length,
    below: Length,
    end: DriveEnd,
}

/// A rod needs a diameter and a length on both sides of its fulcrum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a rod needs a diameter and a length on both sides of its fulcrum")]
pub struct NotARod;

/// How far the drive moves the rod from end to end, and how far the blades go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Throw {
    /// Travel of the drive where it holds the rod, from end to end.
    pub drive: Length,
    /// Travel of the blades, from rail to rail.
    pub blades: Length,
}

impl Rod {
    /// A rod with the length `above` its fulcrum to the tie bar and `below` it to the drive.
    ///
    /// # Errors
    /// Where any length is not above zero.
    pub fn new(diameter: Length, above: Length, below: Length, end: DriveEnd) -> Result<Self, NotARod> {
        let is_rod = [diameter, above, below].iter().all(|length| *length > Length::ZERO);
        if is_rod { Ok(Self { diameter, above, below, end }) } else { Err(NotARod) }
    }

    /// The same rod in wire of another diameter.
    ///
    /// # Errors
    /// Where the diameter is not above zero.
    pub fn of(self, diameter: Length) -> Result<Self, NotARod> {
        Self::new(diameter, self.above, self.below, self.end)
    }

    /// The same rod with another length above its fulcrum.
    ///
    /// # Errors
    /// Where the length is not above zero.
    pub fn with_above(self, above: Length) -> Result<Self, NotARod> {
        Self::new(self.diameter, above, self.below, self.end)
    }

    /// The same rod with another length below its fulcrum.
    ///
    /// # Errors
    /// Where the length is not above zero.
    pub fn with_below(self, below: Length) -> Result<Self, NotARod> {
        Self::new(self.diameter, self.above, below, self.end)
    }

    /// Its length between drive and tie bar, without what is bent at the ends.
    pub fn length(self) -> Length {
        self.above + self.below
    }

    /// E I in N mm², with I = π d⁴ / 64.
    fn rigidity(self) -> f64 {
        modulus(self.diameter).0 * PI * self.diameter.mm().powi(4) / 64.0
    }

    /// The force at the blades that each millimetre takes by which they are held back.
    pub fn stiffness(self) -> Stiffness {
        let (a, b) = (self.above.mm(), self.below.mm());
        let lever = match self.end {
            DriveEnd::Pinned => (a + b) / 3.0,
            DriveEnd::Clamped => (4.0 * a + 3.0 * b) / 12.0,
        };
        Stiffness(self.rigidity() / (a * a * lever))
    }

    /// How far the drive must move for each millimetre at the blades while nothing holds them: b ÷ a where the drive's end is pinned.
    /// A clamped end, moved sideways, bows the rod and turns it at the fulcrum by half as much again: 2 b ÷ 3 a.
    pub fn travel_ratio(self) -> f64 {
        let ratio = self.below.mm() / self.above.mm();
        match self.end {
            DriveEnd::Pinned => ratio,
            DriveEnd::Clamped => ratio * 2.0 / 3.0,
        }
    }

    /// How far the tip would go if nothing held it.
    pub fn free_travel(self, drive: Length) -> Length {
        length(drive.mm() / self.travel_ratio())
    }

    /// The travel of the drive that just brings the blades from rail to rail, without any force on them.
    pub fn least_drive(self, blades: Length) -> Length {
        length(blades.mm() * self.travel_ratio())
    }

    /// How far the blades hold the tip back when it presses with that force.
    pub fn bend(self, force: Force) -> Length {
        length(force.0 / self.stiffness().0)
    }

    /// The travel of the drive that presses the blades to the rail with that force at either end: what the rod bends there comes on top of the
    /// blades' own travel.
    pub fn pressing_drive(self, blades: Length, force: Force) -> Length {
        length((blades.mm() + 2.0 * force.0 / self.stiffness().0) * self.travel_ratio())
    }

    /// The force with which the blades are held to the rail at either end; zero where they do not reach it.
    ///
    /// What the tip would go beyond the blades' travel, half of it at each end, bends the rod.
    pub fn holds(self, throw: Throw) -> Force {
        let beyond = (throw.drive.mm() / self.travel_ratio() - throw.blades.mm()) / 2.0;
        Force(self.stiffness().0 * beyond.max(0.0))
    }

    /// Whether the blades reach the rail at both ends.
    pub fn closes(self, throw: Throw) -> bool {
        self.free_travel(throw.drive) >= throw.blades
    }

    /// The largest bending stress while the drive rests at an end: at the fulcrum, or where the drive clamps the rod.
    pub fn stress(self, throw: Throw) -> Stress {
        let at_fulcrum = self.holds(throw).0 * self.above.mm();
        let at_clamp = match self.end {
            DriveEnd::Pinned => 0.0,
            // The end moved sideways by half the travel, 3EIδ / b², and half of the couple at the fulcrum carried over.
            DriveEnd::Clamped => 3.0 * self.rigidity() * throw.drive.mm() / 2.0 / self.below.mm().powi(2) + at_fulcrum / 2.0,
        };
        Stress(32.0 * at_fulcrum.max(at_clamp) / (PI * self.diameter.mm().powi(3)))
    }

    /// Whether the rod springs back: its stress stays below the elastic limit of its wire.
    pub fn springs_back(self, throw: Throw) -> bool {
        self.stress(throw) <= elastic_limit(self.diameter)
    }
}

fn length(mm: f64) -> Length {
    #[expect(clippy::cast_possible_truncation, reason = "a float that is too large saturates")]
    Length::from_um((mm * 1000.0).round() as i64)
}

/// The place in `diameters` of the thinnest wire with which the rod holds the blades with the force they need and springs back.
///
/// Thinner is better: what is stiffer than needed loads the drive. `None` where none serves.
pub fn thinnest(diameters: &[Length], rod: Rod, throw: Throw, needed: Force) -> Option<usize> {
    let serves =
        |diameter| rod.of(diameter).is_ok_and(|rod| rod.closes(throw) && rod.holds(throw) >= needed && rod.springs_back(throw));
    let all = diameters.iter().copied().enumerate();
    all.filter(|&(_, diameter)| serves(diameter)).min_by_key(|&(place, diameter)| (diameter, place)).map(|(place, _)| place)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn rod(um: i64, above: i64, below: i64, end: DriveEnd) -> Rod {
        Rod::new(Length::from_um(um), Length::from_mm(above), Length::from_mm(below), end).unwrap()
    }

    fn throw(drive: i64, blades_um: i64) -> Throw {
        Throw { drive: Length::from_mm(drive), blades: Length::from_um(blades_um) }
    }

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-4 * expected.abs(), "{found} is not {expected}");
    }

    #[test]
    fn what_has_no_length_is_no_rod() {
        let mm = Length::from_mm;
        assert_eq!(Rod::new(mm(1), mm(0), mm(10), DriveEnd::Pinned), Err(NotARod));
        assert_eq!(Rod::new(mm(1), mm(10), mm(-1), DriveEnd::Pinned), Err(NotARod));
        assert_eq!(rod(800, 40, 20, DriveEnd::Pinned).of(Length::ZERO), Err(NotARod));
    }

    #[test]
    fn a_fulcrum_close_to_a_clamp_makes_a_cantilever() {
        // F = 3EIδ / L³ at L = 40 mm, δ = 2 mm, by hand: 0.38340 N in 0.8 mm wire, 0.92039 N in 1.0 mm.
        for (um, newtons) in [(800, 0.383_40), (1000, 0.920_39)] {
            let short = Rod::new(Length::from_um(um), Length::from_mm(40), Length::from_um(1), DriveEnd::Clamped).unwrap();
            near(short.stiffness().0 * 2.0, newtons);
        }
    }

    #[test]
    fn the_drive_moves_as_the_arms_of_the_lever_say() {
        let pinned = rod(800, 40, 20, DriveEnd::Pinned);
        near(pinned.travel_ratio(), 0.5);
        assert_eq!(pinned.free_travel(Length::from_mm(4)), Length::from_mm(8));
        assert_eq!(pinned.least_drive(Length::from_mm(8)), Length::from_mm(4));
        near(rod(800, 40, 20, DriveEnd::Clamped).travel_ratio(), 1.0 / 3.0);
        assert_eq!(pinned.length(), Length::from_mm(60));
    }

    #[test]
    fn only_what_goes_beyond_the_rail_presses() {
        let rod = rod(800, 40, 20, DriveEnd::Pinned);
        assert_eq!(rod.holds(throw(1, 2000)), Force::ZERO);
        assert!(rod.closes(throw(1, 2000)) && !rod.closes(throw(1, 2001)));
        // 4 mm at the drive are 8 mm at the tip; the blades take 2, so 3 mm bend the rod at each end.
        near(rod.holds(throw(4, 2000)).0, rod.stiffness().0 * 3.0);
    }

    #[test]
    fn the_thinnest_wire_that_presses_enough_and_springs_back_is_chosen() {
        let sold = [1200, 500, 800, 1000].map(Length::from_um);
        let rod = rod(800, 40, 20, DriveEnd::Pinned);
        let choose = |drive, needed| thinnest(&sold, rod, throw(drive, 2000), Force(needed)).map(|place| sold[place].um());
        assert_eq!(choose(4, 0.3), Some(800));
        assert_eq!(choose(4, 0.02), Some(500));
        assert_eq!(choose(1, 0.3), None, "the blades are just reached");
        assert_eq!(choose(60, 0.3), None, "any wire stays bent");
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn clamping_stiffens_and_thicker_wire_presses_more(
            um in 300..2000_i64, thicker in 1..500_i64, above in 5..100_i64, below in 5..100_i64, drive in 1..20_i64,
        ) {
            let pinned = rod(um, above, below, DriveEnd::Pinned);
            prop_assert!(rod(um, above, below, DriveEnd::Clamped).stiffness() > pinned.stiffness());
            // The modulus falls by 1.7 % from one row of the table to the next, less than d⁴ gains by a twentieth of a millimetre at 2 mm.
            let thick = rod(um + 50 + thicker, above, below, DriveEnd::Pinned);
            prop_assert!(thick.holds(throw(drive, 2000)) >= pinned.holds(throw(drive, 2000)));
        }
    }
}
