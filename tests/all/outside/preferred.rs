//! Preferred values against the package `eseries`, and a lamp's resistor against a textbook.

use underboard::power::series::{lamp_resistor, next_e24};
use underboard::quantity::{Current, Resistance, Voltage};

use super::{agree, figures};

#[test]
fn the_next_value_is_that_of_the_reference_package() {
    for (asked, next) in figures::<(f64, f64)>("e24") {
        let found = next_e24(Resistance(asked)).unwrap_or_else(|| panic!("{asked} has no next"));
        agree(&format!("next to {asked}"), found.0, next, 1e-9);
    }
}

/// The example of every textbook: 5 V, a lamp of 2 V and 20 mA take 150 ohm, which sheds 60 mW.
#[test]
fn the_resistor_of_the_textbooks_lamp() {
    let resistor = lamp_resistor(Voltage(5.0), Voltage(2.0), Current(0.02)).unwrap();
    assert_eq!(resistor.value, Resistance(150.0));
    agree("dissipation", resistor.dissipation.0, 0.06, 1e-9);
}
