//! What fits under a board: the drive's depth, the screws of its bracket, the hole for the rod.

use crate::quantity::Length;

/// Whether a drive fits within the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// It does, and this is left under it.
    Left(Length),
    /// It stands out below the frame by this: the board cannot be laid down or stacked.
    Short(Length),
}

/// The room a frame of that depth leaves under a drive.
pub fn room(frame: Length, drive: Length) -> Room {
    if drive <= frame { Room::Left(frame - drive) } else { Room::Short(drive - frame) }
}

/// What a screw goes through and into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screw {
    /// Thickness of the bracket or flange under its head.
    pub through: Length,
    /// Thickness of the board's top, track bed not included.
    pub top: Length,
    /// The least length of thread in the top that holds.
    pub grip: Length,
    /// What must stay between its point and the track.
    pub clear: Length,
}

/// How a screw sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bite {
    /// It holds and stays within the top.
    Holds,
    /// Too little thread is in the top, by this.
    TooShort(Length),
    /// Its point comes too close to the track or through the top, by this.
    TooLong(Length),
}

impl Screw {
    /// A screw with 5 mm of thread in the top at least and 1 mm above its point (common practice, no source).
    pub fn common(through: Length, top: Length) -> Self {
        Self { through, top, grip: Length::from_mm(5), clear: Length::from_mm(1) }
    }

    /// How a screw of that length under its head sits. One that is too long says so first: it spoils the track.
    pub fn bite(self, length: Length) -> Bite {
        let enters = length - self.through;
        let most = self.top - self.clear;
        if enters > most {
            Bite::TooLong(enters - most)
        } else if enters < self.grip {
            Bite::TooShort(self.grip - enters)
        } else {
            Bite::Holds
        }
    }
}

/// The place in `lengths` of the longest screw that holds and stays within the top.
pub fn longest_screw(lengths: &[Length], screw: Screw) -> Option<usize> {
    let all = lengths.iter().copied().enumerate().filter(|&(_, length)| screw.bite(length) == Bite::Holds);
    all.max_by_key(|&(place, length)| (length, std::cmp::Reverse(place))).map(|(place, _)| place)
}

/// The least hole in the top under a tie bar: the rod, its whole travel, and clearance all round.
pub fn least_hole(rod: Length, travel: Length, clearance: Length) -> Length {
    rod + travel + clearance * 2
}

/// A length rounded up to half a millimetre: the steps in which drills are sold.
pub(super) fn half_mm_up(length: Length) -> Length {
    Length::from_um((length.um() + 499).div_euclid(500) * 500)
}

/// The pilot hole of a wood screw: six tenths of its diameter (common practice, no source), to the half millimetre above.
pub(super) fn pilot(screw: Length) -> Length {
    half_mm_up(Length::from_um(screw.um() * 6 / 10))
}

/// The hole that a metric screw such as `M2` goes through: 0.4 mm wider than the screw (the medium row of ISO 273 from M2 to M4, from
/// memory), to the half millimetre above. `None` where the text is no such size.
pub(super) fn clearance_of(size: &str) -> Option<Length> {
    let millimetres: f64 = size.trim().strip_prefix(['M', 'm'])?.parse().ok()?;
    #[expect(clippy::cast_possible_truncation, reason = "held to what screws are sold in")]
    (1.0..=10.0).contains(&millimetres).then(|| half_mm_up(Length::from_um((millimetres * 1000.0).round() as i64 + 400)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    /// By hand: 0.6 × 2.5 mm and 0.6 × 3 mm, up to the half millimetre; ISO 273 gives 2.4, 2.9 and 3.4 mm.
    #[test]
    fn holes_of_screws_come_in_half_millimetres() {
        assert_eq!([2500, 3000].map(Length::from_um).map(pilot), [1500, 2000].map(Length::from_um));
        let through = ["M2", "M2.5", "M3"].map(clearance_of);
        assert_eq!(through, [2500, 3000, 3500].map(|um| Some(Length::from_um(um))));
        assert_eq!([clearance_of("5 x 20"), clearance_of("M1e9"), clearance_of("Mx")], [None; 3]);
    }

    #[test]
    fn a_deep_drive_needs_a_deep_frame() {
        assert_eq!(room(mm(80), mm(35)), Room::Left(mm(45)));
        assert_eq!(room(mm(80), mm(80)), Room::Left(mm(0)));
        assert_eq!(room(mm(80), mm(90)), Room::Short(mm(10)));
    }

    #[test]
    fn a_screw_must_hold_and_stay_within_the_top() {
        let screw = Screw::common(mm(2), mm(9));
        assert_eq!(screw.bite(mm(10)), Bite::Holds);
        assert_eq!(screw.bite(mm(7)), Bite::Holds);
        assert_eq!(screw.bite(mm(6)), Bite::TooShort(mm(1)));
        assert_eq!(screw.bite(mm(12)), Bite::TooLong(mm(2)));
    }

    #[test]
    fn in_a_top_that_is_too_thin_no_screw_holds() {
        let lengths = [mm(6), mm(8), mm(10), mm(12)];
        assert_eq!(longest_screw(&lengths, Screw::common(mm(2), mm(9))), Some(2));
        assert_eq!(longest_screw(&lengths, Screw::common(mm(2), mm(5))), None);
    }

    /// A hole of 5 mm takes the rod: common practice, no source.
    #[test]
    fn the_common_hole_takes_the_rod_in_every_scale_but_the_largest() {
        for scale in crate::mechanics::SCALES {
            let hole = least_hole(Length::from_um(800), scale.least_travel, Length::from_um(500));
            assert!(hole <= mm(5), "{:?} needs {hole}", scale.names);
        }
    }
}
