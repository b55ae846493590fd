//! Any text as a quantity of every dimension and as a sum of money: what is read prints, and reads back as the same.
#![no_main]

use libfuzzer_sys::fuzz_target;
use underboard::money::{Currency, Money};
use underboard::quantity::{Dimension, Length, Quantity, unit_symbols};

const ALL: [Dimension; 13] = [
    Dimension::Count,
    Dimension::Length,
    Dimension::Area,
    Dimension::Voltage,
    Dimension::Current,
    Dimension::Resistance,
    Dimension::LineResistance,
    Dimension::Power,
    Dimension::Capacitance,
    Dimension::Energy,
    Dimension::Time,
    Dimension::Force,
    Dimension::Share,
];

fuzz_target!(|text: &str| {
    for dimension in ALL {
        if let Ok(quantity) = Quantity::parse(text, dimension) {
            assert_eq!(Quantity::parse(&quantity.to_string(), dimension), Ok(quantity), "{quantity}");
            assert!(quantity.to_f64().is_finite());
            if let Ok(length) = Length::try_from(quantity) {
                let _ = (length.mm_up(), length.ceil_mm(), length.to_string());
            }
        }
        for unit in unit_symbols(dimension) {
            let _ = Quantity::parse_in(text, dimension, unit).map(|quantity| quantity.to_string());
        }
    }
    if let Ok(number) = Quantity::parse(text, Dimension::Count) {
        for code in Currency::codes() {
            let money = Currency::from_code(code).and_then(|currency| Money::from_decimal(number.value(), currency));
            let _ = money.map(|money| (money + money - money).to_string());
        }
    }
});
