//! Feeds, demands and the supplies that carry them.

use super::fuse::NoFuse;
use crate::id::{FeedId, OwnedSupplyId, SchemeId};
use crate::layout::Waveform;
use crate::quantity::{Current, Share, Voltage};
use crate::takeoff::Subject;

/// What one subject draws from a feed.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// What draws.
    pub subject: Subject,
    /// Continuously.
    pub continuous: Current,
    /// At switch-on, rest and twitch together.
    pub start_up: Current,
    /// More than continuous while it moves.
    pub moving: Current,
    /// More than continuous while it is blocked.
    pub blocked: Current,
}

/// One voltage and waveform that something draws from.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Its place in the list of feeds.
    pub id: FeedId,
    /// Voltage.
    pub voltage: Voltage,
    /// Direct or alternating.
    pub waveform: Waveform,
    /// What draws from it.
    pub loads: Vec<Load>,
    /// Rest, hold, controllers, lamps.
    pub continuous: Current,
    /// Continuous and the most that move at once.
    pub peak: Current,
    /// All that may move together at switch-on.
    pub start_up: Current,
    /// Continuous and one drive blocked.
    pub fault: Current,
    /// Which lever or route makes the peak, in words.
    pub peak_of: String,
    /// The owned supplies that carry it, each a section; none where supplies must be bought.
    pub owned: Vec<OwnedSupplyId>,
    /// What the supplies must give at least together, under the rule of headroom.
    pub needed: Current,
    /// Over how many supplies the feed is split, each with an equal section: as few as those owned, or else the largest sold, allow.
    pub sections: u32,
    /// The fuse of each section: the next rating above the most it draws. `None` beyond the largest of the series.
    pub fuse: Option<Current>,
}

impl Demand {
    /// The larger of peak and start-up: what the rating must reach.
    pub fn most(&self) -> Current {
        self.peak.max(self.start_up)
    }

    /// What the supply of one section must give at least.
    pub fn needed_each(&self) -> Current {
        self.needed / f64::from(self.sections.max(1))
    }

    /// The most that one section draws.
    pub fn most_each(&self) -> Current {
        self.most() / f64::from(self.sections.max(1))
    }
}

/// Wires that the fuse of their feed does not protect, behind fuses of their own where they leave it.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// The feed.
    pub feed: FeedId,
    /// The family of schemes whose wires they are; `None` for those of lights.
    pub scheme: Option<SchemeId>,
    /// What the thinnest of them is rated for.
    pub bears: Current,
    /// The most that all of them together draw.
    pub load: Current,
    /// The rating of each fuse: the largest that protects them.
    pub fuse: Current,
    /// How many fuses share the load.
    pub count: u32,
}

/// How a supply stands under a demand.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyCheck {
    /// The feed.
    pub feed: FeedId,
    /// What the supply is called.
    pub name: String,
    /// Whether it is owned, or to buy.
    pub is_owned: bool,
    /// Its rating.
    pub rating: Current,
    /// What is left of the rating under the larger of peak and start-up; negative where it falls short.
    pub headroom: Share,
    /// The fuse of the feed with this supply, or why none protects both its wires and the supply.
    pub fuse: Result<Current, NoFuse>,
    /// Continuous load against the rule, and peak and start-up against the rating: whether both hold.
    pub carries: bool,
}
