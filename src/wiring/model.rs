//! Runs, leads and what parts at a joint.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::catalogue::Per;
use crate::id::{ControllerId, DriveId, JointId, SchemeId};
use crate::layout::Spot;
use crate::quantity::{Area, Current, Length, Share, Voltage};
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

/// The wire chosen for runs of one sort: the thinnest sold that keeps drop and current within the rules.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// The scheme; `None` for lights.
    pub scheme: Option<SchemeId>,
    /// Whose runs: those of each drive, board, controller …
    pub per: Per,
    /// The cross-section.
    pub area: Area,
    /// The most that flows through any of them.
    pub carries: Current,
    /// Whether the wire is rated for it.
    pub bears: bool,
}

/// What reaches the worst device of a scheme when the most moves that may.
#[derive(Debug, Clone, PartialEq)]
pub struct FarEnd {
    /// The scheme.
    pub scheme: SchemeId,
    /// The drive or controller that gets the least.
    pub worst: Subject,
    /// What is fed in.
    pub fed: Voltage,
    /// What arrives there; zero where the feed collapses.
    pub arrives: Voltage,
    /// The share lost that the rules allow.
    pub allowed: Share,
}

impl FarEnd {
    /// The share lost.
    pub fn lost(&self) -> Share {
        Share((self.fed - self.arrives) / self.fed)
    }

    /// Whether no more is lost than allowed.
    pub fn is_within(&self) -> bool {
        self.lost().0 <= self.allowed.0 + 1e-9
    }
}

/// The wiring of a layout under an assignment.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wiring {
    /// Runs, in the order of their subjects.
    pub runs: Vec<Run>,
    /// Leads of drives at controllers.
    pub leads: BTreeMap<DriveId, Lead>,
    /// Loads of all joints, by joint id.
    pub joints: Vec<JointLoad>,
    /// Wire sizes.
    pub sizings: Vec<Sizing>,
    /// What reaches the far end, scheme by scheme.
    pub far_ends: Vec<FarEnd>,
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

    /// The cross-section of the runs of a subject, where it was chosen.
    pub fn area_of(&self, subject: Subject, scheme: Option<SchemeId>) -> Option<Area> {
        let per = subject.per();
        self.sizings.iter().find(|sizing| sizing.per == per && sizing.scheme == scheme).map(|sizing| sizing.area)
    }

    /// Plugs over all joints.
    pub fn plugs(&self) -> u32 {
        self.joints.iter().map(|joint| joint.plugs).sum()
    }
}
