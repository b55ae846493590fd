//! The wiring of a plan: its runs and leads, what parts at the joints, which wire is chosen and what arrives through it.

use std::collections::BTreeMap;

use super::colour::{Colour, colour, lead_core, link_core};
use super::crossing::Crossing;
use super::run::{Lead, Run, Use};
use crate::catalogue::Per;
use crate::id::{DriveId, JointId, SchemeId};
use crate::layout::Layout;
use crate::power::conductor::Wire;
use crate::quantity::{Area, Current, LineResistance, Share, Voltage};
use crate::takeoff::Subject;

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
