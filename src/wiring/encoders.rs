//! Which lever is read by which input of which encoder, and which of its outputs light the lever's lamps.

use std::collections::BTreeSet;

use super::ends::{End, Port, Stop};
use super::levers::{Shown, shown};
use super::model::Wiring;
use super::run::Use;
use crate::buying::Purchase;
use crate::catalogue::{Attr, Catalogue, Part, Role};
use crate::id::{LeverId, PartId};
use crate::layout::Layout;
use crate::scheme::Assignment;
use crate::takeoff::{Site, Subject, Takeoff};

/// An encoder that is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Encoder {
    /// Its number, from 1: feed and link come to the first of a place and go on from one to the next.
    pub number: u32,
    /// The part that it is.
    pub part: PartId,
    /// Where it is: at the panel, or without one on a board.
    pub site: Site,
    /// The levers it reads; none where it is there for what comes later.
    pub inputs: Vec<Input>,
}

/// A lever at an encoder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// The lever.
    pub lever: LeverId,
    /// The encoder, from 1.
    pub encoder: u32,
    /// The input, from 1.
    pub input: u32,
    /// The outputs that light its lamps, from 1; none where it has no lamps, or they are lit otherwise.
    pub outputs: Vec<u32>,
}

/// The encoders that are taken, with their levers in the order of the layout file: the largest encoder is filled first. A lever that finds no
/// input has none: then the purchase says what is lacking.
pub fn encoders(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    takeoff: &Takeoff,
    purchase: &Purchase,
) -> Vec<Encoder> {
    let mut encoders = Vec::new();
    for need in takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Encoder) {
        let levers: BTreeSet<LeverId> = need
            .reasons
            .iter()
            .filter_map(|reason| match reason.subject {
                Subject::Lever(lever) => Some(lever),
                _ => None,
            })
            .collect();
        // A set that may stand in for another is no part of the layout.
        let Some(site) = need.site.filter(|_| !levers.is_empty()) else { continue };
        let mut waiting = levers.into_iter();
        let taken = purchase.uses.iter().filter(|used| used.need == need.id);
        let mut parts: Vec<PartId> = taken.flat_map(|used| std::iter::repeat_n(used.part, used.count as usize)).collect();
        parts.sort_by_key(|&part| (std::cmp::Reverse(count(catalogue.part(part), Attr::Inputs)), part));
        for part in parts {
            let number = u32::try_from(encoders.len()).map_or(u32::MAX, |before| before.saturating_add(1));
            let (room, lights) = (count(catalogue.part(part), Attr::Inputs), count(catalogue.part(part), Attr::Outputs));
            let mut lit = 0_u32;
            let read = |(input, lever): (u32, LeverId)| {
                let lamps = match shown(layout, catalogue, assignment, lever) {
                    Some((_, Shown::Encoder)) => catalogue.rates.lamps_per_lever.min(lights.saturating_sub(lit)),
                    _ => 0,
                };
                let outputs = (lit + 1..=lit + lamps).collect();
                lit += lamps;
                Input { lever, encoder: number, input, outputs }
            };
            let inputs = (1..=room).zip(&mut waiting).map(read).collect();
            encoders.push(Encoder { number, part, site, inputs });
        }
    }
    encoders
}

impl Wiring {
    /// Lets the wires to the encoders of boards end at those that are bought: a lever's at its input, feed and link at the first of the board.
    pub fn read_at(&mut self, encoders: &[Encoder]) {
        for run in &mut self.runs {
            for (terminal, section) in [(&mut run.from, 0), (&mut run.to, run.sections.len().saturating_sub(1))] {
                let End::Encoder(_, port) = terminal.end else { continue };
                let board = Site::Board(terminal.spot.board);
                let Some(first) = encoders.iter().find(|encoder| encoder.site == board) else { continue };
                let mut inputs = encoders.iter().flat_map(|encoder| &encoder.inputs);
                let input = inputs.find(|input| run.purpose == Use::Reading && run.subject == Subject::Lever(input.lever));
                let end = match (input, port) {
                    (Some(input), Port::Input(_)) => End::Encoder(input.encoder, Port::Input(input.input)),
                    (Some(input), _) => End::Encoder(input.encoder, port),
                    (None, _) => End::Encoder(first.number, port),
                };
                if let Some(section) = run.sections.get_mut(section) {
                    let stop = if section.from == Stop::At(terminal.end) { &mut section.from } else { &mut section.to };
                    *stop = Stop::At(end);
                }
                terminal.end = end;
            }
        }
    }
}

fn count(part: &Part, attr: Attr) -> u32 {
    part.measured(attr).and_then(|count| u32::try_from(count.value()).ok()).unwrap_or(0)
}
