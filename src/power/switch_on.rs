//! What a drive draws at switch-on: its twitch, unless something holds it still.

use crate::catalogue::{AssemblyRule, Catalogue, Condition};
use crate::id::{DriveId, SchemeId};
use crate::layout::{Layout, SwitchOn};
use crate::quantity::Current;
use crate::scheme::Draw;

/// The rule that brings the part by which the drives of a scheme are held still at switch-on, if the catalogue has one.
pub fn cure(catalogue: &Catalogue, scheme: SchemeId) -> Option<&AssemblyRule> {
    catalogue.rules.iter().find(|rule| {
        rule.when.contains(&Condition::HeldAtSwitchOn)
            && rule.scheme.is_none_or(|written| catalogue.counts_under(written, scheme))
    })
}

/// Whether a drive under a scheme may twitch at switch-on. Of drives that are owned no parts are bought, so none holds them.
pub fn twitches(layout: &Layout, catalogue: &Catalogue, drive: DriveId, scheme: SchemeId) -> bool {
    if !would_twitch(catalogue.scheme(scheme).draw) {
        return false;
    }
    match layout.rules.switch_on.value {
        SwitchOn::Quiet => false,
        SwitchOn::Twitching => true,
        SwitchOn::Held => layout.device_of(drive).owned || cure(catalogue, scheme).is_none(),
    }
}

/// Whether such drives draw more at switch-on than at rest only because their signal is not yet there.
fn would_twitch(draw: Draw) -> bool {
    matches!(draw, Draw::Move { rest, switch_on, .. } if switch_on > rest)
}

/// What a drive draws at switch-on, at its motor.
pub fn at_switch_on(layout: &Layout, catalogue: &Catalogue, drive: DriveId, scheme: SchemeId) -> Current {
    let draw = catalogue.scheme(scheme).draw;
    if would_twitch(draw) && !twitches(layout, catalogue, drive, scheme) {
        return draw.rest();
    }
    draw.switch_on().max(draw.rest())
}
