//! Sections of a feed: which boards hang on which supply, so that each section has a supply and a fuse that carry it.

use std::collections::{BTreeMap, BTreeSet};

use super::demand::together;
use super::fuse::{carrying, preferred};
use super::model::{Drawn, Load, Section};
use crate::catalogue::{Attr, Catalogue, Part, Role, Value};
use crate::id::{BoardId, ControllerId, DriveId, OwnedSupplyId, PartId};
use crate::layout::{Layout, Waveform};
use crate::quantity::{Current, Voltage};
use crate::scheme::{Assignment, Controller};
use crate::takeoff::Subject;
use crate::wiring::boards_from_origin;

/// More sections than the current asks for by so many are not tried: boards that still fit nowhere are told.
const MORE: usize = 8;
/// The orders of the supplies along the boards that are tried, where they differ.
const ORDERS: usize = 24;
/// Halvings by which the load is evened out among the supplies.
const HALVINGS: usize = 12;

/// A feed that may have to be divided.
#[derive(Debug, Clone, Copy)]
pub(super) struct Divided<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) assignment: &'a Assignment,
    pub(super) voltage: Voltage,
    pub(super) waveform: Waveform,
}

/// A supply that a section may have.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Supply {
    rating: Current,
    owned: Option<OwnedSupplyId>,
}

/// What is asked of a supply.
#[derive(Debug, Clone, Copy)]
enum Fits {
    /// That it carries its load, with a fuse that is not above it.
    WithFuse,
    /// That it carries its load: on a short its own protection may act before the fuse.
    Alone,
}

/// Loads that stay together, with where they hang.
struct Unit {
    board: Option<BoardId>,
    loads: Vec<Load>,
}

/// Divides a feed among supplies: those owned if they carry it, the fewest of them; else one that is sold; else the fewest owned and sold
/// together. A section that none could carry is left whole, without a fuse where the series has none for it.
pub(super) fn sections(feed: Divided<'_>, loads: &[Load]) -> Vec<Section> {
    let whole = together(feed.layout, loads);
    let owned = feed.owned();
    let wish = feed.layout.rules.sections.value as usize;
    let one = |supply: Option<OwnedSupplyId>| vec![feed.section(loads.to_vec(), Vec::new(), supply)];
    let largest = feed.largest_sold();
    let bought = Supply { rating: largest, owned: None };
    let is_bought_whole = || feed.suits(&whole, largest, Fits::WithFuse);
    let units = [feed.units(loads, false), feed.units(loads, true)];
    let asked = wish.min(units[0].len());
    if asked <= 1 {
        let with_fuse = owned.iter().find(|own| feed.suits(&whole, own.rating, Fits::WithFuse));
        if let Some(supply) = with_fuse.or_else(|| owned.iter().find(|own| feed.suits(&whole, own.rating, Fits::Alone))) {
            return one(supply.owned);
        }
        if owned.len() < 2 && is_bought_whole() {
            return one(None);
        }
    }
    let divided = |supplies: &[Supply], fits: Fits| units.iter().find_map(|units| feed.divide(units, supplies, fits));
    for fits in [Fits::WithFuse, Fits::Alone] {
        let counts = (asked.max(2)..=owned.len()).map(|count| last(&owned, count));
        if let Some(sections) = counts.into_iter().find_map(|supplies| divided(supplies, fits)) {
            return sections;
        }
    }
    if asked <= 1 && is_bought_whole() {
        return one(None);
    }
    let least = feed.least_count(&whole, largest).max(asked);
    for count in least..=least.saturating_add(MORE).min(units[1].len()) {
        for yours in (0..=count.min(owned.len())).rev() {
            let mut supplies = last(&owned, yours).to_vec();
            supplies.resize(count, bought);
            if let Some(sections) = divided(&supplies, Fits::WithFuse) {
                return sections;
            }
        }
    }
    one(None)
}

/// The last of a list, at most `count`.
fn last(supplies: &[Supply], count: usize) -> &[Supply] {
    supplies.get(supplies.len().saturating_sub(count)..).unwrap_or(supplies)
}

impl Divided<'_> {
    /// The owned supplies of the feed, smallest first.
    fn owned(self) -> Vec<Supply> {
        let fitting = self.layout.supplies.iter().enumerate();
        let fitting =
            fitting.filter(|(_, own)| own.waveform == self.waveform && own.voltage.quantity() == self.voltage.quantity());
        let mut owned: Vec<Supply> =
            fitting.map(|(index, own)| Supply { rating: own.current, owned: Some(OwnedSupplyId::at(index)) }).collect();
        owned.sort_by(|a, b| a.rating.0.total_cmp(&b.rating.0).then(a.owned.cmp(&b.owned)));
        owned
    }

    /// The rating of the largest supply sold for the feed; without one no rating is in the way.
    fn largest_sold(self) -> Current {
        self.supplies_sold().reduce(Current::max).unwrap_or(Current(f64::INFINITY))
    }

    /// The ratings of the supplies sold for the feed.
    fn supplies_sold(self) -> impl Iterator<Item = Current> {
        let (catalogue, voltage, waveform) = (self.catalogue, self.voltage.quantity(), self.waveform);
        let suits = move |part: &Part| {
            part.measured(Attr::Voltage) == Some(voltage)
                && matches!(part.attributes.get(&Attr::Waveform), Some(Value::Text(word)) if *word == waveform.word().into())
        };
        let supplies = catalogue.parts.iter().enumerate().filter(move |(index, part)| {
            catalogue.kind(part.kind).role == Role::Supply && suits(part) && catalogue.is_to_be_had(PartId::at(*index))
        });
        supplies.filter_map(|(_, part)| part.measured(Attr::Current)).map(|rating| Current(rating.to_f64()))
    }

    /// Whether a supply of a rating suits a load, and the series has a fuse for it.
    fn suits(self, drawn: &Drawn, rating: Current, fits: Fits) -> bool {
        let needed = drawn.needed(self.layout.rules.headroom.value);
        let Some(fuse) = carrying(drawn.most(), drawn.continuous) else { return false };
        needed.0 <= rating.0 * (1.0 + 1e-9) && (matches!(fits, Fits::Alone) || fuse <= rating)
    }

    /// As few sections as the currents that add up would allow.
    fn least_count(self, whole: &Drawn, largest: Current) -> usize {
        let steady = whole.continuous / (1.0 - self.layout.rules.headroom.value.0);
        let parts = steady.max(whole.start_up) / largest;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a positive count, saturating")]
        let parts = (parts - 1e-9).ceil() as usize;
        parts.max(2)
    }

    fn section(self, loads: Vec<Load>, boards: Vec<BoardId>, owned: Option<OwnedSupplyId>) -> Section {
        let drawn = together(self.layout, &loads);
        let needed = drawn.needed(self.layout.rules.headroom.value);
        let fuse = self.fuse(&drawn, needed, owned);
        let section = Section { loads, boards, drawn, needed, owned, fuse, gives: Current::ZERO };
        let asked = section.asked();
        let gives = match owned {
            Some(id) => self.layout.supply(id).current,
            None => self
                .supplies_sold()
                .filter(|rating| rating.0 >= asked.0 * (1.0 - 1e-9))
                .reduce(|a, b| Current(a.0.min(b.0)))
                .unwrap_or(asked),
        };
        Section { gives, ..section }
    }

    /// The fuse of a section: the one to prefer, as long as it asks for no larger supply and no thicker wire than the one that just carries it.
    fn fuse(self, drawn: &Drawn, needed: Current, owned: Option<OwnedSupplyId>) -> Option<Current> {
        let carries = carrying(drawn.most(), drawn.continuous)?;
        let least = |ratings: &mut dyn Iterator<Item = Current>, above: Current| {
            let above = ratings.filter(|rating| rating.0 >= above.0 * (1.0 - 1e-9));
            above.fold(Current(f64::INFINITY), |least, rating| Current(least.0.min(rating.0)))
        };
        let supply = match owned {
            Some(id) => self.layout.supply(id).current,
            None => least(&mut self.supplies_sold(), carries.max(needed)),
        };
        let wire = least(&mut self.wires_sold(), carries);
        preferred(drawn.most(), drawn.continuous, Current(supply.0.min(wire.0)))
    }

    /// What the wires that are sold are rated for.
    fn wires_sold(self) -> impl Iterator<Item = Current> {
        let catalogue = self.catalogue;
        let wires = catalogue.parts.iter().filter(|part| catalogue.kind(part.kind).role == Role::Wire);
        wires.filter_map(|part| part.measured(Attr::Current)).map(|rating| Current(rating.to_f64()))
    }

    /// What stays together, in the order it is reached from the origin: all that hangs on a board, or where that is too much, each controller
    /// and each lever by itself. What hangs on no board, such as the encoder, comes first.
    fn units(self, loads: &[Load], fine: bool) -> Vec<Unit> {
        let places: BTreeMap<BoardId, usize> =
            boards_from_origin(self.layout).into_iter().enumerate().map(|(place, board)| (board, place)).collect();
        let mut units: BTreeMap<(Option<usize>, Option<Subject>), Unit> = BTreeMap::new();
        for load in loads {
            let board = self.board_of(load);
            let place = board.and_then(|board| places.get(&board).copied());
            let apart = if fine { self.apart(load) } else { None };
            units.entry((place, apart)).or_insert_with(|| Unit { board, loads: Vec::new() }).loads.push(load.clone());
        }
        let mut units: Vec<Unit> = units.into_values().collect();
        // What hangs on no board goes with the first that does.
        if let [first, second, ..] = units.as_mut_slice()
            && first.board.is_none()
        {
            second.loads.append(&mut first.loads);
            units.remove(0);
        }
        units
    }

    /// The board of which a drive is fed.
    fn board_feeding(self, drive: DriveId) -> BoardId {
        let controller = self.assignment.controller_of(drive).and_then(|id| self.assignment.controllers.get(id.index()));
        controller.map_or(self.layout.drive(drive).spot.board, |controller| controller.spot.board)
    }

    /// The board through whose wires a load is fed; none for what hangs on the first section where power comes in, as do an encoder at the panel and
    /// the lamps that it lights.
    fn board_of(self, load: &Load) -> Option<BoardId> {
        match load.subject {
            Subject::Drive(drive) => Some(self.board_feeding(drive)),
            Subject::Board(board) => Some(board),
            Subject::Controller(id) => self.assignment.controllers.get(id.index()).map(|controller| controller.spot.board),
            Subject::Signal(id) => Some(self.layout.device(id).spot.value.board),
            Subject::Lever(id) => {
                let first = self.layout.lever(id).drives.first().filter(|_| !load.is_local(self.catalogue));
                first.map(|&drive| self.board_feeding(drive))
            }
            _ => None,
        }
    }

    /// What a load stays with where its board is too much for one supply.
    fn apart(self, load: &Load) -> Option<Subject> {
        match load.subject {
            Subject::Drive(drive) => match self.assignment.controller_of(drive) {
                Some(id) if load.is_local(self.catalogue) => Some(Subject::Controller(id)),
                _ if self.layout.panel.is_some() => Some(Subject::Lever(self.layout.drive(drive).lever)),
                _ => None,
            },
            Subject::Controller(_) => Some(load.subject),
            // An encoder on a board hangs on the same hub as the first of its controllers there.
            Subject::Board(board) => {
                let is_first =
                    |controller: &Controller| controller.spot.board == board && Some(controller.scheme) == load.through;
                let first = self.assignment.controllers.iter().position(is_first);
                first.map(|index| Subject::Controller(ControllerId::at(index)))
            }
            // Lamps across the poles of a lever are fed with what it throws.
            Subject::Lever(_) if load.through.is_some() && !load.is_local(self.catalogue) => Some(load.subject),
            _ => None,
        }
    }

    /// Shares units, in their order, among supplies, so that each suits its part, and the fullest is as little
    /// full as may be. `None` where that cannot be.
    fn divide(self, units: &[Unit], supplies: &[Supply], fits: Fits) -> Option<Vec<Section>> {
        let orders = orders(supplies);
        let mut best: Option<(f64, Vec<usize>, Vec<Supply>)> = None;
        for order in orders {
            let Some(counts) = self.fill(units, &order, (1.0, fits)) else { continue };
            let (mut full, mut low) = ((1.0, counts), 0.0);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, full.0);
                match self.fill(units, &order, (middle, fits)) {
                    Some(counts) => full = (middle, counts),
                    None => low = middle,
                }
            }
            if best.as_ref().is_none_or(|(least, ..)| full.0 < *least - 1e-9) {
                best = Some((full.0, full.1, order));
            }
        }
        let (_, counts, order) = best?;
        let mut rest = units;
        let mut sections = Vec::new();
        for (count, supply) in counts.into_iter().zip(order) {
            let (mine, after) = rest.split_at_checked(count)?;
            rest = after;
            let mut seen = BTreeSet::new();
            let boards = mine.iter().filter_map(|unit| unit.board).filter(|board| seen.insert(*board)).collect();
            let loads = mine.iter().flat_map(|unit| unit.loads.iter().cloned()).collect();
            sections.push(self.section(loads, boards, supply.owned));
        }
        Some(sections)
    }

    /// How many units each supply takes in turn when each is filled up to a part of its rating; `None` where some are left, or a supply has none.
    fn fill(self, units: &[Unit], supplies: &[Supply], (part, fits): (f64, Fits)) -> Option<Vec<usize>> {
        let mut counts = Vec::with_capacity(supplies.len());
        let mut next = 0;
        for (supply, later) in supplies.iter().zip((0..supplies.len()).rev()) {
            let suits = |count: usize| {
                let mine = units.get(next..next + count).unwrap_or_default();
                let loads: Vec<Load> = mine.iter().flat_map(|unit| unit.loads.iter().cloned()).collect();
                let drawn = together(self.layout, &loads);
                self.suits(&drawn, supply.rating, fits) && self.suits(&drawn, supply.rating * part, Fits::Alone)
            };
            // Each later supply keeps at least one unit. More units never draw less, so halving the interval finds the most that suit.
            let (mut count, mut beyond) = (0, (units.len() - next).saturating_sub(later) + 1);
            while count + 1 < beyond {
                let middle = usize::midpoint(count, beyond);
                if suits(middle) { count = middle } else { beyond = middle }
            }
            if count == 0 {
                return None;
            }
            counts.push(count);
            next += count;
        }
        (next == units.len()).then_some(counts)
    }
}

/// The orders of supplies along the boards: all that differ, as far as they are few.
fn orders(supplies: &[Supply]) -> Vec<Vec<Supply>> {
    let mut orders: Vec<Vec<Supply>> = vec![Vec::new()];
    for supply in supplies {
        let mut longer: Vec<Vec<Supply>> = Vec::new();
        for order in &orders {
            for at in (0..=order.len()).rev() {
                let mut with = order.clone();
                with.insert(at, *supply);
                // Which of several alike comes first makes no difference.
                let alike = |one: &Vec<Supply>| one.iter().zip(&with).all(|(a, b)| a.rating == b.rating);
                if !longer.iter().any(alike) {
                    longer.push(with);
                }
            }
        }
        longer.truncate(ORDERS);
        orders = longer;
    }
    orders
}
