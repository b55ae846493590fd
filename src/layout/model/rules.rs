//! The rules of a layout, as they hold for its plan.

use std::fmt;

use crate::diagnostic::Given;
use crate::id::SchemeId;
use crate::money::Money;
use crate::quantity::Share;

/// What the panel's lamps show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lamps {
    /// There are none.
    None,
    /// What the lever asks for.
    Commanded,
    /// What a contact on the drive has proved.
    Proved,
}

impl Lamps {
    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Commanded => "commanded",
            Self::Proved => "proved",
        }
    }
}

/// What the drives do when the power comes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SwitchOn {
    /// Those that would twitch are held by a part of their assembly, where the catalogue has one.
    Held,
    /// They keep still by themselves: their controllers see to it, or their power comes on later.
    Quiet,
    /// They may twitch, all together.
    Twitching,
}

impl SwitchOn {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Held, Self::Quiet, Self::Twitching];

    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::Quiet => "quiet",
            Self::Twitching => "twitching",
        }
    }
}

/// Where controllers may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Controllers {
    /// On every board with drives for them.
    EachBoard,
    /// A board may be served from the next one.
    Neighbour,
}

impl Controllers {
    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::EachBoard => "each board",
            Self::Neighbour => "neighbour",
        }
    }
}

/// How many drives move at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtOnce {
    /// So many levers, whichever ask for the most.
    Levers(u32),
    /// All levers of any one route.
    Routes,
}

/// A share on top, and at least so many.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// The share of what is used.
    pub share: Share,
    /// The least number.
    pub least: u32,
}

impl Margin {
    /// What `used` grows to with the margin.
    pub fn on(self, used: u32) -> u32 {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a count of devices")]
        let share = (f64::from(used) * self.share.0 - 1e-9).ceil().max(0.0) as u32;
        used.saturating_add(share.max(self.least))
    }
}

impl fmt::Display for Margin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.share.0 > 0.0, self.least > 0) {
            (true, true) => write!(f, "{}, at least {}", self.share, self.least),
            (true, false) => write!(f, "{}", self.share),
            (false, true) => write!(f, "at least {}", self.least),
            (false, false) => f.write_str("0"),
        }
    }
}

/// What the user decides by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecideBy {
    /// Money now.
    Money,
    /// Hours of work.
    Hours,
    /// Conductors over all joints.
    Conductors,
    /// Purchase, hours and set-ups over the years in money.
    LifeCost,
}

impl DecideBy {
    /// All ways to decide.
    pub const ALL: [Self; 4] = [Self::Money, Self::Hours, Self::Conductors, Self::LifeCost];

    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Money => "money",
            Self::Hours => "hours",
            Self::Conductors => "conductors",
            Self::LifeCost => "life cost",
        }
    }
}

/// The rules a layout is planned under.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// The schemes to compare, in order.
    pub schemes: Given<Vec<SchemeId>>,
    /// Slack added to every wire.
    pub slack: Given<Share>,
    /// Spares of small parts that get lost.
    pub spares: Given<Share>,
    /// Whether a spare of each active part goes along to exhibitions.
    pub exhibition_kit: Given<bool>,
    /// Free channels to leave at each controller.
    pub spare_channels: Given<Margin>,
    /// Where controllers may stand.
    pub controllers: Given<Controllers>,
    /// Free ways to leave in the connectors of each joint.
    pub spare_ways: Given<Margin>,
    /// What moves at once.
    pub at_once: Given<AtOnce>,
    /// What the drives do at switch-on.
    pub switch_on: Given<SwitchOn>,
    /// Over how many supplies each feed is divided at least.
    pub sections: Given<u32>,
    /// The least part of a supply's rating to leave free under continuous load.
    pub headroom: Given<Share>,
    /// The largest part of a feed's voltage to lose in its wires.
    pub drop: Given<Share>,
    /// What an hour of the builder's time is worth; nothing is assumed.
    pub hour: Option<Given<Money>>,
    /// How often a year the layout is set up.
    pub set_ups: Given<u32>,
    /// Over how many years costs are counted.
    pub years: Given<u32>,
    /// What the panel's lamps show.
    pub lamps: Given<Lamps>,
    /// What to decide by, if the user says.
    pub decide_by: Option<Given<DecideBy>>,
}

impl Rules {
    /// How often every joint is plugged over the years.
    pub fn matings(&self) -> u32 {
        self.set_ups.value.saturating_mul(self.years.value)
    }
}
