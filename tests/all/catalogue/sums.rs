//! What cells come to: money, tax, exchange, units, traits taken over.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use underboard::catalogue::{Asked, Attr, Catalogue, Condition, Form, FrogFollows, Measure, Role, Sense, Stage, Value, Word};
use underboard::layout::{Purpose, Waveform};
use underboard::quantity::{Current, Dimension, Length, Quantity, Seconds, Share, Voltage};
use underboard::scheme::{Action, Connection, Draw, Electrics, Mechanics};

use super::edited;
use crate::support::{SMALL, catalogue, small_but};

fn price(catalogue: &Catalogue, part: &str) -> String {
    let offer = catalogue.offers.iter().find(|offer| &*catalogue.part(offer.part).name == part).unwrap();
    format!("{} {}", offer.written, offer.price)
}

#[test]
fn prices_are_brought_home_with_tax_and_rounded_once() {
    let catalogue = catalogue(SMALL);
    assert_eq!(price(&catalogue, "short lead"), "1.5 1.50 EUR");
    // 2.00 USD without tax: 2.00 x 1.2 x 0.9 = 2.16 EUR.
    assert_eq!(price(&catalogue, "long lead"), "2 2.16 EUR");
    assert_eq!(price(&catalogue, "plug 9"), "6 6.48 EUR");
    let postage: Vec<String> = catalogue.suppliers.iter().map(|supplier| supplier.postage.to_string()).collect();
    assert_eq!(postage, ["3.50 EUR", "5.40 EUR"]);
    assert_eq!(catalogue.suppliers[0].free_from.unwrap().to_string(), "40.00 EUR");
    assert_eq!(catalogue.suppliers[1].least_order.unwrap().to_string(), "10.80 EUR");
    // Rounded before tax, 4.445 would come to 4.45 x 1.2 x 0.9 = 4.81; rounded once it is 4.8006.
    let edited = edited("Offers", "far,,1,2.00", "far,,1,4.445").unwrap();
    assert_eq!(price(&edited, "long lead"), "4.445 4.80 EUR");
}

#[test]
fn a_supplier_without_a_least_order_or_always_free_has_no_threshold() {
    let catalogue = edited("Suppliers", "3.50,40,,", "3.50,0,0,").unwrap();
    let north = &catalogue.suppliers[0];
    assert_eq!((north.postage.minor(), north.free_from, north.least_order), (0, None, None));
}

#[test]
fn a_currency_without_coins_is_rounded_to_whole_units() {
    let rates = "rate,value\nhome currency,JPY\nEUR,160.5\nUSD,150.25";
    let catalogue = catalogue(&small_but("Rates", rates));
    // 4.20 EUR x 160.5 = 674.1 JPY.
    assert_eq!(price(&catalogue, "small motor"), "4.2 674 JPY");
    assert_eq!(catalogue.notices.len(), 20, "each rate that is left out is told of");
}

#[test]
fn parts_hold_exact_quantities_whatever_unit_they_are_written_in() {
    let catalogue = catalogue(SMALL);
    let part = |name: &str| catalogue.parts.iter().find(|part| &*part.name == name).unwrap();
    assert_eq!(part("short lead").measured(Attr::Length), Some(Quantity::new(Dimension::Length, 300.into())));
    assert_eq!(part("long lead").measured(Attr::Length), Some(Quantity::new(Dimension::Length, 1000.into())));
    assert_eq!(part("red reel").measured(Attr::Length), Some(Quantity::new(Dimension::Length, 25_000.into())));
    assert_eq!(part("red reel").attributes.get(&Attr::Colour), Some(&Value::Text("rd".into())));
    assert_eq!(part("brick").attributes.get(&Attr::Waveform), Some(&Value::Text("dc".into())));
    assert_eq!(part("box 8").measured(Attr::Channels), Some(Quantity::count(8)));
    assert_eq!((part("screw M2").stock, part("brick").stock), (25, 0));
    assert_eq!(part("box 8").attributes.len(), 1);
}

#[test]
fn kinds_hold_role_form_and_matching() {
    let catalogue = catalogue(SMALL);
    let kind = |name: &str| catalogue.kinds.iter().find(|kind| &*kind.name == name).unwrap();
    assert_eq!(
        (kind("strip").form, kind("wire").form, kind("motor").form),
        (Form::Capacity(Attr::Ways), Form::Pieces, Form::AtLeast)
    );
    assert_eq!((kind("box").role, kind("strip").role), (Role::Controller, Role::WiringSundry));
    assert_eq!((kind("screw").spares, kind("motor").spares), (true, false));
    let matching: Vec<(Attr, Sense)> = kind("supply").matching.iter().map(|(attr, sense)| (*attr, *sense)).collect();
    assert_eq!(matching, [(Attr::Voltage, Sense::Equal), (Attr::Current, Sense::AtLeast), (Attr::Waveform, Sense::Equal)]);
    assert_eq!(catalogue.kind(catalogue.parts[9 - 1].kind).name, kind("screw").name);
}

#[test]
fn a_scheme_takes_over_what_it_leaves_blank() {
    let catalogue = catalogue(SMALL);
    let scheme = |name: &str| catalogue.scheme(catalogue.scheme_named(name).unwrap());
    let (near, plus, coil, hand) = (scheme("near"), scheme("near plus"), scheme("coil"), scheme("hand"));
    let tail = Length::from_mm(220);
    assert_eq!(near.connection, Connection::Local { tail, longest: Length::from_mm(2000), conductors: 3, link: 4, feed: 2 });
    let (rest, moving, blocked) = (Current(0.008), Current(0.2), Current(0.7));
    assert_eq!(near.draw, Draw::Move { rest, moving, blocked, switch_on: rest, duration: Seconds(2.0) });
    assert_eq!(
        near.mechanics,
        Mechanics {
            bracket: Length::from_mm(15),
            lugs: None,
            arm: Length::from_mm(40),
            depth: Length::from_mm(35),
            travel: None,
            force: None,
            spring: None
        }
    );
    assert_eq!((plus.contacts, near.contacts), (1, 0));
    assert_eq!(
        (plus.connection, plus.draw, plus.electrics, plus.action, plus.mechanics, &plus.drives, plus.instead),
        (near.connection, near.draw, near.electrics, near.action, near.mechanics, &near.drives, near.instead)
    );
    assert_eq!(plus.like, catalogue.scheme_named("near"));
    assert_eq!(near.drives, BTreeSet::from([Purpose::TieBar, Purpose::Arm]));
    assert_eq!(coil.connection, Connection::Direct { conductors: 3, shared: 1 });
    assert_eq!(coil.draw, Draw::Pulse { current: Current(4.0), duration: Seconds(0.04) });
    let ac = Electrics {
        voltage: Voltage(24.0),
        waveform: Waveform::Ac,
        motor_voltage: Voltage(24.0),
        efficiency: Share(1.0),
        controller: Current::ZERO,
        panel: Current::ZERO,
        stored: false,
    };
    assert_eq!(coil.electrics, Some(ac));
    assert_eq!(
        (hand.connection, hand.draw, hand.electrics, hand.action, hand.offered),
        (Connection::None, Draw::None, None, Action::ByHand, false)
    );
    assert!(near.offered && plus.offered);
}

#[test]
fn a_base_that_serves_instead_of_its_own_variant_is_no_ring() {
    let schemes = "scheme,title,like,offered,drives,instead,wiring,draw,lever
        base,Base,,no,tie bar; arm,variant,none,none,by hand
        variant,Variant,base,,tie bar,,,,";
    let mut sheets = small_but("Schemes", schemes);
    sheets.retain(|(name, _)| *name != "Assemblies" && *name != "Tasks");
    sheets.push(("Assemblies", "per,kind,amount,why\nlayout,screw,1,one"));
    sheets.push(("Tasks", "per,task,stage,low (min),likely (min),high (min)\nlayout,Tidy up,testing,1,2,3"));
    let catalogue = catalogue(&sheets);
    assert_eq!(catalogue.schemes[0].instead, catalogue.scheme_named("variant"));
    assert_eq!(catalogue.schemes[1].instead, None);
}

#[test]
fn shares_are_read_as_per_cent_or_as_the_share_a_per_cent_cell_stores() {
    let efficiency = |cell: &str| {
        let catalogue = edited("Schemes", "5,85,50", &format!("5,{cell},50")).unwrap();
        catalogue.schemes[0].electrics.unwrap().efficiency
    };
    assert_eq!(["85", "85 %", "0.85", "1", "100"].map(efficiency), [0.85, 0.85, 0.85, 1.0, 1.0].map(Share));
    let tax = |cell: &str| edited("Rates", "tax,20 %", &format!("tax,{cell}")).unwrap().rates.tax;
    assert_eq!(["20 %", "0.2", "0", "0 %"].map(tax), [0.2, 0.2, 0.0, 0.0].map(Share));
}

#[test]
fn rules_hold_what_is_asked_how_many_and_when() {
    let catalogue = catalogue(SMALL);
    let rule = |index: usize| &catalogue.rules[index];
    assert_eq!(rule(1).asks, [(Attr::Length, Asked::Measure(Measure::LeadLength))]);
    assert_eq!((rule(1).when.as_slice(), rule(1).scheme), ([Condition::TailShort].as_slice(), catalogue.scheme_named("near")));
    assert_eq!(rule(3).asks, [(Attr::Colour, Asked::Value(Value::Text("rd".into())))]);
    assert_eq!((rule(3).amount, rule(3).measure), (Decimal::ONE, Some(Measure::RunLength)));
    assert_eq!((rule(4).amount, rule(4).measure), (Decimal::TWO, None));
    assert_eq!((rule(6).amount, rule(6).measure, rule(6).scheme), (Decimal::ONE, Some(Measure::Plugs), None));
    assert_eq!(
        rule(7).asks,
        [
            (Attr::Voltage, Asked::Measure(Measure::Voltage)),
            (Attr::Current, Asked::Measure(Measure::Current)),
            (Attr::Waveform, Asked::Waveform)
        ]
    );
    assert_eq!(rule(7).place.to_string(), "small book › Assemblies › A9");
}

#[test]
fn amounts_and_asks_may_be_written_as_people_do() {
    let amount = |cell: &str| {
        let catalogue = edited("Assemblies", "1 x run length", cell).unwrap();
        (catalogue.rules[3].amount, catalogue.rules[3].measure)
    };
    for cell in ["3 x run length", "3x run length", "3 × Run  Length", "3 * run length", "3.0 x run length"] {
        assert_eq!(amount(cell), (Decimal::from(3), Some(Measure::RunLength)), "{cell}");
    }
    let asked = |cell: &str| edited("Assemblies", "length lead length", cell).unwrap().rules[1].asks.clone();
    let metre = Asked::Value(Value::Measured(Quantity::new(Dimension::Length, 1000.into())));
    for cell in ["length 1 m", "Length 1000 mm", "length 100cm;"] {
        assert_eq!(asked(cell), [(Attr::Length, metre.clone())], "{cell}");
    }
}

#[test]
fn tasks_count_minutes_whatever_unit_they_are_written_in() {
    let tasks = "per,task,stage,low (s),likely,high (min),when\ndrive,Fit it,fitting,90,2 min,2.5,portable; live frog";
    let catalogue = catalogue(&small_but("Tasks", tasks));
    let task = &catalogue.tasks[0];
    assert_eq!((task.low.0, task.likely.0, task.high.0, task.stage), (1.5, 2.0, 2.5, Stage::Fitting));
    assert_eq!(task.when, [Condition::Portable, Condition::LiveFrog]);
}

#[test]
fn turnouts_and_rates_hold_what_is_written() {
    let catalogue = catalogue(SMALL);
    let slip = catalogue.turnout("Double Slip").unwrap();
    assert_eq!((slip.drives, slip.frogs, slip.levers, slip.follows), (2, 2, 2, FrogFollows::Other));
    assert_eq!(catalogue.turnout("diamond").unwrap().follows, FrogFollows::Neighbour);
    let rates = &catalogue.rates;
    assert_eq!((rates.home.code(), rates.tax, rates.learning), ("EUR", Share(0.2), Share(0.95)));
    assert_eq!((rates.end_tail, rates.light_voltage, rates.lamp_current), (Length::from_mm(150), Voltage(12.0), Current(0.005)));
    assert_eq!(rates.plug.map(|minutes| minutes.0), [0.3, 0.5, 2.0]);
    assert_eq!(catalogue.notice.as_deref(), Some("All prices are invented."));
}

#[test]
fn every_word_of_the_fixed_lists_is_read_in_its_column() {
    for role in Role::ALL {
        let catalogue = edited("Kinds", "motor,Motor,motor", &format!("motor,Motor,{}", role.word().to_uppercase())).unwrap();
        assert_eq!(catalogue.kinds[0].role, *role);
    }
    for stage in Stage::ALL {
        let catalogue = edited("Tasks", "Fit the motor,fitting", &format!("Fit the motor,{}", stage.word())).unwrap();
        assert_eq!(catalogue.tasks[0].stage, *stage);
    }
    for condition in Condition::ALL {
        let catalogue = edited("Tasks", "10,15,30,", &format!("10,15,30,{}", condition.word())).unwrap();
        assert_eq!(catalogue.tasks[0].when, [*condition]);
    }
}
