//! A subject and what is known of it: the scheme it is under, the conditions that hold, and what can be measured.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::prelude::ToPrimitive;

use super::model::{Guard, Site};
use crate::catalogue::{Catalogue, Condition, Measure, Per, Role, Stage};
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FeedId, FrogId, JointId, LeverId, RouteId, SchemeId};
use crate::layout::{Layout, Waveform};
use crate::power::PulseStore;
use crate::quantity::{Area, Length, Quantity};

/// A thing that is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A drive.
    Drive(DriveId),
    /// A lever.
    Lever(LeverId),
    /// A frog that changes over.
    Frog(FrogId),
    /// A panel lamp of a lever, from 0.
    Lamp(LeverId, u32),
    /// A light of a device, from 0.
    Aspect(DeviceId, u32),
    /// A signal, or another device that lights.
    Signal(DeviceId),
    /// A controller.
    Controller(ControllerId),
    /// The panel.
    Panel,
    /// An encoder, from 0 where it is: on a board, else at the panel.
    Encoder(Option<BoardId>, u32),
    /// A supply of a feed, from 0: one carries it all, or each a section.
    Supply(FeedId, u32),
    /// A branch of a feed with a fuse of its own, from 0.
    Branch(FeedId, u32),
    /// A board.
    Board(BoardId),
    /// A joint.
    Joint(JointId),
    /// Pins at a joint that are in use by one choice, group by group, from 0.
    Pins(JointId, u32),
    /// A route.
    Route(RouteId),
    /// The layout.
    Layout,
}

impl Subject {
    /// What rules count it by.
    pub fn per(self) -> Per {
        match self {
            Self::Drive(_) => Per::Drive,
            Self::Lever(_) => Per::Lever,
            Self::Frog(_) => Per::Frog,
            Self::Lamp(..) => Per::Lamp,
            Self::Aspect(..) => Per::Aspect,
            Self::Signal(_) => Per::Signal,
            Self::Controller(_) => Per::Controller,
            Self::Panel => Per::Panel,
            Self::Encoder(..) => Per::Encoder,
            Self::Supply(..) => Per::Supply,
            Self::Branch(..) => Per::Branch,
            Self::Board(_) => Per::Board,
            Self::Joint(_) => Per::Joint,
            Self::Pins(..) => Per::JointPin,
            Self::Route(_) => Per::Route,
            Self::Layout => Per::Layout,
        }
    }

    /// Its name in print.
    pub fn name(self, layout: &Layout) -> String {
        match self {
            Self::Drive(id) => layout.drive(id).name.to_string(),
            Self::Lever(id) => format!("lever {}", layout.lever(id).name),
            Self::Frog(id) => format!("frog {}", layout.frog(id).name),
            Self::Lamp(id, n) => format!("lamp {} of lever {}", n + 1, layout.lever(id).name),
            Self::Aspect(id, n) => format!("light {} of {}", n + 1, layout.device(id).name),
            Self::Signal(id) => layout.device(id).name.to_string(),
            Self::Controller(id) => format!("controller {}", id.0 + 1),
            Self::Panel => "panel".to_owned(),
            Self::Encoder(None, n) => format!("encoder {} at the panel", n + 1),
            Self::Encoder(Some(board), n) => format!("encoder {} on board {}", n + 1, layout.board(board).name),
            Self::Supply(id, section) => format!("supply {} of feed {}", section + 1, id.0 + 1),
            Self::Branch(id, branch) => format!("branch {} of feed {}", branch + 1, id.0 + 1),
            Self::Board(id) => format!("board {}", layout.board(id).name),
            Self::Joint(id) => format!("joint {}", layout.joint(id).name),
            Self::Pins(id, _) => format!("pins at joint {}", layout.joint(id).name),
            Self::Route(id) => format!("route {}", layout.route(id).name),
            Self::Layout => "layout".to_owned(),
        }
    }
}

/// The schemes a subject is under.
#[derive(Debug, Clone)]
pub enum Under {
    /// One scheme, or none: a drive, a lever.
    One(Option<SchemeId>),
    /// All that are present at a place which several share: a board, a joint, the layout. A row counts it once if any of them counts.
    Several(Vec<SchemeId>),
}

/// A piece of wire or cable of a subject.
#[derive(Debug, Clone, Copy)]
pub struct Course {
    /// [`Measure::RunLength`] or [`Measure::LinkLength`].
    pub measure: Measure,
    /// The family of schemes it serves; `None` for lights.
    pub family: Option<SchemeId>,
    /// Its length.
    pub length: Length,
    /// The cross-section chosen for it.
    pub area: Option<Area>,
    /// Ends of its conductors that stand under a screw.
    pub screwed: u32,
}

/// The screws of strips.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Screws {
    /// Ways.
    pub ways: u32,
    /// Bridges between them.
    pub bridges: u32,
    /// What each way must be rated for; `None` where there is none.
    pub current: Option<Quantity>,
}

/// What is known of a subject.
#[derive(Debug, Clone)]
pub struct Facts {
    /// The subject.
    pub subject: Subject,
    /// How many like it this entry stands for: 1, save for the pins at a joint.
    pub times: u32,
    /// Whether it belongs to a device that is owned: its drive and lights are there, and its wires are not.
    pub owned: bool,
    /// The schemes it is under.
    pub under: Under,
    /// Whether rows with a blank scheme count it.
    pub blank_counts: bool,
    /// Under which choice rows with a blank scheme count it.
    pub guard: Guard,
    /// Under which choice rows of its scheme count it, for a subject under one.
    pub scheme_guard: Guard,
    /// Where a capacity for it is needed, and where a scheme is open that it is counted under.
    pub site: Site,
    /// Conditions that hold.
    pub holds: Vec<Condition>,
    /// Its wires and cables.
    pub courses: Vec<Course>,
    /// By family of schemes, and for the lights or a supply, the strips that it has.
    pub strips: BTreeMap<Option<SchemeId>, Screws>,
    /// By family of schemes with stored pulses, what its discharge unit must store.
    pub pulses: BTreeMap<SchemeId, PulseStore>,
    /// What else can be measured.
    pub measures: BTreeMap<Measure, Quantity>,
    /// The waveform of its feed.
    pub waveform: Option<Waveform>,
}

impl Facts {
    pub(super) fn new(subject: Subject, under: Under, site: Site) -> Self {
        Self {
            subject,
            times: 1,
            owned: false,
            under,
            blank_counts: true,
            guard: Guard::Always,
            scheme_guard: Guard::Always,
            site,
            holds: Vec::new(),
            courses: Vec::new(),
            strips: BTreeMap::new(),
            pulses: BTreeMap::new(),
            measures: BTreeMap::new(),
            waveform: None,
        }
    }

    /// Whether a row of `written` (blank for all schemes) with these conditions counts it, and under which choice.
    pub fn counted_by(&self, catalogue: &Catalogue, written: Option<SchemeId>, when: &[Condition]) -> Option<Guard> {
        let guard = match (written, &self.under) {
            (None, _) => self.blank_counts.then_some(self.guard)?,
            (Some(written), Under::One(scheme)) => {
                scheme.is_some_and(|scheme| catalogue.counts_under(written, scheme)).then_some(self.scheme_guard)?
            }
            (Some(written), Under::Several(schemes)) => {
                let present = schemes.iter().any(|&scheme| catalogue.counts_under(written, scheme));
                present.then_some(Guard::Open(self.site, written))?
            }
        };
        when.iter().all(|condition| self.holds.contains(condition)).then_some(guard)
    }

    /// Whether parts of such a role are wanted for it: for what is owned, only what brings current to it.
    pub fn wants(&self, role: Role) -> bool {
        !self.owned || matches!(role, Role::Wire | Role::Link | Role::Lead | Role::WiringSundry)
    }

    /// Whether there is work on it at such a stage: what is owned is wired, and tried once it is.
    pub fn is_worked_on(&self, stage: Stage) -> bool {
        !self.owned || matches!(stage, Stage::Wiring | Stage::Testing)
    }

    /// The wires or cables that a row of `written` counts. Of a place that several schemes share, a row of one takes those that serve it,
    /// a blank row those for lights.
    fn courses(&self, catalogue: &Catalogue, written: Option<SchemeId>, measure: Measure) -> impl Iterator<Item = &Course> {
        self.courses.iter().filter(move |course| {
            let serves = match (&self.under, written, course.family) {
                (Under::One(_), ..) | (_, None, None) => true,
                (_, Some(written), Some(family)) => is_related(catalogue, written, family),
                _ => false,
            };
            serves && course.measure == measure
        })
    }

    /// The same with the wires of each size alone that a row of `written` counts; itself where they are all of one.
    pub fn by_size(&self, catalogue: &Catalogue, written: Option<SchemeId>) -> Vec<Cow<'_, Self>> {
        let sizes: BTreeSet<Option<Quantity>> =
            self.courses(catalogue, written, Measure::RunLength).map(|course| course.area.map(Area::quantity)).collect();
        if sizes.len() < 2 {
            return vec![Cow::Borrowed(self)];
        }
        let of = |size: Option<Quantity>| {
            let mine = self.courses.iter().filter(|course| course.area.map(Area::quantity) == size);
            Cow::Owned(Self { courses: mine.copied().collect(), ..self.clone() })
        };
        sizes.into_iter().map(of).collect()
    }

    /// The lengths of a measure of length, one for each piece, under a row of `written`.
    pub fn lengths(&self, catalogue: &Catalogue, written: Option<SchemeId>, measure: Measure) -> Vec<Length> {
        match measure {
            Measure::RunLength | Measure::LinkLength => {
                self.courses(catalogue, written, measure).map(|course| course.length).collect()
            }
            Measure::TailLength => {
                // On each half of the joint.
                let tails = self.measures.get(&Measure::Tails).and_then(|tails| tails.value().to_usize()).unwrap_or(0);
                let length = self.measures.get(&measure).and_then(|length| Length::try_from(*length).ok());
                length.map_or_else(Vec::new, |length| vec![length; tails.saturating_mul(2)])
            }
            other => self.measures.get(&other).and_then(|quantity| Length::try_from(*quantity).ok()).into_iter().collect(),
        }
    }

    /// A measure under a row of `written`; of wires, the largest.
    pub fn measure(&self, catalogue: &Catalogue, written: Option<SchemeId>, measure: Measure) -> Option<Quantity> {
        match measure {
            Measure::WireArea => {
                self.courses(catalogue, written, Measure::RunLength).filter_map(|course| Some(course.area?.quantity())).max()
            }
            Measure::RunLength | Measure::LinkLength => {
                self.lengths(catalogue, written, measure).into_iter().max().map(Length::quantity)
            }
            Measure::ScrewedEnds | Measure::LinkEnds => {
                let of = if measure == Measure::LinkEnds { Measure::LinkLength } else { Measure::RunLength };
                let ends: u32 = self.courses(catalogue, written, of).map(|course| course.screwed).sum();
                (ends > 0).then(|| Quantity::count(ends))
            }
            Measure::StripBridges | Measure::StripCurrent if self.strips.is_empty() => self.measures.get(&measure).copied(),
            Measure::StripWays | Measure::StripBridges | Measure::StripCurrent => {
                let serves = |family: Option<SchemeId>| match (written, family) {
                    (None, None) => true,
                    (Some(written), Some(family)) => is_related(catalogue, written, family),
                    _ => false,
                };
                let mine = self.strips.iter().filter(|(family, _)| serves(**family)).map(|(_, screws)| screws);
                if measure == Measure::StripCurrent {
                    return mine.filter_map(|screws| screws.current).max();
                }
                let count: u32 = mine.map(|it| if measure == Measure::StripWays { it.ways } else { it.bridges }).sum();
                (count > 0).then(|| Quantity::count(count))
            }
            Measure::PulseEnergy | Measure::PulseCapacitance => {
                let serves = |family: SchemeId| written.is_none_or(|written| is_related(catalogue, written, family));
                let asked = self.pulses.iter().filter(|(family, _)| serves(**family)).map(|(_, asked)| asked);
                asked
                    .map(|asked| match measure {
                        Measure::PulseEnergy => asked.energy.quantity(),
                        _ => asked.capacitance.quantity(),
                    })
                    .max()
            }
            other => self.measures.get(&other).copied(),
        }
    }
}

/// Whether a row of one scheme serves a family: the one is like the other.
fn is_related(catalogue: &Catalogue, written: SchemeId, family: SchemeId) -> bool {
    catalogue.counts_under(written, family) || catalogue.counts_under(family, written)
}

/// All subjects by what rules count.
#[derive(Debug, Clone, Default)]
pub struct Subjects {
    by_per: BTreeMap<Per, Vec<Facts>>,
}

impl Subjects {
    /// The subjects of a sort, in order.
    pub fn of(&self, per: Per) -> &[Facts] {
        self.by_per.get(&per).map_or(&[], Vec::as_slice)
    }

    pub(super) fn push(&mut self, per: Per, facts: Facts) {
        self.by_per.entry(per).or_default().push(facts);
    }
}
