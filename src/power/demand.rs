//! What each feed draws: continuously, at its peak, at switch-on, and with one drive blocked.

use std::collections::BTreeMap;

use super::encoders::{Encoders, likely_encoders};
use super::model::{Demand, Drawn, Load};
use super::sections::{Divided, sections};
use super::switch_on::at_switch_on;
use crate::catalogue::Catalogue;
use crate::id::{ControllerId, DeviceId, FeedId, LeverId, SchemeId};
use crate::layout::{AtOnce, Layout, Waveform};
use crate::quantity::{Current, Quantity, Voltage};
use crate::scheme::{Assignment, Electrics};
use crate::takeoff::Subject;
use crate::wiring::{Shown, shown};

/// A feed's voltage and waveform, in an order that does not depend on floats.
type FeedKey = (Quantity, Waveform);

/// Demand by feed, lowest voltage first, with as many encoders as are likely. Worst case by the traits of the schemes.
pub fn demand(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Vec<Demand> {
    demand_with(layout, catalogue, assignment, &likely_encoders(layout, catalogue, assignment))
}

/// The same with so many encoders: beside them it does not depend on the parts bought.
///
/// A drive's current at its feed is that of its motor times `motor voltage ÷ (feed voltage × efficiency)`: power is kept, less what the
/// converter between them loses. A drive that takes stored pulses does not load its feed; the charging of the discharge unit does.
pub fn demand_with(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, encoders: &Encoders) -> Vec<Demand> {
    let mut feeds: BTreeMap<FeedKey, Vec<Load>> = BTreeMap::new();
    let mut add = |voltage: Voltage, waveform: Waveform, load: Load| {
        feeds.entry((voltage.quantity(), waveform)).or_default().push(load);
    };
    for id in layout.drive_ids() {
        let Some(chosen) = assignment.of(id) else { continue };
        let scheme = catalogue.scheme(chosen);
        let Some(electrics) = scheme.electrics.filter(|electrics| !electrics.stored) else { continue };
        let ratio = at_feed(&electrics);
        let rest = scheme.draw.rest() * ratio;
        let over_rest = |current: Current| (current * ratio - rest).max(Current::ZERO);
        let load = Load {
            subject: Subject::Drive(id),
            through: Some(catalogue.family(chosen)),
            continuous: rest,
            start_up: (at_switch_on(layout, catalogue, id, chosen) * ratio).max(rest),
            moving: over_rest(scheme.draw.moving()),
            blocked: over_rest(scheme.draw.blocked()),
        };
        add(electrics.voltage, electrics.waveform, load);
    }
    for (index, controller) in assignment.controllers.iter().enumerate() {
        if let Some(electrics) = catalogue.scheme(controller.scheme).electrics {
            add(
                electrics.voltage,
                electrics.waveform,
                steady(Subject::Controller(ControllerId::at(index)), Some(controller.scheme), electrics.controller),
            );
        }
    }
    for (&(family, board), &count) in encoders {
        let Some(electrics) = catalogue.scheme(family).electrics else { continue };
        if electrics.stored {
            add(electrics.voltage, electrics.waveform, charging(family, electrics.panel));
            continue;
        }
        let subject = board.map_or(Subject::Panel, Subject::Board);
        for _ in 0..count {
            add(electrics.voltage, electrics.waveform, steady(subject, Some(family), electrics.panel));
        }
    }
    let rates = &catalogue.rates;
    for lever in (0..layout.levers.len()).map(LeverId::at) {
        let Some((family, how)) = shown(layout, catalogue, assignment, lever) else { continue };
        let lit = rates.lamp_current * f64::from(rates.lamps_lit);
        // Lamps across the poles of a lever draw through its wires, those that an encoder lights through the encoder's, others through the lights'.
        let through = match how {
            Shown::Encoder | Shown::Poles | Shown::Reversed => Some(family),
            Shown::Latch | Shown::Contact => None,
        };
        let fed_by = through.filter(|_| matches!(how, Shown::Encoder | Shown::Reversed));
        let Some((voltage, waveform)) = catalogue.fed_from(fed_by) else { continue };
        add(voltage, waveform, steady(Subject::Lever(lever), through, lit));
    }
    for (index, device) in layout.devices.iter().enumerate().filter(|(_, device)| device.lit > 0) {
        let lit = rates.light_current * f64::from(device.lit);
        add(rates.light_voltage, Waveform::Dc, steady(Subject::Signal(DeviceId::at(index)), None, lit));
    }
    let feeds = feeds.into_iter().map(|((voltage, waveform), mut loads)| {
        loads.retain(|load| load.start_up > Current::ZERO || load.moving > Current::ZERO || load.continuous > Current::ZERO);
        (voltage, waveform, loads)
    });
    let drawn = feeds.filter(|(_, _, loads)| !loads.is_empty()).enumerate();
    drawn
        .map(|(index, (voltage, waveform, loads))| {
            let voltage = Voltage(voltage.to_f64());
            let drawn = together(layout, &loads);
            let needed = drawn.needed(layout.rules.headroom.value);
            let sections = sections(Divided { layout, catalogue, assignment, voltage, waveform }, &loads);
            Demand { id: FeedId::at(index), voltage, waveform, loads, drawn, needed, sections }
        })
        .collect()
}

/// The feed from which a family of schemes, or the lights, draw.
pub fn feed_of<'a>(catalogue: &Catalogue, demands: &'a [Demand], family: Option<SchemeId>) -> Option<&'a Demand> {
    let (voltage, waveform) = catalogue.fed_from(family)?;
    demands.iter().find(|demand| demand.is_of(voltage, waveform))
}

/// Current at the feed for one ampere at the motor.
fn at_feed(electrics: &Electrics) -> f64 {
    electrics.motor_voltage.0 / (electrics.voltage.0 * electrics.efficiency.0)
}

/// A load that never changes.
fn steady(subject: Subject, through: Option<SchemeId>, current: Current) -> Load {
    Load { subject, through, continuous: current, start_up: current, moving: Current::ZERO, blocked: Current::ZERO }
}

/// The charging of a discharge unit, after a throw and at switch-on.
fn charging(family: SchemeId, current: Current) -> Load {
    let through = Some(family);
    Load {
        subject: Subject::Panel,
        through,
        continuous: Current::ZERO,
        start_up: current,
        moving: current,
        blocked: Current::ZERO,
    }
}

/// What loads draw together. Blocked is one that moves, or another beside those that move: whichever draws more.
pub(super) fn together(layout: &Layout, loads: &[Load]) -> Drawn {
    let continuous: Current = loads.iter().map(|load| load.continuous).sum();
    let start_up: Current = loads.iter().map(|load| load.start_up).sum();
    let blocked = loads.iter().map(|load| load.blocked).fold(Current::ZERO, Current::max);
    let (moving, peak_of) = most_moving(layout, loads);
    // The one that is blocked is taken to be among those that move, where any does: it draws what it draws blocked instead.
    let replaced = loads.iter().filter(|load| load.blocked == blocked).map(|load| load.moving).fold(Current::ZERO, Current::max);
    // Where nothing draws more when it is blocked, there is no such fault.
    let fault =
        if blocked > Current::ZERO { continuous + (moving - replaced).max(Current::ZERO) + blocked } else { continuous + moving };
    Drawn { continuous, peak: continuous + moving, start_up, fault, peak_of }
}

/// The most that moves at once under the rules, with what moves in words. Charging goes on beside it.
fn most_moving(layout: &Layout, loads: &[Load]) -> (Current, String) {
    let mut by_lever = vec![Current::ZERO; layout.levers.len()];
    let mut beside = Current::ZERO;
    for load in loads {
        let moving = match load.subject {
            Subject::Drive(drive) => by_lever.get_mut(layout.drive(drive).lever.index()).unwrap_or(&mut beside),
            _ => &mut beside,
        };
        *moving += load.moving;
    }
    let (moving, of) = match layout.rules.at_once.value {
        AtOnce::Levers(n) => {
            let mut levers: Vec<(usize, Current)> =
                by_lever.into_iter().enumerate().filter(|(_, current)| *current > Current::ZERO).collect();
            levers.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then(a.0.cmp(&b.0)));
            levers.truncate(n as usize);
            let names: Vec<&str> = levers.iter().take(4).map(|(index, _)| &*layout.lever(LeverId::at(*index)).name).collect();
            let more = if levers.len() > 4 { format!(" and {} more", levers.len() - 4) } else { String::new() };
            let word = if levers.len() == 1 { "lever" } else { "levers" };
            let of = if names.is_empty() { String::new() } else { format!("{word} {}{more}", names.join(", ")) };
            (levers.into_iter().map(|(_, current)| current).sum(), of)
        }
        // A lever that is on no route is thrown by itself.
        AtOnce::Routes => {
            let routes = layout.routes.iter().map(|route| {
                let moving: Current = route.levers.iter().filter_map(|lever| by_lever.get(lever.index()).copied()).sum();
                (moving, format!("route {}", route.name))
            });
            let single = layout.levers.iter().zip(&by_lever).map(|(lever, moving)| (*moving, format!("lever {}", lever.name)));
            let most = |best: (Current, String), next: (Current, String)| if next.0 > best.0 { next } else { best };
            routes.chain(single).fold((Current::ZERO, String::new()), most)
        }
    };
    let has_drives = loads.iter().any(|load| matches!(load.subject, Subject::Drive(_)));
    let of = match (of.is_empty(), beside > Current::ZERO) {
        (true, true) => "charging the discharge unit".to_owned(),
        (false, true) => format!("{of}, and charging the discharge unit"),
        (true, false) if has_drives => "its motors draw as much at rest as while they move, so throwing adds nothing".to_owned(),
        (true, false) => "nothing on it moves: lamps and the like, all the time".to_owned(),
        (false, false) => of,
    };
    (moving + beside, of)
}
