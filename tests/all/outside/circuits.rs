//! Circuits against ngspice, which simulates the netlists in `tests/outside`.

use std::collections::BTreeMap;
use std::fs;

use underboard::power::charger::{Charger, Limit};
use underboard::power::discharge::Throw;
use underboard::power::pulse::Pulse;
use underboard::quantity::{Capacitance, Current, Resistance, Seconds, Voltage};

use super::netlist::Netlist;
use super::{agree, figures, path, text};

/// The figures of each circuit.
fn simulated() -> BTreeMap<String, BTreeMap<String, f64>> {
    let mut circuits: BTreeMap<String, BTreeMap<String, f64>> = BTreeMap::new();
    for (circuit, figure, value) in figures::<(String, String, f64)>("circuits") {
        circuits.entry(circuit).or_default().insert(figure, value);
    }
    circuits
}

fn netlist(name: &str) -> Netlist {
    Netlist::read_all(&text(&format!("netlists/{name}.cir"))).pop().expect("one circuit")
}

/// Agrees within a millionth of the supply's voltage, and within 0.1 % of the drop.
#[test]
fn feeds_agree_with_the_simulation() {
    let written = fs::read_dir(path("netlists")).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let written = written.filter(|name| name.starts_with("feed-")).map(|name| netlist(name.strip_suffix(".cir").unwrap()));
    let all: Vec<Netlist> = written.chain(Netlist::read_all(&text("figures/feeds.cir"))).collect();
    assert!(all.len() > 40, "{} feeds", all.len());
    let simulated = simulated();
    for netlist in all {
        let (feed, supply) = netlist.feed();
        let solution = feed.solve().unwrap_or_else(|error| panic!("{}: {error}", netlist.name));
        let expected = &simulated[&netlist.name];
        let loads: Vec<f64> = expected.iter().filter(|(figure, _)| figure.starts_with("load")).map(|(_, volts)| *volts).collect();
        assert_eq!(solution.voltages.len(), loads.len(), "{}", netlist.name);
        for (found, expected) in solution.voltages.iter().zip(loads) {
            assert!((found.0 - expected).abs() <= 1e-6 * supply.0, "{}: {found} is not {expected}", netlist.name);
            let (found, expected) = (supply.0 - found.0, supply.0 - expected);
            assert!((found - expected).abs() <= 1e-3 * expected + 1e-8, "{}: a drop of {found} is not {expected}", netlist.name);
        }
        agree(&netlist.name, solution.total.0, expected["total"], 1e-6);
    }
}

/// The bus worked out for the project with ngspice 39: 7/0.2 at its plain resistivity, out and back.
#[test]
fn the_first_feed_has_the_figures_known_before() {
    let solution = netlist("feed-three-taps").feed().0.solve().unwrap();
    for (found, expected) in solution.voltages.iter().zip([4.764_801, 4.608_001, 4.529_602]) {
        agree("tap", found.0, expected, 1e-6);
    }
}

fn one_coil(netlist: &Netlist) -> (Throw, Voltage) {
    let throw = Throw {
        beside: None,
        capacitance: Capacitance(netlist.value("ccap") * 1e6),
        shared: Resistance::ZERO,
        own: Resistance(netlist.value("rwire")),
        coil: Resistance(netlist.value("rcoil")),
        coils: 1,
        held: Seconds(0.05),
    };
    (throw, Voltage(netlist.start("ccap")))
}

/// Agrees within 0.1 %.
#[test]
fn a_discharge_into_a_coil_agrees_with_the_simulation() {
    let (throw, charged) = one_coil(&netlist("discharge"));
    let expected = &simulated()["discharge"];
    agree("peak", throw.peak(charged).0, expected["peak"], 1e-3);
    agree("energy", throw.into_coil(charged).0, expected["energy"], 1e-3);
    agree("residual voltage", throw.residual(charged).0, expected["left"], 1e-3);
    agree("time above 3 A", throw.lasts_above(charged, Current(3.0)).0, expected["above3"], 1e-3);
    let pulse = Pulse::discharge(throw.peak(charged), throw.time_constant(), throw.held);
    agree("heating", pulse.rms(Seconds(1.0)).unwrap().0.powi(2), expected["heating"], 1e-3);
}

/// What `power::discharge` says of leaving the inductance out: energy within 0.1 %, peak a few per cent high.
#[test]
fn inductance_takes_from_the_peak_but_not_from_the_energy() {
    let (throw, charged) = one_coil(&netlist("discharge-inductive"));
    let expected = &simulated()["discharge-inductive"];
    agree("energy", throw.into_coil(charged).0, expected["energy"], 1e-3);
    let over = throw.peak(charged).0 / expected["peak"] - 1.0;
    assert!((0.0..0.05).contains(&over), "{over}");
}

/// Agrees within 0.1 %.
#[test]
fn two_coils_on_one_discharge_agree_with_the_simulation() {
    let netlist = netlist("discharge-two-coils");
    let throw = Throw {
        beside: None,
        capacitance: Capacitance(netlist.value("ccap") * 1e6),
        shared: Resistance(netlist.value("rshared")),
        own: Resistance(netlist.value("rown1")),
        coil: Resistance(netlist.value("rcoil1")),
        coils: 2,
        held: Seconds(0.04),
    };
    let charged = Voltage(netlist.start("ccap"));
    let expected = &simulated()["discharge-two-coils"];
    agree("peak", throw.peak(charged).0, expected["peak"], 1e-3);
    agree("energy", throw.into_coil(charged).0, expected["energy"], 1e-3);
    agree("residual voltage", throw.residual(charged).0, expected["left"], 1e-3);
}

/// Agrees within 0.1 %.
#[test]
fn a_recharge_through_a_resistor_agrees_with_the_simulation() {
    let netlist = netlist("recharge");
    let charger = Charger {
        source: Voltage(21.2274),
        limit: Limit::Resistor(Resistance(netlist.value("rlimit"))),
        capacitance: Capacitance(netlist.value("ccap") * 1e6),
        across: None,
    };
    let from = Voltage(netlist.start("ccap"));
    let expected = &simulated()["recharge"];
    agree("time to 15 V", charger.time(from, Voltage(15.0)).unwrap().0, expected["to15"], 1e-3);
    agree("time to 20 V", charger.time(from, Voltage(20.0)).unwrap().0, expected["to20"], 1e-3);
    let most = Charger { source: charger.source - from, ..charger }.most();
    agree("largest current from there", most.0, expected["most"], 1e-3);
}
