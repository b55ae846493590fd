//! How things are put together: rules of parts and of work, kinds of turnout, and the constants of the sums.

use std::collections::BTreeMap;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::goods::Value;
use super::vocabulary::{Attr, Condition, Measure, Per, Stage};
use crate::day::Day;
use crate::diagnostic::Place;
use crate::id::{KindId, SchemeId};
use crate::money::Currency;
use crate::quantity::{Area, Current, Length, Minutes, Resistance, Share, Voltage};

/// What an amount of a rule is multiplied by, or what a rule asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asked {
    /// A value written in the sheet.
    Value(Value),
    /// A measure of the subject.
    Measure(Measure),
    /// The waveform of the subject's feed.
    Waveform,
}

/// One row of `Assemblies`: parts that go with a subject.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssemblyRule {
    /// Its row.
    pub place: Place,
    /// The scheme under which it counts; `None` for all.
    pub scheme: Option<SchemeId>,
    /// What it counts.
    pub per: Per,
    /// What it asks for.
    pub kind: KindId,
    /// What the part must do, in the order written.
    pub asks: Vec<(Attr, Asked)>,
    /// How many.
    pub amount: Decimal,
    /// Times this measure; for pieces, the length of each.
    pub measure: Option<Measure>,
    /// When it counts: all of these hold.
    pub when: Vec<Condition>,
    /// Why, for the reader.
    pub why: String,
}

/// One row of `Tasks`: work that goes with a subject.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// Its row.
    pub place: Place,
    /// The scheme under which it counts; `None` for all.
    pub scheme: Option<SchemeId>,
    /// What it counts.
    pub per: Per,
    /// What is done.
    pub title: String,
    /// The stage it belongs to.
    pub stage: Stage,
    /// Minutes if all goes well.
    pub low: Minutes,
    /// Minutes most likely.
    pub likely: Minutes,
    /// Minutes if it does not.
    pub high: Minutes,
    /// When it counts: all of these hold.
    pub when: Vec<Condition>,
}

/// Which drive changes a frog over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrogFollows {
    /// The drive of its own end.
    Own,
    /// The drive of the other end, as in a slip.
    Other,
    /// A neighbour's drive: the first of the device named by `with`.
    Neighbour,
}

/// A kind of turnout: one row of `Turnouts`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TurnoutKind {
    /// The word used in layout files.
    pub name: Arc<str>,
    /// Its row.
    pub place: Place,
    /// Drives.
    pub drives: u32,
    /// Frogs that change over when they are live.
    pub frogs: u32,
    /// Levers; drives are dealt to them in turn.
    pub levers: u32,
    /// Which drive changes a frog over.
    pub follows: FrogFollows,
    /// Which of its drives and frogs has which letter, in a sentence, where there are several.
    pub letters: Option<String>,
}

/// Constants of the `Rates` sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates {
    /// The currency everything is reckoned in.
    pub home: Currency,
    /// Tax added to prices that leave it out.
    pub tax: Share,
    /// The day on which each foreign currency's rate was checked, where that is said.
    pub exchanged: BTreeMap<Currency, Day>,
    /// The learning rate of repeated work; 0.95 makes each doubling take 95 %.
    pub learning: Share,
    /// Wire let out at each end of a run, to strip and to reach.
    pub end_tail: Length,
    /// From the top of a board up to the tie bar: track bed and sleepers.
    pub rod_above: Length,
    /// Rod let out for the bends at both its ends, and what is snipped off.
    pub rod_bends: Length,
    /// How far the middle of a controller or terminal strip keeps from devices, joints, edges and other such things.
    pub clear: Length,
    /// Voltage of signal lights and panel lamps.
    pub light_voltage: Voltage,
    /// Current of one light of a signal.
    pub light_current: Current,
    /// Current of one panel lamp.
    pub lamp_current: Current,
    /// Panel lamps of a lever.
    pub lamps_per_lever: u32,
    /// How many of them are lit at a time.
    pub lamps_lit: u32,
    /// A pair of mated pins, or the two clips of a fuse holder together.
    pub contact: Resistance,
    /// What a fuse takes when its rated current flows.
    pub fuse_drop: Voltage,
    /// The same of a small one.
    pub small_fuse_drop: Voltage,
    /// A fuse of less than this rating is a small one.
    pub small_fuse: Current,
    /// How many wires of one sort a terminal of a controller takes, or the common of an encoder: one to come in and one to go on.
    pub wires_per_terminal: u32,
    /// The thickest wire that the tag of a switch, a latch or a motor takes.
    pub tag_area: Area,
    /// Minutes to plug one connector at set-up.
    pub plug: [Minutes; 3],
}
