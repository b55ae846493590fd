//! Lays what is joined where power comes in: feeds of encoder, discharge unit, levers, latches and lamps, and the minus that supplies have in common.

use std::collections::{BTreeMap, BTreeSet};

use super::ends::{Clamp, End, Port, Switch, Tap, Terminal};
use super::levers::{Chain, Shown, fed, lamp_section, read_at, shown};
use super::plan::open_families;
use super::planner::Planner;
use super::run::Use;
use crate::id::{BoardId, LeverId, SchemeId};
use crate::layout::Waveform;
use crate::scheme::{Connection, Scheme};
use crate::takeoff::Subject;

impl Planner<'_> {
    /// What brings a family its power at the panel: from the fuse to the encoder, or to the discharge unit, and on to the levers.
    pub(super) fn at_panel(&mut self, family: SchemeId) {
        let traits = self.catalogue.scheme(family);
        let Some(electrics) = traits.electrics else { return };
        let source = self.source_of(Some(family), 0);
        let poles = [End::Fuse(source), End::Socket(source)];
        match traits.connection {
            Connection::Local { .. } => {
                // Without a panel each board with levers has an encoder of its own; that of the first board stands here.
                if self.read_at(family).contains_key(&self.layout.origin().board) {
                    for (n, (pole, port)) in (0..).zip(poles.into_iter().zip([Port::Plus, Port::Minus])) {
                        self.at_origin(Some(family), Use::Power, [pole, End::Encoder(1, port)], n);
                    }
                }
            }
            Connection::Direct { .. } => {
                if electrics.stored {
                    for (n, pole) in (0..).zip(poles) {
                        self.at_origin(Some(family), Use::Power, [pole, End::Store(Clamp::Input(n))], n);
                    }
                }
                if self.layout.panel.is_some() {
                    self.feed_levers(family, traits, electrics.stored);
                }
            }
            Connection::None => {}
        }
    }

    /// The levers of a family at the panel, fed in turn from the section of what they move.
    fn feed_levers(&mut self, family: SchemeId, traits: &Scheme, is_stored: bool) {
        let mut levers: BTreeMap<usize, Vec<LeverId>> = BTreeMap::new();
        let mut seen = BTreeSet::new();
        for drive in self.drives_of(family) {
            let lever = self.layout.drive(drive).lever;
            if seen.insert(lever) {
                let feed = self.feed_of(Some(family)).filter(|_| !is_stored);
                let section = feed.map_or(0, |feed| feed.section_of(Subject::Drive(drive)));
                levers.entry(section).or_default().push(lever);
            }
        }
        for (section, mut levers) in levers {
            levers.sort_unstable();
            let source = self.source_of(Some(family), section);
            let poles =
                if is_stored { [Clamp::Plus, Clamp::Minus].map(End::Store) } else { [End::Fuse(source), End::Socket(source)] };
            // With a shared return the levers need one pole only.
            let needed = if traits.shares_return() { 1 } else { 2 };
            for (n, pole) in (0..).zip(poles).take(needed) {
                self.in_turn(Some(family), pole, &levers, n);
            }
        }
    }

    /// Brings a pole to the levers in turn: to the first, and from lever to lever.
    pub(super) fn in_turn(&mut self, family: Option<SchemeId>, pole: End, levers: &[LeverId], n: u32) {
        let mut from = Terminal { end: pole, spot: self.layout.origin() };
        for &lever in levers {
            let to = self.at_lever(lever, family, fed(self.catalogue, family, n));
            self.lay(Subject::Layout, family, Use::Power, [from, to], 1, n);
            from = to;
        }
    }

    /// The levers of a family by the board where encoders read them, in the order in which these are numbered.
    pub(super) fn read_at(&self, family: SchemeId) -> BTreeMap<BoardId, BTreeSet<LeverId>> {
        read_at(self.layout, self.catalogue, self.assignment, family)
    }

    /// Lays what the encoders of boards want: feed and link from the hub of the board, and a pair from each lever. That of the first board hangs on
    /// the fuse, and its link begins there. At a panel short wires do all that.
    pub(super) fn encoders_on_boards(&mut self, family: SchemeId, hubs: &BTreeMap<BoardId, Terminal>, link: u32) {
        if self.layout.panel.is_some() {
            return;
        }
        let origin = self.layout.origin();
        for ((board, levers), number) in self.read_at(family).into_iter().zip(1..) {
            let Some(&first) = levers.first() else { continue };
            let is_first = board == origin.board;
            let spot = if is_first { origin } else { self.layout.lever(first).spot };
            let encoder = |port: Port| Terminal { end: End::Encoder(number, port), spot };
            if let Some(&hub) = hubs.get(&board).filter(|_| !is_first) {
                for (n, port) in (0..).zip([Port::Plus, Port::Minus]) {
                    self.lay(Subject::Lever(first), Some(family), Use::Power, [hub, encoder(port)], 1, n);
                }
                self.lay(Subject::Board(board), Some(family), Use::Link, [hub, encoder(Port::Link)], link, 0);
            }
            for lever in levers {
                for (n, (port, tap)) in (0..).zip([(Port::Input(0), Tap::Reverse), (Port::Common, Tap::Common)]) {
                    let to = self.at_lever(lever, Some(family), Switch::Single(tap));
                    self.lay(Subject::Lever(lever), Some(family), Use::Reading, [encoder(port), to], 1, n);
                }
            }
        }
    }

    /// The first piece of each chain that feeds lamps and latches, section by section of the feed of lights; what goes on from lever to lever is of
    /// the levers' sets of wires.
    pub(super) fn lamps(&mut self) {
        let mut begun: BTreeSet<Chain> = BTreeSet::new();
        for id in (0..self.layout.levers.len()).map(LeverId::at) {
            let Some(lit) = shown(self.layout, self.catalogue, self.assignment, id) else { continue };
            let section = lamp_section(self.catalogue, self.demands, id);
            let source = self.source_of(None, section);
            for chain in Chain::to(lit, section) {
                let (scheme, purpose, head) = match chain {
                    Chain::Plus(_) => (None, Use::Power, End::Fuse(source)),
                    Chain::Minus(_) => (None, Use::Return, End::Socket(source)),
                    Chain::Latches(family) => (Some(family), Use::Return, self.minus_of(family)),
                    // It begins at an encoder, by a wire of the set.
                    Chain::Outputs => continue,
                };
                let [to, _] = chain.ends(id, lit.1, self.catalogue.rates.lamps_per_lever);
                if begun.insert(chain) {
                    self.at_origin(scheme, purpose, [head, to], 0);
                }
            }
        }
    }

    /// Where the current of a family comes home at the panel.
    fn minus_of(&self, family: SchemeId) -> End {
        if self.catalogue.is_stored(Some(family)) {
            End::Store(Clamp::Minus)
        } else {
            End::Socket(self.source_of(Some(family), 0))
        }
    }

    /// The minus that the supplies of a divided feed have in common, from socket to socket: commands over the link come home there, and so does
    /// what one lever switches on two sections. Contacts that prove a lamp over a return of another feed want that joined too. Poles of transformers
    /// are never joined.
    pub(super) fn common_minus(&mut self) {
        let spot = self.layout.origin();
        for demand in self.demands.iter().filter(|demand| demand.waveform == Waveform::Dc) {
            for n in 1..demand.sections.len() {
                let ends = [n - 1, n].map(|n| Terminal { end: End::Socket(demand.source(n)), spot });
                let subject = Subject::Supply(demand.id, u32::try_from(n).unwrap_or(u32::MAX));
                self.lay(subject, None, Use::Return, ends, 1, 0);
            }
        }
        for family in open_families(self.catalogue, self.assignment) {
            let proved = (0..self.layout.levers.len()).any(|index| {
                shown(self.layout, self.catalogue, self.assignment, LeverId::at(index)) == Some((family, Shown::Contact))
            });
            let same_feed = !self.catalogue.is_stored(Some(family))
                && self.feed_of(Some(family)).map(|feed| feed.id) == self.feed_of(None).map(|feed| feed.id);
            if proved && !same_feed {
                let lights = End::Socket(self.source_of(None, 0));
                self.at_origin(Some(family), Use::Return, [lights, self.minus_of(family)], 0);
            }
        }
    }

    /// Lays a conductor between things at the panel.
    fn at_origin(&mut self, scheme: Option<SchemeId>, purpose: Use, ends: [End; 2], n: u32) {
        let spot = self.layout.origin();
        self.lay(Subject::Layout, scheme, purpose, ends.map(|end| Terminal { end, spot }), 1, n);
    }
}
