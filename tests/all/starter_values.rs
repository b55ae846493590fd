//! The values of the starter catalogue: every rule can be met, prices make sense, and figures agree with sources outside.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;
use underboard::catalogue::{
    Ask, Asked, AssemblyRule, Attr, Catalogue, Condition, Form, Kind, Measure, Part, Per, Role, Task, Value, from_starter,
};
use underboard::layout::Purpose;
use underboard::mechanics::{Bite, SCALES, Screw, least_hole};
use underboard::power::conductor::{Allowance, line_resistance};
use underboard::power::discharge::stored;
use underboard::power::fuse::ratings;
use underboard::power::series::lamp_resistor;
use underboard::quantity::{Area, Capacitance, Current, Length, Quantity, Resistance, Voltage};
use underboard::scheme::{Connection, Draw};

fn catalogue() -> Catalogue {
    from_starter().unwrap()
}

fn float(part: &Part, attr: Attr) -> f64 {
    part.measured(attr).unwrap_or_else(|| panic!("{} does not state {attr:?}", part.name)).to_f64()
}

fn of_role(catalogue: &Catalogue, role: Role) -> Vec<&Part> {
    catalogue.parts.iter().filter(|part| catalogue.kind(part.kind).role == role).collect()
}

/// Whether a part that is sold serves the rule, with a value in place of each measure it asks for.
fn is_met(catalogue: &Catalogue, rule: &AssemblyRule, measured: &BTreeMap<Measure, Quantity>, waveform: &str) -> bool {
    let kind: &Kind = catalogue.kind(rule.kind);
    let asks: Vec<Ask> = rule
        .asks
        .iter()
        .map(|(attr, asked)| {
            let value = match asked {
                Asked::Value(value) => value.clone(),
                Asked::Measure(measure) => Value::Measured(measured[measure]),
                Asked::Waveform => Value::Text(waveform.into()),
            };
            Ask { attr: *attr, sense: kind.matching[attr], value }
        })
        .collect();
    catalogue.parts_of(rule.kind).any(|(id, part)| part.serves(&asks) && catalogue.offers_of(id).next().is_some())
}

fn rules_asking(catalogue: &Catalogue, measure: Measure) -> Vec<&AssemblyRule> {
    let asks = |rule: &&AssemblyRule| rule.asks.iter().any(|(_, asked)| *asked == Asked::Measure(measure));
    let rules: Vec<_> = catalogue.rules.iter().filter(asks).collect();
    assert!(!rules.is_empty(), "no rule asks for {measure:?}");
    rules
}

#[test]
fn starter_sells_what_every_rule_asks_for() {
    let catalogue = catalogue();
    let fixed = |rule: &&AssemblyRule| rule.asks.iter().all(|(_, asked)| matches!(asked, Asked::Value(_)));
    for rule in catalogue.rules.iter().filter(fixed) {
        assert!(
            is_met(&catalogue, rule, &BTreeMap::new(), ""),
            "nothing serves {} ({})",
            catalogue.kind(rule.kind).name,
            rule.place
        );
    }
    for (id, part) in catalogue.parts.iter().enumerate() {
        let id = underboard::id::PartId::at(id);
        assert!(catalogue.offers_of(id).next().is_some(), "nobody sells {}", part.name);
    }
}

/// Fuses of IEC 60127-1 from 32 mA to 10 A, with holders and leads that bear them.
#[test]
fn starter_sells_every_fuse_with_its_holder() {
    let catalogue = catalogue();
    for rating in ratings() {
        let measured = BTreeMap::from([(Measure::FuseRating, rating.quantity())]);
        for rule in rules_asking(&catalogue, Measure::FuseRating) {
            assert!(is_met(&catalogue, rule, &measured, ""), "{} of {}", catalogue.kind(rule.kind).name, rating.quantity());
        }
    }
}

#[test]
fn starter_sells_supplies_for_the_feeds_of_its_schemes() {
    let catalogue = catalogue();
    for scheme in &catalogue.schemes {
        let electrics = scheme.electrics.unwrap();
        for amps in [0.1, 1.0, 4.0] {
            let measured =
                BTreeMap::from([(Measure::Voltage, electrics.voltage.quantity()), (Measure::Current, Current(amps).quantity())]);
            for rule in rules_asking(&catalogue, Measure::Voltage) {
                assert!(
                    is_met(&catalogue, rule, &measured, &electrics.waveform.word().to_lowercase()),
                    "{} {amps} A",
                    scheme.name
                );
            }
        }
    }
}

#[test]
fn starter_leads_reach_as_far_as_the_schemes_allow() {
    let catalogue = catalogue();
    let mut checked = 0;
    for scheme in &catalogue.schemes {
        let Connection::Local { tail, longest, .. } = scheme.connection else { continue };
        for mm in [1, 150, 151, 999, (longest - tail).mm_up()] {
            let measured = BTreeMap::from([(Measure::LeadLength, Length::from_mm(mm).quantity())]);
            for rule in rules_asking(&catalogue, Measure::LeadLength) {
                assert!(is_met(&catalogue, rule, &measured, ""), "{mm} mm");
                checked += 1;
            }
        }
    }
    assert!(checked > 0);
}

#[test]
fn starter_sells_controllers_and_connectors_of_the_common_sizes() {
    let catalogue = catalogue();
    let sizes = |role, attr| of_role(&catalogue, role).iter().filter_map(|part| part.measured(attr)).collect::<BTreeSet<_>>();
    let counts = |counts: &[u32]| counts.iter().copied().map(Quantity::count).collect::<BTreeSet<_>>();
    assert_eq!(sizes(Role::Controller, Attr::Channels), counts(&[4, 8, 12, 16]));
    assert_eq!(sizes(Role::Connector, Attr::Ways), counts(&[2, 4, 6, 9, 12, 15, 25, 37]));
    // Multipole connectors last 200 to 500 matings: common practice, no source.
    assert!(of_role(&catalogue, Role::Connector).iter().all(|part| (200.0..=500.0).contains(&float(part, Attr::Life))));
}

/// A larger pack, or more packs at once, never costs more for each piece.
#[test]
fn starter_prices_fall_with_the_amount() {
    let catalogue = catalogue();
    let mut ladders: BTreeMap<_, Vec<(u32, Decimal, &str)>> = BTreeMap::new();
    for offer in &catalogue.offers {
        let each = offer.written / Decimal::from(offer.pack);
        ladders.entry((offer.part, offer.supplier)).or_default().push((offer.pack * offer.at_least, each, &offer.code));
    }
    for ladder in ladders.values_mut() {
        ladder.sort();
        for pair in ladder.windows(2) {
            assert!(pair[0].0 < pair[1].0 && pair[0].1 > pair[1].1, "{pair:?}");
        }
    }
}

#[test]
fn starter_suppliers_differ_in_range_and_terms() {
    let catalogue = catalogue();
    let ranges: BTreeSet<BTreeSet<_>> = (0..catalogue.suppliers.len())
        .map(|index| catalogue.offers.iter().filter(|offer| offer.supplier.index() == index).map(|offer| offer.part).collect())
        .collect();
    assert_eq!(ranges.len(), catalogue.suppliers.len(), "two suppliers sell the same");
    assert!(ranges.iter().all(|range| range.len() < catalogue.parts.len()), "one supplier sells everything");
    let terms: BTreeSet<_> = catalogue.suppliers.iter().map(|s| (s.postage, s.free_from, s.least_order)).collect();
    assert_eq!(terms.len(), catalogue.suppliers.len());
    assert!(catalogue.suppliers.iter().any(|s| s.currency != catalogue.rates.home));
    assert!(catalogue.suppliers.iter().any(|s| !s.tax_included));
}

fn minutes(catalogue: &Catalogue, schemes: &[&str], per: Per, purpose: Condition) -> [f64; 3] {
    let counts = |task: &&Task| {
        task.per == per
            && task.scheme.is_some_and(|id| schemes.contains(&&*catalogue.scheme(id).name))
            && task.when.iter().all(|condition| *condition == purpose)
    };
    let tasks: Vec<&Task> = catalogue.tasks.iter().filter(counts).collect();
    [|task: &Task| task.low, |task: &Task| task.likely, |task: &Task| task.high]
        .map(|get| tasks.iter().map(|task| get(task).0).sum())
}

/// Minutes for one drive of a turnout, low, likely and high: common practice, no source.
#[test]
fn starter_times_of_a_drive_are_the_common_ones() {
    let catalogue = catalogue();
    let drive = |schemes: &[&str]| minutes(&catalogue, schemes, Per::Drive, Condition::TieBar).map(|time| time.to_string());
    assert_eq!(drive(&["servo", "servo-made"]), ["29", "45", "93"]);
    assert_eq!(drive(&["servo", "servo-ready"]), ["23", "36", "75"]);
    assert_eq!(drive(&["solenoid"]), ["25", "41", "90"]);
    assert_eq!(drive(&["stall-motor"]), ["28", "44", "87"]);
}

/// Eight servo drives on home-made brackets take most of a day: common practice, no source. With the mean (a + 4m + b) ÷ 6 and a learning
/// curve of 95 % in the unit form, and 50 minutes that do not repeat, 6.9 hours.
#[test]
fn starter_times_make_most_of_a_day_for_eight_servos() {
    let catalogue = catalogue();
    let [low, likely, high] = minutes(&catalogue, &["servo", "servo-made"], Per::Drive, Condition::TieBar);
    let each = (low + 4.0 * likely + high) / 6.0;
    let rate = catalogue.rates.learning.0;
    let hours = ((1..=8).map(|n| each * f64::from(n).powf(rate.log2())).sum::<f64>() + 50.0) / 60.0;
    assert!((hours - 6.9).abs() < 0.05, "{hours}");
}

/// No wire is better than plain copper of its cross-section (IEC 60028) nor worse than class 5 allows (IEC 60228, at 20 °C).
#[test]
fn starter_wires_resist_as_the_standards_allow() {
    let catalogue = catalogue();
    let class_5 = BTreeMap::from([("0.5", 39.0), ("0.75", 26.0), ("1", 19.5), ("2.5", 7.98)]);
    let mut found = BTreeSet::new();
    for part in of_role(&catalogue, Role::Wire) {
        let (area, ohms) = (part.measured(Attr::Area).unwrap(), float(part, Attr::LineResistance));
        assert!(ohms > line_resistance(Area(area.to_f64()), Allowance::None).0, "{}", part.name);
        if let Some((area, most)) = class_5.get_key_value(area.value().to_string().as_str()) {
            assert!(ohms <= *most, "{}", part.name);
            found.insert(*area);
        }
    }
    assert_eq!(found.len(), class_5.len());
}

/// Energy is half the capacitance times the voltage squared (University Physics, `OpenStax`), at the voltage of the motors; parts round it.
#[test]
fn starter_discharge_units_hold_what_they_say() {
    let catalogue = catalogue();
    let units = of_role(&catalogue, Role::DischargeUnit);
    assert_eq!(units.len(), 4);
    let of_motors = catalogue.schemes.iter().filter_map(|scheme| scheme.electrics).find(|electrics| electrics.stored);
    let volts = of_motors.unwrap().motor_voltage;
    for unit in units {
        let energy = stored(Capacitance(float(unit, Attr::Capacitance)), volts);
        assert!(
            float(unit, Attr::Voltage) > volts.0 * 1.25,
            "{}: its capacitor stands what a transformer gives off load",
            unit.name
        );
        assert!((energy.0 - float(unit, Attr::Energy)).abs() < 0.06, "{} holds {} J", unit.name, energy.0);
    }
}

/// Lamps and lights get the resistor of the E24 series (IEC 60063) that their currents want, rated for its heat.
#[test]
fn starter_resistors_are_those_the_lamps_want() {
    let catalogue = catalogue();
    let rates = &catalogue.rates;
    for (per, current) in [(Per::Lamp, rates.lamp_current), (Per::Aspect, rates.light_current)] {
        let wanted = lamp_resistor(rates.light_voltage, Voltage(2.0), current).unwrap();
        let is_resistor = |rule: &&AssemblyRule| rule.per == per && catalogue.kind(rule.kind).role == Role::Resistor;
        let rule = catalogue.rules.iter().find(is_resistor).unwrap();
        let asked = |wanted: Attr| {
            let value = rule.asks.iter().find(|(attr, _)| *attr == wanted).map(|(_, asked)| asked.clone());
            match value {
                Some(Asked::Value(Value::Measured(quantity))) => quantity.to_f64(),
                other => panic!("{other:?}"),
            }
        };
        assert!((Resistance(asked(Attr::Resistance)).0 - wanted.value.0).abs() < 1e-9, "{per:?}");
        assert!(asked(Attr::Power) >= 2.0 * wanted.dissipation.0 - 1e-9, "{per:?} gets too warm");
    }
}

/// Motors draw no more than their scheme states, or no plan could use them, and take no more depth.
#[test]
fn starter_motors_keep_to_their_schemes() {
    let catalogue = catalogue();
    let mut checked = 0;
    for rule in catalogue.rules.iter().filter(|rule| catalogue.kind(rule.kind).role == Role::Motor) {
        let scheme = catalogue.scheme(rule.scheme.unwrap());
        let most = match scheme.draw {
            Draw::Pulse { current, .. } => current,
            draw => draw.blocked(),
        };
        for (_, motor) in catalogue.parts_of(rule.kind) {
            assert!(float(motor, Attr::Current) <= most.0, "{}", motor.name);
            assert!(float(motor, Attr::Depth) <= scheme.mechanics.depth.mm(), "{}", motor.name);
            checked += 1;
        }
    }
    assert!(checked >= 6);
}

/// Screws of a drive through 1.5 mm of bracket hold in a top of 9 mm; a hole of 5 mm takes every rod in the common scales (both common
/// practice, no source).
#[test]
fn starter_screws_and_rods_suit_a_common_top() {
    let catalogue = catalogue();
    let value = |rule: &AssemblyRule, wanted: Attr| {
        let (_, asked) = rule.asks.iter().find(|(attr, _)| *attr == wanted)?;
        let Asked::Value(Value::Measured(quantity)) = asked else { return None };
        Length::try_from(*quantity).ok()
    };
    let top = Screw::common(Length::from_um(1500), Length::from_mm(9));
    let named = |name: &'static str| {
        let catalogue = &catalogue;
        catalogue.rules.iter().filter(move |rule| rule.per == Per::Drive && &*catalogue.kind(rule.kind).name == name)
    };
    assert!(named("wood-screw").count() >= 3);
    for rule in named("wood-screw") {
        assert_eq!(top.bite(value(rule, Attr::Length).unwrap()), Bite::Holds, "{}", rule.place);
    }
    assert!(named("spring-wire").count() >= 3);
    let scales = SCALES.iter().filter(|scale| scale.gauge <= Length::from_um(16_500));
    for (rule, scale) in scales.flat_map(|scale| named("spring-wire").map(move |rule| (rule, scale))) {
        let hole = least_hole(value(rule, Attr::Diameter).unwrap(), scale.least_travel, Length::from_um(500));
        assert!(hole <= Length::from_mm(5), "{} in {:?}", rule.place, scale.names);
    }
}

/// Whatever a scheme cannot move is moved by another, so that every column of a comparison is whole.
#[test]
fn starter_schemes_move_everything_between_them() {
    let catalogue = catalogue();
    for scheme in catalogue.schemes.iter().filter(|scheme| scheme.offered) {
        let id = catalogue.scheme_named(&scheme.name).unwrap();
        for purpose in Purpose::ALL {
            assert!(catalogue.driving(id, purpose).is_some(), "{} leaves {purpose:?}", scheme.name);
        }
    }
}

/// The saw takes something of the angle; wire and rod are cut without loss.
#[test]
fn starter_saw_takes_its_kerf() {
    let catalogue = catalogue();
    let cut = |part: &&Part| catalogue.kind(part.kind).form == Form::Pieces;
    for part in catalogue.parts.iter().filter(cut) {
        let is_sawn = catalogue.kind(part.kind).role == Role::Bracket;
        assert_eq!(part.measured(Attr::Kerf).is_some_and(|kerf| kerf.to_f64() > 0.0), is_sawn, "{}", part.name);
    }
}
