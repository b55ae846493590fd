//! Lights of signals, panel lamps, levers and encoder: what is seen once there is power, before any drive moves.

use super::board::{Board, DRAWS, Good, about, amps};
use super::model::Phase;
use crate::id::DeviceId;
use crate::layout::Lamps;
use crate::power::{Demand, Load};
use crate::quantity::Current;
use crate::takeoff::{Site, Subject};
use crate::wiring::lamps_of;

/// By how much the current of a light may be off, its resistor's error with it: common practice, no source.
const LIGHT: f64 = 0.4;

impl Board<'_> {
    /// Each lit thing that stands here, the encoders, then the panel where it stands.
    pub(super) fn lights(&mut self) {
        let here = self
            .layout
            .devices
            .iter()
            .enumerate()
            .filter(|(_, device)| device.spot.value.board == self.id && device.lights > 0 && !device.owned);
        let switched = |id: DeviceId| self.layout.levers.iter().any(|lever| lever.lights.contains(&id));
        let lit: Vec<(String, u32, bool)> =
            here.map(|(index, device)| (device.name.to_string(), device.lights, switched(DeviceId::at(index)))).collect();
        for (name, lights, switched) in lit {
            let what = if lights == 1 {
                format!("{name}: current of its light")
            } else {
                format!("{name}: current of each of its {lights} lights, one after the other")
            };
            let cause = "dark: plus and minus of the lamp swapped, or its wire off; too much: its resistor is missing; another lights: labels swapped";
            let good = about(self.catalogue.rates.light_current.0, LIGHT, LIGHT, amps).or(cause);
            let place = if switched {
                "in the wire of the light, lit by its lever"
            } else {
                "in the wire of the light; it burns whenever its feed is on"
            };
            self.add(Phase::Lights, what, place, good);
        }
        self.encoders();
        if self.layout.origin().board == self.id {
            self.panel();
        }
    }

    /// The encoders that stand here. Each hands on to the next what that draws, and lights one lamp or more of each lever whenever it is fed:
    /// what can be measured is what all of them take together.
    fn encoders(&mut self) {
        let (layout, estimate) = (self.layout, self.estimate);
        let (site, subject) = match layout.panel {
            Some(_) if layout.origin().board == self.id => (Site::Panel, Subject::Panel),
            Some(_) => return,
            None => (Site::Board(self.id), Subject::Board(self.id)),
        };
        let mut bought = estimate.encoders.iter().filter(|encoder| encoder.site == site);
        let (first, more) = (bought.next().map_or(1, |encoder| encoder.number), bought.count());
        for demand in &estimate.demands {
            let encoders: Vec<Current> = demand
                .loads
                .iter()
                .filter(|load| load.subject == subject && load.is_encoder(self.catalogue))
                .map(|load| load.continuous)
                // More may be counted than are bought.
                .take(more.saturating_add(1))
                .collect();
            if encoders.is_empty() {
                continue;
            }
            let lit = self.lit_by_encoders(demand);
            let what = match (encoders.len(), lit.len()) {
                (1, 0) => "current of the encoder".to_owned(),
                (1, levers) => format!("current of the encoder and of the lamps it lights at {levers} levers"),
                (count, 0) => format!("current of the {count} encoders together"),
                (count, levers) => {
                    format!("current of the {count} encoders together and of the lamps they light at {levers} levers")
                }
            };
            let place = if encoders.len() == 1 {
                "in its supply lead".to_owned()
            } else {
                format!("in the supply lead of encoder {first}, from which the others are fed")
            };
            let cause = "nothing: no feed, or plus and minus swapped; much too little: lamps stay dark, or an encoder is not joined to the one \
                         before; too much: a lamp without its resistor, a strand across two pins";
            let together: Current = encoders.into_iter().chain(lit).sum();
            self.add(Phase::Lights, what, place, about(together.0, 1.0, DRAWS, amps).or(cause));
            let good = Good::seen("its own channel answers")
                .or("none answers: the link's wires swapped or open; another answers: the lever is on another input");
            self.add(
                Phase::Lights,
                "each lever, both ways: encoder and controller see it",
                "at the controller's light, or a drive's plug with a servo in hand",
                good,
            );
        }
    }

    /// What the lamps of each lever take that the encoders here light.
    fn lit_by_encoders(&self, demand: &Demand) -> Vec<Current> {
        let here = |load: &&Load| {
            let Subject::Lever(lever) = load.subject else { return false };
            let stands_here = self.layout.panel.is_some() || self.layout.lever(lever).spot.board == self.id;
            stands_here && load.is_local(self.catalogue)
        };
        demand.loads.iter().filter(here).map(|load| load.continuous).collect()
    }

    fn panel(&mut self) {
        let (layout, catalogue, assignment) = (self.layout, self.catalogue, &self.estimate.assignment);
        let lamps: Vec<Lamps> = layout.levers.iter().map(|lever| lamps_of(layout, catalogue, assignment, lever)).collect();
        if lamps.contains(&Lamps::Commanded) {
            let cause =
                "dark: plus and minus of the lamp swapped, or its resistor's joint; the other lights: the two lamps swapped";
            let good = Good::seen("one lights, the other goes out").or(cause);
            self.add(Phase::Lights, "each lever, both ways: its two lamps", "at the panel, down the list of levers", good);
        }
        if lamps.contains(&Lamps::Proved) {
            let cause =
                "dark: lamp the wrong way round, its contact does not close; the wrong one: the wires at the contact swapped";
            let good = Good::seen("the lamp of the side it lies").or(cause);
            self.add(
                Phase::Lights,
                "each lever: its lamps show how the blades lie",
                "at the panel, down the list of levers",
                good,
            );
        }
    }
}
