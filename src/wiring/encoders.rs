//! Which lever is read by which input of which encoder, and which of its outputs light the lever's lamps.

use std::collections::BTreeSet;

use super::plan::lamps_of;
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Part, Role};
use crate::id::{LeverId, PartId};
use crate::layout::{Lamps, Layout};
use crate::scheme::Assignment;
use crate::takeoff::{Subject, Takeoff};

/// A lever at an encoder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// The lever.
    pub lever: LeverId,
    /// The encoder, from 1.
    pub encoder: u32,
    /// The part that it is.
    pub part: PartId,
    /// The input, from 1.
    pub input: u32,
    /// The outputs that light its lamps, from 1; none where it has no lamps.
    pub outputs: Vec<u32>,
}

/// The levers at the encoders that are taken, in the order of the layout file: the largest encoder is filled first. A lever that finds no
/// input has none: then the purchase says what is lacking.
pub fn inputs(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    takeoff: &Takeoff,
    purchase: &Purchase,
) -> Vec<Input> {
    let mut inputs = Vec::new();
    let mut encoder = 0;
    for need in takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Encoder) {
        let levers: BTreeSet<LeverId> = need
            .reasons
            .iter()
            .filter_map(|reason| match reason.subject {
                Subject::Lever(lever) => Some(lever),
                _ => None,
            })
            .collect();
        let mut waiting = levers.into_iter();
        let taken = purchase.uses.iter().filter(|used| used.need == need.id);
        let mut parts: Vec<PartId> = taken.flat_map(|used| std::iter::repeat_n(used.part, used.count as usize)).collect();
        parts.sort_by_key(|&part| (std::cmp::Reverse(count(catalogue.part(part), Attr::Inputs)), part));
        for part in parts {
            let (room, lights) = (count(catalogue.part(part), Attr::Inputs), count(catalogue.part(part), Attr::Outputs));
            let mut lit = 0_u32;
            for (input, lever) in (1..=room).zip(&mut waiting) {
                encoder += u32::from(input == 1);
                let lamps = match lamps_of(layout, catalogue, assignment, layout.lever(lever)) {
                    Lamps::None => 0,
                    Lamps::Commanded | Lamps::Proved => catalogue.rates.lamps_per_lever.min(lights.saturating_sub(lit)),
                };
                inputs.push(Input { lever, encoder, part, input, outputs: (lit + 1..=lit + lamps).collect() });
                lit += lamps;
            }
        }
    }
    inputs
}

fn count(part: &Part, attr: Attr) -> u32 {
    part.measured(attr).and_then(|count| u32::try_from(count.value()).ok()).unwrap_or(0)
}
