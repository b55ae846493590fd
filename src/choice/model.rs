//! Columns of a comparison and the verdict.

use crate::estimate::Estimate;
use crate::id::SchemeId;
use crate::layout::DecideBy;
use crate::money::Money;

/// Why a further turnout has no price.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NoPrice {
    /// A plan with it lacks something that cannot be had.
    NotToBeHad,
    /// An order, with it or without, is not proven the cheapest: a difference of two that may both be better is a guess.
    NotProven,
}

/// What one more plain turnout costs, and where the next step lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextTurnout {
    /// The price of the next one.
    pub price: Result<Money, NoPrice>,
    /// The board it is reckoned on.
    pub board: crate::id::BoardId,
    /// The further turnout that needs another controller, or a larger one; `None` where none does.
    pub step: Option<Step>,
}

/// A further turnout that needs another controller.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Which, counted from 1 for the next.
    pub turnout: usize,
    /// What it adds.
    pub price: Result<Money, NoPrice>,
}

/// One scheme, worked out for the whole layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The scheme.
    pub scheme: SchemeId,
    /// Everything about it.
    pub estimate: Estimate,
    /// Money per drive that is bought.
    pub per_drive: Option<Money>,
    /// The next turnout; `None` where the scheme cannot be built or drives no turnouts.
    pub next: Option<NextTurnout>,
    /// Purchase, hours and set-ups over the years; `None` where no value of an hour is set.
    pub life_cost: Option<Money>,
}

/// Which scheme the rules choose, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// This one.
    Chosen {
        /// The index of its column.
        column: usize,
        /// What it was decided by; `None` where it leads in everything.
        by: Option<DecideBy>,
        /// The second by the same measure, if there are two.
        runner_up: Option<usize>,
    },
    /// None leads in everything and the rules do not say what to decide by.
    Open {
        /// The cheapest.
        cheapest: usize,
        /// The quickest.
        quickest: usize,
        /// The one with fewest conductors over the joints.
        fewest: usize,
    },
    /// None can be built from the catalogue.
    NoneFits {
        /// The one that lacks least: the fewest needs that are not met and drives that nothing moves, then the cheapest.
        nearest: usize,
    },
}

impl Verdict {
    /// The column that other verbs take where none is named: the choice, else the cheapest, else the one that lacks least.
    pub fn column(&self) -> usize {
        match self {
            Self::Chosen { column, .. } => *column,
            Self::Open { cheapest, .. } => *cheapest,
            Self::NoneFits { nearest } => *nearest,
        }
    }
}

/// The schemes side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// One column for each scheme compared, in the order of the rules.
    pub columns: Vec<Column>,
    /// Which to take.
    pub verdict: Verdict,
}
