//! What a conductor meets where it crosses a joint: pins, and the tails that lead to them.

use super::joints::{pin_area, pin_rating};
use super::run::{Run, Use};
use crate::catalogue::{Attr, Catalogue, Measure, Part, Per};
use crate::layout::Layout;
use crate::power::conductor::{Allowance, line_resistance};
use crate::power::pulse::pins;
use crate::quantity::{Area, Current, LineResistance, Quantity, Resistance, Share};

/// Paralleled pins never share alike, so each counts with this part of its rating. Common practice, no source.
const SHARING: Share = Share(0.8);

/// What a conductor of a plan meets where it crosses a joint. Screws and soldered joints count as nothing.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Crossing {
    /// A pair of mated pins.
    pub pair: Resistance,
    /// The two tails of a pin, one on each half.
    pub tails: Resistance,
    /// What a pin is rated for, the weakest of the connectors to be had; `None` where they do not say.
    pub rating: Option<Current>,
    /// The thickest wire that a pin takes; `None` where the catalogue does not say.
    takes: Option<Area>,
}

impl Crossing {
    pub(super) fn new(layout: &Layout, catalogue: &Catalogue) -> Self {
        let matings = layout.rules.matings();
        let takes = pin_area(catalogue, matings);
        let rates = &catalogue.rates;
        let line = takes.map(|area| tail_line(catalogue, area)).unwrap_or_default();
        // Each tail is let out at both its ends.
        let tails = line * (rates.end_tail * 4);
        let takes = takes.map(|area| Area(area.to_f64()));
        Self { pair: rates.contact, tails, rating: pin_rating(catalogue, matings), takes }
    }

    /// How many pins a conductor takes that heats a pin like this steady current: what flows, or what the fuse before it lets through.
    pub(super) fn pins(&self, heats: Current) -> u32 {
        self.rating.and_then(|rating| pins(heats, rating, SHARING)).unwrap_or(1)
    }

    /// Whether a tail leads to each of its pins: where the wire is thicker than a pin takes, or several share the current.
    pub(super) fn by_tail(&self, purpose: Use, area: Option<Area>, pins: u32) -> bool {
        let area = area.filter(|_| purpose != Use::Link);
        // Both are read from the catalogue alike, so equal ones are equal.
        pins > 1 || area.zip(self.takes).is_some_and(|(area, takes)| area.0 > takes.0)
    }

    /// What a conductor of such a wire meets where it crosses one joint over so many pins.
    pub(super) fn resists(&self, purpose: Use, area: Option<Area>, pins: u32) -> Resistance {
        let tails = if self.by_tail(purpose, area, pins) { self.tails } else { Resistance::ZERO };
        (self.pair + tails) / f64::from(pins.max(1))
    }

    /// One conductor of a run from end to end, of such a wire and over so many pins at each joint.
    pub(super) fn run(&self, run: &Run, line: LineResistance, area: Option<Area>, pins: u32) -> Resistance {
        let joints = u32::try_from(run.crosses.len()).unwrap_or(u32::MAX);
        line * run.length + self.resists(run.purpose, area, pins) * f64::from(joints)
    }
}

/// The resistance of a part's copper: what it states, else by its cross-section.
pub(super) fn line_of(part: &Part) -> Option<LineResistance> {
    let stated = part.measured(Attr::LineResistance).map(|line| LineResistance(line.to_f64()));
    stated.or_else(|| part.measured(Attr::Area).map(|area| line_resistance(Area(area.to_f64()), Allowance::Class5)))
}

/// The wire of the tails beside plugs: that of the rule for them, of the thickness a pin takes.
fn tail_line(catalogue: &Catalogue, area: Quantity) -> LineResistance {
    let rules = catalogue.rules.iter().filter(|rule| rule.per == Per::Joint && rule.measure == Some(Measure::TailLength));
    let wires = rules.flat_map(|rule| catalogue.to_be_had(rule.kind)).map(|(_, part)| part);
    let lines = wires.filter(|part| part.measured(Attr::Area) == Some(area)).filter_map(line_of);
    let most = lines.reduce(|a, b| LineResistance(a.0.max(b.0)));
    most.unwrap_or_else(|| line_resistance(Area(area.to_f64()), Allowance::Class5))
}
