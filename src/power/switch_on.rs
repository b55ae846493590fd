//! What a drive draws at switch-on: its twitch, unless something holds it still.

use crate::buying::Purchase;
use crate::catalogue::{AssemblyRule, Catalogue, Condition};
use crate::id::{DriveId, PartId, RuleId, SchemeId};
use crate::layout::{Layout, SwitchOn};
use crate::quantity::Current;
use crate::scheme::Draw;
use crate::takeoff::Takeoff;

/// The rule that brings the part by which the drives of a scheme are held still at switch-on, if the catalogue has one.
pub fn cure(catalogue: &Catalogue, scheme: SchemeId) -> Option<RuleId> {
    let holds = |rule: &AssemblyRule| {
        rule.when.contains(&Condition::HeldAtSwitchOn)
            && rule.scheme.is_none_or(|written| catalogue.counts_under(written, scheme))
    };
    catalogue.rules.iter().position(holds).map(RuleId::at)
}

/// The part of an order by which the drives of a scheme are held still; `None` where none is taken.
pub fn cure_taken(catalogue: &Catalogue, (takeoff, purchase): (&Takeoff, &Purchase), scheme: SchemeId) -> Option<PartId> {
    let rule = cure(catalogue, scheme)?;
    let needs = takeoff.needs.iter().filter(|need| need.reasons.iter().any(|reason| reason.rule == rule));
    let mut taken = needs.flat_map(|need| purchase.uses.iter().filter(|used| used.need == need.id && used.count > 0));
    taken.next().map(|used| used.part)
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
