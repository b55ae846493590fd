//! Whole layout files: what a good one becomes, and what is said of each sort of bad one.

#![allow(clippy::unwrap_used, reason = "a helper of a test fails as a test does")]

mod any;
mod bad;
mod good;

use std::collections::BTreeSet;

use underboard::catalogue::{Catalogue, FrogFollows, Rates, TurnoutKind};
use underboard::diagnostic::{Diagnostic, Place};
use underboard::layout::{self, Layout, Purpose};
use underboard::money::Currency;
use underboard::quantity::{Current, Length, Minutes, Resistance, Share, Voltage};
use underboard::scheme::{Action, Connection, Draw, Mechanics, Scheme};

/// Kinds of turnout with drives, frogs and levers (common practice, no source; they are data of the catalogue).
const KINDS: &[(&str, u32, u32, u32, FrogFollows)] = &[
    ("plain", 1, 1, 1, FrogFollows::Own),
    ("wye", 1, 1, 1, FrogFollows::Own),
    ("curved", 1, 1, 1, FrogFollows::Own),
    ("catch", 1, 0, 1, FrogFollows::Own),
    ("three-way", 2, 3, 2, FrogFollows::Own),
    ("single slip", 2, 2, 2, FrogFollows::Other),
    ("double slip", 2, 2, 2, FrogFollows::Other),
    ("scissors", 4, 6, 2, FrogFollows::Own),
    ("diamond", 0, 2, 0, FrogFollows::Neighbour),
];

fn scheme(name: &str, drives: &[Purpose], offered: bool) -> Scheme {
    Scheme {
        name: name.into(),
        title: name.to_owned(),
        place: Place::File("small".into()),
        offered,
        like: None,
        drives: drives.iter().copied().collect::<BTreeSet<_>>(),
        instead: None,
        connection: Connection::None,
        draw: Draw::None,
        electrics: None,
        action: Action::ByHand,
        contacts: 0,
        mechanics: Mechanics {
            bracket: Length::ZERO,
            lugs: None,
            arm: Length::ZERO,
            depth: Length::ZERO,
            travel: None,
            force: None,
            spring: None,
        },
    }
}

/// A catalogue with what the layout reader asks of one.
pub(crate) fn small_catalogue() -> Catalogue {
    let kind = |&(name, drives, frogs, levers, follows): &(&str, u32, u32, u32, FrogFollows)| TurnoutKind {
        name: name.into(),
        place: Place::File("small".into()),
        drives,
        frogs,
        levers,
        follows,
        letters: None,
    };
    Catalogue {
        book: "small".into(),
        notice: None,
        kinds: Vec::new(),
        parts: Vec::new(),
        offers: Vec::new(),
        suppliers: Vec::new(),
        schemes: vec![
            scheme("solenoid", &[Purpose::TieBar, Purpose::Uncoupler], true),
            scheme("servo", &Purpose::ALL, false),
            scheme("servo-made", &Purpose::ALL, true),
            scheme("stall-motor", &[Purpose::TieBar, Purpose::Arm], true),
        ],
        rules: Vec::new(),
        tasks: Vec::new(),
        turnouts: KINDS.iter().map(kind).collect(),
        rates: Rates {
            home: Currency::from_code("EUR").unwrap(),
            tax: Share(0.2),
            exchanged: std::collections::BTreeMap::new(),
            learning: Share(0.95),
            clear: Length::from_mm(60),
            end_tail: Length::from_mm(150),
            rod_above: Length::from_mm(6),
            rod_bends: Length::from_mm(20),
            light_voltage: Voltage(12.0),
            light_current: Current(0.01),
            lamp_current: Current(0.005),
            lamps_per_lever: 2,
            lamps_lit: 1,
            contact: Resistance(0.01),
            fuse_drop: Voltage(0.15),
            small_fuse_drop: Voltage(0.5),
            small_fuse: Current(0.63),
            wires_per_terminal: 2,
            tag_area: underboard::quantity::Area(1.5),
            plug: [Minutes(0.3), Minutes(0.5), Minutes(2.0)],
        },
        notices: Vec::new(),
    }
}

fn read(text: &str) -> Layout {
    layout::read("test.yaml", text, &small_catalogue()).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn problems(text: &str) -> Vec<Diagnostic> {
    match layout::read("test.yaml", text, &small_catalogue()) {
        Ok(_) => Vec::new(),
        Err(problems) => problems,
    }
}
