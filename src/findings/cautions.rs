//! The usual cautions, where work can hurt.

use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
use crate::id::SchemeId;
use crate::power::EMPTY;
use crate::wiring::open_schemes;

pub(super) fn cautions(catalogue: &Catalogue, estimate: &Estimate, findings: &mut Vec<Finding>) {
    let mut caution = |code, text: &str| findings.push(Finding::new(code, Weight::Caution, text));
    let schemes = open_schemes(&estimate.assignment);
    if !estimate.demands.is_empty() {
        caution(
            "mains",
            "Mains voltage stays inside a certified, enclosed supply, which is not ours to open or wire. Everything under the boards is extra-low \
             voltage. Local codes and licensed practice come first.",
        );
        caution("fuse-each-feed", "Put a fuse in each feed, close to the supply: thin wire burns before a large supply notices.");
    }
    let is_stored = |scheme: &SchemeId| catalogue.scheme(*scheme).electrics.is_some_and(|electrics| electrics.stored);
    if schemes.iter().any(is_stored) {
        let holds = "A discharge unit holds its charge after the power is off.";
        let bleeders = estimate.discharges.iter().filter_map(|unit| unit.bleeder);
        caution(
            "stored-charge",
            &match bleeders.max_by(|a, b| a.empties_in.0.total_cmp(&b.empties_in.0)) {
                Some(bleeder) => format!(
                    "{holds} Fit a resistor of {} across its capacitor for good{}: it takes it down to {EMPTY} in {} or less, and gets rid of {}; take one rated for \
                     twice as much. Then measure before you touch it.",
                    bleeder.resistance,
                    if bleeder.is_planned { " (it is on the bill)" } else { "" },
                    bleeder.empties_in.rounded_up(),
                    bleeder.heat
                ),
                None => format!("{holds} Discharge it through a resistor before you touch it."),
            },
        );
    }
    let turned = estimate.takeoff.needs.iter().any(|need| catalogue.kind(need.kind).way_round.is_some());
    if turned {
        caution(
            "which-way-round",
            "Capacitors, diodes and lamps have a plus and a minus. An electrolytic capacitor the wrong way round heats up and bursts: look twice, wear \
             glasses at the first switch-on, and keep your face away from it.",
        );
    }
    if !schemes.is_empty() {
        caution(
            "eyes-and-hands",
            "Soldering, drilling, sawing and cutting spring wire hurt eyes and hands: wear glasses, clamp the work, air the room.",
        );
    }
}
