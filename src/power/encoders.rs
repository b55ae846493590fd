//! How many encoders a plan has: each draws its own current, whatever levers it reads. Supplies and wires are chosen before the order, so the
//! number is taken to be the likely one first, and held against the order.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use crate::buying::Purchase;
use crate::catalogue::{AssemblyRule, Attr, Catalogue, Part, Role};
use crate::id::{BoardId, PartId, SchemeId};
use crate::layout::Layout;
use crate::scheme::{Assignment, Wiring as Way};
use crate::takeoff::{Site, Subject, Takeoff};
use crate::wiring::{open_families, read_at};

/// By family of schemes and by the board where they are, how many encoders draw; those of a panel are where power comes in.
pub type Encoders = BTreeMap<(SchemeId, BoardId), u32>;

/// Covers that cost so little more than the cheapest count as likely too, for postage and packs may tip the scales: an own choice.
const NEARLY: f64 = 0.05;

/// As many encoders as the cheapest cover of the inputs has that are asked for, those left free among them, or one that costs nearly as little and
/// has more. One where none is asked for by inputs.
pub fn likely_encoders(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Encoders {
    covers(layout, catalogue, assignment, (NEARLY, 0.0))
}

/// The most encoders in any cover that costs as little as any, the postage of one parcel more or less.
pub fn most_encoders(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Encoders {
    let postage = catalogue.suppliers.iter().filter_map(|supplier| supplier.postage.amount().to_f64()).fold(0.0, f64::max);
    covers(layout, catalogue, assignment, (0.0, postage))
}

/// The encoders of an order; where it has none for want of parts, those that were counted.
pub fn ordered_encoders(
    layout: &Layout,
    catalogue: &Catalogue,
    (takeoff, purchase): (&Takeoff, &Purchase),
    counted: &Encoders,
) -> Encoders {
    let of = |family: SchemeId, board: BoardId| {
        let needs = takeoff.needs.iter().filter(|need| {
            let is_here = match need.site {
                Some(Site::Panel) => layout.panel.is_some() && board == layout.origin().board,
                Some(Site::Board(at)) => at == board,
                _ => false,
            };
            let reads = |rule: &AssemblyRule| rule.scheme.is_none_or(|written| catalogue.counts_under(written, family));
            // A set that may stand in for another is no part of the layout, and has no reasons.
            is_here
                && catalogue.kind(need.kind).role == Role::Encoder
                && need
                    .reasons
                    .iter()
                    .any(|reason| matches!(reason.subject, Subject::Lever(_)) && reads(catalogue.rule(reason.rule)))
        });
        let uses = needs.flat_map(|need| purchase.uses.iter().filter(move |used| used.need == need.id));
        uses.map(|used| used.count).sum::<u32>()
    };
    let ordered = counted.iter().map(|(&(family, board), &counted)| {
        let ordered = of(family, board);
        ((family, board), if ordered > 0 { ordered } else { counted })
    });
    ordered.collect()
}

/// By family and board, the most encoders in any cover of their inputs that costs no more than the cheapest and a little: a part of that, and an amount.
fn covers(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment, more: (f64, f64)) -> Encoders {
    let mut encoders = Encoders::new();
    for family in open_families(catalogue, assignment) {
        let is_read = matches!(catalogue.scheme(family).wiring, Way::Local { .. });
        let mut kinds = catalogue.rules.iter().filter(|rule| {
            catalogue.kind(rule.kind).role == Role::Encoder
                && rule.scheme.is_none_or(|written| catalogue.counts_under(written, family))
        });
        let Some(kind) = kinds.next().map(|rule| rule.kind).filter(|_| is_read) else {
            encoders.insert((family, layout.origin().board), 1);
            continue;
        };
        let inputs =
            |levers: u32| if catalogue.kind(kind).spares { layout.rules.spare_channels.value.on(levers) } else { levers };
        let sold: Vec<Sold> = catalogue.parts_of(kind).filter_map(|(id, part)| Sold::of(catalogue, id, part)).collect();
        for (board, levers) in read_at(layout, catalogue, assignment, family) {
            let inputs = inputs(u32::try_from(levers.len()).unwrap_or(u32::MAX));
            encoders.insert((family, board), most(inputs as usize, &sold, more).max(1));
        }
    }
    encoders
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

/// The most encoders in any cover of so many inputs that costs no more than the cheapest and a little: a part of that, and an amount. 0 where nothing
/// covers them.
fn most(inputs: usize, sold: &[Sold], (part, amount): (f64, f64)) -> u32 {
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
    let place = covers.iter().rposition(|price| price.is_finite() && *price <= cheapest * (1.0 + part) + amount);
    place.and_then(|place| u32::try_from(place + 1).ok()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOLD: [Sold; 3] = [Sold { inputs: 8, price: 17.0 }, Sold { inputs: 16, price: 26.0 }, Sold { inputs: 32, price: 42.0 }];

    #[test]
    fn small_ones_count_where_they_may_be_the_cheaper() {
        // By hand: 20 inputs cost 42 by one of 32, 43 by 8 and 16, 51 by three of 8.
        assert_eq!(most(20, &SOLD, (0.0, 0.0)), 1);
        assert_eq!(most(20, &SOLD, (0.0, 4.0)), 2);
        assert_eq!(most(20, &SOLD, (0.0, 9.0)), 3);
        assert_eq!(most(20, &SOLD, (0.05, 0.0)), 2);
        // 10 inputs: 26 by one of 16, 34 by two of 8.
        assert_eq!((most(10, &SOLD, (0.0, 0.0)), most(10, &SOLD, (0.0, 8.0))), (1, 2));
        assert_eq!((most(0, &SOLD, (0.0, 5.0)), most(5, &[], (0.0, 5.0))), (0, 0));
    }
}
