//! Runs, leads and what parts at a joint.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::colour::{Colour, LINK_RETURN, colour, lead_core, link_core};
use super::crossing::Crossing;
use super::ends::{End, Stop, Terminal};
use crate::catalogue::Per;
use crate::id::{BoardId, ControllerId, DriveId, JointId, SchemeId};
use crate::layout::Layout;
use crate::power::conductor::Wire;
use crate::quantity::{Area, Current, Length, LineResistance, Share, Voltage};
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
    /// From a lever beside its drives to the encoder that reads it.
    Reading,
}

impl Use {
    /// All uses, in the order printed.
    pub const ALL: [Self; 8] =
        [Self::Drive, Self::Return, Self::Power, Self::Link, Self::Light, Self::Proving, Self::Frog, Self::Reading];

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
            Self::Reading => "reading",
        }
    }
}

/// One conductor from end to end, or one cable with several: electrically one, but cut at every joint it crosses.
#[derive(Debug, Clone, PartialEq)]
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
    /// What is written on both ends of all its sections.
    pub label: String,
    /// From here, nearer the panel.
    pub from: Terminal,
    /// To here.
    pub to: Terminal,
    /// The pieces it is cut into, board by board on its way.
    pub sections: Vec<Section>,
    /// The length of all of them: what current flows through.
    pub length: Length,
    /// The joints it crosses, in order.
    pub crosses: Arc<[JointId]>,
    /// The most that flows in each of its conductors.
    pub carries: Current,
    /// How many pins each of its conductors has at a joint: as many as bear what flows.
    pub pins: u32,
}

/// A piece of a run, in one length: on one board, from a thing or a plug to a plug or a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Section {
    /// The board it lies on.
    pub board: BoardId,
    /// From here, nearer the panel.
    pub from: Stop,
    /// To here.
    pub to: Stop,
    /// The length to cut: its way over the board, a lead that hangs there, tails, drops and slack.
    pub length: Length,
}

impl Section {
    /// How it lies on its board.
    pub fn lies(&self) -> Lies {
        match (self.from, self.to) {
            (Stop::Plug(_), Stop::At(_)) => Lies::ComesIn,
            (Stop::At(_), Stop::At(_)) => Lies::Stays,
            (Stop::At(_), Stop::Plug(_)) => Lies::Leaves,
            (Stop::Plug(_), Stop::Plug(_)) => Lies::Passes,
        }
    }
}

/// How a piece of wire lies on its board, in the order one lays them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lies {
    /// Comes in at a joint and ends there.
    ComesIn,
    /// Begins and ends there.
    Stays,
    /// Begins there and leaves over a joint.
    Leaves,
    /// Comes in at one joint and leaves at another.
    Passes,
}

impl Lies {
    /// The word in print.
    pub fn word(self) -> &'static str {
        match self {
            Self::ComesIn => "comes in",
            Self::Stays => "stays",
            Self::Leaves => "leaves",
            Self::Passes => "passes",
        }
    }
}

impl Run {
    /// Whether motors or coils draw through it at the panel: it brings a pole to the levers that throw them, in turn.
    pub fn feeds_levers(&self) -> bool {
        self.subject == Subject::Layout && self.scheme.is_some() && matches!(self.to.end, End::Lever(..))
    }

    /// What a core of a cable is called: its number from 1, or the return that is the last of several.
    pub(super) fn core_name(&self, core: u32) -> String {
        let is_return = link_core(core, self.conductors).0 == LINK_RETURN;
        if is_return { "return".to_owned() } else { core.saturating_add(1).to_string() }
    }

    /// The colours of its conductors.
    pub fn colours(&self) -> impl Iterator<Item = Colour> + use<> {
        let (purpose, first, conductors) = (self.purpose, self.first, self.conductors);
        (0..conductors).map(move |core| match purpose {
            Use::Link => link_core(core, conductors).1,
            _ => colour(purpose, first.saturating_add(core)),
        })
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
    /// The length from controller to motor, with slack; over a joint also the tails at both halves, for it is cut there.
    pub length: Length,
    /// What an extension must bridge beyond the motor's own tail; `None` where the tail reaches.
    pub extension: Option<Length>,
    /// The joints the extension crosses. It is cut there, and its cores go over pins of the joint's own plug.
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
    /// Whether a tail, a short thinner wire, leads to it from a strip beside the plug: there ends what is thicker than a pin takes, or spread over
    /// several pins.
    pub by_tail: bool,
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

    /// Tails on each half.
    pub fn tails(&self) -> u32 {
        self.pins.iter().map(|pin| u32::from(pin.by_tail)).sum()
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
    /// Whether it is for those that feed the levers of motors or coils; else for the others of the sort.
    pub feeds_levers: bool,
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

impl Sizing {
    /// The wire itself.
    pub fn wire(&self) -> Wire {
        Wire { area: self.area, line: self.line, rating: self.rating }
    }

    /// Whether it is for the same sort of runs as another.
    pub(super) fn is_of_the_sort_of(&self, other: &Self) -> bool {
        (self.per, self.scheme, self.feeds_levers) == (other.per, other.scheme, other.feeds_levers)
    }

    /// Whether it is for a run.
    pub fn is_for(&self, run: &Run) -> bool {
        self.per == run.subject.per()
            && self.scheme == run.scheme
            && self.feeds_levers == run.feeds_levers()
            && (self.subjects.is_empty() || self.subjects.contains(&run.subject))
    }
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
    /// What conductors meet where they cross joints.
    pub crossing: Crossing,
    /// By family with stored pulses and number of coils that a lever throws together, the most that they take.
    pub thrown: BTreeMap<(SchemeId, u32), Current>,
}

impl Wiring {
    /// The runs of a subject.
    pub fn runs_of(&self, subject: Subject) -> &[Run] {
        let from = self.runs.partition_point(|run| run.subject < subject);
        let until = self.runs.partition_point(|run| run.subject <= subject);
        self.runs.get(from..until).unwrap_or_default()
    }

    /// The label, use and colour of what a pin carries. The last core of a link is named, for it is no signal: it is the common return of them.
    pub fn conductor(&self, layout: &Layout, pin: &Pin) -> (String, &'static str, Colour) {
        match pin.carried {
            Carried::Run { index, core } => match self.runs.get(index as usize) {
                Some(run) if run.purpose == Use::Link => {
                    let (word, colour) = link_core(core, run.conductors);
                    (format!("{} {}", run.label, run.core_name(core)), word, colour)
                }
                Some(run) => (run.label.clone(), run.purpose.word(), colour(run.purpose, run.first + core)),
                None => (String::new(), pin.purpose.word(), colour(pin.purpose, core)),
            },
            Carried::Lead { drive, core } => {
                let (word, colour) = lead_core(core);
                (format!("{} {word}", layout.drive(drive).name), Use::Drive.word(), colour)
            }
        }
    }

    /// The plugs of a joint over which a run goes, by number.
    pub fn plugs_of(&self, joint: JointId, run: usize) -> Vec<u32> {
        let pins = self.joints.get(joint.index()).map_or(&[][..], |load| load.pins.as_slice());
        let mine = |pin: &&Pin| matches!(pin.carried, Carried::Run { index, .. } if index as usize == run);
        let mut plugs: Vec<u32> = pins.iter().filter(mine).map(|pin| pin.plug).collect();
        plugs.sort_unstable();
        plugs.dedup();
        plugs
    }

    /// Conductors over all joints.
    pub fn conductors(&self) -> u32 {
        self.joints.iter().map(JointLoad::total).sum()
    }

    /// Conductors at the worst joint.
    pub fn worst_joint(&self) -> u32 {
        self.joints.iter().map(JointLoad::total).max().unwrap_or(0)
    }

    /// The wire chosen for a run.
    pub fn sizing_of(&self, run: &Run) -> Option<&Sizing> {
        self.sizings.iter().find(|sizing| sizing.is_for(run))
    }

    /// The cross-section of a run, where it was chosen.
    pub fn area_of(&self, run: &Run) -> Option<Area> {
        self.sizing_of(run).map(|sizing| sizing.area)
    }

    /// Plugs over all joints.
    pub fn plugs(&self) -> u32 {
        self.joints.iter().map(|joint| joint.plugs).sum()
    }
}
