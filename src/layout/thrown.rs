//! The names by which levers are thrown, in a route and on the command line.

use std::collections::BTreeMap;

use super::model::{Device, Drive, Layout, Lever};
use crate::id::{DeviceId, LeverId};
use crate::name::folded;

/// Every name by which levers are thrown: a device, for all its levers; its levers by number, such as `T3/2`; and each of its drives, such as
/// `T3b`, for the lever that moves it.
#[derive(Debug)]
pub struct Throwable {
    by_name: BTreeMap<String, Vec<LeverId>>,
}

/// Why a word names no lever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoLever {
    /// There is no such device.
    Unknown,
    /// The device has no lever of its own.
    Bare,
    /// The device has so many levers, and none of this number.
    Part {
        /// The device, as it was written.
        device: String,
        /// How many levers it has.
        levers: usize,
    },
}

impl NoLever {
    /// What is wrong and what may be written, where a part was named that a device does not have.
    pub fn part(&self) -> Option<(String, String)> {
        let Self::Part { device, levers } = self else { return None };
        let all: Vec<String> = (1..=*levers).map(|n| format!("`{device}/{n}`")).collect();
        Some(match levers {
            0 => (format!("`{device}` has no lever of its own"), "the device it follows".to_owned()),
            1 => (format!("`{device}` has one lever only"), format!("`{device}`")),
            _ => (
                format!("`{device}` has {levers} levers, and none of this number"),
                format!("{}; or `{device}` for all", all.join(" or ")),
            ),
        })
    }
}

impl Throwable {
    /// The names of a layout.
    pub fn of(layout: &Layout) -> Self {
        Self::new(&layout.devices, &layout.drives, &layout.levers)
    }

    pub(super) fn new(devices: &[Device], drives: &[Drive], levers: &[Lever]) -> Self {
        let mut lit: BTreeMap<DeviceId, LeverId> = BTreeMap::new();
        for (at, lever) in levers.iter().enumerate() {
            lit.extend(lever.lights.iter().map(|&device| (device, LeverId::at(at))));
        }
        let mut by_name = BTreeMap::new();
        let mut parts = Vec::new();
        for (at, device) in devices.iter().enumerate() {
            let mut own: Vec<LeverId> = Vec::new();
            for drive in device.drives.iter().filter_map(|drive| drives.get(drive.index())) {
                if !own.contains(&drive.lever) {
                    own.push(drive.lever);
                }
                parts.push((folded(&drive.name), vec![drive.lever]));
            }
            own.extend(lit.get(&DeviceId::at(at)));
            parts.extend((1_usize..).zip(&own).map(|(n, &lever)| (folded(&format!("{}/{n}", device.name)), vec![lever])));
            by_name.insert(folded(&device.name), own);
        }
        // A device of its own goes before a part of another.
        for (name, levers) in parts {
            by_name.entry(name).or_insert(levers);
        }
        Self { by_name }
    }

    /// The levers that a word names, in their order.
    ///
    /// # Errors
    /// It names none.
    pub fn find(&self, word: &str) -> Result<&[LeverId], NoLever> {
        match self.by_name.get(&folded(word)) {
            Some(levers) if levers.is_empty() => Err(NoLever::Bare),
            Some(levers) => Ok(levers),
            None => Err(self.unknown(word)),
        }
    }

    fn unknown(&self, word: &str) -> NoLever {
        let part = word.rsplit_once('/').and_then(|(device, _)| Some((device.trim(), self.by_name.get(&folded(device))?)));
        part.map_or(NoLever::Unknown, |(device, levers)| NoLever::Part { device: device.to_owned(), levers: levers.len() })
    }
}
