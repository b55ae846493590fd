//! Checks and their phases.

use crate::id::BoardId;
use crate::quantity::Quantity;

/// The phases, in the order that is safe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// No supply is connected, no controller plugged in.
    Dead,
    /// The supply alone.
    Supply,
    /// One controller, no drive plugged in.
    Controller,
    /// One drive.
    Drive,
    /// Every drive, twenty times.
    Throws,
}

impl Phase {
    /// All phases.
    pub const ALL: [Self; 5] = [Self::Dead, Self::Supply, Self::Controller, Self::Drive, Self::Throws];

    /// The words in print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dead => "1 dead",
            Self::Supply => "2 supply alone",
            Self::Controller => "3 one controller",
            Self::Drive => "4 one drive",
            Self::Throws => "5 twenty throws",
        }
    }
}

/// One thing to measure or to watch.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// The board on which it is done.
    pub board: BoardId,
    /// The phase.
    pub phase: Phase,
    /// What is measured.
    pub what: String,
    /// Between which points, or where.
    pub place: String,
    /// The reading to expect.
    pub expected: Option<Quantity>,
    /// It is good from here; no bound where there is none.
    pub least: Option<Quantity>,
    /// It is good up to here.
    pub most: Option<Quantity>,
}
