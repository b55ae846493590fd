//! What the trade sells: kinds of thing, parts that can serve, offers, and who sells them.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::vocabulary::{Attr, Role, Word};
use crate::day::Day;
use crate::diagnostic::Place;
use crate::id::{KindId, PartId, SupplierId};
use crate::layout::Waveform;
use crate::money::{Currency, Money};
use crate::name::Term;
use crate::quantity::Quantity;

/// The value of an attribute: measured, or a word.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Value {
    /// A quantity.
    Measured(Quantity),
    /// A word.
    Text(Term),
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Measured(quantity) => quantity.fmt(f),
            Self::Text(text) => text.fmt(f),
        }
    }
}

/// Which way an attribute may differ from what is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sense {
    /// More is as good.
    AtLeast,
    /// Less is as good.
    AtMost,
    /// It must be equal.
    Equal,
}

impl Sense {
    /// The sign in files and print.
    pub fn sign(self) -> &'static str {
        match self {
            Self::AtLeast => ">=",
            Self::AtMost => "<=",
            Self::Equal => "=",
        }
    }
}

/// How an amount of a kind is made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// So many things, each able to do what is asked.
    AtLeast,
    /// So much capacity at one place, such as ways on a board: parts add up.
    Capacity(Attr),
    /// Pieces cut from stock, each whole.
    Pieces,
}

/// What a need asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kind {
    /// Its name.
    pub name: Arc<str>,
    /// Its title in print.
    pub title: String,
    /// Its row.
    pub place: Place,
    /// What it is for.
    pub role: Role,
    /// The unit its amount is printed in: `each`, `m`.
    pub unit: Arc<str>,
    /// How an amount is made up.
    pub form: Form,
    /// By which attributes parts are matched, and in which sense.
    pub matching: BTreeMap<Attr, Sense>,
    /// Whether it is lost or spoilt in the building, so that spares are bought.
    pub spares: bool,
    /// Where it goes and which way round, where that can be done wrong.
    pub way_round: Option<String>,
}

/// A thing that can serve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its name.
    pub name: Arc<str>,
    /// Its title in print.
    pub title: String,
    /// Its row.
    pub place: Place,
    /// Its kind.
    pub kind: KindId,
    /// Its attributes.
    pub attributes: BTreeMap<Attr, Value>,
    /// How many the user has.
    pub stock: u32,
}

impl Part {
    /// Whether it is for such a waveform; what does not say is for either.
    pub fn suits(&self, waveform: Waveform) -> bool {
        match self.attributes.get(&Attr::Waveform) {
            Some(Value::Text(word)) => *word == waveform.word().into(),
            _ => true,
        }
    }

    /// A measured attribute.
    pub fn measured(&self, attr: Attr) -> Option<Quantity> {
        match self.attributes.get(&attr) {
            Some(Value::Measured(quantity)) => Some(*quantity),
            _ => None,
        }
    }

    /// Whether it does what is asked. An attribute the part does not state fails.
    pub fn serves(&self, asks: &[Ask]) -> bool {
        asks.iter().all(|ask| match (self.attributes.get(&ask.attr), ask.sense) {
            (Some(Value::Measured(has)), Sense::AtLeast) => matches!(&ask.value, Value::Measured(asked) if has >= asked),
            (Some(Value::Measured(has)), Sense::AtMost) => matches!(&ask.value, Value::Measured(asked) if has <= asked),
            (Some(has), _) => *has == ask.value,
            (None, _) => false,
        })
    }
}

/// One thing asked of a part.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Ask {
    /// The attribute.
    pub attr: Attr,
    /// The sense.
    pub sense: Sense,
    /// The value.
    pub value: Value,
}

impl fmt::Display for Ask {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.sense {
            Sense::Equal => write!(f, "{} {}", self.attr.word(), self.value),
            Sense::AtLeast => write!(f, "{} at least {}", self.attr.word(), self.value),
            Sense::AtMost => write!(f, "{} at most {}", self.attr.word(), self.value),
        }
    }
}

/// A supplier's price for a pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// Its row.
    pub place: Place,
    /// The part.
    pub part: PartId,
    /// Who sells it.
    pub supplier: SupplierId,
    /// Their code.
    pub code: String,
    /// Parts in a pack.
    pub pack: u32,
    /// The price of a pack in the home currency, tax included, rounded once.
    pub price: Money,
    /// The price as written.
    pub written: Decimal,
    /// The least number of packs at this price.
    pub at_least: u32,
    /// The day the price was checked.
    pub checked_on: Option<Day>,
}

/// Who sells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Supplier {
    /// The name, as in the other sheets.
    pub name: Arc<str>,
    /// The title in print.
    pub title: String,
    /// The row.
    pub place: Place,
    /// Postage per order, in the home currency, tax included.
    pub postage: Money,
    /// The order value from which postage is free.
    pub free_from: Option<Money>,
    /// The least order value.
    pub least_order: Option<Money>,
    /// The currency of its prices.
    pub currency: Currency,
    /// Whether its prices include tax.
    pub tax_included: bool,
}
