//! What is wrong with a plan, in plain words: what the builder would see, and what mends it.

use crate::id::{ControllerId, FeedId};
use crate::money::Money;

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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// One lever is thrown at a time.
    OneLeverAtOnce,
    /// The supply of a feed is bought; without the change the user would have one that carries it.
    BuySupply(FeedId),
    /// Two controllers, each nearer to its drives, take the place of one.
    SplitController(ControllerId),
}

/// A way to mend what a finding tells, and what it adds to the price where that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mend {
    /// What to do, as an instruction.
    pub text: String,
    /// The difference in price.
    pub price: Option<Money>,
    /// The change by which the difference can be worked out.
    pub change: Option<Change>,
}

/// One thing the builder should know about a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
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
}

impl Finding {
    /// A finding with no more than its statement.
    pub fn new(code: &'static str, weight: Weight, what: impl Into<String>) -> Self {
        Self { code, weight, what: what.into(), seen: None, mends: Vec::new() }
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

    /// With one more way to mend it, whose price is worked out only when it is asked for.
    #[must_use]
    pub fn mend_by(mut self, text: impl Into<String>, change: Change) -> Self {
        self.mends.push(Mend { text: text.into(), price: None, change: Some(change) });
        self
    }
}
