//! How many encoders a plan may come to have: each draws its own current, whatever levers it reads.

use rust_decimal::prelude::ToPrimitive;

use crate::catalogue::{Attr, Catalogue, Part, Role};
use crate::id::{PartId, SchemeId};
use crate::layout::Layout;
use crate::scheme::Assignment;
use crate::wiring::read_at;

/// So many encoders read the levers of a family at the most: the inputs left free are counted, and of the ways to cover them all that cost as
/// little as any, the postage of one parcel more or less, the one with most encoders. One where none is asked for by inputs.
pub(super) fn most_encoders(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, family: SchemeId) -> u32 {
    let mut kinds = catalogue.rules.iter().filter(|rule| {
        catalogue.kind(rule.kind).role == Role::Encoder
            && rule.scheme.is_none_or(|written| catalogue.counts_under(written, family))
    });
    let Some(kind) = kinds.next().map(|rule| rule.kind) else { return 1 };
    let inputs = |levers: u32| if catalogue.kind(kind).spares { layout.rules.spare_channels.value.on(levers) } else { levers };
    let sold: Vec<Sold> = catalogue.parts_of(kind).filter_map(|(id, part)| Sold::of(catalogue, id, part)).collect();
    let postage = catalogue.suppliers.iter().filter_map(|supplier| supplier.postage.amount().to_f64()).fold(0.0, f64::max);
    let encoders = read_at(layout, catalogue, assignment, family).into_values().map(|levers| {
        let levers = u32::try_from(levers.len()).unwrap_or(u32::MAX);
        most(inputs(levers) as usize, &sold, postage).max(1)
    });
    encoders.sum::<u32>().max(1)
}

/// An encoder that can be had.
#[derive(Debug, Clone, Copy)]
struct Sold {
    inputs: usize,
    price: f64,
}

impl Sold {
    fn of(catalogue: &Catalogue, id: PartId, part: &Part) -> Option<Self> {
        let inputs = part.measured(Attr::Inputs)?.value().to_usize().filter(|inputs| *inputs > 0)?;
        let price = if part.stock > 0 { 0.0 } else { catalogue.unit_price(id)?.to_f64()? };
        Some(Self { inputs, price })
    }
}

/// The most encoders in any cover of so many inputs that costs no more than the cheapest and a little; 0 where nothing covers them.
fn most(inputs: usize, sold: &[Sold], more: f64) -> u32 {
    // By inputs covered, the least price of exactly so many encoders as there were rounds.
    let mut least = vec![f64::INFINITY; inputs + 1];
    if let Some(none) = least.first_mut() {
        *none = 0.0;
    }
    let smallest = sold.iter().map(|one| one.inputs).min().unwrap_or(0);
    let mut covers: Vec<f64> = Vec::new();
    // A cover of which none could be left out has no more than it takes of the smallest.
    for _ in 0..inputs.checked_div(smallest).map_or(0, |whole| whole + 1) {
        let mut next = vec![f64::INFINITY; inputs + 1];
        for (covered, price) in least.iter().enumerate().filter(|(covered, price)| price.is_finite() && *covered < inputs) {
            for one in sold {
                if let Some(slot) = next.get_mut((covered + one.inputs).min(inputs)) {
                    *slot = slot.min(price + one.price);
                }
            }
        }
        covers.push(next.last().copied().unwrap_or(f64::INFINITY));
        least = next;
    }
    let cheapest = covers.iter().copied().fold(f64::INFINITY, f64::min);
    let place = covers.iter().rposition(|price| price.is_finite() && *price <= cheapest + more);
    place.and_then(|place| u32::try_from(place + 1).ok()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOLD: [Sold; 3] = [Sold { inputs: 8, price: 17.0 }, Sold { inputs: 16, price: 26.0 }, Sold { inputs: 32, price: 42.0 }];

    #[test]
    fn small_ones_count_where_they_may_be_the_cheaper() {
        // By hand: 20 inputs cost 42 by one of 32, 43 by 8 and 16, 51 by three of 8.
        assert_eq!(most(20, &SOLD, 0.0), 1);
        assert_eq!(most(20, &SOLD, 4.0), 2);
        assert_eq!(most(20, &SOLD, 9.0), 3);
        // 10 inputs: 26 by one of 16, 34 by two of 8.
        assert_eq!((most(10, &SOLD, 0.0), most(10, &SOLD, 8.0)), (1, 2));
        assert_eq!((most(0, &SOLD, 5.0), most(5, &[], 5.0)), (0, 0));
    }
}
