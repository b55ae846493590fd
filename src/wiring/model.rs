//! Runs, leads and what parts at a joint.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::id::{ControllerId, DriveId, JointId, SchemeId};
use crate::layout::Spot;
use crate::quantity::Length;
use crate::takeoff::Subject;

/// What a conductor is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Use {
    /// To one motor or coil.
    Drive,
    /// A return shared by drives.
    Return,
    /// Power to controllers.
    Power,
    /// Commands between panel and controllers.
    Link,
    /// To a light of a signal.
    Light,
    /// Home from a contact to a panel lamp.
    Proving,
    /// To a frog and its contact.
    Frog,
}

impl Use {
    /// All uses, in the order printed.
    pub const ALL: [Self; 7] = [Self::Drive, Self::Return, Self::Power, Self::Link, Self::Light, Self::Proving, Self::Frog];

    /// The word in print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Drive => "drive",
            Self::Return => "return",
            Self::Power => "power",
            Self::Link => "link",
            Self::Light => "light",
            Self::Proving => "proving",
            Self::Frog => "frog",
        }
    }
}

/// One conductor from end to end, or one piece of cable with several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// What it belongs to: a drive, a lever, a board it brings power to.
    pub subject: Subject,
    /// The scheme it serves; `None` for lights.
    pub scheme: Option<SchemeId>,
    /// What it is for.
    pub purpose: Use,
    /// Its conductors: 1, or those of a cable.
    pub conductors: u32,
    /// From here, nearer the panel.
    pub from: Spot,
    /// To here.
    pub to: Spot,
    /// Its length with tails, drops and slack.
    pub length: Length,
    /// The joints it crosses, in order.
    pub crosses: Arc<[JointId]>,
}

/// The lead between a controller and a motor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lead {
    /// The drive.
    pub drive: DriveId,
    /// The controller.
    pub controller: ControllerId,
    /// The channel at the controller, from 1.
    pub channel: u32,
    /// Its conductors.
    pub conductors: u32,
    /// The length from controller to motor, with slack.
    pub length: Length,
    /// What an extension must bridge beyond the motor's own tail; `None` where the tail reaches.
    pub extension: Option<Length>,
    /// The joints the extension crosses.
    pub crosses: Arc<[JointId]>,
    /// Whether it is longer than the scheme allows.
    pub too_long: bool,
}

/// What parts at a joint.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct JointLoad {
    /// Conductors by use.
    pub conductors: BTreeMap<Use, u32>,
    /// Plugs, all with the same number of ways.
    pub plugs: u32,
    /// Ways each plug must have, spare ways included.
    pub ways: u32,
}

impl JointLoad {
    /// All conductors.
    pub fn total(&self) -> u32 {
        self.conductors.values().sum()
    }
}

/// The wiring of a layout under an assignment.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Wiring {
    /// Runs, in the order of their subjects.
    pub runs: Vec<Run>,
    /// Leads of drives at controllers.
    pub leads: BTreeMap<DriveId, Lead>,
    /// Loads of all joints, by joint id.
    pub joints: Vec<JointLoad>,
}

impl Wiring {
    /// Conductors over all joints.
    pub fn conductors(&self) -> u32 {
        self.joints.iter().map(JointLoad::total).sum()
    }

    /// Conductors at the worst joint.
    pub fn worst_joint(&self) -> u32 {
        self.joints.iter().map(JointLoad::total).max().unwrap_or(0)
    }

    /// Plugs over all joints.
    pub fn plugs(&self) -> u32 {
        self.joints.iter().map(|joint| joint.plugs).sum()
    }
}
