//! The checks of each board.

use std::collections::BTreeMap;

use super::model::{Check, Phase};
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::id::{BoardId, DriveId, SchemeId};
use crate::layout::Layout;
use crate::quantity::{Current, Quantity, Resistance, Seconds, Voltage};
use crate::scheme::{Connection, Draw, Electrics};
use crate::takeoff::Subject;

/// By how much an enclosed supply may be off: common practice, no source.
pub(super) const SUPPLY: f64 = 0.05;

/// By how much what a controller or motor draws may be off from what its scheme states: common practice, no source.
pub(super) const DRAWS: f64 = 0.4;

/// How often each drive is thrown: common practice, no source.
const THROWS: u32 = 20;

/// The checks of all boards, each board's in the order to be done.
pub fn checks(layout: &Layout, catalogue: &Catalogue, estimate: &Estimate) -> Vec<Check> {
    let mut checks = Vec::new();
    for index in 0..layout.boards.len() {
        let mut board = Board { layout, catalogue, estimate, id: BoardId::at(index), checks: Vec::new() };
        board.dead();
        board.supply();
        board.controllers();
        board.lights();
        board.drives();
        board.throws();
        checks.append(&mut board.checks);
    }
    checks
}

pub(super) struct Board<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) estimate: &'a Estimate,
    pub(super) id: BoardId,
    checks: Vec<Check>,
}

/// What is good, and what is likely wrong where it is not.
#[derive(Default)]
pub(super) struct Good {
    pub(super) expected: Option<Quantity>,
    pub(super) least: Option<Quantity>,
    pub(super) most: Option<Quantity>,
    pub(super) sign: Option<&'static str>,
    pub(super) cause: &'static str,
}

impl Good {
    /// What is seen, where nothing is measured.
    pub(super) fn seen(sign: &'static str) -> Self {
        Self { sign: Some(sign), ..Self::default() }
    }

    /// With what is likely wrong where the reading is not good.
    pub(super) fn or(self, cause: &'static str) -> Self {
        Self { cause, ..self }
    }
}

/// A value, and as much less and more as these shares of it; without a lower bound where it may be nothing.
pub(super) fn about(value: f64, less: f64, more: f64, quantity: impl Fn(f64) -> Quantity) -> Good {
    let least = (less < 1.0).then(|| quantity(value * (1.0 - less)));
    Good { expected: Some(quantity(value)), least, most: Some(quantity(value * (1.0 + more))), ..Good::default() }
}

impl Board<'_> {
    pub(super) fn add(&mut self, phase: Phase, what: impl Into<String>, place: impl Into<String>, good: Good) {
        let Good { expected, least, most, sign, cause } = good;
        let (what, place) = (what.into(), place.into());
        self.checks.push(Check { board: self.id, phase, what, place, expected, least, most, sign, cause });
    }

    /// The drives on the board that something moves by current, with their schemes.
    pub(super) fn driven(&self) -> Vec<(DriveId, SchemeId)> {
        let here = self.layout.drive_ids().filter(|&drive| self.layout.drive(drive).spot.board == self.id);
        let driven = here.filter_map(|drive| Some((drive, self.estimate.assignment.of(drive)?)));
        driven.filter(|(_, scheme)| self.catalogue.scheme(*scheme).electrics.is_some()).collect()
    }

    /// One drive of each scheme on the board.
    pub(super) fn first_of_each(&self) -> Vec<(DriveId, SchemeId)> {
        let mut firsts: BTreeMap<SchemeId, DriveId> = BTreeMap::new();
        for (drive, scheme) in self.driven() {
            firsts.entry(scheme).or_insert(drive);
        }
        firsts.into_iter().map(|(scheme, drive)| (drive, scheme)).collect()
    }

    /// Each controller by itself.
    fn controllers(&mut self) {
        let (estimate, id) = (self.estimate, self.id);
        for (number, controller) in (1..).zip(&estimate.assignment.controllers).filter(|(_, it)| it.spot.board == id) {
            let Some(electrics) = self.catalogue.scheme(controller.scheme).electrics else { continue };
            let place = format!("controller {number}, no drive plugged in");
            if electrics.controller > Current::ZERO {
                let good = about(electrics.controller.0, 1.0, DRAWS, amps);
                self.add(
                    Phase::Controller,
                    "current it draws",
                    &*place,
                    good.or("a drive still plugged in, a strand across two pins, plus and minus swapped"),
                );
            }
            let arrives = self.arrives(controller.scheme, electrics);
            let cause = "too low: a bad pin at a joint, a loose screw at a strip, the wrong wire; a minus before the figure: swapped at the strip";
            self.add(Phase::Controller, "voltage at its terminals", place, arrives.or(cause));
        }
    }

    /// The voltage of a scheme's feed at its far end: what the wires may lose less, and no more than the supply gives.
    fn arrives(&self, scheme: SchemeId, electrics: Electrics) -> Good {
        let lost = self.layout.rules.drop.value.0;
        let family = self.catalogue.family(scheme);
        let allowed = self.estimate.wiring.far_ends.iter().find(|far| far.scheme == family).map_or(lost, |far| far.allowed.0);
        about(electrics.voltage.0, SUPPLY + allowed, SUPPLY, |value| Voltage(value).quantity())
    }

    /// One drive of each scheme: what it draws while it moves and at rest, how long it takes.
    fn drives(&mut self) {
        for (drive, scheme) in self.first_of_each() {
            let traits = self.catalogue.scheme(scheme);
            let name = self.layout.drive(drive).name.to_string();
            let loads = self.estimate.demands.iter().flat_map(|demand| &demand.loads);
            let load = loads.into_iter().find(|load| load.subject == Subject::Drive(drive));
            let (Some(load), Draw::Move { duration, .. } | Draw::Hold { duration, .. }) = (load, traits.draw) else {
                self.pulse(&name, traits.draw);
                continue;
            };
            // What is measured before a controller has what the controller takes in it.
            let (place, own) = match (traits.connection, traits.electrics) {
                (Connection::Local { .. }, Some(electrics)) => ("in the supply lead of its controller", electrics.controller),
                _ => ("in one of its wires", Current::ZERO),
            };
            let (rest, moving) = (own + load.continuous, own + load.continuous + load.moving);
            let good = about(moving.0, 1.0, DRAWS, amps)
                .or("too much: the rod rubs in its hole, a spring is still in, an end lies beyond where the blades stop");
            self.add(Phase::Drive, format!("{name}: current while it moves"), place, good);
            let at_rest = match traits.draw {
                Draw::Hold { .. } => "nothing: a wire off; too much: two tags joined",
                _ => "it hums or is warm: it presses too hard; set that end back a little",
            };
            self.add(Phase::Drive, format!("{name}: current at rest"), place, about(rest.0, 1.0, DRAWS, amps).or(at_rest));
            let good = about(duration.0, 0.5, 1.0, seconds).or("slow: the rod binds, the voltage is low, or its speed is set so");
            self.add(Phase::Drive, format!("{name}: time from end to end"), "by the clock", good);
        }
    }

    /// A drive that takes pulses, which are too short for a meter.
    fn pulse(&mut self, name: &str, draw: Draw) {
        if let Draw::Pulse { .. } = draw {
            let what = format!("{name}: one pulse each way throws it and it stays");
            let good = Good::seen("it stays").or("nothing: a wire off or the unit not charged; the wrong way: its two coil wires swapped; it falls back: pin or blades bind");
            self.add(Phase::Drive, what, "the lever held no longer than it takes", good);
        }
    }

    fn throws(&mut self) {
        for (drive, _) in self.driven() {
            let count = Some(Quantity::count(THROWS));
            let name = self.layout.drive(drive).name.to_string();
            let good = Good { expected: count, least: count, ..Good::default() }
                .or("a screw loose, the rod tight in its hole, an end set short");
            self.add(
                Phase::Throws,
                format!("{name}: good throws of {THROWS}, there and back"),
                "both ends firm, no hum, no jerk",
                good,
            );
        }
    }
}

pub(super) fn ohms(value: f64) -> Quantity {
    Resistance(value).quantity()
}

pub(super) fn amps(value: f64) -> Quantity {
    Current(value).quantity()
}

fn seconds(value: f64) -> Quantity {
    Seconds(value).quantity()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buying::Choices;
    use crate::catalogue::from_starter;
    use crate::estimate::estimate;
    use crate::scheme::assign;

    const TEXT: &str = "name: Test\npanel: {board: A}\nboards: [{id: A}]\nturnouts:\n  - id: T1\n    frog: live\n  - id: T2\nothers: [{id: L, kind: lamp}]\n";

    fn plan_of(scheme: &str) -> Estimate {
        let catalogue = from_starter().unwrap();
        let layout = crate::layout::read("test.yaml", TEXT, &catalogue).unwrap();
        let assignment = assign(&layout, &catalogue, catalogue.scheme_named(scheme).unwrap());
        estimate(&layout, &catalogue, assignment, &Choices::default())
    }

    fn checks_of(scheme: &str) -> Vec<Check> {
        let catalogue = from_starter().unwrap();
        let layout = crate::layout::read("test.yaml", TEXT, &catalogue).unwrap();
        checks(&layout, &catalogue, &plan_of(scheme))
    }

    #[test]
    fn phases_come_in_the_safe_order_on_each_board() {
        for scheme in ["servo-made", "solenoid", "stall-motor"] {
            let checks = checks_of(scheme);
            assert!(checks.is_sorted_by_key(|check| (check.board, check.phase)), "{scheme}");
            let throws = checks.iter().filter(|check| check.phase == Phase::Throws).count();
            assert_eq!(throws, 2, "{scheme}: one for each drive");
        }
    }

    #[test]
    fn a_reading_is_expected_within_its_bounds() {
        for scheme in ["servo-made", "solenoid", "stall-motor"] {
            for check in checks_of(scheme) {
                let (least, most) = (check.least.map(Quantity::to_f64), check.most.map(Quantity::to_f64));
                let Some(expected) = check.expected.map(Quantity::to_f64) else { continue };
                assert!(least.is_none_or(|least| least <= expected) && most.is_none_or(|most| expected <= most), "{check:?}");
            }
        }
    }

    /// By hand: a coil that takes 5 A at 22 V has 4.4 ohm.
    #[test]
    fn a_coil_has_the_resistance_that_its_current_says() {
        let checks = checks_of("solenoid");
        let coil = checks.iter().find(|check| check.what.contains("coil")).unwrap();
        assert!((coil.expected.unwrap().to_f64() - 4.4).abs() < 1e-6);
    }

    /// By hand: 16 V and a tenth are 17.6 V, of which a bridge makes the 23.5 V that the coils count on; a quarter more are 20 V.
    #[test]
    fn a_transformer_must_rise_as_far_as_the_coils_count_on() {
        let checks = checks_of("solenoid");
        let check = checks.iter().find(|check| check.what.contains("meter set to AC")).unwrap();
        let volts = |value: Option<Quantity>| value.unwrap().to_f64();
        assert!((volts(check.least) - 17.6).abs() < 1e-6 && (volts(check.most) - 20.0).abs() < 1e-6);
    }

    #[test]
    fn every_check_says_what_is_likely_wrong() {
        for scheme in ["servo-made", "solenoid", "stall-motor"] {
            for check in checks_of(scheme) {
                let is_told = check.expected.is_some() || check.least.is_some() || check.most.is_some() || check.sign.is_some();
                assert!(!check.cause.is_empty() && is_told, "{scheme}: {check:?}");
            }
        }
    }

    /// By hand: 89 ohm/km of link cable and 0.5 ohm of leads, whatever the wire of the power beside it.
    #[test]
    fn a_link_has_the_resistance_of_its_own_cable() {
        let checks = checks_of("servo-made");
        let link = checks.iter().find(|check| check.what.contains("link wire")).unwrap();
        let expected = link.expected.unwrap().to_f64();
        assert!((link.most.unwrap().to_f64() - expected - 0.5).abs() < 1e-6);
        let length = longest_link("servo-made");
        assert!((expected - 0.089 * length).abs() < 1e-3, "{expected} ohm for {length} m");
    }

    fn longest_link(scheme: &str) -> f64 {
        let plan = plan_of(scheme);
        let links = plan.wiring.runs.iter().filter(|run| run.purpose == crate::wiring::Use::Link);
        links.map(|run| run.length.mm() / 1000.0).fold(0.0, f64::max)
    }

    /// What is lit and who lights it is tried before any drive moves.
    #[test]
    fn lights_lamps_and_levers_are_tried() {
        let of = |scheme: &str| -> Vec<String> {
            checks_of(scheme).into_iter().filter(|check| check.phase == Phase::Lights).map(|check| check.what).collect()
        };
        let servo = of("servo-made");
        for wanted in ["current of its light", "encoder", "two lamps"] {
            assert!(servo.iter().any(|what| what.contains(wanted)), "{wanted} in {servo:?}");
        }
        assert!(!of("stall-motor").iter().any(|what| what.contains("encoder")));
        let dead = checks_of("stall-motor");
        assert!(dead.iter().any(|check| check.phase == Phase::Dead && check.what.contains("each lever")));
    }

    /// By hand: two encoders of 40 mA, the second fed through the first, and one lamp of 5 mA at each of 17 levers: 165 mA.
    #[test]
    fn encoders_are_measured_together_with_the_lamps_they_light() {
        let read = |rule: &str| {
            let turnouts: String = (1..=17).map(|n| format!("  - {{id: T{n}}}\n")).collect();
            let text = format!("panel: {{board: A}}\nboards: [{{id: A}}]\nrules: {{{rule}}}\nturnouts:\n{turnouts}");
            let catalogue = from_starter().unwrap();
            let layout = crate::layout::read("test.yaml", &text, &catalogue).unwrap();
            let assignment = assign(&layout, &catalogue, catalogue.scheme_named("servo-made").unwrap());
            let plan = estimate(&layout, &catalogue, assignment, &Choices::default());
            assert_eq!(plan.encoders.len(), 2);
            let checks = checks(&layout, &catalogue, &plan);
            let check = checks.into_iter().find(|check| check.what.contains("encoders together")).unwrap();
            (check.expected.unwrap().to_f64(), check.what.contains("17 levers"), check.place)
        };
        let (lit, names_lamps, place) = read("lamps: commanded");
        assert!((lit - 0.165).abs() < 1e-9 && names_lamps && place.contains("encoder 1"), "{lit} A {place}");
        let (dark, names_lamps, _) = read("lamps: none");
        assert!((dark - 0.080).abs() < 1e-9 && !names_lamps, "{dark} A");
    }

    #[test]
    fn frogs_are_checked_before_there_is_power() {
        let frogs: Vec<Phase> =
            checks_of("servo-made").into_iter().filter(|check| check.what.contains("frog to")).map(|check| check.phase).collect();
        assert_eq!(frogs, [Phase::Dead, Phase::Dead]);
    }
}
