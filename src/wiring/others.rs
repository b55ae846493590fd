//! Lays the runs beside those that move drives: home from contacts, to frogs, to lights.

use std::collections::{BTreeMap, BTreeSet};

use super::ends::{End, LampLead, Switch, Tap, Terminal};
use super::planner::Planner;
use super::proving::{Proving, proving_contacts};
use super::run::Use;
use super::trunk::Wanted;
use crate::id::{BoardId, DeviceId, DriveId, FrogId, LeverId, SchemeId};
use crate::scheme::Connection;
use crate::takeoff::Subject;

impl Planner<'_> {
    /// Conductors home from the contacts that prove a direct drive; a local one reports over its link.
    pub(super) fn proving(&mut self) {
        let mut proved: BTreeMap<SchemeId, Vec<(DriveId, Proving)>> = BTreeMap::new();
        for (index, lever) in self.layout.levers.iter().enumerate() {
            let contacts = |drive| Some((drive, proving_contacts(self.layout, self.catalogue, self.assignment, drive)?));
            let drives: Vec<(DriveId, Proving)> = lever.drives.iter().filter_map(|&drive| contacts(drive)).collect();
            let Some(&last) = drives.last() else { continue };
            let Some(scheme) = self.family_of(last.0) else { continue };
            if !matches!(self.catalogue.scheme(scheme).connection, Connection::Direct { .. }) {
                continue;
            }
            for lamp in 0..self.catalogue.rates.lamps_per_lever {
                let mut at = Terminal { end: End::Lamp(LeverId::at(index), lamp, LampLead::Minus), spot: lever.spot };
                let subject = Subject::Lamp(LeverId::at(index), lamp);
                // The contacts of drives on one lever stand in series.
                for &(drive, contacts) in &drives {
                    let number = contacts.of(lamp);
                    self.lay(subject, Some(scheme), Use::Proving, [at, self.at_contact(drive, number, Tap::of(lamp))], 1, lamp);
                    at = self.at_contact(drive, number, Tap::Common);
                }
            }
            proved.entry(scheme).or_default().push(last);
        }
        for (scheme, drives) in proved {
            // The contacts' common: the shared return where the scheme has one, else one of its own.
            let has_return = matches!(self.catalogue.scheme(scheme).connection, Connection::Direct { shared, .. } if shared > 0);
            let proved: Vec<DriveId> = drives.iter().map(|(drive, _)| *drive).collect();
            let trunk = self.trunk_to(&proved, scheme);
            if !has_return {
                self.lay_trunk(&trunk, Some(scheme), Use::Return, 1);
            }
            for (drive, contacts) in drives {
                let contact = self.at_contact(drive, contacts.first, Tap::Common);
                if let Some(&hub) = trunk.hubs.get(&contact.spot.board) {
                    let lever = self.layout.drive(drive).lever;
                    self.run(Subject::Lamp(lever, 0), Some(scheme), Use::Return, [hub, contact], 1);
                }
            }
        }
    }

    /// Frogs: one conductor to the frog and two to the rails, from the contact at the drive that changes it over. Those of an owned device have
    /// theirs already.
    pub(super) fn frogs(&mut self) {
        for (index, frog) in self.layout.frogs.iter().enumerate() {
            let Some(scheme) = self.family_of(frog.drive) else { continue };
            let device = self.layout.device(frog.device);
            if device.owned {
                continue;
            }
            let id = FrogId::at(index);
            let before = self.layout.frogs.iter().take(index).filter(|other| other.drive == frog.drive);
            let number = before.map(|_| 1).sum();
            let ends = [(Tap::Common, End::Frog(id)), (Tap::Normal, End::Rail(id, 0)), (Tap::Reverse, End::Rail(id, 1))];
            for (first, (tap, end)) in (0..).zip(ends) {
                let to = Terminal { end, spot: device.spot.value };
                let contact = self.at_contact(frog.drive, number, tap);
                self.lay(Subject::Frog(id), Some(scheme), Use::Frog, [contact, to], 1, first);
            }
        }
    }

    /// Lights are wired alike under all schemes: a conductor from the switch for each light that is switched, and a return from board to
    /// board; lights that always burn share a conductor beside it.
    pub(super) fn lights(&mut self) {
        let layout = self.layout;
        let mut hubs: BTreeMap<BoardId, Wanted> = BTreeMap::new();
        let mut burning = hubs.clone();
        for device in layout.devices.iter().filter(|device| device.lights > 0) {
            let spot = device.spot.value;
            let strip = self.strip(spot, None);
            let strip = self.wanted(strip, None);
            hubs.insert(spot.board, strip);
            // What always burns is fed here; without a panel so are the levers beside the lights that are switched.
            if !device.drives.is_empty() || layout.panel.is_none() {
                burning.insert(spot.board, strip);
            }
        }
        let returns = self.trunk(&hubs, None);
        let feeds = self.trunk(&burning, None);
        self.lay_trunk(&returns, None, Use::Return, 1);
        self.lay_trunk(&feeds, None, Use::Power, 1);
        let levers = layout.levers.iter().enumerate();
        let switches: BTreeMap<DeviceId, LeverId> =
            levers.flat_map(|(index, lever)| lever.lights.iter().map(move |&device| (device, LeverId::at(index)))).collect();
        if layout.panel.is_some() {
            let mut levers: BTreeMap<usize, Vec<LeverId>> = BTreeMap::new();
            for lever in switches.values().copied().collect::<BTreeSet<_>>() {
                levers.entry(self.lit_from(lever)).or_default().push(lever);
            }
            for (section, levers) in levers {
                self.in_turn(None, End::Fuse(self.source_of(None, section)), &levers, 0);
            }
        } else {
            let levers: BTreeSet<LeverId> = switches.values().copied().collect();
            levers.into_iter().for_each(|lever| self.feed_lever(lever, None, &feeds, 1));
        }
        for (index, device) in layout.devices.iter().enumerate().filter(|(_, device)| device.lights > 0) {
            let id = DeviceId::at(index);
            let spot = device.spot.value;
            let strip = self.strip(spot, None);
            let lever = switches.get(&id).copied();
            for light in 0..device.lights {
                let from = lever.map_or(strip, |lever| self.at_lever(lever, None, Switch::Position(light)));
                self.run(Subject::Aspect(id, light), None, Use::Light, [from, Terminal { end: End::Light(id, light), spot }], 1);
            }
            let home = lever.map_or(strip, |lever| self.home_from(lever, strip));
            self.run(Subject::Signal(id), None, Use::Return, [home, Terminal { end: End::LightReturn(id), spot }], 1);
        }
    }

    /// Where a light that a lever switches comes home: at the strip of its board, or where that is on another section than the lever, at the socket or
    /// strip that feeds the lever.
    fn home_from(&mut self, lever: LeverId, strip: Terminal) -> Terminal {
        let near = if self.layout.panel.is_some() {
            let section = self.lit_from(lever);
            Wanted { hub: self.socket(None, section), section }
        } else {
            let near = self.strip(self.layout.lever(lever).spot, None);
            self.wanted(near, None)
        };
        if near.section == self.wanted(strip, None).section { strip } else { near.hub }
    }

    /// The section that feeds a lever which switches lights: that of the first of them.
    fn lit_from(&self, lever: LeverId) -> usize {
        let first = self.layout.lever(lever).lights.first();
        first.zip(self.feed_of(None)).map_or(0, |(&device, feed)| feed.section_of(Subject::Signal(device)))
    }
}
