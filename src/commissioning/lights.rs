//! Lights of signals, panel lamps, levers and encoder: what is seen once there is power, before any drive moves.

use super::board::{Board, DRAWS, Good, about, amps};
use super::model::Phase;
use crate::id::DeviceId;
use crate::layout::Lamps;
use crate::quantity::Current;
use crate::scheme::Wiring as Way;
use crate::wiring::{lamps_of, open_schemes};

/// By how much the current of a light may be off, its resistor's error with it: common practice, no source.
const LIGHT: f64 = 0.4;

impl Board<'_> {
    /// Each lit thing that stands here, then the panel where it stands.
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
        if self.layout.origin().board == self.id {
            self.panel();
        }
    }

    fn panel(&mut self) {
        let (layout, catalogue, assignment) = (self.layout, self.catalogue, &self.estimate.assignment);
        let local: Vec<_> = open_schemes(assignment)
            .into_iter()
            .map(|scheme| catalogue.scheme(scheme))
            .filter(|scheme| matches!(scheme.wiring, Way::Local { .. }))
            .collect();
        // Schemes of one family share their encoders.
        let draws = local.iter().filter_map(|scheme| scheme.electrics).map(|electrics| electrics.panel).reduce(Current::max);
        if let Some(draws) = draws.filter(|draws| *draws > Current::ZERO) {
            let cause =
                "nothing: no feed, or plus and minus swapped; too much: a lamp without its resistor, a strand across two pins";
            self.add(
                Phase::Lights,
                "current of each encoder, no lamp lit",
                "in its supply lead",
                about(draws.0, 1.0, DRAWS, amps).or(cause),
            );
            let good = Good::seen("its own channel answers")
                .or("none answers: the link's wires swapped or open; another answers: the lever is on another input");
            self.add(
                Phase::Lights,
                "each lever, both ways: encoder and controller see it",
                "at the controller's light, or a drive's plug with a servo in hand",
                good,
            );
        }
        let shown: Vec<Lamps> = layout.levers.iter().map(|lever| lamps_of(layout, catalogue, assignment, lever)).collect();
        if shown.contains(&Lamps::Commanded) {
            let cause =
                "dark: plus and minus of the lamp swapped, or its resistor's joint; the other lights: the two lamps swapped";
            let good = Good::seen("one lights, the other goes out").or(cause);
            self.add(Phase::Lights, "each lever, both ways: its two lamps", "at the panel, down the list of levers", good);
        }
        if shown.contains(&Lamps::Proved) {
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
