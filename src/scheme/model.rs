//! A scheme and its traits.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::diagnostic::Place;
use crate::id::SchemeId;
use crate::layout::{Purpose, Waveform};
use crate::quantity::{Current, Force, Length, Seconds, Share, Voltage};

/// How a lever of the scheme works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Action {
    /// Springs back when let go: for pulses.
    Momentary,
    /// Stays where it is put.
    Maintained,
    /// Stays, with two poles that reverse the polarity.
    Reversing,
    /// Worked by hand at the drive: there is no switch.
    ByHand,
}

impl Action {
    /// All actions.
    pub const ALL: [Self; 4] = [Self::Momentary, Self::Maintained, Self::Reversing, Self::ByHand];

    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Momentary => "momentary",
            Self::Maintained => "maintained",
            Self::Reversing => "reversing",
            Self::ByHand => "by hand",
        }
    }
}

/// How a drive is reached by wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Connection {
    /// Each drive's conductors run to its switch.
    Direct {
        /// Conductors at the motor.
        conductors: u32,
        /// How many of them are one return shared by all drives of the scheme.
        shared: u32,
    },
    /// A lead runs to a controller nearby; panel and controllers are linked by few conductors.
    Local {
        /// The motor's own tail.
        tail: Length,
        /// The longest lead between controller and motor.
        longest: Length,
        /// Conductors in the lead.
        conductors: u32,
        /// Conductors of the link between panel and controllers.
        link: u32,
        /// Conductors of power beside the link: the pair and a common return.
        feed: u32,
    },
    /// No wire: worked by hand.
    None,
}

/// The current a drive draws over time, at the voltage of its motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draw {
    /// A coil for tens of milliseconds.
    Pulse {
        /// In the coil.
        current: Current,
        /// For how long.
        duration: Seconds,
    },
    /// A motor that moves and then rests with little.
    Move {
        /// At rest.
        rest: Current,
        /// Moving.
        moving: Current,
        /// Blocked.
        blocked: Current,
        /// At switch-on, when all may twitch together.
        switch_on: Current,
        /// For how long it moves.
        duration: Seconds,
    },
    /// A motor that always draws: at rest it is stalled.
    Hold {
        /// Moving.
        moving: Current,
        /// At rest, which is stalled.
        rest: Current,
        /// For how long it moves.
        duration: Seconds,
    },
    /// Nothing.
    None,
}

impl Draw {
    /// Current at rest.
    pub fn rest(self) -> Current {
        match self {
            Self::Move { rest, .. } | Self::Hold { rest, .. } => rest,
            Self::Pulse { .. } | Self::None => Current::ZERO,
        }
    }

    /// Current while moving.
    pub fn moving(self) -> Current {
        match self {
            Self::Pulse { current, .. } => current,
            Self::Move { moving, .. } | Self::Hold { moving, .. } => moving,
            Self::None => Current::ZERO,
        }
    }

    /// Current when blocked; a coil's is its pulse, a stall motor's its rest.
    pub fn blocked(self) -> Current {
        match self {
            Self::Pulse { current, .. } => current,
            Self::Move { blocked, .. } => blocked,
            Self::Hold { rest, .. } => rest,
            Self::None => Current::ZERO,
        }
    }

    /// Current at switch-on.
    pub fn switch_on(self) -> Current {
        match self {
            Self::Move { switch_on, .. } => switch_on,
            Self::Hold { rest, moving, .. } => rest.max(moving),
            Self::Pulse { .. } | Self::None => Current::ZERO,
        }
    }
}

/// The supply a scheme runs from and what stands between it and the motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Electrics {
    /// Voltage of the feed.
    pub voltage: Voltage,
    /// Direct or alternating feed.
    pub waveform: Waveform,
    /// Voltage at the motor; the feed's unless a converter or discharge unit stands between.
    pub motor_voltage: Voltage,
    /// Efficiency of what stands between; 1 where nothing does.
    pub efficiency: Share,
    /// What each controller draws from the feed itself.
    pub controller: Current,
    /// What the panel's encoder, or the discharge unit while it charges, draws from the feed.
    pub panel: Current,
    /// Pulses come from a discharge unit: the feed sees only its charging.
    pub stored: bool,
}

/// What becomes of a turnout's own over-centre spring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spring {
    /// It stays: it holds the blades once the drive lets go.
    Kept,
    /// It comes out: the drive holds the blades, and the spring would work against it.
    Removed,
}

impl Spring {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Kept, Self::Removed];

    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Removed => "removed",
        }
    }
}

/// Sizes under the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mechanics {
    /// Length of stock for one bracket; zero where none is cut.
    pub bracket: Length,
    /// How far apart the holes of the two lugs stand by which the motor is screwed to that bracket; `None` where the catalogue does not say.
    pub lugs: Option<Length>,
    /// Length of rod below the board's top, from the hole of its bracket to the drive.
    pub arm: Length,
    /// Depth taken under the top.
    pub depth: Length,
    /// How far the drive moves the rod from end to end; `None` where the catalogue does not say.
    pub travel: Option<Length>,
    /// The force with which its rod must press or push the blades; `None` where the catalogue does not say.
    pub force: Option<Force>,
    /// What becomes of a turnout's own over-centre spring; `None` where the catalogue does not say.
    pub spring: Option<Spring>,
}

/// A way of driving.
#[derive(Debug, Clone, PartialEq)]
pub struct Scheme {
    /// Its name, as in the other sheets.
    pub name: Arc<str>,
    /// Its title in print.
    pub title: String,
    /// Its row.
    pub place: Place,
    /// Whether it is offered for choice; a scheme that only holds what its variants share is not.
    pub offered: bool,
    /// The scheme whose traits this one takes where its own cells are blank, and whose rows in `Assemblies` and `Tasks` also count.
    pub like: Option<SchemeId>,
    /// What it can move.
    pub drives: BTreeSet<Purpose>,
    /// The scheme that moves the rest.
    pub instead: Option<SchemeId>,
    /// How it is wired.
    pub connection: Connection,
    /// What it draws.
    pub draw: Draw,
    /// What it runs from; `None` where no current flows.
    pub electrics: Option<Electrics>,
    /// How its levers work.
    pub action: Action,
    /// Changeover contacts that come with the drive.
    pub contacts: u32,
    /// Sizes under the board.
    pub mechanics: Mechanics,
}

impl Scheme {
    /// Whether its drives share a return, so that a lever need switch one pole only.
    pub fn shares_return(&self) -> bool {
        matches!(self.connection, Connection::Direct { shared, .. } if shared > 0)
    }
}
