//! What is wrong with a plan, in plain words: what the builder would see, and what mends it.

use crate::catalogue::Per;
use crate::id::{BoardId, ControllerId, FeedId, SchemeId};
use crate::layout::{Controllers, SwitchOn};
use crate::money::Money;
use crate::quantity::{Current, Length};

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// The plan falls short: exit code 1.
    Shortfall,
    /// The plan works, with a doubt the builder should know.
    Doubt,
    /// A word of caution where work can hurt.
    Caution,
    /// Worth knowing.
    Note,
}

impl Weight {
    /// The word for it in print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Shortfall => "Falls short",
            Self::Doubt => "Doubt",
            Self::Caution => "Caution",
            Self::Note => "Note",
        }
    }
}

/// A change to a plan that can be worked out anew, to tell what it costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// One lever is thrown at a time.
    OneLeverAtOnce,
    /// The supply of a feed is bought; without the change the user would have one that carries it.
    BuySupply(FeedId),
    /// The rods of a scheme are of wire of this diameter.
    Rod {
        /// The scheme.
        scheme: SchemeId,
        /// The diameter.
        diameter: Length,
    },
    /// The screws of a scheme of one length are of another.
    Screw {
        /// What they hold.
        per: Per,
        /// The scheme.
        scheme: SchemeId,
        /// The length they have.
        from: Length,
        /// The length they should have.
        to: Length,
    },
    /// The drives of one scheme on a board are of another.
    DriveBy {
        /// The board.
        board: BoardId,
        /// The scheme they have.
        from: SchemeId,
        /// The scheme they should have.
        to: SchemeId,
    },
    /// Of the owned supplies of a feed those that give less are left aside, so that its fuse acts first.
    LargerSupply {
        /// The feed.
        feed: FeedId,
        /// What it must give at least.
        least: Current,
    },
    /// Each feed is divided over so many supplies at least.
    Sections(u32),
    /// Each feed is divided so, and one thing more is changed.
    SectionsAnd {
        /// The least number of supplies of each feed.
        least: u32,
        /// The other change.
        also: Also,
    },
    /// What motors do at switch-on.
    AtSwitchOn(SwitchOn),
    /// The panel is fixed to another board.
    PanelAt(BoardId),
    /// Controllers stand on each board, or may serve the next one too.
    ControllersAt(Controllers),
    /// Of the levers of a family whose coils get too little from any discharge unit to be had, each drive gets its own.
    OwnLevers(SchemeId),
    /// Two controllers, each nearer to its drives, take the place of one.
    SplitController(ControllerId),
}

/// A change that may help beside a division of the feeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Also {
    /// One lever is thrown at a time.
    OneLeverAtOnce,
    /// What motors do at switch-on.
    AtSwitchOn(SwitchOn),
    /// The panel is fixed to another board.
    PanelAt(BoardId),
}

impl From<Also> for Change {
    fn from(also: Also) -> Self {
        match also {
            Also::OneLeverAtOnce => Self::OneLeverAtOnce,
            Also::AtSwitchOn(switch_on) => Self::AtSwitchOn(switch_on),
            Also::PanelAt(board) => Self::PanelAt(board),
        }
    }
}

/// What a change must bring about to mend a finding: it is judged by the feeds and the wiring that the change would make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// No supply need be bought for a feed.
    OwnedCarry(FeedId),
    /// Enough arrives at the far end of a scheme.
    EnoughArrives(SchemeId),
    /// The coils of each lever of a family with stored pulses get what they need from the largest discharge unit to be had.
    EveryCoilThrows(SchemeId),
    /// The return core of a scheme's link bears what the power minus beside it carries.
    LinkReturnBears(SchemeId),
    /// The wires of a sort are rated for what they carry.
    WiresBear {
        /// The family of schemes; `None` for lights.
        scheme: Option<SchemeId>,
        /// Whose runs.
        per: Per,
    },
    /// Every section of every feed has a fuse that carries it.
    AllFused,
    /// No fuse of a feed is larger than the owned supply it stands behind.
    FusesWithin(FeedId),
}

/// A place among the mends of a finding for those that are known only by trying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToTry {
    /// What they must bring about.
    pub aim: Aim,
    /// How many mends stand before them.
    pub after: usize,
}

/// A way to mend what a finding tells, and its price where that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What to do, as an instruction.
    pub text: String,
    /// What it adds to the price of the plan; where the plan has it already, how much of its price it is.
    pub price: Option<Money>,
    /// The change by which the price can be worked out.
    pub change: Option<Change>,
}

impl Mend {
    /// Whether the plan's price has that of the mend in it already.
    pub fn is_in_the_sum(&self) -> bool {
        matches!(self.change, Some(Change::BuySupply(_)))
    }
}

/// One thing the builder should know about a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Stable name of this sort of finding, such as `supply-too-small`.
    pub code: &'static str,
    /// How much it matters.
    pub weight: Weight,
    /// What is wrong, with the figures.
    pub what: String,
    /// What the builder would see at the layout.
    pub seen: Option<String>,
    /// Ways to mend it.
    pub mends: Vec<Mend>,
    /// What is still to be tried to mend it.
    pub to_try: Option<ToTry>,
    /// Whether it is worth telling only if one of the mends is known to make the plan cheaper.
    pub if_cheaper: bool,
}

impl Finding {
    /// A finding with no more than its statement.
    pub fn new(code: &'static str, weight: Weight, what: impl Into<String>) -> Self {
        Self { code, weight, what: what.into(), seen: None, mends: Vec::new(), to_try: None, if_cheaper: false }
    }

    /// With what the builder would see.
    #[must_use]
    pub fn seen(mut self, seen: impl Into<String>) -> Self {
        self.seen = Some(seen.into());
        self
    }

    /// With one more way to mend it.
    #[must_use]
    pub fn mend(mut self, text: impl Into<String>, price: Option<Money>) -> Self {
        self.mends.push(Mend { text: text.into(), price, change: None });
        self
    }

    /// With room for the mends that are found by trying, after those it has.
    #[must_use]
    pub fn try_for(mut self, aim: Aim) -> Self {
        self.to_try = Some(ToTry { aim, after: self.mends.len() });
        self
    }

    /// With one more way to mend it, whose price is worked out only when it is asked for.
    #[must_use]
    pub fn mend_by(mut self, text: impl Into<String>, change: Change) -> Self {
        self.mends.push(Mend { text: text.into(), price: None, change: Some(change) });
        self
    }
}
