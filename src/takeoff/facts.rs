//! A subject and what is known of it: the scheme it is under, the conditions that hold, and what can be measured.

use std::collections::BTreeMap;

use super::model::{Guard, Site};
use crate::catalogue::{Catalogue, Condition, Measure, Per};
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FeedId, FrogId, JointId, LeverId, RouteId, SchemeId};
use crate::layout::{Layout, Waveform};
use crate::quantity::{Length, Quantity};

/// A thing that is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A drive.
    Drive(DriveId),
    /// A lever.
    Lever(LeverId),
    /// A frog that needs a contact.
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
    /// The supply of a feed.
    Supply(FeedId),
    /// A board.
    Board(BoardId),
    /// A joint.
    Joint(JointId),
    /// A conductor at a joint, from 0.
    Pin(JointId, u32),
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
            Self::Frog(_) => Per::FrogToContact,
            Self::Lamp(..) => Per::Lamp,
            Self::Aspect(..) => Per::Aspect,
            Self::Signal(_) => Per::Signal,
            Self::Controller(_) => Per::Controller,
            Self::Panel => Per::Panel,
            Self::Supply(_) => Per::Supply,
            Self::Board(_) => Per::Board,
            Self::Joint(_) => Per::Joint,
            Self::Pin(..) => Per::JointPin,
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
            Self::Supply(id) => format!("supply {}", id.0 + 1),
            Self::Board(id) => format!("board {}", layout.board(id).name),
            Self::Joint(id) => format!("joint {}", layout.joint(id).name),
            Self::Pin(id, n) => format!("conductor {} at joint {}", n + 1, layout.joint(id).name),
            Self::Route(id) => format!("route {}", layout.route(id).name),
            Self::Layout => "layout".to_owned(),
        }
    }
}

/// What is known of a subject.
#[derive(Debug, Clone)]
pub struct Facts {
    /// The subject.
    pub subject: Subject,
    /// The scheme it is under, if any.
    pub scheme: Option<SchemeId>,
    /// Whether rows with a blank scheme count it. Of a subject that is listed once for each scheme, only one entry is.
    pub once: bool,
    /// Under which choice rows with a blank scheme count it.
    pub guard: Guard,
    /// Under which choice rows of its scheme count it.
    pub scheme_guard: Guard,
    /// Where a capacity for it is needed.
    pub site: Site,
    /// Conditions that hold.
    pub holds: Vec<Condition>,
    /// Lengths to cut, by measure.
    pub lengths: BTreeMap<Measure, Vec<Length>>,
    /// Other measures.
    pub measures: BTreeMap<Measure, Quantity>,
    /// The waveform of its feed.
    pub waveform: Option<Waveform>,
}

impl Facts {
    /// Facts that every scheme shares; rows of a scheme count them under `scheme_guard`.
    pub(super) fn new(subject: Subject, scheme: Option<SchemeId>, site: Site) -> Self {
        Self {
            subject,
            scheme,
            once: true,
            guard: Guard::Always,
            scheme_guard: Guard::Always,
            site,
            holds: Vec::new(),
            lengths: BTreeMap::new(),
            measures: BTreeMap::new(),
            waveform: None,
        }
    }

    /// The same subject under a scheme that is open at a site: only rows of the scheme count it.
    pub(super) fn under(mut self, scheme: SchemeId, open_at: Site) -> Self {
        self.scheme = Some(scheme);
        self.once = false;
        self.scheme_guard = Guard::Open(open_at, scheme);
        self
    }

    /// Whether a row of `written` (blank for all schemes) with these conditions counts it, and under which choice.
    pub fn counted_by(&self, catalogue: &Catalogue, written: Option<SchemeId>, when: &[Condition]) -> Option<Guard> {
        let guard = match written {
            None => self.once.then_some(self.guard)?,
            Some(written) => {
                self.scheme.is_some_and(|scheme| catalogue.counts_under(written, scheme)).then_some(self.scheme_guard)?
            }
        };
        when.iter().all(|condition| self.holds.contains(condition)).then_some(guard)
    }
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
