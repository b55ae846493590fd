//! The converters of controllers: what each must give its motors, and what the part bought for it gives.

use super::check::Fitted;
use super::demand::together;
use super::model::{Drawn, Load};
use super::pulse::heats;
use super::switch_on::at_switch_on;
use crate::catalogue::{Attr, Catalogue};
use crate::id::{ControllerId, DriveId, PartId};
use crate::layout::Layout;
use crate::quantity::Current;
use crate::scheme::Assignment;
use crate::takeoff::Subject;

/// How the converter of a controller stands.
#[derive(Debug, Clone, PartialEq)]
pub struct ConverterCheck {
    /// The controller.
    pub controller: ControllerId,
    /// The part bought for it.
    pub part: PartId,
    /// What its converter gives: the current that the part states.
    pub gives: Current,
    /// What its motors draw together, at their own voltage.
    pub drawn: Drawn,
}

impl ConverterCheck {
    /// Whether it gives what its motors draw in use and at switch-on.
    pub fn carries(&self) -> bool {
        self.drawn.most().0 <= self.gives.0 * (1.0 + 1e-9)
    }

    /// Whether it goes on while one of them is blocked.
    pub fn bears_a_blocked_one(&self) -> bool {
        self.drawn.fault.0 <= self.gives.0 * (1.0 + 1e-9)
    }
}

/// The converters of the controllers that are bought, where their parts state a current.
pub fn converters(layout: &Layout, catalogue: &Catalogue, fitted: Fitted<'_>) -> Vec<ConverterCheck> {
    let controllers = fitted.assignment.controllers.iter().enumerate().filter_map(|(index, controller)| {
        let id = ControllerId::at(index);
        let part = part_of(fitted, id, catalogue)?;
        let gives = Current::try_from(catalogue.part(part).measured(Attr::Current)?).ok()?;
        Some(ConverterCheck {
            controller: id,
            part,
            gives,
            drawn: drawn_by(layout, catalogue, fitted.assignment, &controller.drives),
        })
    });
    controllers.collect()
}

/// What the motors of some drives draw together at their own voltage. Pulses count by what they heat; those that come from a discharge unit do not
/// load a converter, whose part charges it slowly.
pub fn drawn_by(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, drives: &[DriveId]) -> Drawn {
    let loads = drives.iter().filter_map(|&drive| {
        let scheme = assignment.of(drive)?;
        let draw = catalogue.scheme(scheme).draw;
        if catalogue.is_stored(Some(catalogue.family(scheme))) {
            return None;
        }
        let rest = draw.rest();
        let over = |current: Current| (heats(draw, current) - rest).max(Current::ZERO);
        Some(Load {
            subject: Subject::Drive(drive),
            through: Some(catalogue.family(scheme)),
            continuous: rest,
            start_up: at_switch_on(layout, catalogue, drive, scheme),
            moving: over(draw.moving()),
            blocked: over(draw.blocked()),
        })
    });
    together(layout, &loads.collect::<Vec<_>>())
}

/// The part that serves a controller; of several that serve controllers alike, the one whose converter gives the least.
fn part_of(fitted: Fitted<'_>, id: ControllerId, catalogue: &Catalogue) -> Option<PartId> {
    let mut needs = fitted.takeoff.needs.iter().filter(|need| {
        catalogue.kind(need.kind).role == crate::catalogue::Role::Controller
            && need.reasons.iter().any(|reason| reason.subject == Subject::Controller(id))
    });
    let need = needs.next()?;
    let used = fitted.purchase.uses.iter().filter(|used| used.need == need.id && used.count > 0);
    used.map(|used| used.part).min_by_key(|part| catalogue.part(*part).measured(Attr::Current))
}
