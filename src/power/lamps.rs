//! The resistors of panel lamps and of the layout's lights: what the feed wants, and what the plan has.

use super::series::{SeriesResistor, lamp_resistor};
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Per, Role, Value};
use crate::quantity::{Current, Power, Resistance, Voltage};
use crate::takeoff::Takeoff;

/// What a light-emitting diode takes where no part states it: common practice from memory, no source; a white one takes 3 V.
const DIODE: Voltage = Voltage(2.0);

/// Lamps that are alike, and their resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct LampCheck {
    /// Panel lamps, or lights of the layout.
    pub per: Per,
    /// How many resistors.
    pub count: usize,
    /// What feeds them.
    pub feed: Voltage,
    /// What each takes.
    pub takes: Voltage,
    /// The current each is to have.
    pub wanted: Current,
    /// The resistor that limits it to that, the next up in the E24 series.
    pub resistor: SeriesResistor,
    /// What the rows of the catalogue ask for instead.
    pub planned: Resistance,
    /// The heat it can shed.
    pub rated: Option<Power>,
}

impl LampCheck {
    /// What flows through the resistor that is planned.
    pub fn flows(&self) -> Current {
        (self.feed - self.takes) / self.planned
    }

    /// The heat in the resistor that is planned.
    pub fn heat(&self) -> Power {
        (self.feed - self.takes) * self.flows()
    }

    /// Whether no more flows than wanted, and the resistor sheds the heat.
    pub fn suits(&self) -> bool {
        self.flows().0 <= self.wanted.0 * (1.0 + 1e-9) && self.rated.is_none_or(|rated| self.heat().0 <= rated.0 * (1.0 + 1e-9))
    }
}

/// The lamps of a plan with their resistors.
pub fn lamps(catalogue: &Catalogue, takeoff: &Takeoff, purchase: &Purchase) -> Vec<LampCheck> {
    let rates = &catalogue.rates;
    let of = |per: Per, role: Role| {
        takeoff.needs.iter().filter(move |need| {
            catalogue.kind(need.kind).role == role && need.reasons.iter().any(|reason| reason.subject.per() == per)
        })
    };
    let mut checks = Vec::new();
    for (per, wanted) in [(Per::Lamp, rates.lamp_current), (Per::Aspect, rates.light_current)] {
        let lamp = of(per, Role::Lamp).find_map(|need| purchase.uses.iter().find(|used| used.need == need.id));
        let stated = lamp.and_then(|used| catalogue.part(used.part).measured(Attr::Voltage));
        let takes = stated.map_or(DIODE, |voltage| Voltage(voltage.to_f64()));
        let Some(resistor) = lamp_resistor(rates.light_voltage, takes, wanted) else { continue };
        for need in of(per, Role::Resistor) {
            let asked = |attr| {
                need.asks.iter().find_map(|ask| match ask.value {
                    Value::Measured(quantity) if ask.attr == attr => Some(quantity),
                    _ => None,
                })
            };
            let Some(planned) = asked(Attr::Resistance).map(|value| Resistance(value.to_f64())) else { continue };
            let count = need.reasons.iter().filter(|reason| reason.subject.per() == per).count();
            let rated = asked(Attr::Power).map(|power| Power(power.to_f64()));
            checks.push(LampCheck { per, count, feed: rates.light_voltage, takes, wanted, resistor, planned, rated });
        }
    }
    checks
}
