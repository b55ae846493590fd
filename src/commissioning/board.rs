//! The checks of each board.

use std::collections::BTreeMap;

use super::model::{Check, Phase};
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::id::{BoardId, DriveId, SchemeId};
use crate::layout::{Layout, Waveform};
use crate::power::Demand;
use crate::quantity::{Current, Quantity, Resistance, Seconds, Voltage};
use crate::scheme::{Draw, Electrics, Wiring as Way};
use crate::takeoff::Subject;
use crate::wiring::{End, Run, Use};

/// What the leads of a meter and a screwed joint add: common practice, no source.
const LEADS: Resistance = Resistance(0.5);

/// Above this nothing is joined that should not be: common practice, no source.
const OPEN: Resistance = Resistance(10_000.0);

/// By how much an enclosed supply may be off: common practice, no source.
const SUPPLY: f64 = 0.05;

/// By how much what a controller or motor draws may be off from what its scheme states: common practice, no source.
const DRAWS: f64 = 0.4;

/// By how much a coil's resistance may be off, a meter's error with it: common practice, no source.
const COIL: f64 = 0.2;

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
        board.drives();
        board.throws();
        checks.append(&mut board.checks);
    }
    checks
}

struct Board<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    estimate: &'a Estimate,
    id: BoardId,
    checks: Vec<Check>,
}

/// What is good.
#[derive(Default)]
struct Good {
    expected: Option<Quantity>,
    least: Option<Quantity>,
    most: Option<Quantity>,
}

/// A value, and as much less and more as these shares of it; without a lower bound where it may be nothing.
fn about(value: f64, less: f64, more: f64, quantity: impl Fn(f64) -> Quantity) -> Good {
    let least = (less < 1.0).then(|| quantity(value * (1.0 - less)));
    Good { expected: Some(quantity(value)), least, most: Some(quantity(value * (1.0 + more))) }
}

impl Board<'_> {
    fn add(&mut self, phase: Phase, what: impl Into<String>, place: impl Into<String>, good: Good) {
        let Good { expected, least, most } = good;
        self.checks.push(Check { board: self.id, phase, what: what.into(), place: place.into(), expected, least, most });
    }

    /// The drives on the board that something moves by current, with their schemes.
    fn driven(&self) -> Vec<(DriveId, SchemeId)> {
        let here = self.layout.drive_ids().filter(|&drive| self.layout.drive(drive).spot.board == self.id);
        let driven = here.filter_map(|drive| Some((drive, self.estimate.assignment.of(drive)?)));
        driven.filter(|(_, scheme)| self.catalogue.scheme(*scheme).electrics.is_some()).collect()
    }

    /// One drive of each scheme on the board.
    fn first_of_each(&self) -> Vec<(DriveId, SchemeId)> {
        let mut firsts: BTreeMap<SchemeId, DriveId> = BTreeMap::new();
        for (drive, scheme) in self.driven() {
            firsts.entry(scheme).or_insert(drive);
        }
        firsts.into_iter().map(|(scheme, drive)| (drive, scheme)).collect()
    }

    /// The feeds that reach something on the board.
    fn feeds(&self) -> Vec<&Demand> {
        let stands_here = |subject: Subject| match subject {
            Subject::Drive(drive) => self.layout.drive(drive).spot.board == self.id,
            Subject::Signal(device) => self.layout.device(device).spot.value.board == self.id,
            Subject::Controller(controller) => {
                self.estimate.assignment.controllers.get(controller.index()).is_some_and(|it| it.spot.board == self.id)
            }
            Subject::Lever(_) | Subject::Panel => self.layout.origin().board == self.id,
            _ => false,
        };
        self.estimate.demands.iter().filter(|demand| demand.loads.iter().any(|load| stands_here(load.subject))).collect()
    }

    /// Conductors end to end, feeds free of shorts, frogs joined to the right rail, coils whole.
    fn dead(&mut self) {
        let mut longest: BTreeMap<Use, &Run> = BTreeMap::new();
        let estimate = self.estimate;
        for run in estimate.wiring.runs.iter().filter(|run| run.to.spot.board == self.id) {
            let known = longest.entry(run.purpose).or_insert(run);
            if self.resistance(run).unwrap_or_default() > self.resistance(known).unwrap_or_default() {
                *known = run;
            }
        }
        for (purpose, run) in longest {
            let what = format!("resistance of each {} wire, end to end", purpose.word());
            let place = format!(
                "the longest is {}, from {} to {}",
                run.label,
                run.from.end.name(self.layout, self.catalogue),
                run.to.end.name(self.layout, self.catalogue)
            );
            let expected = self.resistance(run);
            let most = expected.map(|wire| (wire + LEADS).quantity());
            self.add(Phase::Dead, what, place, Good { expected: expected.map(Resistance::quantity), least: None, most });
        }
        let feeds: Vec<(Voltage, Waveform)> = self.feeds().iter().map(|demand| (demand.voltage, demand.waveform)).collect();
        for (voltage, waveform) in feeds {
            let what = format!("no short across the feed of {voltage} {}", waveform.word());
            let place = "both wires of the feed, nothing plugged in".to_owned();
            self.add(Phase::Dead, what, place, Good { least: Some(OPEN.quantity()), ..Good::default() });
        }
        self.frogs();
        for (drive, scheme) in self.first_of_each() {
            if let (Draw::Pulse { current, .. }, Some(electrics)) =
                (self.catalogue.scheme(scheme).draw, self.catalogue.scheme(scheme).electrics)
            {
                let coil = electrics.motor_voltage.0 / current.0;
                let name = self.layout.drive(drive).name.to_string();
                self.add(
                    Phase::Dead,
                    "each coil to its return",
                    format!("at {name}, then every drive alike"),
                    about(coil, COIL, COIL, ohms),
                );
            }
        }
    }

    /// A run's resistance, where its wire is known.
    fn resistance(&self, run: &Run) -> Option<Resistance> {
        self.estimate.wiring.sizing_of(run.subject, run.scheme).map(|sizing| sizing.line * run.length)
    }

    fn frogs(&mut self) {
        let has_frogs =
            self.estimate.wiring.runs.iter().any(|run| matches!(run.to.end, End::Frog(_)) && run.to.spot.board == self.id);
        if has_frogs {
            let joined = Good { expected: None, least: None, most: Some(LEADS.quantity()) };
            self.add(Phase::Dead, "each frog to the rail it lies with, both ways", "thrown by hand", joined);
            let apart = Good { expected: None, least: Some(OPEN.quantity()), most: None };
            self.add(Phase::Dead, "each frog to the other rail, both ways", "thrown by hand, no engine on the track", apart);
        }
    }

    /// What the supplies give at the panel, and what arrives at the board with nothing drawn.
    fn supply(&mut self) {
        let at_origin = self.layout.origin().board == self.id;
        let feeds: Vec<(Voltage, Waveform)> = self.feeds().iter().map(|demand| (demand.voltage, demand.waveform)).collect();
        for (voltage, waveform) in feeds {
            let more = match waveform {
                Waveform::Dc => SUPPLY,
                // Off load.
                Waveform::Ac => crate::power::discharge::RISES[1].0,
            };
            let place =
                if at_origin { "at the supply's socket, then behind its fuse" } else { "where the feed comes in on this board" };
            let sides = match waveform {
                Waveform::Dc => "voltage, plus on red",
                Waveform::Ac => "voltage, meter set to AC",
            };
            let good = about(voltage.0, SUPPLY, more, |value| Voltage(value).quantity());
            self.add(Phase::Supply, format!("{sides}, feed of {voltage} {}", waveform.word()), place, good);
        }
        let estimate = self.estimate;
        for unit in estimate.discharges.iter().filter(|_| at_origin) {
            let good = Good { expected: None, least: Some(unit.charged.quantity()), most: Some(unit.highest.quantity()) };
            self.add(
                Phase::Supply,
                "voltage of the charged discharge unit",
                "across its capacitor; let it run down before you touch it",
                good,
            );
        }
    }

    /// Each controller by itself.
    fn controllers(&mut self) {
        let (estimate, id) = (self.estimate, self.id);
        for (number, controller) in (1..).zip(&estimate.assignment.controllers).filter(|(_, it)| it.spot.board == id) {
            let Some(electrics) = self.catalogue.scheme(controller.scheme).electrics else { continue };
            let place = format!("controller {number}, no drive plugged in");
            if electrics.controller > Current::ZERO {
                self.add(Phase::Controller, "current it draws", &*place, about(electrics.controller.0, 1.0, DRAWS, amps));
            }
            let arrives = self.arrives(controller.scheme, electrics);
            self.add(Phase::Controller, "voltage at its terminals", place, arrives);
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
            let (place, own) = match (traits.wiring, traits.electrics) {
                (Way::Local { .. }, Some(electrics)) => ("in the supply lead of its controller", electrics.controller),
                _ => ("in one of its wires", Current::ZERO),
            };
            let (rest, moving) = (own + load.continuous, own + load.continuous + load.moving);
            self.add(Phase::Drive, format!("{name}: current while it moves"), place, about(moving.0, 1.0, DRAWS, amps));
            self.add(Phase::Drive, format!("{name}: current at rest"), place, about(rest.0, 1.0, DRAWS, amps));
            self.add(Phase::Drive, format!("{name}: time from end to end"), "by the clock", about(duration.0, 0.5, 1.0, seconds));
        }
    }

    /// A drive that takes pulses, which are too short for a meter.
    fn pulse(&mut self, name: &str, draw: Draw) {
        if let Draw::Pulse { .. } = draw {
            let what = format!("{name}: one pulse each way throws it and it stays");
            self.add(Phase::Drive, what, "the lever held no longer than it takes", Good::default());
        }
    }

    fn throws(&mut self) {
        for (drive, _) in self.driven() {
            let count = Some(Quantity::count(THROWS));
            let name = self.layout.drive(drive).name.to_string();
            let good = Good { expected: count, least: count, most: None };
            self.add(
                Phase::Throws,
                format!("{name}: good throws of {THROWS}, there and back"),
                "both ends firm, no hum, no jerk",
                good,
            );
        }
    }
}

fn ohms(value: f64) -> Quantity {
    Resistance(value).quantity()
}

fn amps(value: f64) -> Quantity {
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

    fn checks_of(scheme: &str) -> Vec<Check> {
        let catalogue = from_starter().unwrap();
        let text = "name: Test\nturnouts:\n  - id: T1\n    frog: live\n  - id: T2\n";
        let layout = crate::layout::read("test.yaml", text, &catalogue).unwrap();
        let assignment = assign(&layout, &catalogue, catalogue.scheme_named(scheme).unwrap());
        let plan = estimate(&layout, &catalogue, assignment, &Choices::default());
        checks(&layout, &catalogue, &plan)
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

    #[test]
    fn frogs_are_checked_before_there_is_power() {
        let frogs: Vec<Phase> =
            checks_of("servo-made").into_iter().filter(|check| check.what.contains("frog to")).map(|check| check.phase).collect();
        assert_eq!(frogs, [Phase::Dead, Phase::Dead]);
    }
}
