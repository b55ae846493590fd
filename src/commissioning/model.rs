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
    /// Lights, lamps, levers and encoder, no drive plugged in.
    Lights,
    /// One drive.
    Drive,
    /// Every drive, twenty times.
    Throws,
}

impl Phase {
    /// All phases.
    pub const ALL: [Self; 6] = [Self::Dead, Self::Supply, Self::Controller, Self::Lights, Self::Drive, Self::Throws];

    /// The words in print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dead => "dead",
            Self::Supply => "the supply alone",
            Self::Controller => "one controller",
            Self::Lights => "lights, lamps and levers",
            Self::Drive => "one drive",
            Self::Throws => "all drives, twenty throws",
        }
    }

    /// What is connected while it lasts.
    pub fn connected(self) -> &'static str {
        match self {
            Self::Dead => "no supply connected, controllers and drives unplugged",
            Self::Supply => "behind its fuse, nothing plugged in",
            Self::Controller => "plugged in one after the other, no drives",
            Self::Lights => "no drive connected",
            Self::Drive => "one of each sort, the others unplugged",
            Self::Throws => "a hand on the switch of the supply",
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
    /// What is seen where it is good, if nothing is measured.
    pub sign: Option<&'static str>,
    /// What is likely wrong where it is not good.
    pub cause: &'static str,
}
