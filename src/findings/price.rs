//! What a change of parts adds to the price, where that is exact.

use rust_decimal::Decimal;

use crate::catalogue::Catalogue;
use crate::id::PartId;
use crate::money::Money;

/// What `count` of one part cost more than as many of another, goods alone. Known only where both are sold singly at any number, so that no
/// pack is left over and no price breaks.
pub(super) fn part_difference(catalogue: &Catalogue, from: PartId, to: PartId, count: u32) -> Option<Money> {
    let single = |part: PartId| {
        let sold_singly = catalogue.offers_of(part).all(|(_, offer)| offer.pack == 1 && offer.at_least <= 1);
        catalogue.unit_price(part).filter(|_| sold_singly)
    };
    let difference = single(to)?.checked_sub(single(from)?)?.checked_mul(Decimal::from(count))?;
    Money::from_decimal(difference, catalogue.rates.home)
}
