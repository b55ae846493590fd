//! The validated catalogue.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::vocabulary::{Attr, Condition, Measure, Per, Role, Stage, Word};
use crate::day::Day;
use crate::diagnostic::{Diagnostic, Place};
use crate::id::{KindId, OfferId, PartId, RuleId, SchemeId, SupplierId, TaskId};
use crate::layout::{Purpose, Waveform};
use crate::money::{Currency, Money};
use crate::name::{Term, same};
use crate::quantity::{Current, Minutes, Quantity, Resistance, Share, Voltage};
use crate::scheme::Scheme;

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
    pub end_tail: crate::quantity::Length,
    /// From the top of a board up to the tie bar: track bed and sleepers.
    pub rod_above: crate::quantity::Length,
    /// Rod let out for the bends at both its ends, and what is snipped off.
    pub rod_bends: crate::quantity::Length,
    /// How far the middle of a controller or terminal strip keeps from devices, joints, edges and other such things.
    pub clear: crate::quantity::Length,
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
    /// Minutes to plug one connector at set-up.
    pub plug: [Minutes; 3],
}

/// A catalogue that has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    /// The file or folder as the user named it.
    pub book: Arc<str>,
    /// A notice to print with every output, such as that all prices are invented.
    pub notice: Option<String>,
    /// Kinds.
    pub kinds: Vec<Kind>,
    /// Parts.
    pub parts: Vec<Part>,
    /// Offers.
    pub offers: Vec<Offer>,
    /// Suppliers.
    pub suppliers: Vec<Supplier>,
    /// Schemes.
    pub schemes: Vec<Scheme>,
    /// Rules.
    pub rules: Vec<AssemblyRule>,
    /// Tasks.
    pub tasks: Vec<Task>,
    /// Kinds of turnout.
    pub turnouts: Vec<TurnoutKind>,
    /// Constants.
    pub rates: Rates,
    /// What was passed over in reading.
    pub notices: Vec<Diagnostic>,
}

/// Things by their id. One that is not of this catalogue would be a fault of the program.
macro_rules! by_id {
    ($($(#[$doc:meta])* $name:ident($id:ident) -> $thing:ty, $list:ident;)+) => {
        #[expect(clippy::indexing_slicing, reason = "ids are made as the lists are filled, which never shrink")]
        impl Catalogue {$(
            $(#[$doc])*
            pub fn $name(&self, id: $id) -> &$thing {
                &self.$list[id.index()]
            }
        )+}
    };
}

by_id! {
    /// A kind.
    kind(KindId) -> Kind, kinds;
    /// A part.
    part(PartId) -> Part, parts;
    /// An offer.
    offer(OfferId) -> Offer, offers;
    /// A supplier.
    supplier(SupplierId) -> Supplier, suppliers;
    /// A scheme.
    scheme(SchemeId) -> Scheme, schemes;
    /// A rule.
    rule(RuleId) -> AssemblyRule, rules;
    /// A task.
    task(TaskId) -> Task, tasks;
}

impl Catalogue {
    /// The scheme of a name.
    pub fn scheme_named(&self, name: &str) -> Option<SchemeId> {
        self.schemes.iter().position(|scheme| same(&scheme.name, name)).map(SchemeId::at)
    }

    /// The supplier of a name.
    pub fn supplier_named(&self, name: &str) -> Option<SupplierId> {
        self.suppliers.iter().position(|supplier| supplier.name.eq_ignore_ascii_case(name.trim())).map(SupplierId::at)
    }

    /// The kind of turnout of a name.
    pub fn turnout(&self, name: &str) -> Option<&TurnoutKind> {
        self.turnouts.iter().find(|kind| same(&kind.name, name))
    }

    /// Whether a row written for `written` counts under `scheme`: its own rows, and those of the schemes it is like.
    pub fn counts_under(&self, written: SchemeId, scheme: SchemeId) -> bool {
        let mut at = Some(scheme);
        // `build` refuses rings of `like`, so this ends.
        while let Some(here) = at {
            if here == written {
                return true;
            }
            at = self.scheme(here).like;
        }
        false
    }

    /// Voltage and waveform of the feed from which a family of schemes, or the lights, draw; `None` for one that is worked by hand.
    pub fn fed_from(&self, family: Option<SchemeId>) -> Option<(Voltage, Waveform)> {
        match family {
            Some(family) => self.scheme(family).electrics.map(|electrics| (electrics.voltage, electrics.waveform)),
            None => Some((self.rates.light_voltage, Waveform::Dc)),
        }
    }

    /// Whether pulses of a family come from a discharge unit, so that its wires hang on no feed.
    pub fn is_stored(&self, family: Option<SchemeId>) -> bool {
        family.and_then(|family| self.scheme(family).electrics).is_some_and(|electrics| electrics.stored)
    }

    /// The scheme that stands for all that are wired and fed as this one is: the farthest it is `like` with the same way of wiring,
    /// supply and draw. Drives of one family share controllers, links and returns.
    pub fn family(&self, scheme: SchemeId) -> SchemeId {
        let traits = self.scheme(scheme);
        let mut family = scheme;
        // `build` refuses rings of `like`, so this ends.
        while let Some(base) = self.scheme(family).like {
            let base_traits = self.scheme(base);
            let alike = base_traits.connection == traits.connection
                && base_traits.electrics == traits.electrics
                && base_traits.draw == traits.draw;
            if !alike {
                break;
            }
            family = base;
        }
        family
    }

    /// The scheme that drives `purpose` where `scheme` is chosen: itself, or what it gives instead.
    pub fn driving(&self, scheme: SchemeId, purpose: Purpose) -> Option<SchemeId> {
        let mut at = Some(scheme);
        // `build` refuses rings of `instead`, so this ends.
        while let Some(here) = at {
            if self.scheme(here).drives.contains(&purpose) {
                return Some(here);
            }
            at = self.scheme(here).instead;
        }
        None
    }

    /// Offers of a part.
    pub fn offers_of(&self, part: PartId) -> impl Iterator<Item = (OfferId, &Offer)> {
        self.offers.iter().enumerate().filter(move |(_, offer)| offer.part == part).map(|(i, offer)| (OfferId::at(i), offer))
    }

    /// The lowest price of one of a part, bought by the pack; `None` where nobody sells it.
    pub fn unit_price(&self, part: PartId) -> Option<Decimal> {
        self.offers_of(part).filter_map(|(_, offer)| offer.price.amount().checked_div(Decimal::from(offer.pack))).min()
    }

    /// Parts of a kind.
    pub fn parts_of(&self, kind: KindId) -> impl Iterator<Item = (PartId, &Part)> {
        self.parts.iter().enumerate().filter(move |(_, part)| part.kind == kind).map(|(i, part)| (PartId::at(i), part))
    }
}
