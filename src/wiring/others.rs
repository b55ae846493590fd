//! Lays the runs beside those that move drives: at the panel, home from contacts, to frogs, to lights.

use std::collections::{BTreeMap, BTreeSet};

use super::ends::{Clamp, End, Terminal};
use super::model::Use;
use super::plan::{lamps_of, proves};
use super::planner::Planner;
use super::trunk::Wanted;
use crate::id::{BoardId, DeviceId, DriveId, FrogId, LeverId, SchemeId};
use crate::layout::Lamps;
use crate::scheme::Wiring as Way;
use crate::takeoff::Subject;

impl Planner<'_> {
    /// What brings a family its power at the panel: from the fuse to the encoder, or to the discharge unit, and on to the levers.
    pub(super) fn at_panel(&mut self, family: SchemeId) {
        let traits = self.catalogue.scheme(family);
        let Some(electrics) = traits.electrics else { return };
        let source = self.source_of(Some(family), 0);
        let poles = [End::Fuse(source), End::Socket(source)];
        let levers = self.layout.panel.is_some();
        let pairs: Vec<[End; 2]> = match traits.wiring {
            Way::Local { .. } => poles.map(|pole| [pole, End::Encoder]).to_vec(),
            Way::Direct { .. } if electrics.stored => {
                let inputs = (0..).zip(poles).map(|(n, pole)| [pole, End::Store(Clamp::Input(n))]);
                inputs.chain(levers.then_some([End::Store(Clamp::Plus), End::Levers])).collect()
            }
            Way::Direct { shared, .. } if levers => {
                // With a shared return the levers need one pole only.
                let needed = if shared > 0 { 1 } else { 2 };
                poles.into_iter().take(needed).map(|pole| [pole, End::Levers]).collect()
            }
            Way::Direct { .. } | Way::None => Vec::new(),
        };
        self.at_origin(Some(family), &pairs);
    }

    /// Lays conductors between things at the panel.
    fn at_origin(&mut self, scheme: Option<SchemeId>, pairs: &[[End; 2]]) {
        let spot = self.layout.origin();
        let mut laid: BTreeMap<End, u32> = BTreeMap::new();
        for ends in pairs {
            let to = if matches!(ends[1], End::Store(_)) { End::Store(Clamp::Input(0)) } else { ends[1] };
            let n = laid.entry(to).or_default();
            self.lay(Subject::Layout, scheme, Use::Power, ends.map(|end| Terminal { end, spot }), 1, *n);
            *n += 1;
        }
    }

    /// Conductors home from the contacts that prove a direct drive; a local one reports over its link.
    pub(super) fn proving(&mut self) {
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
            let trunk = self.trunk_to(&drives, scheme);
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
            let contact = self.at_contact(frog.drive);
            for (first, end) in (0..).zip([End::Frog(id), End::Rail(id, 0), End::Rail(id, 1)]) {
                let to = Terminal { end, spot: device.spot.value };
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
        if layout.panel.is_some() && !switches.is_empty() {
            self.at_origin(None, &[[End::Fuse(self.source_of(None, 0)), End::Levers]]);
        }
        if layout.panel.is_none() {
            let levers: BTreeSet<LeverId> = switches.values().copied().collect();
            levers.into_iter().for_each(|lever| self.feed_lever(lever, None, &feeds, 1));
        }
        for (index, device) in layout.devices.iter().enumerate().filter(|(_, device)| device.lights > 0) {
            let id = DeviceId::at(index);
            let spot = device.spot.value;
            let strip = self.strip(spot, None);
            let from = switches.get(&id).map_or(strip, |&lever| self.at_lever(lever));
            for light in 0..device.lights {
                self.run(Subject::Aspect(id, light), None, Use::Light, [from, Terminal { end: End::Light(id, light), spot }], 1);
            }
            self.run(Subject::Signal(id), None, Use::Return, [strip, Terminal { end: End::LightReturn(id), spot }], 1);
        }
    }
}
