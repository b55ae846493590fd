//! What is checked before there is power: conductors, shorts, frogs, switches, coils.

use std::collections::BTreeMap;

use super::board::{Board, Good, about, ohms};
use super::model::Phase;
use crate::catalogue::{Attr, Role};
use crate::id::SchemeId;
use crate::layout::Waveform;
use crate::power::conductor::{Allowance, line_resistance};
use crate::quantity::{Area, LineResistance, Resistance, Voltage};
use crate::scheme::{Action, Connection, Draw};
use crate::wiring::{End, Run, Use};

/// By how much a coil's resistance may be off, a meter's error with it: common practice, no source.
const COIL: f64 = 0.2;

/// Above this nothing is joined that should not be: common practice, no source.
const OPEN: Resistance = Resistance(10_000.0);

/// What the leads of a meter and a screwed joint add: common practice, no source.
const LEADS: Resistance = Resistance(0.5);

impl Board<'_> {
    /// Conductors end to end, feeds free of shorts, frogs joined to the right rail, coils whole.
    pub(super) fn dead(&mut self) {
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
                "the longest is {}, from {} to {}{}",
                run.label,
                run.from.end.name(self.layout, self.catalogue),
                run.to.end.name(self.layout, self.catalogue),
                if purpose == Use::Light { ", up to its resistor and not through it" } else { "" }
            );
            let expected = self.resistance(run);
            let most = expected.map(|wire| (wire + LEADS).quantity());
            let good = Good { expected: expected.map(Resistance::quantity), most, ..Good::default() };
            self.add(
                Phase::Dead,
                what,
                place,
                good.or(
                    "open: a bad crimp or joint, a pin not home; too much: strands broken; another wire answers: labels swapped",
                ),
            );
        }
        let feeds: Vec<(Voltage, Waveform)> = self.feeds().iter().map(|demand| (demand.voltage, demand.waveform)).collect();
        for (voltage, waveform) in feeds {
            let what = format!("no short across the feed of {voltage} {}", waveform.word());
            let place = "both wires of the feed, nothing plugged in".to_owned();
            let good = Good { least: Some(OPEN.quantity()), ..Good::default() };
            self.add(
                Phase::Dead,
                what,
                place,
                good.or("something is still plugged in; a strand across two screws; two wires in one place"),
            );
        }
        self.frogs();
        self.switches();
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
                    about(coil, COIL, COIL, ohms).or("open: a tag not soldered; half: both coils at once; near nothing: a coil burnt, or its diode the wrong way round"),
                );
            }
        }
    }

    /// A run's resistance, where its wire is known; a link's is that of the cable bought.
    fn resistance(&self, run: &Run) -> Option<Resistance> {
        let line =
            if run.purpose == Use::Link { self.link() } else { self.estimate.wiring.sizing_of(run).map(|sizing| sizing.line) };
        line.map(|line| line * run.length)
    }

    /// The resistance of the link cable bought, as its part states it or by its cross-section.
    fn link(&self) -> Option<LineResistance> {
        let uses = self.estimate.purchase.uses.iter().map(|used| self.catalogue.part(used.part));
        let cable = uses.into_iter().find(|part| self.catalogue.kind(part.kind).role == Role::Link)?;
        let stated = cable.measured(Attr::LineResistance).map(|line| LineResistance(line.to_f64()));
        stated.or_else(|| Some(line_resistance(Area(cable.measured(Attr::Area)?.to_f64()), Allowance::Class5)))
    }

    /// A motor that is geared is not moved by hand: its frog is tried as it lies, and again once it has been thrown.
    fn frogs(&mut self) {
        let here = |run: &&Run| matches!(run.to.end, End::Frog(_)) && run.to.spot.board == self.id;
        if !self.estimate.wiring.runs.iter().any(|run| here(&run)) {
            return;
        }
        let by_hand =
            self.driven().into_iter().any(|(_, scheme)| matches!(self.catalogue.scheme(scheme).draw, Draw::Pulse { .. }));
        let geared =
            self.driven().into_iter().any(|(_, scheme)| !matches!(self.catalogue.scheme(scheme).draw, Draw::Pulse { .. }));
        let place = match (by_hand, geared) {
            (true, false) => "thrown by hand, both ways; no engine on the track",
            (false, _) => "as it lies, and again after its first throw with the power off; no engine on the track",
            (true, true) => {
                "thrown by hand, or where the motor is geared as it lies and again after its first throw with the power off; no engine on the track"
            }
        };
        let joined = Good { most: Some(LEADS.quantity()), ..Good::default() };
        let cause = "the two rail wires at its contact swapped, or the contact does not close";
        self.add(Phase::Dead, "each frog to the rail it lies with", place, joined.or(cause));
        let apart = Good { least: Some(OPEN.quantity()), ..Good::default() };
        let cause = "the two rail wires at its contact swapped, or an insulated joint missing";
        self.add(Phase::Dead, "each frog to the other rail", place, apart.or(cause));
    }

    /// Levers that are wired straight to their drives: what each switch joins.
    fn switches(&mut self) {
        let direct = |scheme: SchemeId| matches!(self.catalogue.scheme(scheme).connection, Connection::Direct { .. });
        let at_origin = self.layout.origin().board == self.id;
        let levers =
            self.layout.levers.iter().filter(|lever| lever.spot.board == self.id || at_origin && self.layout.panel.is_some());
        let schemes = levers.flat_map(|lever| &lever.drives).filter_map(|&drive| self.estimate.assignment.of(drive));
        let mut actions: Vec<Action> =
            schemes.filter(|&scheme| direct(scheme)).map(|scheme| self.catalogue.scheme(scheme).action).collect();
        actions.sort_unstable();
        actions.dedup();
        for action in actions {
            let (what, sign) = match action {
                Action::Momentary => ("each lever: common to the tag of that side while it is held", "joined; apart once let go"),
                Action::Reversing => ("each lever: its two middle tags to plus and minus", "joined; swapped the other way"),
                Action::Maintained => ("each lever: common to the tag of the side it stands on", "joined; apart the other way"),
                Action::ByHand => continue,
            };
            let cause = "the wires on the tags of another side, or a tag not soldered";
            self.add(Phase::Dead, what, "at the lever's tags, meter on ohms", Good::seen(sign).or(cause));
        }
    }
}
