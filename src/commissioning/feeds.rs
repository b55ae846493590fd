//! What the supplies give, and what arrives at a board of it, before anything is plugged in there.

use super::board::{Board, Good, SUPPLY, about};
use super::model::Phase;
use crate::layout::Waveform;
use crate::power::discharge::RISES;
use crate::power::{Demand, Discharge};
use crate::quantity::{Share, Voltage};
use crate::takeoff::Subject;

impl Board<'_> {
    /// The feeds that reach something on the board.
    pub(super) fn feeds(&self) -> Vec<&Demand> {
        let stands_here = |subject: Subject| match subject {
            Subject::Drive(drive) => self.layout.drive(drive).spot.board == self.id,
            Subject::Signal(device) => self.layout.device(device).spot.value.board == self.id,
            Subject::Controller(controller) => {
                self.estimate.assignment.controllers.get(controller.index()).is_some_and(|it| it.spot.board == self.id)
            }
            Subject::Board(board) => board == self.id,
            Subject::Lever(_) | Subject::Panel => self.layout.origin().board == self.id,
            _ => false,
        };
        self.estimate.demands.iter().filter(|demand| demand.loads.iter().any(|load| stands_here(load.subject))).collect()
    }

    /// What the supplies give at the panel, and what arrives at the board with nothing drawn.
    pub(super) fn supply(&mut self) {
        let at_origin = self.layout.origin().board == self.id;
        let feeds: Vec<(Voltage, Waveform)> = self.feeds().iter().map(|demand| (demand.voltage, demand.waveform)).collect();
        for (voltage, waveform) in feeds {
            let more = match waveform {
                Waveform::Dc => SUPPLY,
                // Off load.
                Waveform::Ac => RISES[1].0,
            };
            let place =
                if at_origin { "at the supply's socket, then behind its fuse" } else { "where the feed comes in on this board" };
            let sides = match waveform {
                Waveform::Dc => "voltage, plus on red",
                Waveform::Ac => "voltage, meter set to AC",
            };
            // What charges a discharge unit must rise so far off load that its coils get what was counted.
            let charges = |unit: &Discharge| self.catalogue.fed_from(Some(unit.scheme)) == Some((voltage, waveform));
            let is_store = waveform == Waveform::Ac && self.estimate.discharges.iter().any(charges);
            let off_load = |rise: Share| Some((voltage * (1.0 + rise.0)).quantity());
            let good = if is_store {
                Good { least: off_load(RISES[0]), most: off_load(RISES[1]), ..Good::default() }
            } else {
                about(voltage.0, SUPPLY, more, |value| Voltage(value).quantity())
            };
            let cause = match waveform {
                Waveform::Dc => {
                    "nothing: plug or fuse; a minus before the figure: plus and minus swapped; too low: something draws already, or another supply"
                }
                Waveform::Ac if is_store => {
                    "nothing: plug or fuse, or the meter stands on DC; too low: something draws already, the unit still charges, the mains is low just now, \
                     or another supply: the farthest coils may not throw"
                }
                Waveform::Ac => {
                    "nothing: plug or fuse, or the meter stands on DC; too low: something draws already, or another supply"
                }
            };
            self.add(Phase::Supply, format!("{sides}, feed of {voltage} {}", waveform.word()), place, good.or(cause));
        }
        let estimate = self.estimate;
        for unit in estimate.discharges.iter().filter(|_| at_origin) {
            let (least, most) = (Some(unit.charged.least.quantity()), Some(unit.charged.most.quantity()));
            let good = Good { least, most, ..Good::default() };
            self.add(
                Phase::Supply,
                "voltage of the charged discharge unit",
                "across its capacitor; let it run down before you touch it",
                good.or("nothing: no feed, or its two wires on the wrong terminals; sinks: a lever's switch that sticks, or a coil left on"),
            );
        }
    }
}
