//! A small document with every sort of value and block, for the tests of the dresses.

use super::document::{Block, Cell, ColumnHead, Document, Row, Section, Table, UnitsBy, prose};
use crate::finding::{Finding, Weight};
use crate::money::{Currency, Money};
use crate::quantity::{Current, Dimension, Length, Quantity, Voltage};

pub(crate) fn euro(minor: i64) -> Money {
    Money::from_minor(minor, Currency::from_code("EUR").unwrap())
}

/// The document.
pub(crate) fn document() -> Document {
    let by_row = Table {
        units: UnitsBy::Row,
        ..Table::new(
            "schemes",
            "Side by side",
            [
                ColumnHead::words("measure", "What"),
                ColumnHead::number("scheme:one", "Solenoid, twin coil"),
                ColumnHead::number("scheme:two", "Servo, home-made bracket"),
            ],
        )
    }
    .rows([
        Row::of([Cell::from("Money now, postage included"), euro(123_456).into(), euro(98_765).into()])
            .named("money")
            .best(vec![2]),
        Row::of([Cell::from("Hours"), Cell::Hours(12.34), Cell::Hours(6.9)]).named("hours").best(vec![2]),
        Row::of([Cell::from("Conductors over all joints"), Cell::Count(24), Cell::Count(5)]).best(vec![2]),
        Row::of([Cell::from("Headroom"), Cell::Percent(-0.12), Cell::Missing]),
        Row::of([Cell::from("Supply to buy"), "none".into(), "1 x plug-in supply, 12 V DC, 2 A, enclosed".into()]),
    ]);
    let by_column = Table::new(
        "parts",
        "Parts",
        [
            ColumnHead::words("part", "Part"),
            ColumnHead::number("count", "Number"),
            ColumnHead::number("length", "Length"),
            ColumnHead::number("draw", "Draw"),
            ColumnHead::number("time", "Time").detail(),
            ColumnHead::words("owned", "Owned").detail(),
            ColumnHead::number("cost", "Cost"),
        ],
    )
    .rows([
        Row::of([
            Cell::from("Wire, stranded, 7/0.2, red, with an insulation that bears 70 degrees"),
            Cell::Count(3),
            Length::from_mm(12_340).into(),
            Cell::Missing,
            Cell::Minutes(2.5),
            false.into(),
            euro(1_250).into(),
        ]),
        Row::of([
            Cell::from("Micro servo"),
            Cell::Count(1200),
            Length::from_mm(250).into(),
            Current(0.25).into(),
            Cell::Minutes(1.0),
            true.into(),
            euro(450_000).into(),
        ]),
        Row::total([
            Cell::from("In all"),
            Cell::Missing,
            Quantity::new(Dimension::Length, 12_590.into()).into(),
            Cell::Missing,
            Cell::Missing,
            Cell::Missing,
            euro(451_250).into(),
        ]),
    ])
    .note("Spares are in.");
    let finding = Finding::new("supply-too-small", Weight::Shortfall, "The supply `old transformer` gives 1 A; 1.4 A is needed.")
        .seen("turnouts throw half way when two are thrown at once.")
        .mend("Buy a supply of 2 A.", Some(euro(1_890)));
    Document {
        verb: "compare",
        title: "Millbrook Yard: schemes side by side".to_owned(),
        notices: vec!["All prices are invented.".to_owned()],
        sections: vec![
            Section::new(
                "choice",
                "Which to take",
                [
                    Block::text(prose!["It costs ", euro(98_765), " and runs from ", Voltage(12.0), "."]),
                    Block::List(vec![prose!["one"], prose!["two, with ", Length::from_mm(1500), " of wire"]]),
                    Block::Table(by_row),
                ],
            ),
            Section::new("parts", "Parts", [Block::Table(by_column), Block::Findings(vec![finding])]),
        ],
        falls_short: true,
    }
}
