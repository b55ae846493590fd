//! Runs, leads and what parts at a joint.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::colour::{Colour, colour};
use crate::catalogue::Per;
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FrogId, JointId, LeverId, SchemeId};
use crate::layout::{Layout, Spot};
use crate::quantity::{Area, Current, Length, LineResistance, Resistance, Share, Voltage};
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

/// What a conductor is joined to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// Where power comes in: the socket of a supply at the panel, or at the front of the first board. 0 where the feed has one supply, else the
    /// number of its section, from 1.
    Origin(u32),
    /// The encoder that reads the levers and sends commands over the link.
    Encoder,
    /// A lever's switch.
    Lever(LeverId),
    /// A panel lamp of a lever, from 0.
    Lamp(LeverId, u32),
    /// A motor.
    Motor(DriveId),
    /// A contact at a drive.
    Contact(DriveId),
    /// A frog.
    Frog(FrogId),
    /// One of the two rails that feed a frog in turn, from 0: the one it lies with when the blades stand one way, and the other way.
    Rail(FrogId, u32),
    /// A light of a device, from 0.
    Light(DeviceId, u32),
    /// The common return of a device's lights.
    LightReturn(DeviceId),
    /// A controller.
    Controller(ControllerId),
    /// The terminal strip of a board.
    Strip(BoardId),
}

impl End {
    /// Its name in print.
    pub fn name(self, layout: &Layout) -> String {
        match self {
            Self::Origin(0) => format!("supply socket {}", at_origin(layout)),
            Self::Origin(section) => format!("supply socket {section} {}", at_origin(layout)),
            Self::Encoder => format!("encoder {}", at_origin(layout)),
            Self::Lever(id) => format!("lever {}", layout.lever(id).name),
            Self::Lamp(id, n) => format!("lamp {} of lever {}", n + 1, layout.lever(id).name),
            Self::Motor(id) => format!("motor {}", layout.drive(id).name),
            Self::Contact(id) => format!("contact at {}", layout.drive(id).name),
            Self::Frog(id) => format!("frog {}", layout.frog(id).name),
            Self::Rail(id, 0) => format!("rail of frog {} for normal", layout.frog(id).name),
            Self::Rail(id, _) => format!("rail of frog {} for reverse", layout.frog(id).name),
            Self::Light(id, n) => format!("light {} of {}", n + 1, layout.device(id).name),
            Self::LightReturn(id) => format!("return of {}", layout.device(id).name),
            Self::Controller(id) => format!("controller {}", id.0 + 1),
            Self::Strip(id) => format!("strip on {}", layout.board(id).name),
        }
    }
}

/// Where power and commands come from, in words.
fn at_origin(layout: &Layout) -> String {
    match layout.panel {
        Some(_) => "at the panel".to_owned(),
        None => format!("on {}", layout.board(layout.origin().board).name),
    }
}

/// An end of a run and where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Terminal {
    /// What it is joined to.
    pub end: End,
    /// Where.
    pub spot: Spot,
}

/// One conductor from end to end, or one piece of cable with several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// What it belongs to: a drive, a lever, a board it brings power to.
    pub subject: Subject,
    /// The family of schemes it serves; `None` for lights.
    pub scheme: Option<SchemeId>,
    /// What it is for.
    pub purpose: Use,
    /// Its conductors: 1, or those of a cable.
    pub conductors: u32,
    /// Its place among the conductors of this use at the subject, from 0: it gives the colour.
    pub first: u32,
    /// What is written on both its ends: the subject, and a number that counts its runs.
    pub label: String,
    /// From here, nearer the panel.
    pub from: Terminal,
    /// To here.
    pub to: Terminal,
    /// Its length with tails, drops and slack.
    pub length: Length,
    /// The joints it crosses, in order.
    pub crosses: Arc<[JointId]>,
}

impl Run {
    /// The colours of its conductors.
    pub fn colours(&self) -> impl Iterator<Item = Colour> + use<> {
        let purpose = self.purpose;
        (self.first..self.first.saturating_add(self.conductors)).map(move |n| colour(purpose, n))
    }
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

/// The conductor that a pin carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Carried {
    /// Core `core` of the run at an index of [`Wiring::runs`].
    Run {
        /// The index.
        index: u32,
        /// The core, from 0.
        core: u32,
    },
    /// Core `core` of the lead of a drive.
    Lead {
        /// The drive.
        drive: DriveId,
        /// The core, from 0.
        core: u32,
    },
}

/// One pin in use at a joint. Both halves have the same table: pin 3 of the plug meets pin 3 of the socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pin {
    /// The plug of the joint, from 1.
    pub plug: u32,
    /// The pin, from 1.
    pub number: u32,
    /// What its conductor is for.
    pub purpose: Use,
    /// Its conductor.
    pub carried: Carried,
}

/// What parts at a joint.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct JointLoad {
    /// Pins in use; more than conductors where pins are paralleled.
    pub pins: Vec<Pin>,
    /// Conductors by use.
    pub conductors: BTreeMap<Use, u32>,
    /// Plugs, all with the same number of ways.
    pub plugs: u32,
    /// Ways each plug must have, spare ways included.
    pub ways: u32,
    /// Conductors that move the drives: to them, their returns, power and links of their controllers.
    pub moving: u32,
    /// What these would be if every drive's own conductors ran to its lever.
    pub direct: u32,
}

impl JointLoad {
    /// All conductors.
    pub fn total(&self) -> u32 {
        self.conductors.values().sum()
    }

    /// Conductors saved against wiring every drive straight to its lever; negative where more are needed.
    pub fn saved(&self) -> i64 {
        i64::from(self.direct) - i64::from(self.moving)
    }
}

/// The wire chosen for runs of one sort: the thinnest sold that keeps drop and current within the rules.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// The family of schemes; `None` for lights.
    pub scheme: Option<SchemeId>,
    /// Whose runs: those of each drive, board, controller …
    pub per: Per,
    /// Of these alone; empty for all of the sort.
    pub subjects: Vec<Subject>,
    /// The cross-section.
    pub area: Area,
    /// Its resistance.
    pub line: LineResistance,
    /// What it is rated for; infinite where the catalogue does not say.
    pub rating: Current,
    /// The most that flows through any of them.
    pub carries: Current,
    /// Whether the wire is rated for it.
    pub bears: bool,
}

/// What reaches the worst device of a scheme when the most moves that may.
#[derive(Debug, Clone, PartialEq)]
pub struct FarEnd {
    /// The family of schemes.
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
    /// Runs, sorted by subject.
    pub runs: Vec<Run>,
    /// Leads of drives at controllers.
    pub leads: BTreeMap<DriveId, Lead>,
    /// Loads of all joints, by joint id.
    pub joints: Vec<JointLoad>,
    /// Wire sizes.
    pub sizings: Vec<Sizing>,
    /// What reaches the far end, scheme by scheme.
    pub far_ends: Vec<FarEnd>,
    /// By family of schemes, what one core of the lead between its supply and the socket resists.
    pub supply_leads: BTreeMap<SchemeId, Resistance>,
}

impl Wiring {
    /// The runs of a subject.
    pub fn runs_of(&self, subject: Subject) -> &[Run] {
        let from = self.runs.partition_point(|run| run.subject < subject);
        let until = self.runs.partition_point(|run| run.subject <= subject);
        self.runs.get(from..until).unwrap_or_default()
    }

    /// The label and colour of what a pin carries.
    pub fn conductor(&self, layout: &Layout, pin: &Pin) -> (String, Colour) {
        match pin.carried {
            Carried::Run { index, core } => match self.runs.get(index as usize) {
                Some(run) => (run.label.clone(), colour(run.purpose, run.first + core)),
                None => (String::new(), colour(pin.purpose, core)),
            },
            Carried::Lead { drive, core } => (layout.drive(drive).name.to_string(), colour(Use::Drive, core)),
        }
    }

    /// Conductors over all joints.
    pub fn conductors(&self) -> u32 {
        self.joints.iter().map(JointLoad::total).sum()
    }

    /// Conductors at the worst joint.
    pub fn worst_joint(&self) -> u32 {
        self.joints.iter().map(JointLoad::total).max().unwrap_or(0)
    }

    /// The wire chosen for the runs of a subject.
    pub fn sizing_of(&self, subject: Subject, scheme: Option<SchemeId>) -> Option<&Sizing> {
        let per = subject.per();
        let is_for = |sizing: &&Sizing| sizing.subjects.is_empty() || sizing.subjects.contains(&subject);
        self.sizings.iter().filter(is_for).find(|sizing| sizing.per == per && sizing.scheme == scheme)
    }

    /// The cross-section of the runs of a subject, where it was chosen.
    pub fn area_of(&self, subject: Subject, scheme: Option<SchemeId>) -> Option<Area> {
        self.sizing_of(subject, scheme).map(|sizing| sizing.area)
    }

    /// Plugs over all joints.
    pub fn plugs(&self) -> u32 {
        self.joints.iter().map(|joint| joint.plugs).sum()
    }
}
