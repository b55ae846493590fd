//! How many encoders a plan has: each draws its own current, whatever levers it reads. Supplies and wires are chosen before the order, so the
//! number is taken to be the likely one first, and held against the order.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use crate::buying::Purchase;
use crate::catalogue::{AssemblyRule, Attr, Catalogue, Part, Role};
use crate::id::{BoardId, PartId, SchemeId};
use crate::layout::Layout;
use crate::scheme::{Assignment, Connection};
use crate::takeoff::{Site, Subject, Takeoff};
use crate::wiring::{open_families, read_at};

/// By family of schemes how many encoders draw: on a panel together (no board), else by the board where they are. A family that has none counts as
/// one: what draws at its panel.
pub type Encoders = BTreeMap<(SchemeId, Option<BoardId>), u32>;

/// Covers that cost so little more than the cheapest, in proportion, count as likely too, for postage and packs may tip the scales: an own choice.
const NEARLY: f64 = 0.05;

/// As many encoders as the cheapest cover of the inputs has that are asked for, those left free among them, or one that costs nearly as little and
/// has more.
pub fn likely_encoders(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Encoders {
    let mut encoders = Encoders::new();
    let at = |board: BoardId| layout.panel.is_none().then_some(board);
    for family in open_families(catalogue, assignment) {
        let row = catalogue.rules.iter().find(|rule| reads(catalogue, family, rule));
        let Some(kind) = row.map(|rule| rule.kind) else {
            encoders.insert((family, at(layout.origin().board)), 1);
            continue;
        };
        let inputs =
            |levers: u32| if catalogue.kind(kind).spares { layout.rules.spare_channels.value.on(levers) } else { levers };
        let sold: Vec<Sold> = catalogue.parts_of(kind).filter_map(|(id, part)| Sold::of(catalogue, id, part)).collect();
        for (board, levers) in read_at(layout, catalogue, assignment, family) {
            let inputs = inputs(u32::try_from(levers.len()).unwrap_or(u32::MAX));
            encoders.insert((family, at(board)), most(inputs as usize, &sold).max(1));
        }
    }
    encoders
}

/// The encoders of an order; where it has none, for want of parts or because the family asks for none, those that were counted.
pub fn ordered_encoders(catalogue: &Catalogue, (takeoff, purchase): (&Takeoff, &Purchase), counted: &Encoders) -> Encoders {
    let of = |family: SchemeId, board: Option<BoardId>| -> u32 {
        let needs = takeoff.needs.iter().filter(|need| {
            // A set that may stand in for another is no part of the layout, and has no reasons.
            let mut reasons = need.reasons.iter().filter(|reason| matches!(reason.subject, Subject::Lever(_)));
            need.site == Some(board.map_or(Site::Panel, Site::Board))
                && reasons.any(|reason| reads(catalogue, family, catalogue.rule(reason.rule)))
        });
        needs.flat_map(|need| purchase.uses.iter().filter(|used| used.need == need.id)).map(|used| used.count).sum()
    };
    let ordered = counted.iter().map(|(&(family, board), &counted)| {
        let ordered = of(family, board);
        ((family, board), if ordered > 0 { ordered } else { counted })
    });
    ordered.collect()
}

/// Whether a row gives the encoders that read the levers of a family: none does where its drives are wired direct.
fn reads(catalogue: &Catalogue, family: SchemeId, rule: &AssemblyRule) -> bool {
    matches!(catalogue.scheme(family).connection, Connection::Local { .. })
        && catalogue.kind(rule.kind).role == Role::Encoder
        && rule.scheme.is_none_or(|written| catalogue.counts_under(written, family))
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

/// The most encoders in any cover of so many inputs that costs nearly as little as the cheapest. 0 where nothing covers them.
fn most(inputs: usize, sold: &[Sold]) -> u32 {
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
    let place = covers.iter().rposition(|price| price.is_finite() && *price <= cheapest * (1.0 + NEARLY));
    place.and_then(|place| u32::try_from(place + 1).ok()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOLD: [Sold; 3] = [Sold { inputs: 8, price: 17.0 }, Sold { inputs: 16, price: 26.0 }, Sold { inputs: 32, price: 42.0 }];

    #[test]
    fn small_ones_count_where_they_cost_nearly_as_little() {
        // By hand: 20 inputs cost 42 by one of 32, 43 by 8 and 16, 51 by three of 8; 43 is within 5 % of 42.
        assert_eq!(most(20, &SOLD), 2);
        // 10 inputs: 26 by one of 16, 34 by two of 8.
        assert_eq!(most(10, &SOLD), 1);
        assert_eq!((most(0, &SOLD), most(5, &[])), (0, 0));
    }
}
