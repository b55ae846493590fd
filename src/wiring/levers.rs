//! What is joined to which tag of a lever's switch, what to its lamps, and where it is read.

use std::collections::{BTreeMap, BTreeSet};

use super::ends::{End, LampLead, LatchTag, Switch, Tap};
use super::plan::lamps_of;
use crate::catalogue::Catalogue;
use crate::id::{BoardId, LeverId, SchemeId};
use crate::layout::{Lamps, Layout};
use crate::power::{Demand, feed_of};
use crate::scheme::{Action, Assignment, Connection};
use crate::takeoff::Subject;

/// How the lamps of a lever are lit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// By outputs of the encoder.
    Encoder,
    /// Across the two wires to the motor, the one lamp the other way round.
    Reversed,
    /// By the latch that remembers the last throw.
    Latch,
    /// By the tags of the lever that feed the drive.
    Poles,
    /// By the contacts that prove its drives.
    Contact,
}

/// How the lamps of a lever are lit, and the family of the drive by which; `None` where it has no lamps.
pub fn shown(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, lever: LeverId) -> Option<(SchemeId, Shown)> {
    let lever = layout.lever(lever);
    let lamps = lamps_of(layout, catalogue, assignment, lever);
    let scheme = assignment.of(*lever.drives.first()?).filter(|_| lamps != Lamps::None && catalogue.rates.lamps_per_lever > 0)?;
    let traits = catalogue.scheme(scheme);
    let shown = match (traits.connection, lamps, traits.action) {
        (Connection::Local { .. }, ..) => Shown::Encoder,
        (_, Lamps::Proved, _) => Shown::Contact,
        (_, _, Action::Reversing) => Shown::Reversed,
        (_, _, Action::Momentary) => Shown::Latch,
        _ => Shown::Poles,
    };
    Some((catalogue.family(scheme), shown))
}

/// The levers of a family, by the board where encoders read them: at the panel all together, without one each on its own board.
pub(crate) fn read_at(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    family: SchemeId,
) -> BTreeMap<BoardId, BTreeSet<LeverId>> {
    let mut levers: BTreeMap<BoardId, BTreeSet<LeverId>> = BTreeMap::new();
    for drive in layout.drive_ids().filter(|&drive| assignment.family_of(catalogue, drive) == Some(family)) {
        let lever = layout.drive(drive).lever;
        let board = if layout.panel.is_some() { layout.origin().board } else { layout.lever(lever).spot.board };
        levers.entry(board).or_default().insert(lever);
    }
    levers
}

/// The section of the feed of lights from which the lamps of a lever are lit, from 0.
pub(super) fn lamp_section(catalogue: &Catalogue, demands: &[Demand], lever: LeverId) -> usize {
    feed_of(catalogue, demands, None).map_or(0, |feed| feed.section_of(Subject::Lever(lever)))
}

/// A conductor that goes on from lever to lever on a panel, along their lamps and latches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Chain {
    /// Minus of the lamps that encoders light.
    Outputs,
    /// Plus of lamps and latches on a section.
    Plus(usize),
    /// Minus of lamps on a section.
    Minus(usize),
    /// The return of the coils of a family's latches.
    Latches(SchemeId),
}

impl Chain {
    /// Those that come to a lever of a family whose lamps are on a section and lit so.
    pub(super) fn to((family, shown): (SchemeId, Shown), section: usize) -> Vec<Self> {
        match shown {
            Shown::Encoder => vec![Self::Outputs],
            Shown::Reversed => Vec::new(),
            Shown::Latch => vec![Self::Latches(family), Self::Plus(section), Self::Minus(section)],
            Shown::Poles => vec![Self::Minus(section)],
            Shown::Contact => vec![Self::Plus(section)],
        }
    }

    /// Where it comes to such a lever with so many lamps, and from where it goes on to the next.
    pub(super) fn ends(self, lever: LeverId, shown: Shown, lamps: u32) -> [End; 2] {
        let beside = |lead: LampLead| [0, lamps.saturating_sub(1)].map(|n| End::Lamp(lever, n, lead));
        match (self, shown) {
            (Self::Latches(_), _) => [End::Latch(lever, LatchTag::Return); 2],
            (Self::Plus(_), Shown::Latch) => [End::Latch(lever, LatchTag::Contact(Tap::Common)); 2],
            (Self::Plus(_), _) => beside(LampLead::Plus),
            (Self::Outputs | Self::Minus(_), _) => beside(LampLead::Minus),
        }
    }
}

/// The tag from which conductor `n` leaves for the drives. A switch that reverses gives its two common tags to the motor; one with a shared return
/// joins its common tag to one conductor or another; else each conductor has a pole of its own.
pub(super) fn leaves(action: Action, is_shared: bool, n: u32) -> Switch {
    match (action, is_shared) {
        (Action::Reversing, _) => Switch::Pole(n, Tap::Common),
        (_, true) => Switch::Single(Tap::of(n)),
        (_, false) => Switch::Pole(n, Tap::Reverse),
    }
}

/// The tag to which pole `n` of the feed comes, plus first. Of a switch that reverses these are the tags of its two poles for normal; its other two
/// tags are crossed over to them.
pub(super) fn fed(catalogue: &Catalogue, family: Option<SchemeId>, n: u32) -> Switch {
    let Some(family) = family else { return Switch::Selector };
    match (catalogue.scheme(family).action, catalogue.scheme(family).shares_return()) {
        (Action::Reversing, _) => Switch::Pole(n, Tap::Normal),
        (_, true) => Switch::Single(Tap::Common),
        (_, false) => Switch::Pole(n, Tap::Common),
    }
}

/// The crossed pair that makes a switch reverse: each tag for normal with that of the other pole for reverse.
pub(super) const CROSSED: [[Switch; 2]; 2] = [
    [Switch::Pole(0, Tap::Normal), Switch::Pole(1, Tap::Reverse)],
    [Switch::Pole(1, Tap::Normal), Switch::Pole(0, Tap::Reverse)],
];

/// A tag of the switch that a lever has for a family, or for lights. Where drives of several families hang on it, it has a switch for each.
pub(super) fn lever_end(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    (lever, family): (LeverId, Option<SchemeId>),
    switch: Switch,
) -> End {
    let schemes = layout.lever(lever).drives.iter().filter_map(|&drive| assignment.of(drive));
    let is_mixed = schemes.map(|scheme| catalogue.family(scheme)).any(|other| Some(other) != family);
    End::Lever(lever, family.filter(|_| is_mixed), switch)
}
