//! The circuit of one scheme: what flows where, and what arrives, when a set of drives moves.

use std::collections::{BTreeMap, BTreeSet};

use super::model::{Run, Use, Wiring};
use super::sizing::sold;
use crate::catalogue::{Catalogue, Per};
use crate::id::{BoardId, ControllerId, DriveId, LeverId, SchemeId};
use crate::layout::{AtOnce, Layout, Spot};
use crate::power::conductor::Wire;
use crate::power::feed::{Draws, Feed, Node, Solution};
use crate::quantity::{Current, Length, LineResistance, Power, Resistance, Voltage};
use crate::scheme::{Assignment, Draw, Electrics, Wiring as Way};
use crate::takeoff::Subject;

/// The sorts of runs that carry the current of a scheme's motors.
pub(super) const SORTS: [Per; 3] = [Per::Drive, Per::Board, Per::Controller];

/// One conductor of a trunk's hop, with the board it reaches and the board before; none before where it comes from the origin.
type Hop<'a> = (BoardId, Option<BoardId>, &'a Run);

/// The circuit of one scheme: what flows where when a set of drives moves.
pub(super) struct Circuit<'a> {
    pub(super) layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    pub(super) scheme: SchemeId,
    electrics: Electrics,
    pub(super) draw: Draw,
    way: Way,
    pub(super) runs: Vec<&'a Run>,
    /// One conductor of each hop of the trunk, the board before always first: going out, and coming back.
    hops: BTreeMap<Use, Vec<Hop<'a>>>,
    pub(super) sold: BTreeMap<Per, Vec<Wire>>,
}

/// What a solution says: the lowest voltage and where, the most that flows in each sort, and what each sort loses on the way to the worst.
pub(super) struct Outcome {
    pub(super) worst: Subject,
    pub(super) arrives: Voltage,
    pub(super) carried: BTreeMap<Per, Current>,
    /// The most that flows in a conductor of each use of each subject.
    pub(super) flows: BTreeMap<(Subject, Use), Current>,
    pub(super) lost: BTreeMap<Per, f64>,
}

impl<'a> Circuit<'a> {
    pub(super) fn new(
        layout: &'a Layout,
        catalogue: &'a Catalogue,
        assignment: &'a Assignment,
        wiring: &'a Wiring,
        scheme: SchemeId,
        electrics: Electrics,
    ) -> Self {
        let traits = catalogue.scheme(scheme);
        let carries = |run: &&Run| run.scheme == Some(scheme) && matches!(run.purpose, Use::Drive | Use::Return | Use::Power);
        let sold =
            SORTS.iter().map(|&per| (per, sold(catalogue, Some(scheme), per))).filter(|(_, wires)| !wires.is_empty()).collect();
        let runs: Vec<&Run> = wiring.runs.iter().filter(carries).collect();
        let hops = [Use::Return, Use::Power].map(|purpose| (purpose, hops(&runs, purpose, layout.origin()))).into();
        Self { layout, catalogue, assignment, scheme, electrics, draw: traits.draw, way: traits.wiring, runs, hops, sold }
    }

    /// Whether controllers stand between the feed and the motors.
    pub(super) fn is_local(&self) -> bool {
        matches!(self.way, Way::Local { .. })
    }

    fn is_mine(&self, drive: DriveId) -> bool {
        self.assignment.of(drive).is_some_and(|scheme| self.catalogue.family(scheme) == self.scheme)
    }

    /// The voltage that is fed in: of the charged discharge unit where pulses come from one, else of the supply.
    pub(super) fn fed(&self) -> Voltage {
        if self.electrics.stored { self.electrics.motor_voltage } else { self.electrics.voltage }
    }

    /// The sets of drives that may move together: by lever or by route, and all of them at switch-on where they twitch. A discharge unit
    /// throws one lever after another, whatever the rules say of the rest.
    pub(super) fn cases(&self) -> Vec<Case> {
        let mine = |drive: &DriveId| self.is_mine(*drive);
        let thrown = |levers: &[LeverId]| -> Vec<DriveId> {
            levers.iter().flat_map(|&lever| &self.layout.lever(lever).drives).copied().filter(mine).collect()
        };
        let at_once = if self.electrics.stored { AtOnce::Levers(1) } else { self.layout.rules.at_once.value };
        let cases: Vec<Vec<DriveId>> = match at_once {
            // A lever that is on no route is thrown by itself.
            AtOnce::Routes => {
                let routes = self.layout.routes.iter().map(|route| thrown(&route.levers));
                routes.chain((0..self.layout.levers.len()).map(|lever| thrown(&[LeverId::at(lever)]))).collect()
            }
            AtOnce::Levers(n) if n > 1 => {
                // With several levers at once the worst is not known before it is solved; the farthest from the origin stand for it.
                let mut levers: Vec<_> = (0..self.layout.levers.len()).map(LeverId::at).collect();
                levers.sort_by_key(|&lever| std::cmp::Reverse(self.longest(&thrown(&[lever]))));
                levers.truncate(n as usize);
                vec![thrown(&levers)]
            }
            AtOnce::Levers(_) => (0..self.layout.levers.len()).map(|lever| thrown(&[LeverId::at(lever)])).collect(),
        };
        // Of sets that move as many drives on the same boards, the one with the longest runs is the worst.
        let mut worst: BTreeMap<Vec<BoardId>, (Length, Vec<DriveId>)> = BTreeMap::new();
        for drives in cases.into_iter().filter(|drives| !drives.is_empty()) {
            let mut boards: Vec<BoardId> = drives.iter().map(|&drive| self.board_feeding(drive)).collect();
            boards.sort_unstable();
            let longest = self.longest(&drives);
            if worst.get(&boards).is_none_or(|(length, _)| *length < longest) {
                worst.insert(boards, (longest, drives));
            }
        }
        let mut cases: Vec<Case> = worst.into_values().map(|(_, drives)| Case::Moving(drives)).collect();
        if self.draw.switch_on() > Current::ZERO && !matches!(self.draw, Draw::Pulse { .. }) {
            cases.push(Case::SwitchOn);
        }
        cases
    }

    fn longest(&self, drives: &[DriveId]) -> Length {
        drives.iter().flat_map(|&drive| runs_of(&self.runs, self.fed_by(drive))).map(|run| run.length).max().unwrap_or_default()
    }

    /// The board from which a drive gets its current: that of its controller, which may be the next one, else its own.
    fn board_feeding(&self, drive: DriveId) -> BoardId {
        let controller = self.assignment.controllers.iter().find(|controller| controller.drives.contains(&drive));
        controller.map_or(self.layout.drive(drive).spot.board, |controller| controller.spot.board)
    }

    /// Whose runs bring a drive its current: its own where it is wired direct, else those of the board its controller stands on.
    fn fed_by(&self, drive: DriveId) -> Subject {
        match self.way {
            Way::Local { .. } => Subject::Board(self.board_feeding(drive)),
            Way::Direct { .. } | Way::None => Subject::Drive(drive),
        }
    }

    /// What a drive draws at its motor in a case.
    fn current(&self, drive: DriveId, case: &Case) -> Current {
        match case {
            Case::SwitchOn => self.draw.switch_on().max(self.draw.rest()),
            Case::Moving(moving) if moving.contains(&drive) => self.draw.moving().max(self.draw.rest()),
            Case::Moving(_) => self.draw.rest(),
        }
    }

    fn line(&self, per: Per, level: &BTreeMap<Per, usize>) -> LineResistance {
        let wire = self.sold.get(&per).and_then(|wires| wires.get(level.get(&per).copied().unwrap_or(0)));
        wire.map_or(LineResistance::ZERO, |wire| wire.line)
    }

    /// Builds the network of a case and solves it; `None` where nothing draws.
    pub(super) fn solve(&self, case: &Case, level: &BTreeMap<Per, usize>) -> Option<Outcome> {
        let mut net = Net {
            feed: Feed::new(self.fed()),
            sorts: Vec::new(),
            runs: Vec::new(),
            loads: Vec::new(),
            lines: SORTS.map(|per| (per, self.line(per, level))).into(),
        };
        match self.way {
            Way::Direct { conductors, shared } => self.direct(&mut net, case, conductors.saturating_sub(shared), shared),
            Way::Local { .. } => self.local(&mut net, case),
            Way::None => return None,
        }
        net.outcome()
    }

    /// The trunk of the scheme as a tree of hubs.
    fn trunk(&self, net: &mut Net, purpose: Use, root: Node) -> BTreeMap<BoardId, Node> {
        let mut hubs: BTreeMap<BoardId, Node> = BTreeMap::new();
        for (board, before, run) in self.hops.get(&purpose).into_iter().flatten() {
            let from = before.and_then(|before| hubs.get(&before).copied()).unwrap_or(root);
            let hub = net.wire(Per::Board, from, run);
            hubs.insert(*board, hub);
        }
        hubs.entry(self.layout.origin().board).or_insert(root);
        hubs
    }

    fn direct(&self, net: &mut Net, case: &Case, own: u32, shared: u32) {
        let out = if self.layout.panel.is_none() { self.trunk(net, Use::Power, Feed::OUT) } else { BTreeMap::new() };
        let purpose = if self.layout.panel.is_none() { Use::Power } else { Use::Return };
        let backs =
            if shared > 0 || self.layout.panel.is_none() { self.trunk(net, purpose, Feed::BACK) } else { BTreeMap::new() };
        let rests = self.draw.rest() > Current::ZERO;
        let drawing: Vec<DriveId> = match case {
            Case::Moving(moving) if !rests => moving.clone(),
            _ => self.layout.drive_ids().filter(|&drive| self.is_mine(drive)).collect(),
        };
        let mut levers: BTreeMap<LeverId, [Node; 2]> = BTreeMap::new();
        for drive in drawing {
            let current = self.current(drive, case);
            let runs = runs_of(&self.runs, Subject::Drive(drive));
            let board = self.layout.drive(drive).spot.board;
            let (Some(going), returning) =
                (runs.iter().find(|run| run.purpose == Use::Drive), runs.iter().find(|run| run.purpose == Use::Return))
            else {
                continue;
            };
            let start = out.get(&board).copied().unwrap_or(Feed::OUT);
            let hub = backs.get(&board).copied().unwrap_or(Feed::BACK);
            let lever = self.layout.drive(drive).lever;
            let [plus, minus] = *levers.entry(lever).or_insert_with(|| self.lever(net, lever, [start, hub]));
            let at_motor = net.wire(Per::Drive, plus, going);
            let from_motor = match returning {
                Some(run) => net.wire(Per::Drive, hub, run),
                // Without a shared return a second conductor of its own brings it back.
                None if own > 1 => net.wire(Per::Drive, minus, going),
                None => hub,
            };
            net.load(at_motor, from_motor, Draws::Current(current), Subject::Drive(drive));
        }
    }

    /// The poles at a lever that is fed from the strip of its board, of the drives' own wire; else those that are given.
    fn lever(&self, net: &mut Net, lever: LeverId, poles: [Node; 2]) -> [Node; 2] {
        let mut runs = runs_of(&self.runs, Subject::Lever(lever)).iter().filter(|run| run.purpose == Use::Power);
        poles.map(|pole| runs.next().map_or(pole, |run| net.wire(Per::Drive, pole, run)))
    }

    fn local(&self, net: &mut Net, case: &Case) {
        let out = self.trunk(net, Use::Power, Feed::OUT);
        let back = self.trunk(net, Use::Power, Feed::BACK);
        for (index, controller) in self.assignment.controllers.iter().enumerate().filter(|(_, c)| c.scheme == self.scheme) {
            let id = ControllerId::at(index);
            let board = controller.spot.board;
            let (Some(&hub_out), Some(&hub_back)) = (out.get(&board), back.get(&board)) else { continue };
            let on = runs_of(&self.runs, Subject::Controller(id)).iter().find(|run| run.purpose == Use::Power);
            let (at, from) = match on {
                Some(run) => (net.wire(Per::Controller, hub_out, run), net.wire(Per::Controller, hub_back, run)),
                None => (hub_out, hub_back),
            };
            let motors: Current = controller.drives.iter().map(|&drive| self.current(drive, case)).sum();
            let motors: Power = self.electrics.motor_voltage * motors / self.electrics.efficiency.0;
            let total = motors + self.electrics.voltage * self.electrics.controller;
            net.load(at, from, Draws::Power(total), Subject::Controller(id));
        }
    }
}

/// What gets the lowest voltage of a scheme while some of its drives move and the others rest, with the wires chosen, and that voltage. Of a
/// scheme with controllers it is a controller: its converter keeps the motors' voltage as long as it is fed. `None` where nothing draws.
pub fn lowest(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    wiring: &Wiring,
    scheme: SchemeId,
    moving: &[DriveId],
) -> Option<(Subject, Voltage)> {
    let electrics = catalogue.scheme(scheme).electrics?;
    let circuit = Circuit::new(layout, catalogue, assignment, wiring, scheme, electrics);
    let chosen = wiring.sizings.iter().filter(|sizing| sizing.scheme == Some(scheme));
    let level = chosen.filter_map(|sizing| {
        let wires = circuit.sold.get(&sizing.per)?;
        Some((sizing.per, wires.iter().position(|wire| wire.area == sizing.area)?))
    });
    let outcome = circuit.solve(&Case::Moving(moving.to_vec()), &level.collect())?;
    Some((outcome.worst, outcome.arrives))
}

/// The runs of a subject; runs are sorted by subject.
fn runs_of<'r, 'a>(runs: &'r [&'a Run], subject: Subject) -> &'r [&'a Run] {
    let from = runs.partition_point(|run| run.subject < subject);
    let until = runs.partition_point(|run| run.subject <= subject);
    runs.get(from..until).unwrap_or_default()
}

/// One conductor of each hop of a trunk with the board before it, ordered so that the board before always comes first.
fn hops<'a>(runs: &[&'a Run], purpose: Use, origin: Spot) -> Vec<Hop<'a>> {
    let mut left: BTreeMap<BoardId, &Run> = BTreeMap::new();
    for run in runs.iter().filter(|run| run.purpose == purpose) {
        if let Subject::Board(board) = run.subject {
            left.entry(board).or_insert(run);
        }
    }
    let mut hops = Vec::with_capacity(left.len());
    let mut reached = BTreeSet::new();
    while !left.is_empty() {
        let ready: Vec<BoardId> = left
            .iter()
            .filter(|(_, run)| run.from.spot == origin || reached.contains(&run.from.spot.board))
            .map(|(board, _)| *board)
            .collect();
        if ready.is_empty() {
            break;
        }
        for board in ready {
            if let Some(run) = left.remove(&board) {
                hops.push((board, (run.from.spot != origin).then_some(run.from.spot.board), run));
                reached.insert(board);
            }
        }
    }
    hops
}

/// Who moves.
pub(super) enum Case {
    /// These, the others at rest.
    Moving(Vec<DriveId>),
    /// All twitch together.
    SwitchOn,
}

/// A feed with the sort of each of its conductors and the subject of each of its loads.
struct Net {
    feed: Feed,
    sorts: Vec<(Per, Resistance)>,
    runs: Vec<(Subject, Use)>,
    loads: Vec<Subject>,
    lines: BTreeMap<Per, LineResistance>,
}

impl Net {
    /// A conductor from a node nearer the supply, of the wire of its sort. Out and back are alike: the feed knows which way current flows.
    fn wire(&mut self, per: Per, near: Node, run: &Run) -> Node {
        let resistance = self.lines.get(&per).copied().unwrap_or_default() * run.length;
        self.sorts.push((per, resistance));
        self.runs.push((run.subject, run.purpose));
        self.feed.extend(near, resistance)
    }

    fn load(&mut self, out: Node, back: Node, draws: Draws, subject: Subject) {
        self.feed.load(out, back, draws);
        self.loads.push(subject);
    }

    fn outcome(self) -> Option<Outcome> {
        let &first = self.loads.first()?;
        let mut carried: BTreeMap<Per, Current> = BTreeMap::new();
        let Ok(solution) = self.feed.solve() else {
            // A collapse: nothing arrives; every sort shares the blame, so the thickening goes on with the first that can.
            let lost = self.sorts.iter().map(|&(per, ..)| (per, 1.0)).collect();
            return Some(Outcome { worst: first, arrives: Voltage::ZERO, carried, flows: BTreeMap::new(), lost });
        };
        let mut flows: BTreeMap<(Subject, Use), Current> = BTreeMap::new();
        for (&run, current) in self.runs.iter().zip(&solution.conductors) {
            let most = flows.entry(run).or_default();
            *most = most.max(Current(current.0.abs()));
        }
        for (&(per, _), current) in self.sorts.iter().zip(&solution.conductors) {
            let most = carried.entry(per).or_default();
            *most = most.max(Current(current.0.abs()));
        }
        let (index, arrives) = solution.worst()?;
        let &worst = self.loads.get(index)?;
        Some(Outcome { worst, arrives, carried, flows, lost: self.lost(&solution) })
    }

    /// The power that the conductors of each sort lose: where thickening helps most.
    fn lost(&self, solution: &Solution) -> BTreeMap<Per, f64> {
        let mut lost: BTreeMap<Per, f64> = BTreeMap::new();
        for (&(per, resistance), current) in self.sorts.iter().zip(&solution.conductors) {
            *lost.entry(per).or_default() += current.0 * current.0 * resistance.0;
        }
        lost
    }
}
