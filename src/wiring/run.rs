//! Conductors from end to end: runs, the sections they are cut into, and the leads of motors at controllers.

use std::sync::Arc;

use super::colour::{Colour, LINK_RETURN, colour, link_core};
use super::ends::{End, Stop, Terminal};
use crate::id::{BoardId, ControllerId, DriveId, JointId, SchemeId};
use crate::quantity::{Current, Length};
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
    /// How many pins each of its conductors has at a joint: as many as bear what flows, and what the fuse before it lets through.
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
