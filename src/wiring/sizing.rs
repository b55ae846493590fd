//! Chooses wire: the thinnest sold that keeps drop and current within the rules at the far end, when the most moves that may.

use std::collections::{BTreeMap, BTreeSet};

use super::model::{FarEnd, Run, Sizing, Use, Wiring};
use super::plan::open_families;
use crate::catalogue::{Asked, Attr, Catalogue, Measure, Per, Value};
use crate::id::{BoardId, ControllerId, DriveId, LeverId, SchemeId};
use crate::layout::{AtOnce, Layout, Spot};
use crate::power::conductor::{Allowance, Wire, line_resistance};
use crate::power::feed::{Draws, Feed, Node, Solution};
use crate::quantity::{Area, Current, Length, LineResistance, Power, Resistance, Voltage};
use crate::scheme::{Assignment, Draw, Electrics, Wiring as Way};
use crate::takeoff::Subject;

/// The sorts of runs that carry the current of a scheme's motors.
const SORTS: [Per; 3] = [Per::Drive, Per::Board, Per::Controller];

/// Chooses the wire of every scheme's motor and power runs, and tells what reaches the worst device.
pub(super) fn size(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    wiring: &Wiring,
) -> (Vec<Sizing>, Vec<FarEnd>) {
    let mut sizings = Vec::new();
    let mut far_ends = Vec::new();
    for scheme in open_families(catalogue, assignment) {
        let Some(electrics) = catalogue.scheme(scheme).electrics else { continue };
        let circuit = Circuit::new(layout, catalogue, assignment, wiring, scheme, electrics);
        let (chosen, far_end) = circuit.choose();
        sizings.extend(chosen);
        far_ends.extend(far_end);
    }
    sizings.extend(fixed(catalogue, wiring));
    (sizings, far_ends)
}

/// Sorts of runs for lights and contacts: their currents are small, so the thinnest wire of their rule serves.
fn fixed(catalogue: &Catalogue, wiring: &Wiring) -> Vec<Sizing> {
    let mut carried: BTreeMap<(Option<SchemeId>, Per), Current> = BTreeMap::new();
    for run in &wiring.runs {
        let per = run.subject.per();
        if run.scheme.is_none() || !SORTS.contains(&per) {
            let current = if run.purpose == Use::Proving { catalogue.rates.lamp_current } else { catalogue.rates.light_current };
            carried.insert((run.scheme, per), current);
        }
    }
    let sized = carried.into_iter().filter_map(|((scheme, per), carries)| {
        let sold = sold(catalogue, scheme, per);
        let wire = sold.iter().find(|wire| wire.rating >= carries).or(sold.last())?;
        Some(sizing(scheme, per, *wire, carries))
    });
    sized.collect()
}

fn sizing(scheme: Option<SchemeId>, per: Per, wire: Wire, carries: Current) -> Sizing {
    Sizing { scheme, per, area: wire.area, line: wire.line, rating: wire.rating, carries, bears: wire.rating >= carries }
}

/// The wires that the rule for such runs can get, thinnest first: all of its kind, or the one size it names. A wire that states no
/// resistance has that of its cross-section with the allowance for flexible conductors; one that states no rating bears anything.
fn sold(catalogue: &Catalogue, scheme: Option<SchemeId>, per: Per) -> Vec<Wire> {
    let counts = |written: Option<SchemeId>| match (written, scheme) {
        (None, _) => true,
        (Some(written), Some(scheme)) => catalogue.counts_under(written, scheme),
        (Some(_), None) => false,
    };
    let rule =
        catalogue.rules.iter().find(|rule| rule.per == per && rule.measure == Some(Measure::RunLength) && counts(rule.scheme));
    let Some(rule) = rule else { return Vec::new() };
    let named = rule.asks.iter().find_map(|(attr, asked)| match (attr, asked) {
        (Attr::Area, Asked::Value(Value::Measured(area))) => Some(*area),
        _ => None,
    });
    let mut wires: Vec<Wire> = catalogue
        .parts_of(rule.kind)
        .filter(|(id, part)| part.stock > 0 || catalogue.offers_of(*id).next().is_some())
        .filter_map(|(_, part)| {
            let area = part.measured(Attr::Area).filter(|area| named.is_none_or(|named| *area == named))?;
            let area = Area(area.to_f64());
            let stated = part.measured(Attr::LineResistance).map(|line| LineResistance(line.to_f64()));
            let line = stated.unwrap_or_else(|| line_resistance(area, Allowance::Class5));
            let rating = part.measured(Attr::Current).map_or(Current(f64::INFINITY), |rating| Current(rating.to_f64()));
            Some(Wire { area, line, rating })
        })
        .collect();
    wires.sort_by(|a, b| a.area.0.total_cmp(&b.area.0).then(a.line.0.total_cmp(&b.line.0)));
    wires.dedup_by(|later, earlier| later.area == earlier.area);
    wires
}

/// The circuit of one scheme: what flows where when a set of drives moves.
struct Circuit<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    scheme: SchemeId,
    electrics: Electrics,
    draw: Draw,
    way: Way,
    runs: Vec<&'a Run>,
    /// One conductor of each hop of the trunk, the board before always first: going out, and coming back.
    hops: BTreeMap<Use, Vec<(BoardId, Option<BoardId>, &'a Run)>>,
    sold: BTreeMap<Per, Vec<Wire>>,
}

/// What a solution says: the lowest voltage and where, the most that flows in each sort, and what each sort loses on the way to the worst.
struct Outcome {
    worst: Subject,
    arrives: Voltage,
    carried: BTreeMap<Per, Current>,
    lost: BTreeMap<Per, f64>,
}

impl<'a> Circuit<'a> {
    fn new(
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

    fn is_mine(&self, drive: DriveId) -> bool {
        self.assignment.of(drive).is_some_and(|scheme| self.catalogue.family(scheme) == self.scheme)
    }

    /// The voltage that is fed in: of the charged discharge unit where pulses come from one, else of the supply.
    fn fed(&self) -> Voltage {
        if self.electrics.stored { self.electrics.motor_voltage } else { self.electrics.voltage }
    }

    /// Starts with the thinnest and thickens, one step at a time, the sort that is not rated for its current, else the one that loses most on the
    /// way to the worst device, until all rules hold or nothing thicker is sold.
    fn choose(&self) -> (Vec<Sizing>, Option<FarEnd>) {
        let mut level: BTreeMap<Per, usize> = self.sold.keys().map(|&per| (per, 0)).collect();
        let allowed = self.layout.rules.drop.value;
        let cases = self.cases();
        loop {
            let outcomes: Vec<Outcome> = cases.iter().filter_map(|case| self.solve(case, &level)).collect();
            let Some(worst) = outcomes.iter().min_by(|a, b| a.arrives.0.total_cmp(&b.arrives.0)) else {
                return (self.sizings(&level, &BTreeMap::new()), None);
            };
            let mut carried: BTreeMap<Per, Current> = BTreeMap::new();
            for (&per, &current) in outcomes.iter().flat_map(|outcome| &outcome.carried) {
                let most = carried.entry(per).or_default();
                *most = most.max(current);
            }
            let thicker = |per: &Per| level.get(per).is_some_and(|at| at + 1 < self.sold[per].len());
            let overloaded = carried
                .iter()
                .find(|(per, current)| thicker(per) && self.sold[per][level[per]].rating < **current)
                .map(|(per, _)| *per);
            let far_end = FarEnd { scheme: self.scheme, worst: worst.worst, fed: self.fed(), arrives: worst.arrives, allowed };
            let lossy = worst.lost.iter().filter(|(per, _)| thicker(per)).max_by(|a, b| a.1.total_cmp(b.1)).map(|(per, _)| *per);
            let step = overloaded.or(if far_end.is_within() { None } else { lossy });
            match step.and_then(|per| level.get_mut(&per)) {
                Some(at) => *at += 1,
                None => return (self.sizings(&level, &carried), Some(far_end)),
            }
        }
    }

    fn sizings(&self, level: &BTreeMap<Per, usize>, carried: &BTreeMap<Per, Current>) -> Vec<Sizing> {
        let used = level.iter().filter(|(per, _)| self.runs.iter().any(|run| run.subject.per() == **per));
        used.map(|(&per, &at)| {
            let wire = self.sold[&per][at];
            let carries = carried.get(&per).copied().unwrap_or_default();
            sizing(Some(self.scheme), per, wire, carries)
        })
        .collect()
    }

    /// The sets of drives that may move together: by lever or by route, and all of them at switch-on where they twitch.
    fn cases(&self) -> Vec<Case> {
        let mine = |drive: &DriveId| self.is_mine(*drive);
        let thrown = |levers: &[LeverId]| -> Vec<DriveId> {
            levers.iter().flat_map(|&lever| &self.layout.lever(lever).drives).copied().filter(mine).collect()
        };
        let cases: Vec<Vec<DriveId>> = match self.layout.rules.at_once.value {
            AtOnce::Routes if !self.layout.routes.is_empty() => {
                self.layout.routes.iter().map(|route| thrown(&route.levers)).collect()
            }
            AtOnce::Levers(n) if n > 1 => {
                // With several levers at once the worst is not known before it is solved; the farthest from the origin stand for it.
                let mut levers: Vec<_> = (0..self.layout.levers.len()).map(LeverId::at).collect();
                levers.sort_by_key(|&lever| std::cmp::Reverse(self.longest(&thrown(&[lever]))));
                levers.truncate(n as usize);
                vec![thrown(&levers)]
            }
            _ => (0..self.layout.levers.len()).map(|lever| thrown(&[LeverId::at(lever)])).collect(),
        };
        // Of sets that move as many drives on the same boards, the one with the longest runs is the worst.
        let mut worst: BTreeMap<Vec<BoardId>, (Length, Vec<DriveId>)> = BTreeMap::new();
        for drives in cases.into_iter().filter(|drives| !drives.is_empty()) {
            let mut boards: Vec<BoardId> = drives.iter().map(|&drive| self.layout.device_of(drive).spot.value.board).collect();
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
        drives
            .iter()
            .flat_map(|&drive| runs_of(&self.runs, Subject::Drive(drive)))
            .map(|run| run.length)
            .max()
            .unwrap_or_default()
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
    fn solve(&self, case: &Case, level: &BTreeMap<Per, usize>) -> Option<Outcome> {
        let mut net = Net {
            feed: Feed::new(self.fed()),
            sorts: Vec::new(),
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
        for drive in drawing {
            let current = self.current(drive, case);
            let runs = runs_of(&self.runs, Subject::Drive(drive));
            let board = self.layout.device_of(drive).spot.value.board;
            let (Some(going), returning) =
                (runs.iter().find(|run| run.purpose == Use::Drive), runs.iter().find(|run| run.purpose == Use::Return))
            else {
                continue;
            };
            let start = out.get(&board).copied().unwrap_or(Feed::OUT);
            let at_motor = net.wire(Per::Drive, start, going);
            let hub = backs.get(&board).copied().unwrap_or(Feed::BACK);
            let from_motor = match returning {
                Some(run) => net.wire(Per::Drive, hub, run),
                // Without a shared return a second conductor of its own brings it back.
                None if own > 1 => net.wire(Per::Drive, hub, going),
                None => hub,
            };
            net.load(at_motor, from_motor, Draws::Current(current), Subject::Drive(drive));
        }
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

/// The runs of a subject; runs are sorted by subject.
fn runs_of<'r, 'a>(runs: &'r [&'a Run], subject: Subject) -> &'r [&'a Run] {
    let from = runs.partition_point(|run| run.subject < subject);
    let until = runs.partition_point(|run| run.subject <= subject);
    runs.get(from..until).unwrap_or_default()
}

/// One conductor of each hop of a trunk with the board before it, ordered so that the board before always comes first.
fn hops<'a>(runs: &[&'a Run], purpose: Use, origin: Spot) -> Vec<(BoardId, Option<BoardId>, &'a Run)> {
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
enum Case {
    /// These, the others at rest.
    Moving(Vec<DriveId>),
    /// All twitch together.
    SwitchOn,
}

/// A feed with the sort of each of its conductors and the subject of each of its loads.
struct Net {
    feed: Feed,
    sorts: Vec<(Per, Resistance)>,
    loads: Vec<Subject>,
    lines: BTreeMap<Per, LineResistance>,
}

impl Net {
    /// A conductor from a node nearer the supply, of the wire of its sort. Out and back are alike: the feed knows which way current flows.
    fn wire(&mut self, per: Per, near: Node, run: &Run) -> Node {
        let resistance = self.lines.get(&per).copied().unwrap_or_default() * run.length;
        self.sorts.push((per, resistance));
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
            return Some(Outcome { worst: first, arrives: Voltage::ZERO, carried, lost });
        };
        for (&(per, _), current) in self.sorts.iter().zip(&solution.conductors) {
            let most = carried.entry(per).or_default();
            *most = most.max(Current(current.0.abs()));
        }
        let (index, arrives) = solution.worst()?;
        let &worst = self.loads.get(index)?;
        Some(Outcome { worst, arrives, carried, lost: self.lost(&solution) })
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
