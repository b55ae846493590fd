//! Currencies against the package `iso4217`, and rounding against Python's `decimal`.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use underboard::money::{Currency, Money};

use super::figures;

#[test]
fn minor_units_are_those_of_the_reference_package() {
    let reference: BTreeMap<String, u32> = figures::<(String, u32)>("currencies").into_iter().collect();
    assert!(Currency::codes().count() > 30);
    for code in Currency::codes() {
        let places = Currency::from_code(code).map(Currency::places);
        assert_eq!(places, reference.get(code).copied(), "{code}");
    }
}

#[test]
fn amounts_are_rounded_as_decimal_rounds_them() {
    for (amount, code, minor) in figures::<(String, String, i64)>("rounding") {
        let exact = Decimal::from_str_exact(&amount).unwrap();
        let money = Money::from_decimal(exact, Currency::from_code(&code).unwrap());
        assert_eq!(money.map(Money::minor), Some(minor), "{amount} {code}");
    }
}
