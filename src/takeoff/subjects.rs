//! What rules and tasks count: every subject of the layout with the facts that conditions and measures need.

use crate::catalogue::Catalogue;
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FeedId, FrogId, JointId, LeverId, RouteId};
use crate::layout::Layout;
use crate::power::Demand;
use crate::scheme::Assignment;
use crate::wiring::Wiring;

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
    /// A signal.
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

/// Placeholder until filled.
#[derive(Debug, Clone)]
pub struct SubjectFacts;

/// All subjects.
pub fn subjects(_: &Layout, _: &Catalogue, _: &Assignment, _: &Wiring, _: &[Demand]) -> Vec<SubjectFacts> {
    Vec::new()
}
