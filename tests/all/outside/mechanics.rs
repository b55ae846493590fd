//! The rod against beams solved by sympy, and its formula against a handbook's case.

use underboard::mechanics::{DriveEnd, Rod, Throw, modulus};
use underboard::quantity::Length;

use super::{agree, figures};

/// Agrees within a millionth: both are exact for small deflections.
#[test]
fn the_rod_holds_and_bends_as_the_solved_beam_does() {
    for (end, um, above, below, drive, blades, force, stress) in figures::<(String, i64, i64, i64, i64, i64, f64, f64)>("rods") {
        let end = if end == "clamped" { DriveEnd::Clamped } else { DriveEnd::Pinned };
        let rod = Rod::new(Length::from_um(um), Length::from_mm(above), Length::from_mm(below), end).unwrap();
        let throw = Throw { drive: Length::from_mm(drive), blades: Length::from_um(blades) };
        let what = format!("{end:?} {um} µm, {above} above {below}");
        agree(&format!("force of {what}"), rod.holds(throw).0, force, 1e-6);
        agree(&format!("stress of {what}"), rod.stress(throw).0, stress, 1e-6);
    }
}

/// Shigley's Mechanical Engineering Design, table A-9, case 10 (simple supports, overhanging load), as quoted by a formula page:
/// y = F a² (l + a) ÷ 3EI at the load. With E = 203.4 kN/mm², d = 0.8 mm, a = 40 mm, l = 20 mm and 1 N, worked out by hand: 7.8247 mm.
#[test]
fn the_pinned_rod_is_the_handbooks_overhanging_beam() {
    let rod = Rod::new(Length::from_um(800), Length::from_mm(40), Length::from_mm(20), DriveEnd::Pinned).unwrap();
    agree("yield", 1.0 / rod.stiffness().0, 7.8247, 1e-4);
}

/// Shigley's table 10-5, music wire A228: 203.4 kN/mm² below 0.032 in, 200 to 0.063 in, 196.5 to 0.125 in, 193 above.
#[test]
fn moduli_are_those_of_the_handbook() {
    for (um, kilonewtons) in [(787, 203.4), (838, 200.0), (1600, 200.0), (1626, 196.5), (3175, 196.5), (3302, 193.0)] {
        agree("modulus", modulus(Length::from_um(um)).0, kilonewtons * 1000.0, 1e-12);
    }
}
