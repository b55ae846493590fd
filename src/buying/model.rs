//! The purchase.

use rust_decimal::Decimal;

use crate::id::{NeedId, OfferId, PartId, SupplierId};
use crate::money::Money;
use crate::quantity::{Dimension, Length, Quantity};
use crate::takeoff::Subject;

/// Packs of one offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The offer.
    pub offer: OfferId,
    /// Packs.
    pub packs: u32,
    /// Parts in all packs.
    pub parts: u32,
    /// Packs times price.
    pub total: Money,
}

/// Parts used for a need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UseOfPart {
    /// The need.
    pub need: NeedId,
    /// The part.
    pub part: PartId,
    /// How many of it.
    pub count: u32,
    /// How many of those come from stock.
    pub from_stock: u32,
}

/// A piece to cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// The need it belongs to: one stick may serve several.
    pub need: NeedId,
    /// Its length.
    pub length: Length,
    /// What it is for.
    pub subject: Subject,
}

/// One stick or reel and what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// The stock it is cut from.
    pub part: PartId,
    /// Its length.
    pub stock: Length,
    /// The pieces, longest first.
    pub pieces: Vec<Piece>,
    /// What is left over, saw cuts taken off.
    pub left: Length,
}

/// An order at one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parcel {
    /// The supplier.
    pub supplier: SupplierId,
    /// The lines, in the order of the catalogue.
    pub lines: Vec<Line>,
    /// Sum of the lines.
    pub goods: Money,
    /// Postage.
    pub postage: Money,
    /// What to add of anything useful, to reach the least order, or where that costs less than the postage it saves.
    pub top_up: Option<Money>,
}

/// A need that no offer and no stock meets, in whole or in part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unmet {
    /// The need.
    pub need: NeedId,
    /// Why: no such part, no offer, stock too short.
    pub why: String,
}

/// Parts bought beyond the need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeftOver {
    /// The part.
    pub part: PartId,
    /// How many.
    pub count: u32,
    /// Why so many are bought.
    pub why: Beyond,
}

/// Why more is bought than is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// Nobody sells fewer at once than so many, and fewer would not do.
    LeastPack(u32),
    /// The price holds from so many packs on.
    Break(u32),
    /// In all, postage counted, this costs no more than buying fewer.
    Cheaper,
}

/// How far the total is known to be the least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// No order costs less: over the whole order, postage included.
    Whole,
    /// No order from these suppliers costs less; so few parcels do not hold everything, and others of so few were not weighed.
    OfThese,
    /// The search was stopped: between the bound and the total lies the gap.
    Stopped(Halt),
}

/// What stopped a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Halt {
    /// The work it may take was done: two runs agree.
    Work,
    /// The time it may take was up: another run may find another order.
    Clock,
    /// The user.
    Hand,
    /// There was too much to choose from at once; more time would not help.
    Room,
}

/// What to buy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Purchase {
    /// Orders by supplier.
    pub parcels: Vec<Parcel>,
    /// What is used for what.
    pub uses: Vec<UseOfPart>,
    /// Cutting list.
    pub cuts: Vec<Cut>,
    /// What is bought beyond the need.
    pub left_over: Vec<LeftOver>,
    /// What cannot be had.
    pub unmet: Vec<Unmet>,
    /// Goods.
    pub goods: Money,
    /// Postage.
    pub postage: Money,
    /// Goods, postage and what is added to reach thresholds.
    pub total: Money,
    /// No order can cost less than this.
    pub bound: Money,
    /// How far the total is proven.
    pub proof: Proof,
}

impl Purchase {
    /// What another order could save at most, as far as is known.
    pub fn gap(&self) -> Money {
        self.total - self.bound
    }

    /// The gap as a share of the total, rounded up to a hundredth of one per cent; nothing of an order that costs nothing.
    pub fn gap_share(&self) -> Quantity {
        let parts = 10_000 * i128::from(self.gap().minor());
        let total = i128::from(self.total.minor());
        let share = if total > 0 { i64::try_from((parts + total - 1) / total).unwrap_or(10_000) } else { 0 };
        Quantity::new(Dimension::Share, Decimal::new(share, 4))
    }

    /// All lines.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        self.parcels.iter().flat_map(|parcel| &parcel.lines)
    }
}
