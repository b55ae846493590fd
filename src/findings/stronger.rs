//! Mends by which coils get a stronger pulse: thicker wire, the panel nearer, a lever for each drive. Those are offered after which every coil gets
//! enough: one change alone, or where none serves, as few together as do.

use super::less::{Tried, with_wire};
use super::stored::OWN_LEVERS;
use crate::estimate::Estimate;
use crate::finding::{Aim, Change, Finding};
use crate::id::{BoardId, SchemeId};
use crate::mends::{Changed, carry_out};
use crate::power::starved;
use crate::quantity::Area;
use crate::wiring::{middle, with_panel_at};

/// What is changed together.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Together {
    /// The panel, and with it the discharge unit, stands on this board.
    panel: Option<BoardId>,
    /// Each drive of the levers whose coils starve has a lever of its own.
    own_levers: bool,
    /// A wire of this cross-section can be had.
    wire: Option<Area>,
}

impl Together {
    fn count(self) -> usize {
        [self.panel.is_some(), self.own_levers, self.wire.is_some()].into_iter().filter(|changed| *changed).count()
    }
}

impl Tried<'_> {
    /// Adds to a finding about coils of a family that get too little what would mend it.
    pub(super) fn offer_stronger(&self, finding: Finding, scheme: SchemeId) -> Finding {
        let Estimate { assignment, wiring, .. } = self.estimate;
        // Where the largest unit to be had serves as it is, that is the mend.
        if starved(self.layout, self.catalogue, assignment, wiring, scheme).is_empty() {
            return finding;
        }
        let serving: Vec<Together> = (1..=3)
            .map(|count| {
                self.ways(scheme).filter(|way| way.count() == count).filter_map(|way| self.enough(scheme, way)).collect()
            })
            .find(|serving: &Vec<_>| !serving.is_empty())
            .unwrap_or_default();
        if serving.is_empty() {
            return finding.mend(
                "Neither thicker wire that is usual nor, where there is room for that, the panel in the middle of the layout and a lever for each drive serve, not even \
                 together: choose another scheme for these drives (`scheme`).",
                None,
            );
        }
        serving.into_iter().fold(finding, |finding, way| match way {
            Together { panel: Some(board), own_levers: false, wire: None } => {
                finding.mend_by(self.panel_text(board), Change::PanelAt(board))
            }
            Together { panel: None, own_levers: true, wire: None } => finding.mend_by(OWN_LEVERS, Change::OwnLevers(scheme)),
            Together { panel, own_levers, wire } => {
                let steps =
                    [wire.map(wire_text), panel.map(|board| self.panel_text(board)), own_levers.then(|| OWN_LEVERS.to_owned())];
                let steps: Vec<String> = steps.into_iter().flatten().collect();
                let before = if steps.len() > 1 { "One change alone does not serve, these together do. " } else { "" };
                finding.mend(format!("{before}{}", steps.join(" ")), None)
            }
        })
    }

    /// All that can be changed, alone and together, with the thickest wire that is usual.
    fn ways(&self, scheme: SchemeId) -> impl Iterator<Item = Together> {
        let fixed = self.layout.panel.as_ref().filter(|panel| panel.flying.is_none());
        let panel = fixed.and_then(|panel| middle(self.layout).filter(|board| *board != panel.spot.board));
        let wire = self.thicker(scheme).last().copied();
        let panels = [None].into_iter().chain(panel.map(Some));
        panels.flat_map(move |panel| {
            [false, true].into_iter().flat_map(move |own_levers| {
                [None].into_iter().chain(wire.map(Some)).map(move |wire| Together { panel, own_levers, wire })
            })
        })
    }

    /// The changes with the thinnest wire with which every coil gets enough; `None` where it does not even with the thickest.
    fn enough(&self, scheme: SchemeId, way: Together) -> Option<Together> {
        let serves = |way: &Together| self.feeds_every_coil(scheme, *way) == Some(true);
        if !serves(&way) {
            return None;
        }
        let thinner = way.wire.into_iter().flat_map(|_| self.thicker(scheme));
        thinner.map(|area| Together { wire: Some(area), ..way }).find(serves).or(Some(way))
    }

    /// Whether every coil gets enough from the largest unit to be had; `None` where the changes cannot be made.
    fn feeds_every_coil(&self, scheme: SchemeId, way: Together) -> Option<bool> {
        let mut catalogue = self.catalogue.clone();
        if let Some(area) = way.wire {
            catalogue = with_wire(&catalogue, scheme, area)?;
        }
        let mut changed = Changed { layout: self.layout.clone(), catalogue, assignment: self.estimate.assignment.clone() };
        if let Some(board) = way.panel {
            changed.layout = with_panel_at(&changed.layout, board)?;
        }
        if way.own_levers {
            changed.layout = carry_out(&changed.layout, self.catalogue, self.estimate, Change::OwnLevers(scheme))?.layout;
        }
        Some(self.meets(Aim::EveryCoilThrows(scheme), &self.planned(changed)))
    }

    fn panel_text(&self, board: BoardId) -> String {
        let name = &self.layout.board(board).name;
        format!("Put the panel, and with it the discharge unit, on board {name} (`panel: {{board: {name}}}`).")
    }
}

fn wire_text(area: Area) -> String {
    format!(
        "Add a wire of at least {area} to the workbook, with ferrules and strips that take it, and their prices: none that it has for these coils is so thick."
    )
}
