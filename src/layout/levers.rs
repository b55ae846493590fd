//! From devices to drives, frogs and levers: what is moved, what changes over, what is thrown.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::devices::Draft;
use super::kinds::Shape;
use super::model::{Device, Drive, Frog, FrogKind, Lever, Panel, Point, Spot};
use super::names::Names;
use super::report::Report;
use crate::catalogue::FrogFollows;
use crate::diagnostic::{Code, Diagnostic, Given, Place};
use crate::id::{DeviceId, DriveId, FrogId, LeverId};
use crate::name::folded;
use crate::quantity::Length;

/// Devices with what they are made of.
#[derive(Default)]
pub(super) struct Works {
    pub(super) devices: Vec<Device>,
    pub(super) drives: Vec<Drive>,
    pub(super) frogs: Vec<Frog>,
    pub(super) levers: Vec<Lever>,
}

/// What `with` says: which devices share a lever, and whose drive a device's frogs follow.
struct Partners {
    /// The first device of each group that shares a lever.
    group: Vec<usize>,
    /// The device whose first drive changes the frogs over, where it is another's.
    leader: Vec<Option<usize>>,
}

/// Makes drives, frogs and levers of the devices.
pub(super) fn expand(
    drafts: &[Draft<'_>],
    spots: Vec<Given<Spot>>,
    names: &Names,
    panel: Option<&Panel>,
    report: &mut Report,
) -> Works {
    let partners = partners(drafts, names, report);
    let mut works = Works::default();
    let mut shared: BTreeMap<usize, LeverId> = BTreeMap::new();
    for (index, (draft, spot)) in drafts.iter().zip(spots).enumerate() {
        let device = DeviceId::at(index);
        let stands =
            panel.map_or(Spot { board: spot.value.board, at: Point { x: spot.value.at.x, y: Length::ZERO } }, |panel| panel.spot);
        let Some(shape) = draft.shape else {
            works.devices.push(bare(draft, spot));
            continue;
        };
        let group = partners.group.get(index).copied().unwrap_or(index);
        let levers: Vec<LeverId> = (0..shape.levers)
            .map(|nth| {
                let known = (shape.levers == 1).then(|| shared.get(&group).copied()).flatten();
                known.unwrap_or_else(|| {
                    let lever = works.lever(&draft.name, nth, stands);
                    if shape.levers == 1 {
                        shared.insert(group, lever);
                    }
                    lever
                })
            })
            .collect();
        let drives = works.add_drives(device, draft, spot.value, shape, &levers);
        if let (true, Some(lever)) = (shape.switched, levers.first().and_then(|id| works.levers.get_mut(id.index()))) {
            lever.lights.push(device);
        }
        works.devices.push(Device { drives, lights: shape.lights, lit: shape.lit, ..bare(draft, spot) });
    }
    works.add_frogs(drafts, &partners);
    check_names(&works, report);
    works
}

/// A device before it has drives.
fn bare(draft: &Draft<'_>, spot: Given<Spot>) -> Device {
    Device {
        name: draft.name.clone(),
        place: draft.place.clone(),
        kind: draft.kind.clone(),
        spot,
        owned: draft.owned,
        hidden: draft.hidden,
        frog: draft.frog,
        drives: Vec::new(),
        frogs: Vec::new(),
        lights: 0,
        lit: 0,
    }
}

impl Works {
    fn lever(&mut self, device: &str, nth: u32, spot: Spot) -> LeverId {
        let name = if nth == 0 { device.into() } else { format!("{device}/{}", nth.saturating_add(1)).into() };
        let id = LeverId::at(self.levers.len());
        self.levers.push(Lever { name, drives: Vec::new(), lights: Vec::new(), spot });
        id
    }

    /// Drives are dealt to the levers in turn.
    fn add_drives(
        &mut self,
        device: DeviceId,
        draft: &Draft<'_>,
        stands: Spot,
        shape: Shape,
        levers: &[LeverId],
    ) -> Vec<DriveId> {
        let first = self.drives.len();
        let dealt = (0..shape.drives).zip(levers.iter().cycle());
        for (nth, &lever) in dealt {
            let id = DriveId::at(self.drives.len());
            let name = lettered(&draft.name, nth, shape.drives);
            let further = (nth as usize).checked_sub(1).and_then(|nth| draft.further.get(nth));
            let spot = further.map_or(stands, |&at| Spot { at, ..stands });
            self.drives.push(Drive { name, device, spot, purpose: shape.purpose, lever, fixed: draft.scheme.clone() });
            if let Some(lever) = self.levers.get_mut(lever.index()) {
                lever.drives.push(id);
            }
        }
        (first..self.drives.len()).map(DriveId::at).collect()
    }

    /// Live frogs, once all drives are known.
    fn add_frogs(&mut self, drafts: &[Draft<'_>], partners: &Partners) {
        for (index, draft) in drafts.iter().enumerate() {
            let Some(shape) = draft.shape.filter(|_| draft.frog == FrogKind::Live) else { continue };
            let drives = |index: usize| self.devices.get(index).map_or(&[][..], |device| &device.drives);
            let own = drives(index).to_vec();
            let leading = partners.leader.get(index).copied().flatten().and_then(|leader| drives(leader).first().copied());
            let mut frogs = Vec::new();
            for nth in 0..shape.frogs {
                let at = nth as usize;
                let drive = if shape.follows_neighbour() {
                    leading
                } else if shape.follows == FrogFollows::Other {
                    own.iter().cycle().nth(at.saturating_add(1)).copied()
                } else {
                    own.get(at).or(own.last()).copied()
                };
                // Without a drive to follow, the contradiction has been reported.
                let Some(drive) = drive else { continue };
                frogs.push(FrogId::at(self.frogs.len()));
                self.frogs.push(Frog { name: lettered(&draft.name, nth, shape.frogs), device: DeviceId::at(index), drive });
            }
            if let Some(device) = self.devices.get_mut(index) {
                device.frogs = frogs;
            }
        }
    }
}

/// The name of the `nth` of several parts of a device: the device's, with a letter where there are several.
fn lettered(device: &Arc<str>, nth: u32, of: u32) -> Arc<str> {
    if of <= 1 {
        return device.clone();
    }
    let mut letters = Vec::new();
    let mut rest = nth;
    loop {
        letters.extend(('a'..='z').nth((rest % 26) as usize));
        match (rest / 26).checked_sub(1) {
            Some(next) => rest = next,
            None => break,
        }
    }
    format!("{device}{}", letters.into_iter().rev().collect::<String>()).into()
}

/// Reads every `with`. It works both ways, and goes on from device to device.
fn partners(drafts: &[Draft<'_>], names: &Names, report: &mut Report) -> Partners {
    let mut partners = Partners { group: (0..drafts.len()).collect(), leader: vec![None; drafts.len()] };
    for (index, draft) in drafts.iter().enumerate() {
        for field in &draft.with {
            let Some(other) = names.find_other(field, Some(index), report) else { continue };
            let Some(partner) = drafts.get(other) else { continue };
            if other == index {
                let alone = contradiction(field.place(report), format!("`{}` cannot be with itself", draft.name));
                report.problem(alone.found(&*draft.name).expected("another device"));
                continue;
            }
            let (Some(shape), Some(others)) = (draft.shape, partner.shape) else { continue };
            // What has no lever of its own only follows; it may be named from either side.
            if shape.levers == 0 || others.levers == 0 {
                let (follower, leader) = if shape.levers == 0 { (index, other) } else { (other, index) };
                follow(&mut partners, drafts, follower, leader, field, report);
                continue;
            }
            if let Some((many, levers)) =
                [(draft, shape.levers), (partner, others.levers)].into_iter().find(|(_, levers)| *levers > 1)
            {
                let what = format!("`{}` has {levers} levers, so it is not clear which of them both share", many.name);
                let many = contradiction(field.place(report), what);
                report.problem(many.found(&*partner.name).expected("devices with one lever each"));
                continue;
            }
            if let Some(lights) = [(draft, shape, others), (partner, others, shape)]
                .into_iter()
                .find_map(|(lights, shape, other)| (shape.drives == 0 && other.drives > 0).then_some(lights))
            {
                let what = format!("`{}` only lights: what moves a drive does not switch lights as well", lights.name);
                let lights = contradiction(field.place(report), what);
                report.problem(lights.found(&*partner.name).expected("a lever of its own, or one of others that only light"));
                continue;
            }
            partners.join(index, other);
            if shape.follows_neighbour() {
                follow(&mut partners, drafts, index, other, field, report);
            }
        }
    }
    for (index, draft) in drafts.iter().enumerate() {
        let live = draft.frog == FrogKind::Live && draft.shape.is_some_and(Shape::follows_neighbour);
        if live && draft.with.is_empty() && partners.leader.get(index).copied().flatten().is_none() {
            let what = format!("nothing changes the live frogs of `{}` over: it has no drive of its own", draft.name);
            let alone = contradiction(draft.place.clone(), what);
            report.problem(
                alone.found("no `with`").expected("`with: …`, the turnout whose drive they follow, or an insulated frog"),
            );
        }
    }
    partners
}

fn contradiction(place: Place, what: impl Into<String>) -> Diagnostic {
    Diagnostic::error(Code::Contradiction, place, what)
}

/// Lets the frogs of one device follow the first drive of another.
fn follow(
    partners: &mut Partners,
    drafts: &[Draft<'_>],
    follower: usize,
    leader: usize,
    field: &super::field::Field<'_>,
    report: &mut Report,
) {
    let (Some(draft), Some(leading)) = (drafts.get(follower), drafts.get(leader)) else { return };
    let fault = match partners.leader.get(follower).copied().flatten() {
        Some(known) if known != leader => {
            let known = drafts.get(known).map_or("", |draft| &draft.name);
            Some((format!("`{}` follows `{known}` already", draft.name), "one device to follow"))
        }
        _ if leading.shape.is_some_and(|shape| shape.drives == 0) => {
            Some((format!("`{}` has no drive that `{}` could follow", leading.name, draft.name), "a device that is moved"))
        }
        _ => None,
    };
    match fault {
        Some((what, expected)) => {
            let found = field.as_text().map(super::report::shown).unwrap_or_default();
            report.problem(contradiction(field.place(report), what).found(found).expected(expected));
        }
        None => {
            if let Some(entry) = partners.leader.get_mut(follower) {
                *entry = Some(leader);
            }
        }
    }
}

impl Partners {
    /// The first device of the group of `index`.
    fn root(&self, index: usize) -> usize {
        self.group.get(index).copied().unwrap_or(index)
    }

    /// Makes one group of two; the first device in the file names it.
    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        let (first, second) = (one.min(other), one.max(other));
        for group in self.group.iter_mut().filter(|group| **group == second) {
            *group = first;
        }
    }
}

/// Reports names that the parts of one device would share with another device or its parts.
fn check_names(works: &Works, report: &mut Report) {
    let devices: BTreeMap<String, usize> =
        works.devices.iter().enumerate().map(|(i, device)| (folded(&device.name), i)).collect();
    let drives = works.drives.iter().map(|drive| (&drive.name, drive.device, "drive"));
    let frogs = works.frogs.iter().map(|frog| (&frog.name, frog.device, "frog"));
    let mut told = BTreeSet::new();
    for (name, device, part) in drives.chain(frogs) {
        let clash = devices.get(&folded(name)).filter(|index| **index != device.index());
        let (Some(other), Some(owner)) = (clash.and_then(|index| works.devices.get(*index)), works.devices.get(device.index()))
        else {
            continue;
        };
        // A whole device of the same name has been reported where it is named.
        if *name != owner.name && told.insert(name) {
            let what = format!("`{name}` is also the name of a {part} of `{}`, which has several", owner.name);
            let clash = Diagnostic::error(Code::DuplicateId, other.place.clone(), what);
            report.problem(clash.found(&**name).expected("another name"));
        }
    }
    let mut levers = BTreeSet::new();
    for lever in works.levers.iter().filter(|lever| !lever.name.is_empty()) {
        if !levers.insert(folded(&lever.name))
            && let Some(owner) = works.devices.iter().find(|device| device.name == lever.name && lever.name.contains('/'))
        {
            let what = format!("`{}` is also the name of the second lever of a device that has two", lever.name);
            let clash = Diagnostic::error(Code::DuplicateId, owner.place.clone(), what);
            report.problem(clash.found(&*lever.name).expected("another name"));
        }
    }
}
