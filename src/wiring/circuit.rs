//! The circuit of one scheme: what flows where, and what arrives, when a set of drives moves.

use std::collections::{BTreeMap, BTreeSet};

use super::cases::Case;
use super::crossing::Crossing;
use super::ends::End;
use super::in_turn::along;
use super::inlet::{Incoming, Inlet};
use super::model::{Sizing, Wiring};
use super::net::{Build, Loaded, Net, Pins, Side};
use super::run::{Run, Use};
use super::sizing::sold as sold_for;
use crate::catalogue::{Catalogue, Per};
use crate::id::{BoardId, ControllerId, DriveId, LeverId, SchemeId};
use crate::layout::{Layout, Spot};
use crate::power::conductor::Wire;
use crate::power::feed::{Draws, Node};
use crate::power::{Demand, Load, at_switch_on, feed_of, fuses_branches};
use crate::quantity::{Current, Power, Voltage};
use crate::scheme::{Assignment, Connection, Draw, Electrics};
use crate::takeoff::Subject;

/// The sorts of runs that carry the current of a scheme's motors.
pub(super) const SORTS: [Per; 3] = [Per::Drive, Per::Board, Per::Controller];

/// One conductor of a trunk's hop, with the board it reaches and the board before; none before where it comes from the origin.
type Hop<'a> = (BoardId, Option<BoardId>, &'a Run);

/// A layout with its schemes, its feeds and the wires that are laid.
#[derive(Debug, Clone, Copy)]
pub struct Installation<'a> {
    /// The layout.
    pub layout: &'a Layout,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The schemes.
    pub assignment: &'a Assignment,
    /// What each feed draws.
    pub demands: &'a [Demand],
    /// The wiring.
    pub wiring: &'a Wiring,
}

/// The circuit of one scheme: what flows where when a set of drives moves.
pub(super) struct Circuit<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) assignment: &'a Assignment,
    pub(super) crossing: &'a Crossing,
    pub(super) scheme: SchemeId,
    pub(super) electrics: Electrics,
    pub(super) draw: Draw,
    connection: Connection,
    pub(super) runs: Vec<&'a Run>,
    /// One conductor of each hop of the trunk, the board before always first: going out, and coming back.
    hops: BTreeMap<Use, Vec<Hop<'a>>>,
    pub(super) sold: BTreeMap<Per, Vec<Wire>>,
    /// The runs from lever to lever on the panel, pole by pole.
    in_turn: [Vec<&'a Run>; 2],
    /// The wire at the panel, chosen beforehand by its fuse.
    pub(super) at_panel: Option<Wire>,
    /// The drives of the scheme.
    mine: BTreeSet<DriveId>,
    /// By drive, the controller it hangs on.
    hosts: BTreeMap<DriveId, ControllerId>,
    /// Where levers stand beside their drives, what the encoders of each board draw from its trunk.
    encoders: BTreeMap<BoardId, Current>,
    /// The feed; none where pulses come from a discharge unit.
    feed: Option<&'a Demand>,
    /// Its sections.
    incoming: Vec<Incoming<'a>>,
}

impl<'a> Circuit<'a> {
    pub(super) fn new(installation: Installation<'a>, scheme: SchemeId, electrics: Electrics) -> Self {
        let Installation { layout, catalogue, assignment, demands, wiring } = installation;
        let traits = catalogue.scheme(scheme);
        let carries = |run: &&Run| run.scheme == Some(scheme) && matches!(run.purpose, Use::Drive | Use::Return | Use::Power);
        let mut sold: BTreeMap<Per, Vec<Wire>> = SORTS
            .iter()
            .map(|&per| (per, sold_for(catalogue, Some(scheme), per)))
            .filter(|(_, wires)| !wires.is_empty())
            .collect();
        let runs: Vec<&Run> = wiring.runs.iter().filter(carries).collect();
        let hops = [Use::Return, Use::Power].map(|purpose| (purpose, hops(&runs, purpose, layout.origin()))).into();
        let in_turn = [0, 1].map(|pole| wiring.in_turn(scheme, pole));
        let at_panel = in_turn.iter().flatten().next().and_then(|run| wiring.sizing_of(run)).map(Sizing::wire);
        let feed = feed_of(catalogue, demands, Some(scheme)).filter(|_| !electrics.stored);
        let mine: BTreeSet<DriveId> =
            layout.drive_ids().filter(|&drive| assignment.family_of(catalogue, drive) == Some(scheme)).collect();
        let trunk: BTreeSet<BoardId> = runs.iter().filter_map(|run| trunk_to(run)).chain([layout.origin().board]).collect();
        let encoder_of = |load: &Load| match load.subject {
            Subject::Board(board) if load.through == Some(scheme) && trunk.contains(&board) => Some(board),
            _ => None,
        };
        let is_own = |load: &Load| match load.subject {
            Subject::Drive(drive) => mine.contains(&drive),
            Subject::Controller(id) => {
                assignment.controllers.get(id.index()).is_some_and(|controller| controller.scheme == scheme)
            }
            _ => encoder_of(load).is_some(),
        };
        let mut encoders: BTreeMap<BoardId, Current> = BTreeMap::new();
        for load in feed.into_iter().flat_map(|feed| &feed.loads) {
            encoder_of(load).into_iter().for_each(|board| *encoders.entry(board).or_default() += load.continuous);
        }
        let incoming = feed.map(|feed| Incoming::of(catalogue, (feed, scheme), is_own)).unwrap_or_default();
        let controllers = assignment.controllers.iter().enumerate();
        let hosts = controllers
            .flat_map(|(index, controller)| controller.drives.iter().map(move |&drive| (drive, ControllerId::at(index))))
            .collect();
        // From lever to lever many currents add up: there the wire may have to be thicker than the fuse alone asks for.
        if let Some(by_fuse) = at_panel.filter(|_| !in_turn[0].is_empty() && !electrics.stored) {
            let mut thicker = sold_for(catalogue, Some(scheme), Per::Layout);
            thicker.retain(|wire| wire.area.0 >= by_fuse.area.0);
            sold.insert(Per::Layout, thicker);
        }
        Self {
            layout,
            catalogue,
            assignment,
            crossing: &wiring.crossing,
            scheme,
            electrics,
            draw: traits.draw,
            connection: traits.connection,
            runs,
            hops,
            sold,
            in_turn,
            at_panel,
            mine,
            hosts,
            encoders,
            feed,
            incoming,
        }
    }

    /// Whether controllers stand between the feed and the motors.
    pub(super) fn is_local(&self) -> bool {
        matches!(self.connection, Connection::Local { .. })
    }

    pub(super) fn is_mine(&self, drive: DriveId) -> bool {
        self.mine.contains(&drive)
    }

    /// The voltage that is fed in: of the charged discharge unit where pulses come from one, else of the supply.
    pub(super) fn fed(&self) -> Voltage {
        if self.electrics.stored { self.electrics.motor_voltage } else { self.electrics.voltage }
    }

    pub(super) fn controller_of(&self, drive: DriveId) -> Option<ControllerId> {
        self.hosts.get(&drive).copied()
    }

    /// The board from which a drive gets its current: that of its controller, which may be the next one, else its own.
    pub(super) fn board_feeding(&self, drive: DriveId) -> BoardId {
        let controller = self.controller_of(drive).and_then(|id| self.assignment.controllers.get(id.index()));
        controller.map_or(self.layout.drive(drive).spot.board, |controller| controller.spot.board)
    }

    /// Whose runs bring a drive its current: its own where it is wired direct, else those of the board its controller stands on.
    pub(super) fn fed_by(&self, drive: DriveId) -> Subject {
        match self.connection {
            Connection::Local { .. } => Subject::Board(self.board_feeding(drive)),
            Connection::Direct { .. } | Connection::None => Subject::Drive(drive),
        }
    }

    /// What a drive draws at its motor in a case.
    fn current(&self, drive: DriveId, case: &Case) -> Current {
        match case {
            Case::SwitchOn => self
                .assignment
                .of(drive)
                .map_or(self.draw.rest(), |scheme| at_switch_on(self.layout, self.catalogue, drive, scheme)),
            Case::Moving(moving) if moving.contains(&drive) => self.draw.moving().max(self.draw.rest()),
            Case::Moving(_) => self.draw.rest(),
        }
    }

    fn wire(&self, per: Per, level: &BTreeMap<Per, usize>) -> Option<Wire> {
        self.sold.get(&per)?.get(level.get(&per).copied().unwrap_or(0)).copied()
    }

    /// The pins that each run must have at a joint with wires of such sizes, whatever flows: as many as bear its fuse.
    pub(super) fn least_pins(&self, level: &BTreeMap<Per, usize>) -> Pins {
        let crossing = self.runs.iter().filter(|run| !run.crosses.is_empty());
        let pins = crossing.filter_map(|run| {
            let rating = self.wire(run.subject.per(), level)?.rating;
            let pins = self.crossing.pins(fuse_before(self.catalogue, self.feed?, run, rating)?);
            Some(((run.subject, run.purpose), pins))
        });
        pins.collect()
    }

    /// Builds the network with wires of such sizes; `None` for what is worked by hand.
    pub(super) fn net<'n>(&'n self, level: &BTreeMap<Per, usize>, pins: &'n Pins) -> Option<Net<'n>> {
        let mut wires: BTreeMap<Per, Wire> = self.at_panel.map(|wire| (Per::Layout, wire)).into_iter().collect();
        wires.extend(self.sold.keys().filter_map(|&per| Some((per, self.wire(per, level)?))));
        let inlets = self.inlets(&wires);
        let mut net = Net::new(Build { fed: self.fed(), wires, crossing: self.crossing, pins, inlets });
        match self.connection {
            Connection::Direct { conductors, shared } => self.direct(&mut net, conductors.saturating_sub(shared), shared),
            Connection::Local { .. } => self.local(&mut net),
            Connection::None => return None,
        }
        Some(net)
    }

    /// What the loads of a network draw in a case.
    pub(super) fn draws(&self, loads: &[Loaded], case: &Case) -> Vec<Draws> {
        let draws = loads.iter().map(|load| match *load {
            Loaded::Beside(section) => {
                let incoming = self.incoming.get(section);
                Draws::Current(incoming.map_or(Current::ZERO, |incoming| incoming.draws_beside(case)))
            }
            Loaded::Encoders(board) => Draws::Current(self.encoders.get(&board).copied().unwrap_or_default()),
            Loaded::Drive(drive) => Draws::Current(self.current(drive, case)),
            Loaded::Controller(id) => {
                let drives = self.assignment.controllers.get(id.index()).map(|controller| controller.drives.as_slice());
                let motors: Current = drives.into_iter().flatten().map(|&drive| self.current(drive, case)).sum();
                let motors: Power = self.electrics.motor_voltage * motors / self.electrics.efficiency.0;
                Draws::Power(motors + self.electrics.voltage * self.electrics.controller)
            }
        });
        draws.collect()
    }

    /// Where each section of the feed comes in, with wires of such sizes behind it.
    fn inlets(&self, wires: &BTreeMap<Per, Wire>) -> Vec<Inlet> {
        let used = wires.iter().filter(|(per, _)| self.runs.iter().any(|run| run.subject.per() == **per));
        let thinnest = used.map(|(_, wire)| wire.rating).reduce(|a, b| Current(a.0.min(b.0)));
        self.incoming.iter().map(|incoming| incoming.inlet(self.catalogue, thinnest)).collect()
    }

    /// The trunk of the scheme as a tree of hubs.
    fn trunk(&self, net: &mut Net<'_>, purpose: Use, side: Side) -> BTreeMap<BoardId, Node> {
        let mut hubs: BTreeMap<BoardId, Node> = BTreeMap::new();
        for (board, before, run) in self.hops.get(&purpose).into_iter().flatten() {
            let from =
                before.and_then(|before| hubs.get(&before).copied()).unwrap_or_else(|| net.socket(run.from.end.section(), side));
            let hub = net.wire(Per::Board, from, run);
            hubs.insert(*board, hub);
        }
        hubs.entry(self.layout.origin().board).or_insert_with(|| net.socket(0, side));
        hubs
    }

    fn direct(&self, net: &mut Net<'_>, own: u32, shared: u32) {
        let out = if self.layout.panel.is_none() { self.trunk(net, Use::Power, Side::Out) } else { BTreeMap::new() };
        let purpose = if self.layout.panel.is_none() { Use::Power } else { Use::Return };
        let backs =
            if shared > 0 || self.layout.panel.is_none() { self.trunk(net, purpose, Side::Back) } else { BTreeMap::new() };
        let at_panel = [Side::Out, Side::Back].map(|side| self.panel_poles(net, side));
        let mut levers: BTreeMap<LeverId, [Node; 2]> = BTreeMap::new();
        for drive in self.layout.drive_ids().filter(|&drive| self.is_mine(drive)) {
            let runs = runs_of(&self.runs, Subject::Drive(drive));
            let board = self.layout.drive(drive).spot.board;
            let (Some(going), returning) =
                (runs.iter().find(|run| run.purpose == Use::Drive), runs.iter().find(|run| run.purpose == Use::Return))
            else {
                continue;
            };
            let lever = self.layout.drive(drive).lever;
            let [start, hub] =
                [(&out, &at_panel[0], Side::Out), (&backs, &at_panel[1], Side::Back)].map(|(hubs, poles, side)| {
                    let near = hubs.get(&board).or_else(|| poles.get(&lever));
                    near.copied().unwrap_or_else(|| net.socket(0, side))
                });
            let [plus, minus] = *levers.entry(lever).or_insert_with(|| self.lever(net, lever, [start, hub]));
            let at_motor = net.wire(Per::Drive, plus, going);
            let from_motor = match returning {
                Some(run) => net.wire(Per::Drive, hub, run),
                // Without a shared return a second conductor of its own brings it back.
                None if own > 1 => net.wire(Per::Drive, minus, going),
                None => hub,
            };
            net.load(at_motor, from_motor, Loaded::Drive(drive));
        }
    }

    /// The poles at the levers on the panel: from the socket of their section to the first, and on from lever to lever.
    fn panel_poles(&self, net: &mut Net<'_>, side: Side) -> BTreeMap<LeverId, Node> {
        let [out, back] = &self.in_turn;
        along(if side == Side::Out { out } else { back }, |near, run| {
            let near = near.unwrap_or_else(|| net.socket(run.from.end.section(), side));
            net.wire(Per::Layout, near, run)
        })
    }

    /// The poles at a lever that is fed from the strip of its board, of the drives' own wire; else those that are given.
    fn lever(&self, net: &mut Net<'_>, lever: LeverId, poles: [Node; 2]) -> [Node; 2] {
        let mut runs = runs_of(&self.runs, Subject::Lever(lever)).iter().filter(|run| run.purpose == Use::Power);
        poles.map(|pole| runs.next().map_or(pole, |run| net.wire(Per::Drive, pole, run)))
    }

    fn local(&self, net: &mut Net<'_>) {
        let out = self.trunk(net, Use::Power, Side::Out);
        let back = self.trunk(net, Use::Power, Side::Back);
        let mut reached: BTreeMap<ControllerId, (Node, Node)> = BTreeMap::new();
        for (index, controller) in self.assignment.controllers.iter().enumerate().filter(|(_, c)| c.scheme == self.scheme) {
            let id = ControllerId::at(index);
            let board = controller.spot.board;
            let on = runs_of(&self.runs, Subject::Controller(id)).iter().find(|run| run.purpose == Use::Power);
            // From the hub of its board, from another controller there, or from the supply of its section.
            let (near, run) = match on.map(|run| (run.from.end, run)) {
                Some((end, run)) if end.is_source() => {
                    (Some((net.socket(end.section(), Side::Out), net.socket(end.section(), Side::Back))), Some(run))
                }
                Some((End::Controller(before), run)) => (reached.get(&before).copied(), Some(run)),
                _ => (out.get(&board).copied().zip(back.get(&board).copied()), None),
            };
            let Some((near_out, near_back)) = near else { continue };
            let (at, from) = match run {
                Some(run) => (net.wire(Per::Controller, near_out, run), net.wire(Per::Controller, near_back, run)),
                None => (near_out, near_back),
            };
            reached.insert(id, (at, from));
            net.load(at, from, Loaded::Controller(id));
        }
        for &board in self.encoders.keys() {
            if let Some((at, from)) = out.get(&board).copied().zip(back.get(&board).copied()) {
                net.load(at, from, Loaded::Encoders(board));
            }
        }
    }
}

/// What gets the lowest voltage of a scheme while some drives move and the others rest, with the wires chosen, and that voltage. Of a
/// scheme with controllers it is a controller: its converter keeps the motors' voltage as long as it is fed. `None` where nothing draws.
pub fn lowest(installation: Installation<'_>, scheme: SchemeId, moving: &[DriveId]) -> Option<(Subject, Voltage)> {
    let electrics = installation.catalogue.scheme(scheme).electrics?;
    let circuit = Circuit::new(installation, scheme, electrics);
    // At the panel the network knows the wires to the levers alone.
    let is_in_it = |sizing: &&Sizing| sizing.scheme == Some(scheme) && (sizing.per != Per::Layout || sizing.feeds_levers);
    let chosen = installation.wiring.sizings.iter().filter(is_in_it);
    let level = chosen.filter_map(|sizing| {
        let wires = circuit.sold.get(&sizing.per)?;
        Some((sizing.per, wires.iter().position(|wire| wire.area == sizing.area)?))
    });
    let pins = circuit.runs.iter().map(|run| ((run.subject, run.purpose), run.pins)).collect();
    let net = circuit.net(&level.collect(), &pins)?;
    let outcome = net.outcome(&net.grow(), &circuit.draws(&net.loads, &Case::Moving(moving.to_vec())))?;
    Some((outcome.worst, outcome.arrives))
}

/// The runs of a subject; runs are sorted by subject.
pub(super) fn runs_of<'r, 'a>(runs: &'r [&'a Run], subject: Subject) -> &'r [&'a Run] {
    let from = runs.partition_point(|run| run.subject < subject);
    let until = runs.partition_point(|run| run.subject <= subject);
    runs.get(from..until).unwrap_or_default()
}

/// What the fuse before a run lets through for good, before branches are known: that of its section, or where that does not protect the wire the fuse of a
/// branch, which is no larger than the wire's rating. `None` where it has none, and for the link and frogs, which the feed does not bring current to.
pub(super) fn fuse_before(catalogue: &Catalogue, feed: &Demand, run: &Run, rating: Current) -> Option<Current> {
    let is_fed = !matches!(run.purpose, Use::Link | Use::Frog);
    let section = feed.sections.get(feed.section_behind(run.subject)).filter(|_| is_fed)?;
    let is_apart = fuses_branches(catalogue) && section.leaves_bare(rating);
    if is_apart { Some(rating) } else { section.fuse }
}

/// The board to which a run brings power of the trunk.
fn trunk_to(run: &Run) -> Option<BoardId> {
    match run.subject {
        Subject::Board(board) if run.purpose == Use::Power => Some(board),
        _ => None,
    }
}

/// One conductor of each hop of a trunk with the board before it, ordered so that the board before always comes first.
fn hops<'a>(runs: &[&'a Run], purpose: Use, origin: Spot) -> Vec<Hop<'a>> {
    let mut left: BTreeMap<BoardId, &Run> = BTreeMap::new();
    for run in runs.iter().filter(|run| run.purpose == purpose) {
        if let Subject::Board(board) = run.subject {
            left.entry(board).or_insert(run);
        }
    }
    let comes_in = |run: &Run| run.from.spot == origin;
    let mut hops = Vec::with_capacity(left.len());
    let mut reached = BTreeSet::new();
    while !left.is_empty() {
        let ready: Vec<BoardId> = left
            .iter()
            .filter(|(_, run)| comes_in(run) || reached.contains(&run.from.spot.board))
            .map(|(board, _)| *board)
            .collect();
        if ready.is_empty() {
            break;
        }
        for board in ready {
            if let Some(run) = left.remove(&board) {
                hops.push((board, (!comes_in(run)).then_some(run.from.spot.board), run));
                reached.insert(board);
            }
        }
    }
    hops
}
