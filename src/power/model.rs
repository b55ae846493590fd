//! Feeds, demands and the supplies that carry them.

use super::fuse::NoFuse;
use crate::catalogue::Catalogue;
use crate::id::{BoardId, FeedId, OwnedSupplyId, SchemeId};
use crate::layout::Waveform;
use crate::quantity::{Current, Share, Voltage};
use crate::scheme::Connection;
use crate::takeoff::Subject;
use crate::wiring::Source;

/// What one subject draws from a feed.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// What draws: an encoder is named by the panel, or without one by its board.
    pub subject: Subject,
    /// The family of schemes through whose wires it is fed; `None` for those of the lights.
    pub through: Option<SchemeId>,
    /// Continuously.
    pub continuous: Current,
    /// At switch-on, rest and twitch together.
    pub start_up: Current,
    /// More than continuous while it moves.
    pub moving: Current,
    /// More than continuous while it is blocked.
    pub blocked: Current,
}

impl Load {
    /// Whether it is fed through the wires of a family with controllers.
    pub fn is_local(&self, catalogue: &Catalogue) -> bool {
        self.through.is_some_and(|family| matches!(catalogue.scheme(family).connection, Connection::Local { .. }))
    }

    /// Whether it is an encoder, which reads the levers of drives with controllers.
    pub fn is_encoder(&self, catalogue: &Catalogue) -> bool {
        matches!(self.subject, Subject::Panel | Subject::Board(_)) && self.is_local(catalogue)
    }
}

/// What loads draw together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drawn {
    /// Rest, hold, controllers, lamps.
    pub continuous: Current,
    /// Continuous and the most that move at once.
    pub peak: Current,
    /// All that may move together at switch-on.
    pub start_up: Current,
    /// The most that move at once, one of them or another beside them blocked.
    pub fault: Current,
    /// Which lever or route makes the peak, in words.
    pub peak_of: String,
}

impl Drawn {
    /// The larger of peak and start-up: what the rating of a supply must reach.
    pub fn most(&self) -> Current {
        self.peak.max(self.start_up)
    }

    /// What a supply must give under a rule of headroom: the most, and the continuous part with that much of the rating left free.
    pub fn needed(&self, headroom: Share) -> Current {
        self.most().max(self.continuous / (1.0 - headroom.0))
    }
}

/// A part of a feed with a supply and a fuse of its own; a small feed has one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Section {
    /// What hangs on it.
    pub loads: Vec<Load>,
    /// The boards these stand on, or whose levers feed them from the panel, in the order they are reached from the origin; empty where the
    /// feed has this section alone.
    pub boards: Vec<BoardId>,
    /// What they draw together.
    pub drawn: Drawn,
    /// What its supply must give at least, under the rule of headroom.
    pub needed: Current,
    /// The owned supply that carries it; `None` where one must be bought.
    pub owned: Option<OwnedSupplyId>,
    /// Its fuse. `None` where the series has none that carries it.
    pub fuse: Option<Current>,
    /// What its supply may give: the rating of the owned one, or of the smallest sold that gives what is asked, which is a guess before the purchase. The
    /// lead before the fuse must bear it.
    pub gives: Current,
}

impl Section {
    /// Whether its fuse does not protect a wire that is rated for so much.
    pub fn leaves_bare(&self, rating: Current) -> bool {
        self.fuse.is_none_or(|fuse| rating < fuse)
    }

    /// What the lead between its supply and its fuse must bear.
    pub fn before_the_fuse(&self) -> Current {
        self.gives.max(self.fuse.unwrap_or_default())
    }

    /// What a supply to buy for it must give: what it needs, and no less than its fuse, or on a short the fuse would not be the first to act.
    pub fn asked(&self) -> Current {
        self.fuse.map_or(self.needed, |fuse| fuse.max(self.needed))
    }
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
    /// What they draw together.
    pub drawn: Drawn,
    /// What the supplies must give at least together, under the rule of headroom.
    pub needed: Current,
    /// Its sections: one, or as few as the supplies owned or sold and the largest fuse allow.
    pub sections: Vec<Section>,
}

impl Demand {
    /// What it gives, in words: `12 V DC`.
    pub fn name(&self) -> String {
        format!("{} {}", self.voltage, self.waveform.word())
    }

    /// Whether it is the feed of a voltage and waveform.
    pub fn is_of(&self, voltage: Voltage, waveform: Waveform) -> bool {
        self.voltage.quantity() == voltage.quantity() && self.waveform == waveform
    }

    /// Where a section is plugged in, by its place from 0.
    pub fn source(&self, section: usize) -> Source {
        let number = u32::try_from(section).map_or(u32::MAX, |section| section.saturating_add(1));
        let section = if self.sections.len() > 1 { number } else { 0 };
        Source { voltage: self.voltage.quantity(), waveform: self.waveform, section }
    }

    /// The section a load hangs on, from 0.
    pub fn section_of(&self, subject: Subject) -> usize {
        // Of one there is nothing to look for, and large layouts ask for every wire.
        if self.sections.len() < 2 {
            return 0;
        }
        let hangs = |section: &Section| section.loads.iter().any(|load| load.subject == subject);
        self.sections.iter().position(hangs).unwrap_or(0)
    }

    /// The section on which the runs of a subject hang, from 0.
    pub fn section_behind(&self, subject: Subject) -> usize {
        match subject {
            Subject::Board(board) => self.section_at(board),
            Subject::Aspect(signal, _) => self.section_of(Subject::Signal(signal)),
            Subject::Lamp(lever, _) => self.section_of(Subject::Lever(lever)),
            other => self.section_of(other),
        }
    }

    /// The section that feeds what hangs on a board, from 0.
    pub fn section_at(&self, board: BoardId) -> usize {
        self.sections.iter().position(|section| section.boards.contains(&board)).unwrap_or(0)
    }

    /// The largest of the fuses; `None` where a section has none.
    pub fn largest_fuse(&self) -> Option<Current> {
        let fuses: Option<Vec<Current>> = self.sections.iter().map(|section| section.fuse).collect();
        fuses?.into_iter().reduce(Current::max)
    }

    /// Whether a supply must be bought for it.
    pub fn is_bought(&self) -> bool {
        self.sections.iter().any(|section| section.owned.is_none())
    }
}

/// Wires, and what switches them, that the fuse of their section does not protect, behind fuses of their own where they leave it.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// The feed.
    pub feed: FeedId,
    /// The section of the feed, from 0.
    pub section: u32,
    /// The family of schemes whose wires they are; `None` for those of lights.
    pub scheme: Option<SchemeId>,
    /// What the weakest of them is rated for.
    pub bears: Current,
    /// The most that all of them together draw.
    pub load: Current,
    /// The rating of each fuse: the largest that protects them.
    pub fuse: Current,
    /// How many fuses share the load.
    pub count: u32,
}

impl Branch {
    /// Whether it is that of a family's wires, or of the lights', on a section of a feed, from 0.
    pub fn is_of(&self, feed: FeedId, section: usize, scheme: Option<SchemeId>) -> bool {
        self.feed == feed && self.section as usize == section && self.scheme == scheme
    }
}

/// How a supply stands.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyCheck {
    /// The feed.
    pub feed: FeedId,
    /// The section it feeds, from 0; `None` for an owned one that serves none: it is held against the whole feed.
    pub section: Option<u32>,
    /// What the supply is called.
    pub name: String,
    /// Whether it is owned, or to buy.
    pub is_owned: bool,
    /// Its rating.
    pub rating: Current,
    /// The larger of peak and start-up that it must carry.
    pub most: Current,
    /// With one drive blocked, where that draws more than is ever drawn in use.
    pub fault: Option<Current>,
    /// The fuse with this supply, or why none protects both its wires and the supply.
    pub fuse: Result<Current, NoFuse>,
    /// Continuous load against the rule, and peak and start-up against the rating: whether both hold.
    pub carries: bool,
}

impl SupplyCheck {
    /// Whether it goes on while a drive is blocked.
    pub fn bears_a_blocked_one(&self) -> bool {
        self.fault.is_none_or(|fault| fault.0 <= self.rating.0 * (1.0 + 1e-9))
    }

    /// What is left of the rating under the most that is drawn, as a part of it; negative where it falls short.
    pub fn headroom(&self) -> Share {
        if self.rating > Current::ZERO { Share((self.rating - self.most) / self.rating) } else { Share(-1.0) }
    }
}
