//! What the contacts at a drive are for: the first of them change frogs over, the next prove the drive to the panel's lamps.

use std::collections::BTreeMap;

use super::plan::lamps_of;
use crate::catalogue::Catalogue;
use crate::id::DriveId;
use crate::layout::{Lamps, Layout, Lever};
use crate::scheme::{Assignment, Connection};

/// The drives whose contacts prove a lever, one after the other: all that are of the family of its first. Its lamp lights when the last of them
/// has gone over.
pub fn proves(catalogue: &Catalogue, assignment: &Assignment, lever: &Lever) -> Vec<DriveId> {
    let family = |drive: DriveId| assignment.family_of(catalogue, drive);
    let first = lever.drives.first().and_then(|&drive| family(drive));
    let mut drives = lever.drives.clone();
    drives.retain(|&drive| first.is_some() && family(drive) == first);
    drives
}

/// The contacts at a drive that prove it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Proving {
    /// The first of them, by its number from 0: those before it change frogs over.
    pub first: u32,
    /// How many: one, or of drives in series one for each lamp, save at the last.
    pub count: u32,
}

impl Proving {
    /// The contact for a lamp, from 0.
    pub fn of(self, lamp: u32) -> u32 {
        self.first + lamp % self.count.max(1)
    }
}

/// The contacts that prove a drive; `None` where the lamps of its lever are not proved by it. The contacts of drives that are wired direct to one
/// lever stand in series; a controller reads one of each.
pub fn proving_contacts(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, drive: DriveId) -> Option<Proving> {
    let lever = layout.lever(layout.drive(drive).lever);
    let drives = proves(catalogue, assignment, lever);
    if lamps_of(layout, catalogue, assignment, lever) != Lamps::Proved || !drives.contains(&drive) {
        return None;
    }
    let first = layout.frogs.iter().filter(|frog| frog.drive == drive).map(|_| 1).sum();
    let is_direct = matches!(catalogue.scheme(assignment.of(drive)?).connection, Connection::Direct { .. });
    let in_series = is_direct && drives.last() != Some(&drive);
    Some(Proving { first, count: if in_series { catalogue.rates.lamps_per_lever.clamp(1, 2) } else { 1 } })
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
