//! What each feed draws: continuously, at its peak, at switch-on, and with one drive blocked.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use super::fuse::next_r10;
use super::model::{Demand, Load};
use crate::catalogue::{Attr, Catalogue, Part, Role, Value};
use crate::id::{ControllerId, DeviceId, DriveId, FeedId, LeverId, OwnedSupplyId, PartId, SchemeId};
use crate::layout::{AtOnce, Lamps, Layout, Waveform};
use crate::quantity::{Current, Quantity, Voltage};
use crate::scheme::{Assignment, Electrics};
use crate::takeoff::Subject;
use crate::wiring::{lamps_of, open_families};

/// A feed's voltage and waveform, in an order that does not depend on floats.
type FeedKey = (Quantity, Waveform);

/// Demand by feed, lowest voltage first. Worst case by the traits of the schemes: it does not depend on the parts bought.
///
/// A drive's current at its feed is that of its motor times `motor voltage ÷ (feed voltage × efficiency)`: power is kept, less what the
/// converter between them loses. A drive that takes stored pulses does not load its feed; the charging of the discharge unit does.
pub fn demand(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Vec<Demand> {
    let mut feeds: BTreeMap<FeedKey, Vec<Load>> = BTreeMap::new();
    let mut add = |voltage: Voltage, waveform: Waveform, load: Load| {
        feeds.entry((voltage.quantity(), waveform)).or_default().push(load);
    };
    for id in layout.drive_ids() {
        let Some(scheme) = assignment.of(id).map(|scheme| catalogue.scheme(scheme)) else { continue };
        let Some(electrics) = scheme.electrics.filter(|electrics| !electrics.stored) else { continue };
        let ratio = at_feed(&electrics);
        let rest = scheme.draw.rest() * ratio;
        let over_rest = |current: Current| (current * ratio - rest).max(Current::ZERO);
        let load = Load {
            subject: Subject::Drive(id),
            continuous: rest,
            start_up: (scheme.draw.switch_on() * ratio).max(rest),
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
                steady(Subject::Controller(ControllerId::at(index)), electrics.controller),
            );
        }
    }
    for scheme in open_families(catalogue, assignment) {
        if let Some(electrics) = catalogue.scheme(scheme).electrics {
            let load = if electrics.stored {
                charging(electrics.panel)
            } else {
                steady(Subject::Panel, electrics.panel * f64::from(encoders(layout, catalogue, assignment, scheme)))
            };
            add(electrics.voltage, electrics.waveform, load);
        }
    }
    let rates = &catalogue.rates;
    for (index, lever) in layout.levers.iter().enumerate() {
        if lamps_of(layout, catalogue, assignment, lever) != Lamps::None {
            let lit = rates.lamp_current * f64::from(rates.lamps_lit);
            add(rates.light_voltage, Waveform::Dc, steady(Subject::Lever(LeverId::at(index)), lit));
        }
    }
    for (index, device) in layout.devices.iter().enumerate().filter(|(_, device)| device.lit > 0) {
        let lit = rates.light_current * f64::from(device.lit);
        add(rates.light_voltage, Waveform::Dc, steady(Subject::Signal(DeviceId::at(index)), lit));
    }
    let feeds = feeds.into_iter().map(|((voltage, waveform), mut loads)| {
        loads.retain(|load| load.start_up > Current::ZERO || load.moving > Current::ZERO || load.continuous > Current::ZERO);
        (voltage, waveform, loads)
    });
    let drawn = feeds.filter(|(_, _, loads)| !loads.is_empty()).enumerate();
    drawn
        .map(|(index, (voltage, waveform, loads))| {
            sum_up(layout, catalogue, FeedId::at(index), Voltage(voltage.to_f64()), waveform, loads)
        })
        .collect()
}

/// How many encoders read the levers of a family: as few as the largest sold makes it, and one where none is asked for by inputs.
fn encoders(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, family: SchemeId) -> u32 {
    let is_mine = |drive: &DriveId| assignment.of(*drive).is_some_and(|scheme| catalogue.family(scheme) == family);
    let levers = layout.levers.iter().filter(|lever| lever.drives.iter().any(is_mine)).count();
    let kinds = catalogue.rules.iter().filter(|rule| {
        catalogue.kind(rule.kind).role == Role::Encoder
            && rule.scheme.is_none_or(|written| catalogue.counts_under(written, family))
    });
    let inputs = kinds.flat_map(|rule| catalogue.parts_of(rule.kind)).filter_map(|(_, part)| part.measured(Attr::Inputs)).max();
    let largest = inputs.and_then(|inputs| inputs.value().to_u32()).unwrap_or(0);
    if largest == 0 { 1 } else { u32::try_from(levers).unwrap_or(u32::MAX).div_ceil(largest).max(1) }
}

/// Current at the feed for one ampere at the motor.
fn at_feed(electrics: &Electrics) -> f64 {
    electrics.motor_voltage.0 / (electrics.voltage.0 * electrics.efficiency.0)
}

/// A load that never changes.
fn steady(subject: Subject, current: Current) -> Load {
    Load { subject, continuous: current, start_up: current, moving: Current::ZERO, blocked: Current::ZERO }
}

/// The charging of a discharge unit, after a throw and at switch-on.
fn charging(current: Current) -> Load {
    Load { subject: Subject::Panel, continuous: Current::ZERO, start_up: current, moving: current, blocked: Current::ZERO }
}

fn sum_up(layout: &Layout, catalogue: &Catalogue, id: FeedId, voltage: Voltage, waveform: Waveform, loads: Vec<Load>) -> Demand {
    let continuous: Current = loads.iter().map(|load| load.continuous).sum();
    let start_up: Current = loads.iter().map(|load| load.start_up).sum();
    let blocked = loads.iter().map(|load| load.blocked).fold(Current::ZERO, Current::max);
    let (moving, peak_of) = most_moving(layout, &loads);
    let peak = continuous + moving;
    let fault = continuous + blocked;
    let usable = 1.0 - layout.rules.headroom.value.0;
    let most = peak.max(start_up);
    let needed = most.max(continuous / usable);
    let owned = owned(layout, voltage, waveform, needed);
    let sections = match u32::try_from(owned.len()) {
        Ok(sections) if sections > 0 => sections,
        _ => sections(catalogue, voltage.quantity(), waveform, needed),
    };
    Demand {
        id,
        voltage,
        waveform,
        loads,
        continuous,
        peak,
        start_up,
        fault,
        peak_of,
        owned,
        needed,
        sections,
        fuse: next_r10(most / f64::from(sections)),
    }
}

/// The owned supplies that carry `needed`, each an equal section: the fewest that do, and of those the smallest. None where all together
/// do not.
fn owned(layout: &Layout, voltage: Voltage, waveform: Waveform, needed: Current) -> Vec<OwnedSupplyId> {
    let fitting = layout.supplies.iter().enumerate();
    let fitting = fitting.filter(|(_, own)| own.waveform == waveform && own.voltage.quantity() == voltage.quantity());
    let mut fitting: Vec<_> = fitting.map(|(index, own)| (own.current, OwnedSupplyId::at(index))).collect();
    fitting.sort_by(|a, b| a.0.0.total_cmp(&b.0.0).then(a.1.cmp(&b.1)));
    let count = (1_u32..).zip(&fitting).map(|(count, _)| count);
    let carried = count.filter_map(|count| {
        let each = needed / f64::from(count);
        let serve = fitting.iter().filter(|(current, _)| current.0 >= each.0 * (1.0 - 1e-9)).take(count as usize);
        let serve: Vec<OwnedSupplyId> = serve.map(|(_, id)| *id).collect();
        (serve.len() == count as usize).then_some(serve)
    });
    carried.into_iter().next().unwrap_or_default()
}

/// How many equal supplies carry `needed`: one, or as many as the largest sold makes it.
fn sections(catalogue: &Catalogue, voltage: Quantity, waveform: Waveform, needed: Current) -> u32 {
    let suits = |part: &Part| {
        part.measured(Attr::Voltage) == Some(voltage)
            && matches!(part.attributes.get(&Attr::Waveform), Some(Value::Text(word)) if *word == waveform.word().into())
    };
    let supplies = catalogue.parts.iter().enumerate().filter(|(index, part)| {
        catalogue.kind(part.kind).role == Role::Supply && suits(part) && catalogue.offers_of(PartId::at(*index)).next().is_some()
    });
    let largest = supplies.filter_map(|(_, part)| part.measured(Attr::Current)).max().map_or(0.0, Quantity::to_f64);
    if largest <= 0.0 || needed.0 <= largest {
        return 1;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a positive count, saturating")]
    let sections = (needed.0 / largest - 1e-9).ceil() as u32;
    sections.max(1)
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
    let of = match (of.is_empty(), beside > Current::ZERO) {
        (true, true) => "charging the discharge unit".to_owned(),
        (false, true) => format!("{of}, and charging the discharge unit"),
        (true, false) => "nothing that moves".to_owned(),
        (false, false) => of,
    };
    (moving + beside, of)
}
