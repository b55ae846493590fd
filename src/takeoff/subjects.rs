//! Lists every subject of a plan with its facts.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::RoundingStrategy;

use super::facts::{Course, Facts, Subject, Subjects, Under};
use super::model::{Guard, Site};
use crate::catalogue::{Asked, Attr, Catalogue, Condition, Measure, Part, Per};
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FrogId, JointId, KindId, LeverId, RouteId, SchemeId};
use crate::layout::{BoardRole, Device, FrogKind, Lamps, Layout, Lever, Purpose, SwitchOn, Waveform};
use crate::power::{Before, Branch, Demand, pulse_stores};
use crate::quantity::{Current, Dimension, Length, Quantity};
use crate::scheme::{Action, Assignment, Connection};
use crate::wiring::{
    End, Run, Shown, Stop, Strip, Use, Wiring, built_in_contacts, lamps_of, open_schemes, panel_wires, proving_contacts, shown,
};

/// All subjects of a plan. Of a device that is owned, drive and lights are there already, and its wires and its lever are not.
pub fn subjects(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    wiring: &Wiring,
    demands: &[Demand],
    branches: &[Branch],
) -> Subjects {
    let mut runs: BTreeMap<Subject, Vec<(usize, &Run)>> = BTreeMap::new();
    for (at, run) in wiring.runs.iter().enumerate() {
        runs.entry(run.subject).or_default().push((at, run));
    }
    let panel_wires = panel_wires(layout, catalogue, assignment, demands);
    let (strips, tailed) = (wiring.strips(&catalogue.rates), wiring.tailed());
    let subjects = Subjects::default();
    let mut pieces = BTreeMap::new();
    for (_, section) in wiring.sections() {
        *pieces.entry(section.board).or_default() += 1;
    }
    let mut lister = Lister {
        layout,
        catalogue,
        assignment,
        wiring,
        demands,
        before: Before { catalogue, demands, branches },
        strip_ratings: ratings_asked(catalogue, Measure::StripCurrent, None),
        runs,
        strips,
        tailed,
        pieces,
        panel_wires,
        subjects,
    };
    lister.drives();
    lister.frogs();
    lister.levers();
    lister.lights();
    lister.controllers();
    lister.encoders();
    lister.supplies();
    lister.branches(branches);
    lister.boards();
    lister.joints();
    lister.whole();
    lister.subjects
}

/// What the parts to be had are rated for, from the weakest, of which rows ask such a current; of one waveform alone where it is given and they say theirs.
pub(super) fn ratings_asked(catalogue: &Catalogue, measure: Measure, waveform: Option<Waveform>) -> Vec<Current> {
    let asked = (Attr::Current, Asked::Measure(measure));
    let rules = catalogue.rules.iter().filter(|rule| rule.asks.contains(&asked));
    // Where the row asks a waveform, a part that says none does not serve.
    let kinds: BTreeSet<(KindId, bool)> =
        rules.map(|rule| (rule.kind, rule.asks.iter().any(|(attr, _)| *attr == Attr::Waveform))).collect();
    let had = kinds.into_iter().flat_map(|(kind, is_asked)| {
        let suits = move |part: &Part| {
            let says = part.attributes.contains_key(&Attr::Waveform) || !is_asked;
            waveform.is_none_or(|waveform| says && part.suits(waveform))
        };
        catalogue.to_be_had(kind).filter(move |(_, part)| suits(part))
    });
    let mut ratings: Vec<Current> = had.filter_map(|(_, part)| Current::try_from(part.measured(Attr::Current)?).ok()).collect();
    ratings.sort_by(|a, b| a.0.total_cmp(&b.0));
    ratings
}

/// Of ratings from the weakest, the least that bears a current; `None` where none does.
pub(super) fn least_bearing(ratings: &[Current], borne: Current) -> Option<Current> {
    ratings.iter().copied().find(|rating| rating.0 >= borne.0 * (1.0 - 1e-9))
}

pub(super) struct Lister<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) assignment: &'a Assignment,
    pub(super) wiring: &'a Wiring,
    pub(super) demands: &'a [Demand],
    pub(super) before: Before<'a>,
    /// What strips to be had are rated for, from the weakest.
    pub(super) strip_ratings: Vec<Current>,
    /// With their places in the wiring.
    pub(super) runs: BTreeMap<Subject, Vec<(usize, &'a Run)>>,
    pub(super) strips: Vec<Strip>,
    /// The runs that end in a strip beside the plug, joint by joint.
    tailed: BTreeSet<(JointId, usize)>,
    /// By board, how many pieces of runs lie there.
    pub(super) pieces: BTreeMap<BoardId, usize>,
    /// By lever, its wires out of sets, and their ends under screws.
    panel_wires: BTreeMap<LeverId, (u32, u32)>,
    subjects: Subjects,
}

impl Lister<'_> {
    /// Adds the runs of the subject and the conditions that hold for the whole layout, then lists it.
    pub(super) fn list(&mut self, per: Per, facts: Facts) {
        self.list_with(per, facts, |_| true);
    }

    /// The same with such of its runs alone.
    fn list_with(&mut self, per: Per, mut facts: Facts, is_mine: impl Fn(&Run) -> bool) {
        let runs = self.runs.get(&facts.subject).into_iter().flatten().filter(|(_, run)| is_mine(run));
        facts.courses = runs
            .flat_map(|(at, run)| run.sections.iter().map(move |section| (*at, *run, section)))
            .map(|(at, run, section)| Course {
                measure: if run.purpose == Use::Link { Measure::LinkLength } else { Measure::RunLength },
                family: run.scheme,
                length: section.length,
                area: self.wiring.area_of(run),
                screwed: [section.from, section.to]
                    .into_iter()
                    .filter(|stop| self.is_screwed(at, *stop))
                    .map(|_| run.conductors)
                    .sum(),
            })
            .collect();
        if self.layout.is_portable() {
            facts.holds.push(Condition::Portable);
        }
        facts.holds.push(match &self.layout.panel {
            None => Condition::NoPanel,
            Some(panel) if panel.flying.is_some() => Condition::FlyingPanel,
            Some(_) => Condition::FixedPanel,
        });
        self.subjects.push(per, facts);
    }

    /// Whether an end of a piece of a run stands under a screw: at such a thing, or in a strip beside a plug.
    fn is_screwed(&self, run: usize, stop: Stop) -> bool {
        match stop {
            Stop::At(end) => end.is_screwed(),
            Stop::Plug(joint) => self.tailed.contains(&(joint, run)),
        }
    }

    fn drives(&mut self) {
        for id in self.layout.drive_ids() {
            let device = self.layout.device_of(id);
            let Some(scheme) = self.assignment.of(id) else { continue };
            let traits = self.catalogue.scheme(scheme);
            let purpose = self.layout.drive(id).purpose;
            let mut facts = Facts::new(Subject::Drive(id), Under::One(Some(scheme)), Site::Board(device.spot.value.board));
            facts.owned = device.owned;
            facts.scheme_guard = Guard::Chosen(id, scheme);
            facts.holds.push(match purpose {
                Purpose::TieBar => Condition::TieBar,
                Purpose::Arm => Condition::Arm,
                Purpose::Gate => Condition::Gate,
                Purpose::Uncoupler => Condition::Uncoupler,
            });
            facts.holds.extend(device_conditions(device));
            let top = self.layout.board(device.spot.value.board).top.value;
            let rates = &self.catalogue.rates;
            let rod = rates.rod_above + top + traits.mechanics.arm + rates.rod_bends;
            facts.measures.insert(Measure::RodLength, rod.ceil_mm().quantity());
            if traits.mechanics.bracket > Length::ZERO {
                facts.measures.insert(Measure::BracketLength, traits.mechanics.bracket.quantity());
            }
            if let Some(extension) = self.wiring.leads.get(&id).and_then(|lead| lead.extension) {
                facts.holds.push(Condition::TailShort);
                facts.measures.insert(Measure::LeadLength, extension.quantity());
            }
            if let Connection::Direct { conductors, .. } | Connection::Local { conductors, .. } = traits.connection {
                facts.measures.insert(Measure::Conductors, Quantity::count(conductors));
            }
            let mine = self.runs.get(&facts.subject).into_iter().flatten();
            let borne = mine.filter_map(|(_, run)| self.before.run(run)).reduce(Current::max);
            facts.measures.insert(Measure::StripCurrent, self.strip_rating(borne));
            facts.waveform = traits.electrics.map(|electrics| electrics.waveform);
            let lever = self.layout.lever(self.layout.drive(id).lever);
            if lamps_of(self.layout, self.catalogue, self.assignment, lever) == Lamps::Commanded {
                facts.holds.push(Condition::LampsCommanded);
            }
            if let Some(proving) = proving_contacts(self.layout, self.catalogue, self.assignment, id) {
                facts.holds.push(Condition::LampsProved);
                let to_fit = proving.count.saturating_sub(traits.contacts.saturating_sub(proving.first));
                if to_fit > 0 {
                    facts.holds.push(Condition::ContactToFit);
                    facts.measures.insert(Measure::ContactsToFit, Quantity::count(to_fit));
                }
            }
            if self.layout.rules.switch_on.value == SwitchOn::Held {
                facts.holds.push(Condition::HeldAtSwitchOn);
            }
            if purpose == Purpose::Arm {
                self.list(Per::Arm, facts.clone());
            }
            self.list(Per::Drive, facts);
        }
    }

    fn frogs(&mut self) {
        let built_in = built_in_contacts(self.layout, self.catalogue, self.assignment);
        for (index, (frog, built_in)) in self.layout.frogs.iter().zip(built_in).enumerate() {
            let device = self.layout.device(frog.device);
            let Some(scheme) = self.assignment.of(frog.drive).filter(|_| !device.owned) else { continue };
            let mut facts =
                Facts::new(Subject::Frog(FrogId::at(index)), Under::One(Some(scheme)), Site::Board(device.spot.value.board));
            facts.scheme_guard = Guard::Chosen(frog.drive, scheme);
            facts.holds.extend(device_conditions(device));
            if !built_in {
                // Another scheme may bring the contact with it, so even a row for all schemes counts it under this choice alone.
                self.list(Per::FrogToContact, Facts { guard: facts.scheme_guard, ..facts.clone() });
            }
            self.list(Per::Frog, facts);
        }
    }

    fn levers(&mut self) {
        for (index, lever) in self.layout.levers.iter().enumerate() {
            let id = LeverId::at(index);
            let site = self.lever_site(lever.spot.board);
            // Drives of several schemes on one lever want the parts of each: a switch of each action, an input at the encoder.
            let mut moved: Vec<(DriveId, SchemeId)> = Vec::new();
            for (drive, scheme) in lever.drives.iter().filter_map(|&drive| Some((drive, self.assignment.of(drive)?))) {
                if !moved.iter().any(|(_, other)| self.catalogue.family(*other) == self.catalogue.family(scheme)) {
                    moved.push((drive, scheme));
                }
            }
            for &(drive, scheme) in moved.iter().skip(1) {
                let mut facts = Facts::new(Subject::Lever(id), Under::One(Some(scheme)), site);
                facts.scheme_guard = Guard::Chosen(drive, scheme);
                // The wires are those of any lever, in the size of that family.
                let wires = Facts { guard: facts.scheme_guard, owned: true, under: Under::One(None), ..facts.clone() };
                let family = self.catalogue.family(scheme);
                self.list_with(Per::Lever, wires, |run| run.scheme == Some(family));
                facts.blank_counts = false;
                self.switched(lever, scheme, &mut facts);
                self.list_with(Per::Lever, facts, |_| false);
            }
            let first = moved.first().copied();
            if first.is_none() && !lever.drives.is_empty() {
                continue;
            }
            let mut facts = Facts::new(Subject::Lever(id), Under::One(first.map(|(_, scheme)| scheme)), site);
            if let Some((drive, scheme)) = first {
                facts.scheme_guard = Guard::Chosen(drive, scheme);
                // A drive worked by hand has no switch; only rows of its own scheme know what it has instead.
                facts.blank_counts = self.catalogue.scheme(scheme).action != Action::ByHand;
                // Whether a blank row counts, and which lamps there are, hangs on the scheme all the same.
                facts.guard = facts.scheme_guard;
                self.switched(lever, scheme, &mut facts);
            } else {
                facts.holds.push(Condition::LightsOnly);
                let lights = lever.lights.iter().map(|&device| self.layout.device(device).lights).max().unwrap_or(0);
                facts.measures.insert(Measure::Ways, Quantity::count(lights + 1));
            }
            let lamps = lamps_of(self.layout, self.catalogue, self.assignment, lever);
            match lamps {
                Lamps::None => {}
                Lamps::Commanded => facts.holds.push(Condition::LampsCommanded),
                Lamps::Proved => facts.holds.push(Condition::LampsProved),
            }
            if let Some(&(wires, screwed)) = self.panel_wires.get(&id) {
                facts.measures.insert(Measure::PanelWires, Quantity::count(wires));
                facts.measures.extend((screwed > 0).then(|| (Measure::PanelEnds, Quantity::count(screwed))));
            }
            if lamps != Lamps::None {
                let shown = shown(self.layout, self.catalogue, self.assignment, id);
                let share = matches!(shown, Some((_, Shown::Reversed)));
                for lamp in 0..self.catalogue.rates.lamps_per_lever {
                    let mut facts = Facts { subject: Subject::Lamp(id, lamp), ..facts.clone() };
                    facts.holds.extend((!share || lamp % 2 == 0).then_some(Condition::OwnResistor));
                    self.list(Per::Lamp, facts);
                }
            }
            let others: Vec<SchemeId> = moved.iter().skip(1).map(|(_, scheme)| self.catalogue.family(*scheme)).collect();
            self.list_with(Per::Lever, facts, |run| run.scheme.is_none_or(|family| !others.contains(&family)));
        }
    }

    /// What the switch of a lever carries at most: all its drives of a family together, where their own current runs through it; of coils that are
    /// fed from a discharge unit, their pulse.
    fn switched(&self, lever: &Lever, scheme: SchemeId, facts: &mut Facts) {
        if !matches!(self.catalogue.scheme(scheme).connection, Connection::Direct { .. }) {
            return;
        }
        let mine = lever.drives.iter().filter_map(|&drive| self.assignment.of(drive));
        let mine = mine.filter(|&other| self.catalogue.family(other) == self.catalogue.family(scheme));
        let family = self.catalogue.family(scheme);
        let current = if self.catalogue.is_stored(Some(family)) {
            let coils = mine.map(|_| 1).sum::<u32>();
            let pulse = self.wiring.thrown.get(&(family, coils)).copied();
            pulse.unwrap_or_else(|| self.catalogue.scheme(scheme).draw.moving() * f64::from(coils))
        } else {
            mine.map(|scheme| self.catalogue.scheme(scheme).draw).map(|draw| draw.moving().max(draw.rest())).sum()
        };
        facts.measures.insert(Measure::Current, whole_milliamperes(current));
    }

    fn lever_site(&self, board: BoardId) -> Site {
        if self.layout.panel.is_some() { Site::Panel } else { Site::Board(board) }
    }

    fn lights(&mut self) {
        for (index, device) in self.layout.devices.iter().enumerate() {
            let id = DeviceId::at(index);
            let mut facts = Facts::new(Subject::Signal(id), Under::One(None), Site::Board(device.spot.value.board));
            facts.owned = device.owned;
            facts.holds.extend(device_conditions(device));
            if device.drives.is_empty() && device.lights > 0 {
                facts.holds.push(Condition::LightsOnly);
            }
            for light in 0..device.lights {
                self.list(Per::Aspect, Facts { subject: Subject::Aspect(id, light), ..facts.clone() });
            }
            if device.kind.is_signal() || device.lights > 0 {
                self.list(Per::Signal, facts);
            }
        }
    }

    fn controllers(&mut self) {
        for (index, controller) in self.assignment.controllers.iter().enumerate() {
            let site = Site::Board(controller.spot.board);
            let mut facts = Facts::new(Subject::Controller(ControllerId::at(index)), Under::One(Some(controller.scheme)), site);
            facts.guard = Guard::Open(site, controller.scheme);
            facts.scheme_guard = facts.guard;
            facts.measures.insert(Measure::Channels, Quantity::count(controller.channels));
            self.list(Per::Controller, facts);
        }
    }

    /// The panel, the routes and the layout as a whole.
    fn whole(&mut self) {
        let schemes = open_schemes(self.assignment);
        if self.layout.panel.is_some() {
            let mut facts = Facts::new(Subject::Panel, Under::Several(schemes.clone()), Site::Panel);
            let case = (0..).zip(&self.layout.boards).find(|(_, board)| board.role == BoardRole::FlyingPanel);
            if let Some((index, _)) = case {
                self.wire_ends(BoardId(index), &mut facts);
            }
            self.list(Per::Panel, facts);
        }
        for (index, route) in self.layout.routes.iter().enumerate() {
            let drives = route.levers.iter().flat_map(|&lever| &self.layout.lever(lever).drives);
            let thrown: BTreeSet<SchemeId> = drives.filter_map(|&drive| self.assignment.of(drive)).collect();
            let under = Under::Several(thrown.into_iter().collect());
            self.list(Per::Route, Facts::new(Subject::Route(RouteId::at(index)), under, Site::Layout));
        }
        let mut facts = Facts::new(Subject::Layout, Under::Several(schemes), Site::Layout);
        facts.strips = self.strips(|end| matches!(end, End::Store(_) | End::Encoder(..)));
        facts.pulses = pulse_stores(self.layout, self.catalogue, self.assignment, self.wiring);
        self.list(Per::Layout, facts);
    }
}

/// A current rounded up to whole milliamperes: nobody sells finer.
pub(super) fn whole_milliamperes(current: Current) -> Quantity {
    let amperes = current.quantity().value().round_dp_with_strategy(3, RoundingStrategy::ToPositiveInfinity);
    Quantity::new(Dimension::Current, amperes)
}

fn device_conditions(device: &Device) -> impl Iterator<Item = Condition> + use<> {
    let frog = device.kind.is_turnout().then_some(match device.frog {
        FrogKind::Insulated => Condition::InsulatedFrog,
        FrogKind::Live => Condition::LiveFrog,
        FrogKind::BladeFed => Condition::BladeFedFrog,
    });
    let sight = if device.hidden { Condition::Hidden } else { Condition::Scenic };
    [Some(sight), frog].into_iter().flatten()
}
