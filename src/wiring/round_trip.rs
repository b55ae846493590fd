//! The wires that a drive's current meets on its way out and home again.

use super::model::{Run, Use, Wiring};
use crate::id::{DriveId, SchemeId};
use crate::layout::Layout;
use crate::quantity::{Length, LineResistance, Resistance};
use crate::takeoff::Subject;

/// The lengths of wire between the origin and one drive, out and back.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct WayLengths {
    /// That it shares with others: the trunk from board to board.
    pub(super) shared: Length,
    /// Its own.
    pub(super) own: Length,
}

/// The resistance of the wires between the origin and one drive, out and back.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RoundTrip {
    /// Those it shares with others: the trunk from board to board.
    pub shared: Resistance,
    /// Its own.
    pub own: Resistance,
}

impl Wiring {
    /// The lengths of a drive that is wired direct under a family of schemes; nothing for one that is not.
    pub(super) fn way_lengths(&self, layout: &Layout, scheme: SchemeId, drive: DriveId) -> WayLengths {
        let mine = |run: &&Run| run.scheme == Some(scheme);
        let of_drive = |purpose: Use| {
            let subject = Subject::Drive(drive);
            self.runs_of(subject).iter().filter(mine).find(|run| run.purpose == purpose).map(|run| run.length)
        };
        let Some(going) = of_drive(Use::Drive) else { return WayLengths::default() };
        // Without a shared return a second conductor of its own brings it back.
        let home = of_drive(Use::Return).unwrap_or(going);
        let lever = Subject::Lever(layout.drive(drive).lever);
        let feed: Length = self.runs_of(lever).iter().filter(mine).map(|pole| pole.length).sum();
        let own = feed + going + home;
        // With no panel a pair leads from board to board, else one return.
        let (purpose, along) = if layout.panel.is_none() { (Use::Power, 2) } else { (Use::Return, 1) };
        let mut shared = Length::ZERO;
        let mut board = layout.drive(drive).spot.board;
        // A trunk passes each board once.
        for _ in &layout.boards {
            let subject = Subject::Board(board);
            let hop = self.runs_of(subject).iter().filter(mine).find(|run| run.purpose == purpose);
            let Some(hop) = hop else { break };
            shared += hop.length * along;
            if hop.from.end.is_source() {
                break;
            }
            board = hop.from.spot.board;
        }
        WayLengths { shared, own }
    }

    /// The resistance of the wires of a drive that is wired direct under a family of schemes; nothing for one that is not.
    pub fn round_trip(&self, layout: &Layout, scheme: SchemeId, drive: DriveId) -> RoundTrip {
        let lengths = self.way_lengths(layout, scheme, drive);
        let line = |subject: Subject| -> LineResistance {
            self.sizing_of(subject, Some(scheme)).map(|sizing| sizing.line).unwrap_or_default()
        };
        let board = Subject::Board(layout.drive(drive).spot.board);
        RoundTrip { shared: line(board) * lengths.shared, own: line(Subject::Drive(drive)) * lengths.own }
    }
}
