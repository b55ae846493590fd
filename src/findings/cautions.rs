//! The usual cautions, where work can hurt.

use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Finding, Weight};
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
    if schemes.iter().any(|&scheme| catalogue.scheme(scheme).electrics.is_some_and(|electrics| electrics.stored)) {
        caution(
            "stored-charge",
            "A discharge unit holds its charge after the power is off. Discharge it through a resistor before you touch it.",
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
