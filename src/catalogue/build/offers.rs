//! The sheet `Offers`.

use std::collections::BTreeMap;

use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use super::rates::Reckoning;
use super::suppliers::{Terms, money};
use crate::catalogue::goods::{Offer, Supplier};
use crate::diagnostic::{Code, Diagnostic};
use crate::id::{PartId, SupplierId};

/// Parts in a pack, and packs from which a price holds, at most.
const MOST: u32 = 1_000_000;

/// What offers refer to.
pub(super) struct Context<'a> {
    /// The parts.
    pub(super) parts: &'a Names,
    /// The suppliers by name.
    pub(super) suppliers: &'a Names,
    /// The suppliers' rows.
    pub(super) sellers: &'a [Option<Supplier>],
    /// How prices become amounts in the home currency.
    pub(super) reckoning: &'a Reckoning,
}

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn offers(page: Option<&Page<'_>>, context: &Context<'_>, log: &mut Log) -> Vec<Option<Offer>> {
    let mut first = BTreeMap::new();
    let rows = page.into_iter().flat_map(Page::rows);
    rows.map(|row| {
        let offer = offer(&row, context, log)?;
        let place = row.field("price").place;
        let same = first.entry((offer.part, offer.supplier, offer.pack, offer.at_least)).or_insert_with(|| place.clone());
        if *same != place {
            let what = format!("the same supplier already sells such a pack at {same}, and the dearer price never counts");
            log.push(
                Diagnostic::notice(Code::DuplicateId, place, what).expected("each pack once, with `at least` for a price break"),
            );
        }
        Some(offer)
    })
    .collect()
}

fn offer(row: &Row<'_>, context: &Context<'_>, log: &mut Log) -> Option<Offer> {
    let part = context.parts.refer(&row.field("part"), log);
    let supplier = context.suppliers.refer(&row.field("supplier"), log);
    let code = row.field("their code").text(log).unwrap_or_default().to_owned();
    let pack = row.field("pack").whole(log, 1..=MOST);
    let at_least = row.field("at least").whole(log, 1..=MOST).unwrap_or(1);
    let checked_on = row.field("checked on").day(log);
    let seller = supplier.and_then(|index| context.sellers.get(index)?.as_ref());
    let terms = seller.map(|seller| Terms { currency: seller.currency, tax_included: seller.tax_included });
    let field = row.field("price");
    let price = money(&field, terms, context.reckoning, log);
    if let Some((_, price)) = price.filter(|(_, price)| price.minor() == 0) {
        let what = format!("the price comes to nothing in {}", price.currency().code());
        log.push(field.error(Code::OutOfRange, what).expected("a price of at least the smallest coin"));
    }
    let (written, price) = price?;
    Some(Offer {
        place: row.place(),
        part: PartId::at(part?),
        supplier: SupplierId::at(supplier?),
        code,
        pack: pack?,
        price,
        written,
        at_least,
        checked_on,
    })
}
