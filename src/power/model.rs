//! Feeds, demands and the supplies that carry them.

use super::fuse::NoFuse;
use crate::id::{FeedId, OwnedSupplyId};
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
    /// The owned supply that carries it; `None` where one must be bought.
    pub owned: Option<OwnedSupplyId>,
    /// What the supplies must give at least together, under the rule of headroom.
    pub needed: Current,
    /// Over how many supplies the feed is split, each with an equal section: as few as the largest sold allows, and one where it is owned.
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
