//! The cutting list: what is cut from each stick and reel, and in which colour each reel of wire is best bought.
//!
//! The purchase settles how many reels of which length there are; that every piece comes out of them whole is proven there. Colour costs
//! nothing, so it is settled here: pieces change places between reels of one size until each reel serves as few colours as can be.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use crate::buying::{Cut, Piece, Purchase};
use crate::catalogue::{Attr, Catalogue, Role, Value};
use crate::id::PartId;
use crate::quantity::{Length, Quantity};
use crate::takeoff::Takeoff;
use crate::wiring::{Colour, SectionId, Unlaid, Wiring};

/// A piece, and what it becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Laid {
    /// The piece.
    pub piece: Piece,
    /// The section of a run it becomes; `None` where it is no wire of the schedule.
    pub section: Option<SectionId>,
    /// The colour of that run; `None` for cable and for what is no wire.
    pub colour: Option<Colour>,
}

/// A stick or reel, and what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reel {
    /// The part.
    pub part: PartId,
    /// Its length.
    pub stock: Length,
    /// The colour to ask for; `None` where it has none to choose, and for what is owned, which has its own.
    pub colour: Option<Colour>,
    /// Whether it comes from stock.
    pub owned: bool,
    /// The pieces, longest first.
    pub pieces: Vec<Laid>,
    /// What is left over, saw cuts taken off.
    pub left: Length,
}

impl Reel {
    fn of(cut: &Cut, pieces: Vec<Laid>) -> Self {
        Self { part: cut.part, stock: cut.stock, colour: main_colour(&pieces), owned: false, pieces, left: cut.left }
    }

    /// The length of its pieces in other colours than its own.
    fn strange(&self) -> Length {
        self.pieces.iter().filter(|laid| laid.colour != self.colour).map(|laid| laid.piece.length).sum()
    }

    /// What is left of its length when nothing is lost between pieces.
    fn rest(&self) -> Length {
        self.stock - self.pieces.iter().map(|laid| laid.piece.length).sum()
    }
}

/// The cutting list of a purchase, in the order of its cuts.
pub fn cutting_list(takeoff: &Takeoff, catalogue: &Catalogue, purchase: &Purchase, wiring: &Wiring) -> Vec<Reel> {
    let mut unlaid = Unlaid::new(wiring);
    let mut reels = Vec::new();
    let mut by_size: BTreeMap<Quantity, Vec<usize>> = BTreeMap::new();
    for (place, cut) in purchase.cuts.iter().enumerate() {
        let part = catalogue.part(cut.part);
        let role = catalogue.kind(part.kind).role;
        let lay = |piece: &Piece| {
            let asks = &takeoff.need(piece.need).asks;
            let area = asks.iter().find(|ask| ask.attr == Attr::Area).and_then(|ask| match &ask.value {
                Value::Measured(area) => Some(*area),
                Value::Text(_) => None,
            });
            let section = unlaid.take(piece.subject, piece.length, role == Role::Link, area);
            let run = section.and_then(|section| wiring.runs.get(section.run));
            let colour = run.filter(|_| role == Role::Wire).and_then(|run| run.colours().next());
            Laid { piece: *piece, section, colour }
        };
        let reel = Reel::of(cut, cut.pieces.iter().map(lay).collect());
        if let (Role::Wire, Some(area)) = (role, part.measured(Attr::Area))
            && reel.rest() == reel.left
        {
            by_size.entry(area).or_default().push(place);
        }
        reels.push(reel);
    }
    for places in by_size.into_values() {
        let alike: Vec<Reel> = places.iter().filter_map(|&place| reels.get(place).cloned()).collect();
        for (place, reel) in places.into_iter().zip(by_colour(&alike).unwrap_or(alike)) {
            if let Some(slot) = reels.get_mut(place) {
                *slot = reel;
            }
        }
    }
    mark_owned(&mut reels, purchase);
    reels
}

/// Of the reels of a part as many are owned as come from stock: those that serve most of other colours, so that of the reels to buy each
/// serves its own as far as may be. Which colour an owned one has is not known.
fn mark_owned(reels: &mut [Reel], purchase: &Purchase) {
    let mut owned: BTreeMap<PartId, u32> = BTreeMap::new();
    for used in &purchase.uses {
        *owned.entry(used.part).or_default() += used.from_stock;
    }
    for (part, count) in owned {
        let mut mine: Vec<&mut Reel> = reels.iter_mut().filter(|reel| reel.part == part).collect();
        mine.sort_by_key(|reel| Reverse(reel.strange()));
        for reel in mine.into_iter().take(count as usize) {
            (reel.owned, reel.colour) = (true, None);
        }
    }
}

/// The pieces of like reels shared out anew, so that each reel serves one colour as far as it reaches; `None` where they do not all find
/// room that way.
fn by_colour(reels: &[Reel]) -> Option<Vec<Reel>> {
    let mut pieces: Vec<Laid> = reels.iter().flat_map(|reel| reel.pieces.iter().copied()).collect();
    pieces.sort_by_key(|laid| (Reverse(laid.piece.length), laid.piece.subject, laid.section));
    let mut waiting: BTreeMap<Option<Colour>, Waiting> = BTreeMap::new();
    for (place, laid) in pieces.iter().enumerate() {
        waiting.entry(laid.colour).or_default().add(place, laid.piece.length);
    }
    let empty = |reel: &Reel| Reel { colour: None, pieces: Vec::new(), left: reel.stock, ..*reel };
    let mut shared: Vec<Reel> = reels.iter().map(empty).collect();
    let mut free: BTreeSet<(Length, usize)> = shared.iter().enumerate().map(|(place, reel)| (reel.stock, place)).collect();
    loop {
        let of_colours = waiting.iter_mut().filter(|(colour, mine)| colour.is_some() && mine.metres > Length::ZERO);
        let Some((colour, mine)) = of_colours.min_by_key(|(colour, mine)| (Reverse(mine.metres), **colour)) else { break };
        // The shortest reel that holds all of the colour, else the longest there is.
        let longest = || free.last().and_then(|&(stock, _)| free.range((stock, 0)..).next());
        let Some(&chosen) = free.range((mine.metres, 0)..).next().or_else(longest) else { break };
        free.remove(&chosen);
        let reel = shared.get_mut(chosen.1)?;
        reel.colour = *colour;
        while let Some(laid) = mine.longest_within(reel.left).and_then(|place| pieces.get(place)) {
            put(reel, *laid);
        }
    }
    let mut room: BTreeSet<(Length, usize)> = shared.iter().enumerate().map(|(place, reel)| (reel.left, place)).collect();
    let mut rest: Vec<usize> = waiting.values().flat_map(|mine| mine.pieces.iter().map(|(_, Reverse(place))| *place)).collect();
    rest.sort_unstable();
    for laid in rest.into_iter().filter_map(|place| pieces.get(place)) {
        let tightest = room.range((laid.piece.length, 0)..).next().copied()?;
        room.remove(&tightest);
        let reel = shared.get_mut(tightest.1)?;
        put(reel, *laid);
        room.insert((reel.left, tightest.1));
    }
    for reel in &mut shared {
        reel.colour = reel.colour.or_else(|| main_colour(&reel.pieces));
        reel.pieces.sort_by_key(|laid| (Reverse(laid.piece.length), laid.piece.subject, laid.section));
    }
    Some(shared)
}

/// The pieces of one colour that have no reel yet, by length and then by their place.
#[derive(Default)]
struct Waiting {
    metres: Length,
    pieces: BTreeSet<(Length, Reverse<usize>)>,
}

impl Waiting {
    fn add(&mut self, place: usize, length: Length) {
        self.metres += length;
        self.pieces.insert((length, Reverse(place)));
    }

    /// Takes the longest that is no longer than so much; of those alike the first.
    fn longest_within(&mut self, most: Length) -> Option<usize> {
        let &(length, place) = self.pieces.range(..=(most, Reverse(0))).next_back()?;
        self.pieces.remove(&(length, place));
        self.metres = self.metres - length;
        Some(place.0)
    }
}

/// Cuts a piece from a reel that has so much left.
fn put(reel: &mut Reel, laid: Laid) {
    reel.left = reel.left - laid.piece.length;
    reel.pieces.push(laid);
}

/// The colour of most metres among pieces; of equal ones the first by name.
fn main_colour(pieces: &[Laid]) -> Option<Colour> {
    let mut metres: BTreeMap<Colour, Length> = BTreeMap::new();
    for laid in pieces {
        if let Some(colour) = laid.colour {
            *metres.entry(colour).or_default() += laid.piece.length;
        }
    }
    metres.into_iter().min_by_key(|&(colour, metres)| (Reverse(metres), colour)).map(|(colour, _)| colour)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::{BoardId, NeedId};
    use crate::takeoff::Subject;

    fn laid(mm: i64, colour: Colour) -> Laid {
        let piece = Piece { need: NeedId(0), length: Length::from_um(mm * 1000), subject: Subject::Board(BoardId(0)) };
        Laid { piece, section: None, colour: Some(colour) }
    }

    fn reel(mm: i64, pieces: Vec<Laid>) -> Reel {
        let stock = Length::from_um(mm * 1000);
        let left = stock - pieces.iter().map(|laid| laid.piece.length).sum();
        Reel { part: PartId(0), stock, colour: None, owned: false, pieces, left }
    }

    fn colours(reel: &Reel) -> Vec<Colour> {
        reel.pieces.iter().filter_map(|laid| laid.colour).collect()
    }

    #[test]
    fn as_many_reels_as_colours_become_a_reel_of_each() {
        use Colour::{Black, Red};
        let mixed =
            [reel(10_000, vec![laid(4000, Red), laid(3000, Black)]), reel(10_000, vec![laid(2000, Red), laid(1000, Black)])];
        let shared = by_colour(&mixed).expect("all find room");
        assert_eq!(shared.iter().map(|reel| reel.colour).collect::<Vec<_>>(), [Some(Red), Some(Black)]);
        assert_eq!(shared.iter().map(colours).collect::<Vec<_>>(), [vec![Red, Red], vec![Black, Black]]);
        assert_eq!(shared.iter().map(|reel| reel.left.um()).collect::<Vec<_>>(), [4_000_000, 6_000_000]);
    }

    #[test]
    fn fewer_reels_than_colours_go_to_those_with_most_metres_and_the_rest_finds_room() {
        use Colour::{Black, Orange, Red};
        let mixed = [
            reel(10_000, vec![laid(8000, Orange), laid(1500, Red)]),
            reel(25_000, vec![laid(9000, Orange), laid(9000, Black), laid(1200, Red)]),
        ];
        let shared = by_colour(&mixed).expect("all find room");
        assert_eq!(shared.iter().map(|reel| reel.colour).collect::<Vec<_>>(), [Some(Black), Some(Orange)]);
        assert_eq!(colours(&shared[1]), [Orange, Orange, Red, Red]);
    }

    #[test]
    fn what_finds_no_room_by_colour_stays_as_it_was_proven() {
        use Colour::{Black, Red};
        let full =
            [reel(10_000, vec![laid(6000, Red), laid(4000, Black)]), reel(10_000, vec![laid(6000, Black), laid(4000, Red)])];
        let shared = by_colour(&full).expect("each colour fills a reel");
        assert!(shared.iter().all(|reel| reel.left == Length::ZERO));
        let odd =
            [reel(10_000, vec![laid(7000, Red), laid(3000, Black)]), reel(10_000, vec![laid(5000, Red), laid(5000, Black)])];
        assert_eq!(by_colour(&odd), None);
    }
}
