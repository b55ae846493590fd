//! Conductors, capacitors and fuses against tables of standards and handbooks.

use underboard::power::charger::{Charger, Limit};
use underboard::power::conductor::{Allowance, Gauge, line_resistance, run_drop, strands};
use underboard::power::discharge::{rectified, stored};
use underboard::power::fuse::ratings;
use underboard::quantity::{Area, Capacitance, Current, Length, LineResistance, Resistance, Share, Voltage};

use super::agree;

/// Maximum resistance at 20 °C of class 5 flexible plain copper, in ohm/km: IEC 60228. The standard rounds to three figures.
#[test]
fn the_allowance_is_the_standards_maximum_of_class_5() {
    for (mm2, ohms) in [(0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98)] {
        agree("class 5", line_resistance(Area(mm2), Allowance::Class5).0, ohms, 1e-9);
    }
}

/// Classes 1 and 2 of IEC 60228 allow less than class 5 and more than the metal alone.
#[test]
fn solid_copper_lies_between_the_metal_and_the_allowance() {
    for (mm2, ohms) in [(0.5, 36.0), (0.75, 24.5), (1.0, 18.1), (1.5, 12.1), (2.5, 7.41)] {
        let of = |allowance| line_resistance(Area(mm2), allowance).0;
        assert!(of(Allowance::None) < ohms && ohms < of(Allowance::Class5), "{mm2} mm²");
    }
}

/// Ohms per 1000 ft of solid copper at 20 °C: the wire table of `HyperPhysics`; 0.1 %.
#[test]
fn gauges_have_the_handbooks_resistance() {
    let per_km = 1000.0 / 304.8;
    for (gauge, ohms) in [(16, 4.016), (18, 6.385), (20, 10.15), (22, 16.14), (24, 25.67), (26, 40.81), (28, 64.9), (30, 103.2)] {
        let area = Gauge::new(gauge).unwrap().area();
        agree(&format!("AWG {gauge}"), line_resistance(area, Allowance::None).0, ohms * per_km, 1e-3);
    }
}

/// Diameters that ASTM B258 fixes: 0.4600 in for 0000 and 0.0050 in for 36.
#[test]
fn gauges_meet_the_two_that_define_them() {
    assert_eq!(Gauge::new(-3).unwrap().diameter(), Length::from_um(11_684));
    assert_eq!(Gauge::new(36).unwrap().diameter(), Length::from_um(127));
}

/// Computed from the resistivity of IEC 60028 and the strands alone.
#[test]
fn strands_have_the_computed_resistance() {
    for (count, um, mm2, ohms) in [
        (7, 200, 0.219_911, 78.400),
        (10, 100, 0.078_540, 219.52),
        (16, 200, 0.502_655, 34.300),
        (24, 200, 0.753_982, 22.867),
        (32, 200, 1.005_310, 17.150),
    ] {
        let area = strands(count, Length::from_um(um));
        agree("area", area.0, mm2, 1e-5);
        agree("resistance", line_resistance(area, Allowance::None).0, ohms, 1e-4);
    }
}

/// An electrician's training text on the tables of the National Electrical Code: No. 16 at 4.99 ohm/1000 ft, 100 ft one way, 4 A, 24 V.
#[test]
fn the_drop_of_the_training_text() {
    let drop = run_drop(LineResistance(4.99 / 0.3048), Length::from_um(2 * 30_480_000), Current(4.0));
    agree("drop", drop.0, 3.992, 1e-6);
    agree("share", drop / Voltage(24.0), 0.1663, 1e-3);
}

/// Worked examples of `OpenStax` University Physics: 165 µF at 119 V; 10.0 µF at 9.00 kV. To three figures, as printed.
#[test]
fn stored_energy_of_the_textbook() {
    agree("defibrillator", stored(Capacitance(165.0), Voltage(119.0)).0, 1.17, 5e-3);
    agree("pulse", stored(Capacitance(10.0), Voltage(9000.0)).0, 405.0, 5e-3);
}

/// Charge after one to five time constants, in per cent: computed, 1 − e⁻ⁿ, as every textbook prints it.
#[test]
fn charging_follows_the_time_constants() {
    let charger = Charger {
        source: Voltage(100.0),
        limit: Limit::Resistor(Resistance(1000.0)),
        capacitance: Capacitance(1000.0),
        across: None,
    };
    for (constants, percent) in [(1.0, 63.212), (2.0, 86.466), (3.0, 95.021), (4.0, 98.168), (5.0, 99.326)] {
        agree("time", charger.time(Voltage::ZERO, Voltage(percent)).unwrap().0, constants, 1e-3);
    }
}

/// A full bridge behind 12 V: a supply text, 15.571 V; behind 16 V: computed, 21.227 V.
#[test]
fn rectified_voltages() {
    agree("12 V", rectified(Voltage(12.0), Share::ZERO).0, 15.571, 1e-4);
    agree("16 V", rectified(Voltage(16.0), Share::ZERO).0, 21.227, 1e-4);
}

/// The R10 series is ten steps a decade (ISO 3), rounded by at most 1 %; IEC 60127-1 takes its ratings from it.
#[test]
fn fuses_follow_the_r10_series() {
    let ratings: Vec<f64> = ratings().map(|rating| rating.0).collect();
    assert_eq!(ratings.len(), 26);
    for (step, rating) in ratings.iter().enumerate() {
        agree("rating", *rating, 10_f64.powf((step as f64 - 15.0) / 10.0), 0.0125);
    }
    // Read in an edition of the standard.
    let read = [0.315, 0.4, 0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0];
    for (found, expected) in ratings[10..].iter().zip(read) {
        agree("rating", *found, expected, 1e-12);
    }
}
