//! From a take-off and a catalogue to a programme of plain integers, and what of it cannot be met.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::limits::Choices;
use super::model::Unmet;
use super::programme::{self, Programme};
use super::share::Sharing;
use crate::catalogue::{Attr, Catalogue, Form, Part, Sense, Word};
use crate::id::{NeedId, OfferId, PartId, SupplierId};
use crate::quantity::Length;
use crate::takeoff::{Need, Takeoff};

/// The largest amount of a need that is reckoned with, and the dearest least purchase of an offer in minor units.
const MOST: i64 = 1_000_000_000;

/// A programme with what its rows stand for.
#[derive(Debug, Clone)]
pub struct Compiled {
    /// The programme.
    pub programme: Programme,
    /// The needs of the take-off that are in it.
    pub needs: Vec<NeedId>,
    /// Its parts.
    pub parts: Vec<PartId>,
    /// Its offers.
    pub offers: Vec<OfferId>,
    /// Its suppliers.
    pub suppliers: Vec<SupplierId>,
    /// What cannot be had, in whole or in part.
    pub unmet: Vec<Unmet>,
}

/// Compiles what is to be bought. Needs that cannot be met are listed and left out, so that the rest is still bought.
pub fn compile(takeoff: &Takeoff, catalogue: &Catalogue, choices: &Choices) -> Compiled {
    let mut compiler = Compiler::new(catalogue, choices);
    for need in &takeoff.needs {
        compiler.add(need);
    }
    compiler.finish(choices)
}

/// A programme in the making.
struct Compiler<'a> {
    catalogue: &'a Catalogue,
    /// Offers of each part that the choices allow.
    offers_of: BTreeMap<PartId, Vec<OfferId>>,
    parts: BTreeMap<PartId, usize>,
    wanted: Vec<(NeedId, programme::Need)>,
    unmet: Vec<Unmet>,
    /// Which suppliers are meant, in words: nothing where all are asked.
    asked: &'static str,
    /// Amounts that only stock can meet, with what each part gives.
    scarce: Vec<(i64, BTreeMap<PartId, i64>)>,
}

impl<'a> Compiler<'a> {
    fn new(catalogue: &'a Catalogue, choices: &Choices) -> Self {
        let mut offers_of: BTreeMap<PartId, Vec<OfferId>> = BTreeMap::new();
        for (at, offer) in catalogue.offers.iter().enumerate() {
            let least = offer.price.minor().saturating_mul(i64::from(offer.at_least));
            if choices.allow(offer.supplier) && offer.pack > 0 && (0..=MOST).contains(&least) {
                offers_of.entry(offer.part).or_default().push(OfferId::at(at));
            }
        }
        let all = (0..catalogue.suppliers.len()).all(|supplier| choices.allow(SupplierId::at(supplier)));
        let asked = if all { "" } else { " that is ordered from" };
        let (parts, wanted, unmet, scarce) = Default::default();
        Self { catalogue, offers_of, parts, wanted, unmet, asked, scarce }
    }

    /// Adds a need, or says why it cannot be met.
    fn add(&mut self, need: &Need) {
        let kind = self.catalogue.kind(need.kind);
        let eligible: Vec<(PartId, &Part)> =
            self.catalogue.parts_of(need.kind).filter(|(_, part)| part.serves(&need.asks)).collect();
        let result = match kind.form {
            Form::AtLeast => self.amount(need, Decimal::ONE, &eligible, |_| Some(Decimal::ONE)),
            Form::Capacity(attr) => {
                let gain = |part: &Part| {
                    part.measured(attr).map(crate::quantity::Quantity::value).filter(|value| *value > Decimal::ZERO)
                };
                let gains = eligible.iter().filter_map(|(_, part)| gain(part));
                let scale = gains.chain([need.amount()]).map(|value| value.normalize().scale()).max().unwrap_or(0).min(6);
                self.amount(need, Decimal::from(10_i64.pow(scale)), &eligible, gain)
            }
            Form::Pieces => self.pieces(need, &eligible),
        };
        match result {
            Ok(Some(wanted)) => self.wanted.push((need.id, wanted)),
            Ok(None) => {}
            Err(why) => self.unmet.push(Unmet { need: need.id, why }),
        }
    }

    /// Whether a part can be had at all.
    fn is_had(&self, (id, part): &(PartId, &Part)) -> bool {
        part.stock > 0 || self.offers_of.contains_key(id)
    }

    /// Why a need is met by nothing.
    fn nothing(&self, need: &Need, eligible: &[(PartId, &Part)]) -> String {
        match eligible {
            [] => format!("no part of the catalogue serves{}", self.nearest(need)),
            [(_, part)] => format!("no supplier{} sells {}, and none is in stock", self.asked, part.title),
            [(_, first), rest @ ..] => {
                let others = match rest.len() {
                    1 => "the other".to_owned(),
                    n => format!("any of the {n} others"),
                };
                format!("no supplier{} sells {} or {others} that would serve, and none is in stock", self.asked, first.title)
            }
        }
    }

    /// What the parts of the kind reach of the first thing asked that none of them does.
    fn nearest(&self, need: &Need) -> String {
        let parts = || self.catalogue.parts_of(need.kind).map(|(_, part)| part);
        let failed = need.asks.iter().find(|ask| !parts().any(|part| part.serves(std::slice::from_ref(ask))));
        let Some(ask) = failed else { return String::new() };
        let values = parts().filter_map(|part| part.measured(ask.attr));
        let (most, nearest) = match ask.sense {
            Sense::AtLeast => ("most", values.max()),
            Sense::AtMost => ("least", values.min()),
            Sense::Equal => return String::new(),
        };
        nearest.map_or(String::new(), |nearest| format!("; the {most} `{}` of any is {nearest}", ask.attr.word()))
    }

    /// An amount, in steps of one part in `scale`.
    fn amount(
        &mut self,
        need: &Need,
        scale: Decimal,
        eligible: &[(PartId, &Part)],
        gain: impl Fn(&Part) -> Option<Decimal>,
    ) -> Result<Option<programme::Need>, String> {
        let scaled = |value: Decimal| value.checked_mul(scale);
        let Some(amount) = scaled(need.amount()).and_then(|amount| amount.ceil().to_i64()).filter(|amount| *amount <= MOST)
        else {
            return Err(format!("{} is more than can be reckoned with", need.amount().normalize()));
        };
        if amount <= 0 {
            return Ok(None);
        }
        let able: Vec<(PartId, &Part)> = eligible.iter().copied().filter(|(_, part)| gain(part).is_some()).collect();
        let had: Vec<(PartId, i64)> = able
            .iter()
            .filter(|part| self.is_had(part))
            .filter_map(|&(id, part)| Some((id, gain(part).and_then(scaled)?.floor().to_i64()?.min(MOST))))
            .filter(|(_, gain)| *gain > 0)
            .collect();
        if had.is_empty() {
            return Err(self.nothing(need, &able));
        }
        if had.iter().all(|(id, _)| !self.offers_of.contains_key(id)) {
            self.take_scarce(need, amount, &had)?;
        }
        Ok(Some(programme::Need::Amount { amount, gains: self.numbered(&had) }))
    }

    /// Sets stock aside for a need that only stock can meet, first come first served.
    fn take_scarce(&mut self, need: &Need, amount: i64, had: &[(PartId, i64)]) -> Result<(), String> {
        self.scarce.push((amount, had.iter().copied().collect()));
        let parts: BTreeSet<PartId> = self.scarce.iter().flat_map(|(_, gains)| gains.keys().copied()).collect();
        let stock: Vec<i64> = parts.iter().map(|&part| i64::from(self.catalogue.part(part).stock)).collect();
        let wants = self
            .scarce
            .iter()
            .map(|(amount, gains)| (*amount, parts.iter().map(|part| gains.get(part).copied().unwrap_or(0)).collect()));
        if Sharing::of(wants.collect()).share(&stock).is_some() {
            return Ok(());
        }
        self.scarce.pop();
        Err(format!("the stock is not enough for {}, and no supplier{} sells more", need.amount().normalize(), self.asked))
    }

    /// Pieces to cut; those longer than anything had are told and left out.
    fn pieces(&mut self, need: &Need, eligible: &[(PartId, &Part)]) -> Result<Option<programme::Need>, String> {
        let pieces = need.pieces();
        if pieces.is_empty() {
            return Ok(None);
        }
        let had: Vec<(PartId, i64)> = eligible
            .iter()
            .filter(|part| self.is_had(part))
            .filter_map(|&(id, part)| Some((id, micrometres(part, Attr::Length)?)))
            .collect();
        let Some(longest) = had.iter().map(|(_, length)| *length).max() else { return Err(self.nothing(need, eligible)) };
        let too_long = pieces.iter().filter(|(length, _)| length.um() > longest).count();
        if too_long > 0 {
            self.unmet.push(Unmet {
                need: need.id,
                why: format!(
                    "{too_long} of {} pieces are longer than the longest stock of {}; the longest piece is {}",
                    pieces.len(),
                    Length::from_um(longest),
                    pieces.first().map_or(Length::ZERO, |piece| piece.0)
                ),
            });
        }
        let mut counted: BTreeMap<std::cmp::Reverse<i64>, i64> = BTreeMap::new();
        for (length, _) in pieces.iter().filter(|(length, _)| (1..=longest).contains(&length.um())) {
            *counted.entry(std::cmp::Reverse(length.um())).or_default() += 1;
        }
        if counted.is_empty() {
            return Ok(None);
        }
        let pieces = counted.into_iter().map(|(length, count)| (length.0, count)).collect();
        let parts = self.numbered(&had).into_iter().map(|(part, _)| part).collect();
        Ok(Some(programme::Need::Pieces { pieces, parts }))
    }

    /// Parts by the index they have in the programme.
    fn numbered(&mut self, had: &[(PartId, i64)]) -> Vec<(usize, i64)> {
        had.iter()
            .map(|&(id, gain)| {
                let fresh = self.parts.len();
                (*self.parts.entry(id).or_insert(fresh), gain)
            })
            .collect()
    }

    fn finish(self, choices: &Choices) -> Compiled {
        let mut parts: Vec<PartId> = self.parts.keys().copied().collect();
        parts.sort_by_key(|part| self.parts[part]);
        let mut offers: Vec<OfferId> = parts.iter().filter_map(|part| self.offers_of.get(part)).flatten().copied().collect();
        offers.sort_unstable();
        let mut suppliers: Vec<SupplierId> = offers.iter().map(|&offer| self.catalogue.offer(offer).supplier).collect();
        suppliers.sort_unstable();
        suppliers.dedup();
        let programme = Programme {
            suppliers: suppliers.iter().map(|&id| self.supplier(id)).collect(),
            parts: parts.iter().map(|&id| self.part(id)).collect(),
            offers: offers
                .iter()
                .map(|&id| {
                    let offer = self.catalogue.offer(id);
                    programme::Offer {
                        part: self.parts[&offer.part],
                        supplier: suppliers.binary_search(&offer.supplier).unwrap_or_default(),
                        pack: i64::from(offer.pack),
                        price: offer.price.minor(),
                        at_least: i64::from(offer.at_least.max(1)),
                    }
                })
                .collect(),
            needs: self.wanted.iter().map(|(_, need)| need.clone()).collect(),
            most_parcels: choices.most_parcels,
        };
        let needs = self.wanted.iter().map(|(id, _)| *id).collect();
        Compiled { programme, needs, parts, offers, suppliers, unmet: self.unmet }
    }

    fn part(&self, id: PartId) -> programme::Part {
        let part = self.catalogue.part(id);
        let cut = self.catalogue.kind(part.kind).form == Form::Pieces;
        let length = |attr| micrometres(part, attr).filter(|_| cut).unwrap_or(0);
        programme::Part { stock: i64::from(part.stock), length: length(Attr::Length), kerf: length(Attr::Kerf) }
    }

    fn supplier(&self, id: SupplierId) -> programme::Supplier {
        let supplier = self.catalogue.supplier(id);
        programme::Supplier {
            postage: supplier.postage.minor().max(0),
            free_from: supplier.free_from.map(|money| money.minor().max(0)),
            least_order: supplier.least_order.map_or(0, |money| money.minor().max(0)),
        }
    }
}

/// A measured length of a part in whole micrometres.
fn micrometres(part: &Part, attr: Attr) -> Option<i64> {
    part.measured(attr).and_then(|length| Length::try_from(length).ok()).map(Length::um).filter(|um| *um >= 0)
}
