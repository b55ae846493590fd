//! The validated catalogue: what is sold, how it is put together, and who asks for what by its id or name.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::goods::{Kind, Offer, Part, Supplier};
use super::rules::{AssemblyRule, Rates, Task, TurnoutKind};
use crate::diagnostic::Diagnostic;
use crate::id::{KindId, OfferId, PartId, RuleId, SchemeId, SupplierId, TaskId};
use crate::layout::{Purpose, Waveform};
use crate::name::same;
use crate::quantity::Voltage;
use crate::scheme::Scheme;

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

    /// Whether a part is in stock or sold.
    pub fn is_to_be_had(&self, part: PartId) -> bool {
        self.part(part).stock > 0 || self.offers_of(part).next().is_some()
    }

    /// The parts of a kind that are in stock or sold.
    pub fn to_be_had(&self, kind: KindId) -> impl Iterator<Item = (PartId, &Part)> {
        self.parts_of(kind).filter(|(id, _)| self.is_to_be_had(*id))
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
