//! Lays the runs that move drives: direct from their levers, or from the panel to controllers and on by leads.

use std::collections::{BTreeMap, BTreeSet};

use super::courses::walk;
use super::ends::{Clamp, End, Port, Source, Stop, Switch, Tag, Tap, Terminal};
use super::levers::{fed, leaves, lever_end};
use super::model::Wiring;
use super::paths::{Path, Paths};
use super::run::{Lead, Run, Section, Use};
use super::trunk::{Trunk, Wanted, trunk};
use crate::catalogue::Catalogue;
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, JointId, LeverId, SchemeId};
use crate::layout::{Layout, Room, Spot, Waveform};
use crate::power::{Demand, feed_of};
use crate::quantity::{Current, Length, Voltage};
use crate::scheme::{Assignment, Draw};
use crate::takeoff::Subject;

pub(super) struct Planner<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) assignment: &'a Assignment,
    pub(super) demands: &'a [Demand],
    pub(super) paths: Paths,
    pub(super) wiring: Wiring,
    /// Which half of each joint is nearer the panel: its first one?
    near: Vec<bool>,
    room: Room,
    strips: BTreeMap<(BoardId, Option<SchemeId>), Spot>,
}

/// The length of a lead that goes such a way, with slack. At each joint it is cut, and wants a tail at both halves.
pub(crate) fn lead_length(layout: &Layout, catalogue: &Catalogue, path: &Path) -> Length {
    let cut = i64::try_from(path.crosses.len()).unwrap_or(i64::MAX);
    (path.length + catalogue.rates.end_tail * cut.saturating_mul(2)).grown(layout.rules.slack.value).ceil_mm()
}

impl<'a> Planner<'a> {
    pub(super) fn new(layout: &'a Layout, catalogue: &'a Catalogue, assignment: &'a Assignment, demands: &'a [Demand]) -> Self {
        let mut paths = Paths::new(layout);
        let mut far = |spot: Spot| paths.between(layout.origin(), spot).map(|path| path.length);
        let near = layout.joints.iter().map(|joint| far(joint.from) <= far(joint.to)).collect();
        let mut room = Room::new(layout, catalogue.rates.clear);
        for controller in &assignment.controllers {
            room.take(controller.spot);
        }
        Self { layout, catalogue, assignment, demands, paths, wiring: Wiring::default(), near, room, strips: BTreeMap::new() }
    }

    pub(super) fn at_motor(&self, drive: DriveId, tag: Tag) -> Terminal {
        Terminal { end: End::Motor(drive, tag), spot: self.layout.drive(drive).spot }
    }

    pub(super) fn at_contact(&self, drive: DriveId, number: u32, tap: Tap) -> Terminal {
        Terminal { end: End::Contact(drive, number, tap), spot: self.layout.drive(drive).spot }
    }

    /// A tag of a lever's switch for a family, or for lights.
    pub(super) fn at_lever(&self, lever: LeverId, family: Option<SchemeId>, switch: Switch) -> Terminal {
        let end = lever_end(self.layout, self.catalogue, self.assignment, (lever, family), switch);
        Terminal { end, spot: self.layout.lever(lever).spot }
    }

    /// The terminal strip of a board for a family of schemes, or for the lights: near `wanted` the first time it is asked for.
    pub(super) fn strip(&mut self, wanted: Spot, serves: Option<SchemeId>) -> Terminal {
        let (layout, room) = (self.layout, &mut self.room);
        let spot = *self.strips.entry((wanted.board, serves)).or_insert_with(|| room.fit(layout, wanted));
        Terminal { end: End::Strip(wanted.board, serves), spot }
    }

    /// The feed from which a family of schemes, or the lights, draw.
    pub(super) fn feed_of(&self, scheme: Option<SchemeId>) -> Option<&'a Demand> {
        feed_of(self.catalogue, self.demands, scheme)
    }

    /// A hub of a family's wires, or of the lights', on the section that feeds its board. Over the wires of a family with stored pulses nothing
    /// runs but what its discharge unit gives.
    pub(super) fn wanted(&self, hub: Terminal, scheme: Option<SchemeId>) -> Wanted {
        let Some(feed) = self.feed_of(scheme).filter(|_| !self.catalogue.is_stored(scheme)) else {
            return Wanted { hub, section: 0 };
        };
        let board = hub.spot.board;
        // The lights of a board stay together, on whatever section they are.
        let lit = self.layout.devices.iter().position(|device| device.lit > 0 && device.spot.value.board == board);
        let section = match lit.filter(|_| scheme.is_none()) {
            Some(index) => feed.section_of(Subject::Signal(DeviceId::at(index))),
            None => feed.section_at(board),
        };
        Wanted { hub, section }
    }

    /// The socket of a section of the feed of a family of schemes, or of the lights, from 0; the first feeds the panel. Nothing where a family
    /// draws from no feed.
    pub(super) fn source_of(&self, scheme: Option<SchemeId>, section: usize) -> Source {
        let (voltage, waveform) = self.catalogue.fed_from(scheme).unwrap_or((Voltage::ZERO, Waveform::Dc));
        let unfed = Source { voltage: voltage.quantity(), waveform, section: 0 };
        self.feed_of(scheme).map_or(unfed, |feed| feed.source(section))
    }

    pub(super) fn socket(&self, scheme: Option<SchemeId>, section: usize) -> Terminal {
        Terminal { end: End::Socket(self.source_of(scheme, section)), spot: self.layout.origin() }
    }

    /// Where conductor `n` of a trunk begins: what goes out at the fuse or the discharge unit, what comes home at the other pole.
    fn pole(&self, source: End, scheme: Option<SchemeId>, purpose: Use, n: u32) -> End {
        let source = match source {
            End::Socket(source) | End::Fuse(source) | End::Branch(source, ..) => source,
            _ => self.source_of(scheme, 0),
        };
        let stored = self.catalogue.is_stored(scheme);
        match (purpose, stored, n) {
            (Use::Link, ..) if self.begins_at_strip(scheme) => End::Strip(self.layout.origin().board, scheme),
            (Use::Link, ..) => End::Encoder(1, Port::Link),
            (Use::Power, true, 0) => End::Store(Clamp::Plus),
            (_, true, _) => End::Store(Clamp::Minus),
            (Use::Power, false, 0) => End::Fuse(source),
            (_, false, _) => End::Socket(source),
        }
    }

    /// Whether the links of a family begin in screws: where there is no encoder at the origin, for want of levers there.
    fn begins_at_strip(&self, scheme: Option<SchemeId>) -> bool {
        let board = self.layout.origin().board;
        scheme.is_some_and(|family| !self.read_at(family).contains_key(&board))
    }

    pub(super) fn family_of(&self, drive: DriveId) -> Option<SchemeId> {
        self.assignment.family_of(self.catalogue, drive)
    }

    pub(super) fn drives_of(&self, family: SchemeId) -> Vec<DriveId> {
        self.layout.drive_ids().filter(|&drive| self.family_of(drive) == Some(family)).collect()
    }

    /// Lays `times` runs of the same course, one conductor each.
    pub(super) fn run(&mut self, subject: Subject, scheme: Option<SchemeId>, purpose: Use, ends: [Terminal; 2], times: u32) {
        for first in 0..times {
            self.lay(subject, scheme, purpose, ends, 1, first);
        }
    }

    /// Lays one run of so many conductors, the first of which is conductor `first` of its use at the subject.
    pub(super) fn lay(
        &mut self,
        subject: Subject,
        scheme: Option<SchemeId>,
        purpose: Use,
        [mut from, to]: [Terminal; 2],
        conductors: u32,
        first: u32,
    ) {
        // The reader refuses boards that cannot be reached, so a way is always found.
        let Some(path) = self.paths.between(from.spot, to.spot) else { return };
        if from.end.is_source() && !matches!(subject, Subject::Layout | Subject::Supply(..)) {
            from.end = self.pole(from.end, scheme, purpose, first);
        }
        let sections = self.sections(from, to, &path.crosses);
        self.wiring.runs.push(Run {
            subject,
            scheme,
            purpose,
            conductors,
            first,
            label: String::new(),
            from,
            to,
            length: sections.iter().map(|section| section.length).sum(),
            sections,
            crosses: path.crosses,
            carries: Current::ZERO,
            pins: 1,
        });
    }

    /// The pieces of a run. Each has a tail at both ends, a drop through the top at a thing, slack, and whole millimetres. The lead of a joint
    /// hangs on the half nearer the panel.
    fn sections(&self, from: Terminal, to: Terminal, crosses: &[JointId]) -> Vec<Section> {
        let mut sections = Vec::with_capacity(crosses.len() + 1);
        walk(self.layout, from.spot, to.spot, crosses, |board, [start, until], joints| {
            let stop = |joint: Option<JointId>, terminal: Terminal| joint.map_or(Stop::At(terminal.end), Stop::Plug);
            let stops = [stop(joints[0], from), stop(joints[1], to)];
            let added: Length = stops.iter().map(|stop| self.added(board, *stop)).sum();
            let way = start.x.abs_diff(until.x) + start.y.abs_diff(until.y);
            let length = (way + added).grown(self.layout.rules.slack.value).ceil_mm();
            sections.push(Section { board, from: stops[0], to: stops[1], length });
        });
        sections
    }

    /// What an end of a piece adds to its way.
    fn added(&self, board: BoardId, stop: Stop) -> Length {
        let more = match stop {
            Stop::At(_) => self.layout.board(board).top.value,
            Stop::Plug(joint) => {
                let nearer = self.near.get(joint.index()).copied().unwrap_or(true);
                let joint = self.layout.joint(joint);
                let holds = if nearer { joint.from.board } else { joint.to.board };
                if holds == board { joint.lead } else { Length::ZERO }
            }
        };
        self.catalogue.rates.end_tail + more
    }

    /// Direct: conductors from lever to motor; the shared return, or without a panel the power of the levers, from board to board.
    pub(super) fn direct(&mut self, scheme: SchemeId, conductors: u32, shared: u32) {
        let drives = self.drives_of(scheme);
        let shared = shared.min(conductors);
        let action = self.catalogue.scheme(scheme).action;
        let pulses = matches!(self.catalogue.scheme(scheme).draw, Draw::Pulse { .. });
        let trunk = self.trunk_to(&drives, scheme);
        for &drive in &drives {
            for n in 0..conductors - shared {
                let lever = self.at_lever(self.layout.drive(drive).lever, Some(scheme), leaves(action, shared > 0, n));
                let motor = self.at_motor(drive, if pulses { Tag::Coil(n) } else { Tag::End(n) });
                self.lay(Subject::Drive(drive), Some(scheme), Use::Drive, [lever, motor], 1, n);
            }
            let motor = self.at_motor(drive, Tag::Return);
            if shared > 0
                && let Some(&hub) = trunk.hubs.get(&motor.spot.board)
            {
                self.run(Subject::Drive(drive), Some(scheme), Use::Return, [hub, motor], shared);
            }
        }
        let (purpose, along) = if self.layout.panel.is_none() { (Use::Power, 2) } else { (Use::Return, shared) };
        self.lay_trunk(&trunk, Some(scheme), purpose, along);
        if self.layout.panel.is_none() {
            let levers: BTreeSet<LeverId> = drives.iter().map(|&drive| self.layout.drive(drive).lever).collect();
            for lever in levers {
                // With a shared return a lever needs one pole only.
                self.feed_lever(lever, Some(scheme), &trunk, if shared > 0 { 1 } else { 2 });
            }
        }
    }

    /// Brings power to a lever beside the drives, from the strip of its board.
    pub(super) fn feed_lever(&mut self, lever: LeverId, scheme: Option<SchemeId>, trunk: &Trunk, poles: u32) {
        let Some(&hub) = trunk.hubs.get(&self.layout.lever(lever).spot.board) else { return };
        for pole in 0..poles {
            let at = self.at_lever(lever, scheme, fed(self.catalogue, scheme, pole));
            self.lay(Subject::Lever(lever), scheme, Use::Power, [hub, at], 1, pole);
        }
    }

    /// A trunk whose hub on each board is the scheme's strip, beside the first of these drives there.
    pub(super) fn trunk_to(&mut self, drives: &[DriveId], scheme: SchemeId) -> Trunk {
        let mut hubs = BTreeMap::new();
        for &drive in drives {
            let spot = self.layout.drive(drive).spot;
            hubs.entry(spot.board).or_insert_with(|| {
                let strip = self.strip(spot, Some(scheme));
                self.wanted(strip, Some(scheme))
            });
        }
        self.trunk(&hubs, Some(scheme))
    }

    /// A trunk to these hubs, with a strip on every board that it only passes.
    pub(super) fn trunk(&mut self, hubs: &BTreeMap<BoardId, Wanted>, serves: Option<SchemeId>) -> Trunk {
        let sockets: Vec<Terminal> = (0..=hubs.values().map(|wanted| wanted.section).max().unwrap_or(0))
            .map(|section| self.socket(serves, section))
            .collect();
        let mut trunk = trunk(self.layout, &mut self.paths, &sockets, hubs);
        let entries: Vec<(BoardId, Spot)> = trunk.passed.iter().map(|(&board, &spot)| (board, spot)).collect();
        for (board, entry) in entries {
            let strip = self.strip(entry, serves);
            trunk.set_hub(board, strip);
        }
        trunk
    }

    pub(super) fn lay_trunk(&mut self, trunk: &Trunk, scheme: Option<SchemeId>, purpose: Use, conductors: u32) {
        for hop in &trunk.hops {
            self.run(Subject::Board(hop.board), scheme, purpose, [hop.from, hop.to], conductors);
        }
    }

    /// Leads from each controller to its motors.
    pub(super) fn leads(&mut self, scheme: SchemeId, tail: Length, longest: Length, conductors: u32) {
        for (index, controller) in self.assignment.controllers.iter().enumerate().filter(|(_, c)| c.scheme == scheme) {
            for (channel, &drive) in (1..).zip(&controller.drives) {
                let Some(path) = self.paths.between(controller.spot, self.layout.drive(drive).spot) else { continue };
                let length = lead_length(self.layout, self.catalogue, &path);
                let lead = Lead {
                    drive,
                    controller: ControllerId::at(index),
                    channel,
                    conductors,
                    length,
                    extension: (length > tail).then(|| length - tail),
                    crosses: path.crosses,
                    too_long: length > longest,
                };
                self.wiring.leads.insert(drive, lead);
            }
        }
    }

    /// Link and power from the panel to the first controller of each board, and on to the others of the board. The link passes all of them;
    /// power comes from the supply of each one's section.
    pub(super) fn links(&mut self, scheme: SchemeId, link: u32, feed: u32) {
        let demand = self.feed_of(Some(scheme));
        let section = |id: ControllerId| demand.map_or(0, |demand| demand.section_of(Subject::Controller(id)));
        let mut hubs: BTreeMap<BoardId, Wanted> = BTreeMap::new();
        let mut last: BTreeMap<(BoardId, usize), Terminal> = BTreeMap::new();
        let mut links = Vec::new();
        let mut feeds = Vec::new();
        for (index, controller) in self.assignment.controllers.iter().enumerate().filter(|(_, c)| c.scheme == scheme) {
            let id = ControllerId::at(index);
            let here = Terminal { end: End::Controller(id), spot: controller.spot };
            let (board, section) = (controller.spot.board, section(id));
            match hubs.get(&board) {
                Some(first) => {
                    links.push((Subject::Controller(id), [first.hub, here]));
                    let from = last.get(&(board, section)).copied().unwrap_or_else(|| self.socket(Some(scheme), section));
                    feeds.push((Subject::Controller(id), [from, here]));
                }
                None => {
                    hubs.insert(board, Wanted { hub: here, section });
                }
            }
            last.entry((board, section)).or_insert(here);
        }
        let read: Vec<(BoardId, LeverId)> =
            self.read_at(scheme).into_iter().filter_map(|(board, levers)| Some((board, *levers.first()?))).collect();
        let origin = self.layout.origin().board;
        for (board, lever) in read.into_iter().filter(|(board, _)| *board != origin) {
            hubs.entry(board).or_insert_with(|| {
                let strip = self.strip(self.layout.lever(lever).spot, Some(scheme));
                self.wanted(strip, Some(scheme))
            });
        }
        let power = self.trunk(&hubs, Some(scheme));
        hubs.values_mut().for_each(|wanted| wanted.section = 0);
        let commands = self.trunk(&hubs, Some(scheme));
        let hops =
            |trunk: &Trunk| trunk.hops.iter().map(|hop| (Subject::Board(hop.board), [hop.from, hop.to])).collect::<Vec<_>>();
        if link > 0 {
            let begun = commands.hops.iter().filter(|hop| hop.from.end.is_source()).count();
            // A single link that would begin in screws at the origin brings nothing from there.
            let is_idle = begun == 1 && self.begins_at_strip(Some(scheme));
            let commands = hops(&commands).into_iter().filter(|(_, [from, _])| !(is_idle && from.end.is_source()));
            for (subject, ends) in commands.chain(links) {
                self.lay(subject, Some(scheme), Use::Link, ends, link, 0);
            }
        }
        for (subject, ends) in hops(&power).into_iter().chain(feeds) {
            self.run(subject, Some(scheme), Use::Power, ends, feed);
        }
        let hubs = hubs.into_iter().map(|(board, wanted)| (board, wanted.hub)).collect();
        self.encoders_on_boards(scheme, &hubs, link);
    }
}
