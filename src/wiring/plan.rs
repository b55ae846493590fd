//! Lays every run of a plan.

use std::collections::BTreeMap;

use super::joints::load_joints;
use super::model::{End, Lead, Run, Terminal, Use, Wiring};
use super::paths::Paths;
use super::sizing::{size, supply_leads};
use super::trunk::{Trunk, Wanted, trunk};
use crate::catalogue::{Catalogue, Condition};
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FrogId, LeverId, SchemeId};
use crate::layout::{Lamps, Layout, Lever, Spot, Waveform};
use crate::power::{Demand, demand};
use crate::quantity::Length;
use crate::scheme::{Action, Assignment, Wiring as Way};
use crate::takeoff::Subject;

/// Plans runs, leads and joints.
pub fn plan(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Wiring {
    let demands = demand(layout, catalogue, assignment);
    let paths = Paths::new(layout);
    let mut planner = Planner { layout, catalogue, assignment, demands: &demands, paths, wiring: Wiring::default() };
    for family in open_families(catalogue, assignment) {
        match catalogue.scheme(family).wiring {
            Way::Direct { conductors, shared } => planner.direct(family, conductors, shared),
            Way::Local { tail, longest, conductors, link, feed } => {
                planner.leads(family, tail, longest, conductors);
                planner.links(family, link, feed);
            }
            Way::None => {}
        }
    }
    planner.proving();
    planner.frogs();
    planner.lights();
    let Planner { mut paths, mut wiring, .. } = planner;
    wiring.runs.sort_by_key(|run| (run.subject, run.scheme, run.purpose));
    label(layout, &mut wiring.runs);
    wiring.supply_leads = supply_leads(catalogue, assignment, &demands);
    (wiring.sizings, wiring.far_ends) = size(layout, catalogue, assignment, &demands, &wiring);
    wiring.joints = load_joints(layout, catalogue, assignment, &mut paths, &wiring);
    wiring
}

/// The schemes that move anything, in the order of the catalogue.
pub fn open_schemes(assignment: &Assignment) -> Vec<SchemeId> {
    let mut schemes: Vec<SchemeId> = assignment.schemes.iter().copied().flatten().collect();
    schemes.sort_unstable();
    schemes.dedup();
    schemes
}

/// The families of the schemes that move anything, in the order of the catalogue.
pub fn open_families(catalogue: &Catalogue, assignment: &Assignment) -> Vec<SchemeId> {
    let mut families: Vec<SchemeId> = open_schemes(assignment).into_iter().map(|scheme| catalogue.family(scheme)).collect();
    families.sort_unstable();
    families.dedup();
    families
}

/// What the panel lamps of a lever show. A lever that springs back keeps no state: its lamps can show what was asked only if the
/// catalogue has rows that remember it (`lamps commanded`), else they are proved.
pub fn lamps_of(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, lever: &Lever) -> Lamps {
    let Some(scheme) = lever.drives.first().and_then(|&drive| assignment.of(drive)) else { return Lamps::None };
    if layout.panel.is_none() {
        return Lamps::None;
    }
    match (layout.rules.lamps.value, catalogue.scheme(scheme).action) {
        (Lamps::None, _) | (_, Action::ByHand) => Lamps::None,
        (Lamps::Proved, _) => Lamps::Proved,
        (Lamps::Commanded, Action::Momentary) if !remembers(catalogue, scheme) => Lamps::Proved,
        (Lamps::Commanded, _) => Lamps::Commanded,
    }
}

/// The drives whose contacts prove a lever, one after the other: all that are of the family of its first. Its lamp lights when the last of them
/// has gone over.
pub fn proves(catalogue: &Catalogue, assignment: &Assignment, lever: &Lever) -> Vec<DriveId> {
    let family = |drive: DriveId| assignment.of(drive).map(|scheme| catalogue.family(scheme));
    let first = lever.drives.first().and_then(|&drive| family(drive));
    let mut drives = lever.drives.clone();
    drives.retain(|&drive| first.is_some() && family(drive) == first);
    drives
}

/// Whether the catalogue has parts that make commanded lamps work under a scheme.
fn remembers(catalogue: &Catalogue, scheme: SchemeId) -> bool {
    catalogue.rules.iter().any(|rule| {
        rule.when.contains(&Condition::LampsCommanded)
            && rule.scheme.is_some_and(|written| catalogue.counts_under(written, scheme))
    })
}

/// By frog: whether a contact that comes with its drive changes it over. The first frogs of a drive take its contacts.
pub fn built_in_contacts(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Vec<bool> {
    let mut taken: BTreeMap<DriveId, u32> = BTreeMap::new();
    let built_in = layout.frogs.iter().map(|frog| {
        let has = assignment.of(frog.drive).map_or(0, |scheme| catalogue.scheme(scheme).contacts);
        let taken = taken.entry(frog.drive).or_default();
        *taken += 1;
        *taken <= has
    });
    built_in.collect()
}

struct Planner<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    demands: &'a [Demand],
    paths: Paths,
    wiring: Wiring,
}

impl Planner<'_> {
    fn at_motor(&self, drive: DriveId) -> Terminal {
        Terminal { end: End::Motor(drive), spot: self.layout.drive(drive).spot }
    }

    fn at_contact(&self, drive: DriveId) -> Terminal {
        Terminal { end: End::Contact(drive), ..self.at_motor(drive) }
    }

    fn at_lever(&self, lever: LeverId) -> Terminal {
        Terminal { end: End::Lever(lever), spot: self.layout.lever(lever).spot }
    }

    /// The supply's socket for a section of a feed.
    fn source(&self, demand: Option<&Demand>, section: usize) -> Terminal {
        let several = demand.is_some_and(|demand| demand.sections.len() > 1);
        let socket = if several { u32::try_from(section + 1).unwrap_or(u32::MAX) } else { 0 };
        Terminal { end: End::Origin(socket), spot: self.layout.origin() }
    }

    /// What a family draws from its feed; of one with stored pulses nothing runs over its wires but what its discharge unit gives.
    fn feed_of(&self, family: SchemeId) -> Option<&'_ Demand> {
        let electrics = self.catalogue.scheme(family).electrics.filter(|electrics| !electrics.stored)?;
        self.demands.iter().find(|demand| demand.is_of(electrics.voltage, electrics.waveform))
    }

    /// What the lights draw.
    fn feed_of_lights(&self) -> Option<&'_ Demand> {
        self.demands.iter().find(|demand| demand.is_of(self.catalogue.rates.light_voltage, Waveform::Dc))
    }

    fn family_of(&self, drive: DriveId) -> Option<SchemeId> {
        self.assignment.of(drive).map(|scheme| self.catalogue.family(scheme))
    }

    fn drives_of(&self, family: SchemeId) -> Vec<DriveId> {
        self.layout.drive_ids().filter(|&drive| self.family_of(drive) == Some(family)).collect()
    }

    /// The length to cut for a way: the tails at both ends and the tops they pass through, then slack; whole millimetres.
    fn cut_length(&self, way: Length, ends: [Spot; 2]) -> Length {
        let tails = ends.iter().map(|end| self.catalogue.rates.end_tail + self.layout.board(end.board).top.value).sum();
        (way + tails).grown(self.layout.rules.slack.value).ceil_mm()
    }

    /// Lays `times` runs of the same course, one conductor each.
    fn run(&mut self, subject: Subject, scheme: Option<SchemeId>, purpose: Use, ends: [Terminal; 2], times: u32) {
        for first in 0..times {
            self.lay(subject, scheme, purpose, ends, 1, first);
        }
    }

    /// Lays one run of so many conductors, the first of which is conductor `first` of its use at the subject.
    fn lay(
        &mut self,
        subject: Subject,
        scheme: Option<SchemeId>,
        purpose: Use,
        [from, to]: [Terminal; 2],
        conductors: u32,
        first: u32,
    ) {
        // The reader refuses boards that cannot be reached, so a way is always found.
        let Some(path) = self.paths.between(from.spot, to.spot) else { return };
        let length = self.cut_length(path.length, [from.spot, to.spot]);
        let label = String::new();
        self.wiring.runs.push(Run {
            subject,
            scheme,
            purpose,
            conductors,
            first,
            label,
            from,
            to,
            length,
            crosses: path.crosses,
        });
    }

    /// Direct: conductors from lever to motor; the shared return, or without a panel the power of the levers, from board to board.
    fn direct(&mut self, scheme: SchemeId, conductors: u32, shared: u32) {
        let drives = self.drives_of(scheme);
        let shared = shared.min(conductors);
        let trunk = self.trunk_to(scheme, &drives);
        for &drive in &drives {
            let lever = self.at_lever(self.layout.drive(drive).lever);
            let motor = self.at_motor(drive);
            self.run(Subject::Drive(drive), Some(scheme), Use::Drive, [lever, motor], conductors - shared);
            if shared > 0
                && let Some(&hub) = trunk.hubs.get(&motor.spot.board)
            {
                self.run(Subject::Drive(drive), Some(scheme), Use::Return, [hub, motor], shared);
            }
        }
        let (purpose, along) = if self.layout.panel.is_none() { (Use::Power, 2) } else { (Use::Return, shared) };
        self.lay_trunk(&trunk, Some(scheme), purpose, along);
    }

    /// A trunk whose hub on each board is a strip beside the first of these drives there.
    fn trunk_to(&mut self, family: SchemeId, drives: &[DriveId]) -> Trunk {
        let mut hubs = BTreeMap::new();
        let feed = self.feed_of(family);
        for &drive in drives {
            let spot = self.layout.drive(drive).spot;
            let section = feed.map_or(0, |feed| feed.section_at(spot.board));
            let hub = Terminal { end: End::Strip(spot.board), spot };
            hubs.entry(spot.board).or_insert(Wanted { hub, section });
        }
        trunk(self.layout, &mut self.paths, self.layout.origin(), &hubs)
    }

    fn lay_trunk(&mut self, trunk: &Trunk, scheme: Option<SchemeId>, purpose: Use, conductors: u32) {
        for hop in &trunk.hops {
            self.run(Subject::Board(hop.board), scheme, purpose, [hop.from, hop.to], conductors);
        }
    }

    /// Leads from each controller to its motors.
    fn leads(&mut self, scheme: SchemeId, tail: Length, longest: Length, conductors: u32) {
        for (index, controller) in self.assignment.controllers.iter().enumerate().filter(|(_, c)| c.scheme == scheme) {
            for (channel, &drive) in (1..).zip(&controller.drives) {
                let Some(path) = self.paths.between(controller.spot, self.at_motor(drive).spot) else { continue };
                let length = path.length.grown(self.layout.rules.slack.value).ceil_mm();
                let lead = Lead {
                    drive,
                    controller: ControllerId::at(index),
                    channel,
                    conductors,
                    length,
                    extension: (length > tail).then(|| length - tail),
                    crosses: path.crosses,
                    too_long: length > longest,
                };
                self.wiring.leads.insert(drive, lead);
            }
        }
    }

    /// Link and power from the panel to the first controller of each board, and on to the others of the board. The link passes all of them;
    /// power comes from the supply of each one's section.
    fn links(&mut self, scheme: SchemeId, link: u32, feed: u32) {
        let demand = self.feed_of(scheme);
        let section = |id: ControllerId| demand.map_or(0, |demand| demand.section_of(Subject::Controller(id)));
        let mut hubs: BTreeMap<BoardId, Wanted> = BTreeMap::new();
        let mut last: BTreeMap<(BoardId, usize), Terminal> = BTreeMap::new();
        let mut links = Vec::new();
        let mut feeds = Vec::new();
        for (index, controller) in self.assignment.controllers.iter().enumerate().filter(|(_, c)| c.scheme == scheme) {
            let id = ControllerId::at(index);
            let here = Terminal { end: End::Controller(id), spot: controller.spot };
            let (board, section) = (controller.spot.board, section(id));
            match hubs.get(&board) {
                Some(first) => {
                    links.push((Subject::Controller(id), [first.hub, here]));
                    let from = last.get(&(board, section)).copied().unwrap_or_else(|| self.source(demand, section));
                    feeds.push((Subject::Controller(id), [from, here]));
                }
                None => {
                    hubs.insert(board, Wanted { hub: here, section });
                }
            }
            last.entry((board, section)).or_insert(here);
        }
        let origin = self.layout.origin();
        let power = trunk(self.layout, &mut self.paths, origin, &hubs);
        hubs.values_mut().for_each(|wanted| wanted.section = 0);
        let link_trunk = trunk(self.layout, &mut self.paths, origin, &hubs);
        if link > 0 {
            let hops = link_trunk.hops.iter().map(|hop| (Subject::Board(hop.board), [hop.from, hop.to]));
            for (subject, [from, to]) in hops.chain(links) {
                let from = if matches!(from.end, End::Origin(_)) { Terminal { end: End::Encoder, ..from } } else { from };
                self.lay(subject, Some(scheme), Use::Link, [from, to], link, 0);
            }
        }
        let hops = power.hops.iter().map(|hop| (Subject::Board(hop.board), [hop.from, hop.to]));
        for (subject, ends) in hops.chain(feeds) {
            self.run(subject, Some(scheme), Use::Power, ends, feed);
        }
    }

    /// Conductors home from the contacts that prove a direct drive; a local one reports over its link.
    fn proving(&mut self) {
        let mut proved: BTreeMap<SchemeId, Vec<DriveId>> = BTreeMap::new();
        for (index, lever) in self.layout.levers.iter().enumerate() {
            let drives = proves(self.catalogue, self.assignment, lever);
            let Some(&last) = drives.last() else { continue };
            let Some(scheme) = self.family_of(last) else { continue };
            if lamps_of(self.layout, self.catalogue, self.assignment, lever) != Lamps::Proved
                || !matches!(self.catalogue.scheme(scheme).wiring, Way::Direct { .. })
            {
                continue;
            }
            for lamp in 0..self.catalogue.rates.lamps_per_lever {
                let mut at = Terminal { end: End::Lamp(LeverId::at(index), lamp), spot: lever.spot };
                let subject = Subject::Lamp(LeverId::at(index), lamp);
                // The contacts of drives on one lever stand in series.
                for &drive in &drives {
                    let contact = self.at_contact(drive);
                    self.lay(subject, Some(scheme), Use::Proving, [at, contact], 1, lamp);
                    at = contact;
                }
            }
            proved.entry(scheme).or_default().push(last);
        }
        for (scheme, drives) in proved {
            // The contacts' common: the shared return where the scheme has one, else one of its own.
            let has_return = matches!(self.catalogue.scheme(scheme).wiring, Way::Direct { shared, .. } if shared > 0);
            let trunk = self.trunk_to(scheme, &drives);
            if !has_return {
                self.lay_trunk(&trunk, Some(scheme), Use::Return, 1);
            }
            for drive in drives {
                let contact = self.at_contact(drive);
                if let Some(&hub) = trunk.hubs.get(&contact.spot.board) {
                    let lever = self.layout.drive(drive).lever;
                    self.run(Subject::Lamp(lever, 0), Some(scheme), Use::Return, [hub, contact], 1);
                }
            }
        }
    }

    /// Frogs: one conductor to the frog and two to the rails, from the contact at the drive that changes it over.
    fn frogs(&mut self) {
        for (index, frog) in self.layout.frogs.iter().enumerate() {
            let Some(scheme) = self.family_of(frog.drive) else { continue };
            let subject = Subject::Frog(FrogId::at(index));
            let id = FrogId::at(index);
            let spot = self.layout.device(frog.device).spot.value;
            let contact = self.at_contact(frog.drive);
            for (first, end) in (0..).zip([End::Frog(id), End::Rail(id, 0), End::Rail(id, 1)]) {
                self.lay(subject, Some(scheme), Use::Frog, [contact, Terminal { end, spot }], 1, first);
            }
        }
    }

    /// Lights are wired alike under all schemes: a conductor from the switch for each light that is switched, and a return from board to
    /// board; lights that always burn share a conductor beside it.
    fn lights(&mut self) {
        let feed = self.feed_of_lights();
        let section = |board: BoardId| feed.map_or(0, |feed| feed.section_at(board));
        let mut hubs: BTreeMap<BoardId, Wanted> = BTreeMap::new();
        let mut burning = hubs.clone();
        for device in self.layout.devices.iter().filter(|device| device.lights > 0) {
            let spot = device.spot.value;
            let strip = Wanted { hub: Terminal { end: End::Strip(spot.board), spot }, section: section(spot.board) };
            hubs.entry(spot.board).or_insert(strip);
            // What always burns is fed here; without a panel so are the levers beside the lights that are switched.
            if !device.drives.is_empty() || self.layout.panel.is_none() {
                burning.entry(spot.board).or_insert(strip);
            }
        }
        let source = self.source(feed, 0);
        let returns = trunk(self.layout, &mut self.paths, source.spot, &hubs);
        let feeds = trunk(self.layout, &mut self.paths, source.spot, &burning);
        self.lay_trunk(&returns, None, Use::Return, 1);
        self.lay_trunk(&feeds, None, Use::Power, 1);
        let levers = self.layout.levers.iter().enumerate();
        let switches: BTreeMap<DeviceId, LeverId> =
            levers.flat_map(|(index, lever)| lever.lights.iter().map(move |&device| (device, LeverId::at(index)))).collect();
        for (index, device) in self.layout.devices.iter().enumerate().filter(|(_, device)| device.lights > 0) {
            let id = DeviceId::at(index);
            let spot = device.spot.value;
            let hub = returns.hubs.get(&spot.board).copied().unwrap_or(source);
            let from = match switches.get(&id) {
                Some(&lever) => self.at_lever(lever),
                None => feeds.hubs.get(&spot.board).copied().unwrap_or(source),
            };
            for light in 0..device.lights {
                self.run(Subject::Aspect(id, light), None, Use::Light, [from, Terminal { end: End::Light(id, light), spot }], 1);
            }
            self.run(Subject::Signal(id), None, Use::Return, [hub, Terminal { end: End::LightReturn(id), spot }], 1);
        }
    }
}

/// Numbers the runs of each subject and writes the labels of their ends: `T3-2` is the second run of T3.
fn label(layout: &Layout, runs: &mut [Run]) {
    let mut counted: BTreeMap<String, u32> = BTreeMap::new();
    for run in runs {
        let name = run.subject.name(layout);
        let n = counted.entry(name.clone()).or_default();
        *n += 1;
        run.label = format!("{name}-{n}");
    }
}
