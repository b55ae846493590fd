//! In which step each thing is built.

use crate::id::{BoardId, DeviceId, LeverId};
use crate::layout::{BoardRole, Layout};
use crate::scheme::Assignment;
use crate::takeoff::Subject;
use crate::wiring::Paths;

/// In which step, from 0, each device is built, and with it what it needs first: its lever, its controller, the joints and boards
/// between it and the panel. What serves the whole layout comes with the first step.
#[derive(Debug, Clone)]
pub struct Steps<'a> {
    layout: &'a Layout,
    assignment: &'a Assignment,
    /// `None` for a device that is owned; what it still needs comes with the first step.
    devices: Vec<Option<usize>>,
    boards: Vec<Option<usize>>,
    joints: Vec<Option<usize>>,
}

impl<'a> Steps<'a> {
    /// Device after device, in the order of the layout file, with which device each step builds. Owned devices are no step.
    pub fn by_device(layout: &'a Layout, assignment: &'a Assignment) -> (Self, Vec<DeviceId>) {
        let built: Vec<DeviceId> = device_ids(layout).filter(|&device| !layout.device(device).owned).collect();
        let steps = Self::new(layout, assignment, |device| built.binary_search(&device).ok());
        (steps, built)
    }

    /// Board after board, in the order of the layout file, with which board each step builds. Boards without devices are no step.
    pub fn by_board(layout: &'a Layout, assignment: &'a Assignment) -> (Self, Vec<BoardId>) {
        let board_of = |device: DeviceId| layout.device(device).spot.value.board;
        let has_devices =
            |board: &BoardId| device_ids(layout).any(|device| !layout.device(device).owned && board_of(device) == *board);
        let boards = (0..layout.boards.len()).map(BoardId::at);
        let built: Vec<BoardId> =
            boards.filter(|&board| layout.board(board).role == BoardRole::Baseboard).filter(has_devices).collect();
        let step = |device: DeviceId| built.binary_search(&board_of(device)).ok();
        let steps = Self::new(layout, assignment, |device| step(device).filter(|_| !layout.device(device).owned));
        (steps, built)
    }

    fn new(layout: &'a Layout, assignment: &'a Assignment, step: impl Fn(DeviceId) -> Option<usize>) -> Self {
        let devices: Vec<Option<usize>> = device_ids(layout).map(step).collect();
        let mut boards = vec![None; layout.boards.len()];
        let mut joints = vec![None; layout.joints.len()];
        let mut paths = Paths::new(layout);
        for (device, &step) in layout.devices.iter().zip(&devices) {
            let spot = device.spot.value;
            let crosses = paths.between(layout.origin(), spot).map(|path| path.crosses);
            first(&mut boards, spot.board.index(), step);
            for &joint in crosses.iter().flat_map(|crosses| crosses.iter()) {
                first(&mut joints, joint.index(), step);
                for end in [layout.joint(joint).from, layout.joint(joint).to] {
                    first(&mut boards, end.board.index(), step);
                }
            }
        }
        Self { layout, assignment, devices, boards, joints }
    }

    /// The step in which a subject of the take-off is built.
    pub fn of(&self, subject: Subject) -> usize {
        let layout = self.layout;
        let step = match subject {
            Subject::Drive(drive) => self.device(layout.drive(drive).device),
            Subject::Frog(frog) => self.device(layout.frog(frog).device),
            Subject::Aspect(device, _) | Subject::Signal(device) => self.device(device),
            Subject::Lever(lever) | Subject::Lamp(lever, _) => self.lever(lever),
            Subject::Controller(controller) => {
                let drives = self.assignment.controllers.get(controller.index()).map_or(&[][..], |controller| &controller.drives);
                drives.iter().filter_map(|&drive| self.device(layout.drive(drive).device)).min()
            }
            Subject::Board(board) | Subject::Encoder(Some(board), _) => self.boards.get(board.index()).copied().flatten(),
            Subject::Joint(joint) | Subject::Pins(joint, _) => self.joints.get(joint.index()).copied().flatten(),
            // A route can be thrown when all of it is there.
            Subject::Route(route) => layout.route(route).levers.iter().filter_map(|&lever| self.lever(lever)).max(),
            Subject::Panel | Subject::Encoder(None, _) | Subject::Supply(..) | Subject::Branch(..) | Subject::Layout => None,
        };
        step.unwrap_or(0)
    }

    fn device(&self, device: DeviceId) -> Option<usize> {
        self.devices.get(device.index()).copied().flatten()
    }

    /// A lever is there with the first thing that it works.
    fn lever(&self, lever: LeverId) -> Option<usize> {
        let lever = self.layout.lever(lever);
        let drives = lever.drives.iter().map(|&drive| self.layout.drive(drive).device);
        drives.chain(lever.lights.iter().copied()).filter_map(|device| self.device(device)).min()
    }
}

fn device_ids(layout: &Layout) -> impl Iterator<Item = DeviceId> + use<> {
    (0..layout.devices.len()).map(DeviceId::at)
}

/// Takes the earlier step.
fn first(known: &mut [Option<usize>], at: usize, step: Option<usize>) {
    if let Some(known) = known.get_mut(at) {
        *known = known.iter().copied().chain(step).min();
    }
}
