//! Needs and reasons.

use rust_decimal::Decimal;

use super::facts::Subject;
use crate::catalogue::{Ask, Catalogue, Form};
use crate::id::{BoardId, DriveId, JointId, KindId, NeedId, RuleId, SchemeId};
use crate::layout::Layout;
use crate::quantity::Length;

/// A place that a capacity belongs to, or at which a scheme is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Site {
    /// The whole layout.
    Layout,
    /// The panel.
    Panel,
    /// A board.
    Board(BoardId),
    /// A joint.
    Joint(JointId),
}

impl Site {
    /// Its name in print.
    pub fn name(self, layout: &Layout) -> String {
        match self {
            Self::Layout => "layout".to_owned(),
            Self::Panel => "panel".to_owned(),
            Self::Board(board) => format!("board {}", layout.board(board).name),
            Self::Joint(joint) => format!("joint {}", layout.joint(joint).name),
        }
    }
}

/// Under which choice of schemes a reason counts. With an assignment given it is settled; a programme that still chooses has a
/// variable in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Guard {
    /// Under every choice.
    Always,
    /// Where this drive has this scheme.
    Chosen(DriveId, SchemeId),
    /// Where any drive at this site has this scheme.
    Open(Site, SchemeId),
}

/// One reason for an amount: a subject, the rule that counts it, and how much.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// What is counted.
    pub subject: Subject,
    /// The rule.
    pub rule: RuleId,
    /// Under which choice it counts.
    pub guard: Guard,
    /// How much, in the kind's unit; pieces for a kind that is cut.
    pub amount: Decimal,
    /// The length of each piece, for a kind that is cut.
    pub piece: Option<Length>,
}

/// An amount of a kind, with its reasons. The reasons with their guards are its linear expression.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Its place in the take-off.
    pub id: NeedId,
    /// What is needed.
    pub kind: KindId,
    /// What each must do.
    pub asks: Vec<Ask>,
    /// The place, for a capacity.
    pub site: Option<Site>,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Spares on top; for a capacity, what is to be left free. Where only a part of the subjects is counted, for a capacity also what
    /// the others will use, or less what was bought for these with others before.
    pub spares: Decimal,
}

/// The rule of a layout that something is kept by, on top of what is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SpareRule {
    /// `spares`: small parts that get lost.
    Spares,
    /// `spare ways`: pins, screws and places left free.
    SpareWays,
    /// `spare channels`: channels and inputs left free.
    SpareChannels,
    /// `exhibition kit`: one more of each active part goes along.
    ExhibitionKit,
}

impl Need {
    /// The amount without spares.
    pub fn counted(&self) -> Decimal {
        self.reasons.iter().fold(Decimal::ZERO, |sum, reason| sum.saturating_add(reason.amount))
    }

    /// The amount with spares.
    pub fn amount(&self) -> Decimal {
        self.counted().saturating_add(self.spares)
    }

    /// The pieces to cut with their subjects, longest first, for a kind that is cut.
    pub fn pieces(&self) -> Vec<(Length, Subject)> {
        use rust_decimal::prelude::ToPrimitive;
        let mut pieces: Vec<_> = self
            .reasons
            .iter()
            .filter_map(|reason| reason.piece.map(|piece| (piece, reason)))
            .flat_map(|(piece, reason)| {
                std::iter::repeat_n((piece, reason.subject), reason.amount.ceil().to_usize().unwrap_or(0))
            })
            .collect();
        pieces.sort_by_key(|&(piece, subject)| (std::cmp::Reverse(piece), subject));
        pieces
    }

    /// What is asked, in words: the kind's title and its asks.
    pub fn title(&self, catalogue: &Catalogue) -> String {
        let kind = catalogue.kind(self.kind);
        let asks: Vec<String> = self.asks.iter().map(ToString::to_string).collect();
        if asks.is_empty() { kind.title.clone() } else { format!("{}, {}", kind.title, asks.join(", ")) }
    }
}

/// All needs of a layout under an assignment, in the order of kinds in the catalogue.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Takeoff {
    /// The needs.
    pub needs: Vec<Need>,
}

impl Takeoff {
    /// A need.
    #[expect(clippy::indexing_slicing, reason = "ids are made as the list is filled")]
    pub fn need(&self, id: NeedId) -> &Need {
        &self.needs[id.index()]
    }

    /// Needs of a kind.
    pub fn of_kind(&self, kind: KindId) -> impl Iterator<Item = &Need> {
        self.needs.iter().filter(move |need| need.kind == kind)
    }

    /// Whether any need is cut from stock.
    pub fn cuts(&self, catalogue: &Catalogue) -> bool {
        self.needs.iter().any(|need| catalogue.kind(need.kind).form == Form::Pieces)
    }
}
