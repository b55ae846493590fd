//! The rows of a comparison: what each measures, and which way is better.

use super::supplies::outputs_to_buy;
use super::words::and;
use crate::catalogue::Catalogue;
use crate::choice::{Column, Comparison};
use crate::finding::Weight;
use crate::layout::Layout;
use crate::report::Cell;

/// A comparison with what it is of.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) comparison: &'a Comparison,
    /// Whether it is read on paper, where no option can be written.
    pub(super) on_paper: bool,
}

/// Which of two values is better.
#[derive(Clone, Copy, PartialEq)]
enum Better {
    Less,
    More,
    Neither,
}

macro_rules! measures {
    ($($name:ident, $id:literal, $title:literal, $better:ident;)+) => {
        /// One row of a comparison.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub(super) enum Measure { $($name),+ }

        impl Measure {
            /// All rows, in the order printed.
            pub(super) const ALL: [Self; [$($id),+].len()] = [$(Self::$name),+];

            /// Stable id.
            pub(super) fn id(self) -> &'static str {
                match self { $(Self::$name => $id),+ }
            }

            /// Title in print.
            pub(super) fn title(self) -> &'static str {
                match self { $(Self::$name => $title),+ }
            }

            fn better(self) -> Better {
                match self { $(Self::$name => Better::$better),+ }
            }
        }
    };
}

measures! {
    CanBeBuilt, "can_be_built", "Can be built", Neither;
    Shortfalls, "shortfalls", "Shortfalls", Less;
    Doubts, "doubts", "Doubts", Less;
    Money, "money", "Money now, with postage", Less;
    Postage, "postage", "of which postage", Neither;
    PerDrive, "per_drive", "Money for each drive still to buy", Less;
    Hours, "hours", "Hours, likely", Less;
    HoursAt80, "hours_at_80", "Hours, at 80 %", Less;
    Conductors, "conductors", "Conductors over all joints", Less;
    WorstJoint, "worst_joint", "Conductors at the worst joint", Less;
    Plugs, "plugs", "Plugs at each set-up", Less;
    SetUp, "set_up", "Time to plug at each set-up", Less;
    Headroom, "headroom", "Least headroom of your supplies", More;
    Supply, "supply", "Supply to buy", Neither;
    Free, "free_channels", "Free channels", More;
    Next, "next_turnout", "Price of the next turnout", Less;
    StepAfter, "step_after", "Which further turnout needs another controller", More;
    StepPrice, "step_price", "Price of the turnout that needs another controller", Less;
    LifeCost, "life_cost", "Life cost", Less;
}

impl Measure {
    /// Its value for a scheme.
    pub(super) fn of(self, side: Side, column: &Column) -> Cell {
        let estimate = &column.estimate;
        match self {
            Self::CanBeBuilt => estimate.can_be_built().into(),
            Self::Shortfalls => estimate.shortfalls().count().into(),
            Self::Doubts => estimate.findings.iter().filter(|finding| finding.weight == Weight::Doubt).count().into(),
            Self::Money => estimate.purchase.total.into(),
            Self::Postage => estimate.purchase.postage.into(),
            Self::PerDrive => column.per_drive.into(),
            Self::Hours => Cell::hours(estimate.hours.mean),
            Self::HoursAt80 => Cell::hours(estimate.hours.at_80),
            Self::Conductors => estimate.wiring.conductors().into(),
            Self::WorstJoint => estimate.wiring.worst_joint().into(),
            Self::Plugs => estimate.wiring.plugs().into(),
            Self::SetUp => estimate.hours.set_up.into(),
            Self::Headroom => {
                let used = estimate.supplies.iter().filter(|check| check.is_owned && check.carries);
                let owned = used.map(crate::power::SupplyCheck::headroom);
                owned.min_by(|a, b| a.0.total_cmp(&b.0)).into()
            }
            Self::Supply => and(&outputs_to_buy(side.catalogue, estimate)).into(),
            Self::Free => {
                let controllers = &estimate.assignment.controllers;
                (!controllers.is_empty()).then(|| controllers.iter().map(crate::scheme::Controller::free).sum::<u32>()).into()
            }
            Self::Next => column.next.as_ref().and_then(|next| next.price.ok()).into(),
            Self::StepAfter => column.next.as_ref().and_then(|next| next.step.as_ref()).map(|step| step.turnout).into(),
            Self::StepPrice => column.next.as_ref().and_then(|next| next.step.as_ref()).and_then(|step| step.price.ok()).into(),
            Self::LifeCost => column.life_cost.into(),
        }
    }

    /// Whether the one value is better than the other; `false` where either is not known or neither way is better.
    pub(super) fn is_better(self, one: &Cell, other: &Cell) -> bool {
        match (one.number(), other.number(), self.better()) {
            (Some(one), Some(other), Better::Less) => one < other,
            (Some(one), Some(other), Better::More) => one > other,
            _ => false,
        }
    }

    /// The columns with the best value among those that can be built; none where all are alike.
    pub(super) fn best(self, side: Side) -> Vec<usize> {
        let columns = &side.comparison.columns;
        let fit: Vec<(usize, Cell)> = columns
            .iter()
            .enumerate()
            .filter(|(_, column)| column.estimate.can_be_built())
            .map(|(at, column)| (at, self.of(side, column)))
            .filter(|(_, cell)| cell.number().is_some())
            .collect();
        if self.better() == Better::Neither {
            return Vec::new();
        }
        let unbeaten = |cell: &Cell| !fit.iter().any(|(_, other)| self.is_better(other, cell));
        let best: Vec<usize> = fit.iter().filter(|(_, cell)| unbeaten(cell)).map(|(at, _)| *at).collect();
        if best.len() == fit.len() { Vec::new() } else { best }
    }
}
