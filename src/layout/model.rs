//! The validated layout: what is on the railway, and with `rules` how its plan is made.

mod rules;

use std::sync::Arc;

pub use self::rules::*;
use crate::diagnostic::{Given, Place};
use crate::id::{BoardId, DeviceId, DriveId, FrogId, JointId, LeverId, OwnedSupplyId, RouteId, SchemeId};
use crate::mechanics::Scale;
use crate::quantity::{Current, Length, Voltage};

/// A point on a board: millimetres from its front left corner, seen from above; x along the front edge, y to the back.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Point {
    /// Along the front edge.
    pub x: Length,
    /// Towards the back.
    pub y: Length,
}

/// A point on a named board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// The board.
    pub board: BoardId,
    /// The point on it.
    pub at: Point,
}

/// What a board is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoardRole {
    /// Track is on it.
    Baseboard,
    /// The control panel on a flying lead, which parts from the layout as a board does.
    FlyingPanel,
}

/// A baseboard: one section of the layout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// Its name.
    pub name: Arc<str>,
    /// Where it is written.
    pub place: Place,
    /// Baseboard, or the panel on a flying lead.
    pub role: BoardRole,
    /// Length along the front edge.
    pub length: Given<Length>,
    /// Width from front to back.
    pub width: Given<Length>,
    /// Thickness of the top, track bed included.
    pub top: Given<Length>,
    /// Free depth under the top within the frame.
    pub frame: Given<Length>,
}

/// Where the wiring of two boards parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joint {
    /// Its name, such as `A-B`.
    pub name: Arc<str>,
    /// Where it is written.
    pub place: Place,
    /// Its point on the one board.
    pub from: Spot,
    /// Its point on the other.
    pub to: Spot,
    /// The length of the lead between the two halves; zero where they plug face to face.
    pub lead: Length,
    /// Whether its plugs are keyed, of different sizes or marked, so that none is taken for another.
    pub keyed: bool,
}

/// The control panel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Panel {
    /// Where it stands.
    pub spot: Spot,
    /// The joint of its flying lead; `None` where it is fixed to a board.
    pub flying: Option<JointId>,
    /// Where it is written.
    pub place: Place,
}

/// Direct or alternating current.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Waveform {
    /// Direct current.
    Dc,
    /// Alternating current; its ratings are in volt-amperes.
    Ac,
}

impl Waveform {
    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dc => "DC",
            Self::Ac => "AC",
        }
    }

    /// The highest extra-low voltage: 50 V AC or 120 V DC (IEC 61558-1).
    pub fn highest(self) -> Voltage {
        match self {
            Self::Ac => Voltage(50.0),
            Self::Dc => Voltage(120.0),
        }
    }
}

/// A power supply the user owns.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnedSupply {
    /// Its name.
    pub name: Arc<str>,
    /// Where it is written.
    pub place: Place,
    /// Output voltage.
    pub voltage: Voltage,
    /// Direct or alternating.
    pub waveform: Waveform,
    /// Rated output current.
    pub current: Current,
}

/// What is to be moved or shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeviceKind {
    /// A turnout of a kind of the `Turnouts` sheet.
    Turnout(Arc<str>),
    /// A signal with arms that move.
    Semaphore,
    /// A signal of lamps.
    ColourLight,
    /// A ground signal with one arm or disc that moves.
    GroundSignal,
    /// A crossing gate or barrier.
    Gate,
    /// An uncoupler.
    Uncoupler,
    /// A lamp that is only switched.
    Lamp,
}

impl DeviceKind {
    /// The word in files and print.
    pub fn word(&self) -> &str {
        match self {
            Self::Turnout(kind) => kind,
            Self::Semaphore => "semaphore",
            Self::ColourLight => "colour light",
            Self::GroundSignal => "ground signal",
            Self::Gate => "gate",
            Self::Uncoupler => "uncoupler",
            Self::Lamp => "lamp",
        }
    }

    /// Whether it is a turnout or crossing.
    pub fn is_turnout(&self) -> bool {
        matches!(self, Self::Turnout(_))
    }

    /// Whether it is a signal.
    pub fn is_signal(&self) -> bool {
        matches!(self, Self::Semaphore | Self::ColourLight | Self::GroundSignal)
    }
}

/// A turnout, a signal, or another thing that moves or lights.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Its name.
    pub name: Arc<str>,
    /// Where it is written.
    pub place: Place,
    /// What it is.
    pub kind: DeviceKind,
    /// The board it stands on, and where; a default where no position is written.
    pub spot: Given<Spot>,
    /// Whether its drives are already motorised: they cost no parts and no fitting.
    pub owned: bool,
    /// Whether it is out of the public's sight.
    pub hidden: bool,
    /// How its frogs are made.
    pub frog: FrogKind,
    /// Its drives, in order.
    pub drives: Vec<DriveId>,
    /// Its frogs that must change over, in order; empty unless they are live.
    pub frogs: Vec<FrogId>,
    /// Its lamps on the layout: the aspects of a colour light, or the lamp of a lit arm.
    pub lights: u32,
    /// How many of its lights burn at once at most.
    pub lit: u32,
}

/// How the crossing nose is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FrogKind {
    /// Of insulating material, or dead.
    Insulated,
    /// Changed over by a contact.
    Live,
    /// Live through the blades, without a contact.
    BladeFed,
}

impl FrogKind {
    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::Insulated => "insulated",
            Self::Live => "live",
            Self::BladeFed => "blade fed",
        }
    }
}

/// What a drive moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Purpose {
    /// The tie bar of a turnout.
    TieBar,
    /// A semaphore arm or a disc.
    Arm,
    /// A gate or barrier.
    Gate,
    /// An uncoupler.
    Uncoupler,
}

impl Purpose {
    /// All purposes.
    pub const ALL: [Self; 4] = [Self::TieBar, Self::Arm, Self::Gate, Self::Uncoupler];

    /// The word in files and print.
    pub fn word(self) -> &'static str {
        match self {
            Self::TieBar => "tie bar",
            Self::Arm => "arm",
            Self::Gate => "gate",
            Self::Uncoupler => "uncoupler",
        }
    }
}

/// One thing to be moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drive {
    /// Its name: the device's, with a letter where the device has several.
    pub name: Arc<str>,
    /// The device it moves.
    pub device: DeviceId,
    /// Where its tie bar, arm or gate is: where the device stands, save for the further tie bars of a turnout.
    pub spot: Spot,
    /// What it moves.
    pub purpose: Purpose,
    /// The lever that throws it.
    pub lever: LeverId,
    /// The scheme the layout file fixes for it.
    pub fixed: Option<Given<SchemeId>>,
}

/// A live crossing nose that changes over with a drive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frog {
    /// Its name.
    pub name: Arc<str>,
    /// The device it belongs to.
    pub device: DeviceId,
    /// The drive whose throw changes it over; of a slip it is the other end's, of a diamond a neighbour's.
    pub drive: DriveId,
}

/// What the operator throws: one switch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lever {
    /// Its name: of its first device.
    pub name: Arc<str>,
    /// What it throws; empty for a lever that only lights lamps.
    pub drives: Vec<DriveId>,
    /// Devices whose lights it switches.
    pub lights: Vec<DeviceId>,
    /// Where it stands: at the panel, or at the board's front edge where there is no panel.
    pub spot: Spot,
}

/// Levers thrown together for one train movement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Route {
    /// Its name.
    pub name: Arc<str>,
    /// Where it is written.
    pub place: Place,
    /// The levers, in the order thrown.
    pub levers: Vec<LeverId>,
}

/// A default the tool took because the file says nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DefaultTaken {
    /// The path in the layout file, such as `rules.slack`.
    pub path: Arc<str>,
    /// The value, as it would be written.
    pub value: String,
}

/// A layout that has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Its name.
    pub name: String,
    /// The file it was read from.
    pub file: Arc<str>,
    /// Its scale; nothing is taken where the file does not say.
    pub scale: Option<&'static Scale>,
    /// Its boards; a panel on a flying lead is the last.
    pub boards: Vec<Board>,
    /// Its joints.
    pub joints: Vec<Joint>,
    /// Its panel, if it has one.
    pub panel: Option<Panel>,
    /// Supplies the user owns.
    pub supplies: Vec<OwnedSupply>,
    /// Turnouts, signals and others, in the order written.
    pub devices: Vec<Device>,
    /// What is moved.
    pub drives: Vec<Drive>,
    /// Frogs that change over.
    pub frogs: Vec<Frog>,
    /// What the operator throws.
    pub levers: Vec<Lever>,
    /// Routes.
    pub routes: Vec<Route>,
    /// The rules.
    pub rules: Rules,
    /// Every default taken, in the order of the file's form.
    pub defaults: Vec<DefaultTaken>,
}

/// Things by their id. One that is not of this layout would be a fault of the program.
macro_rules! by_id {
    ($($(#[$doc:meta])* $name:ident($id:ident) -> $thing:ty, $list:ident;)+) => {
        #[expect(clippy::indexing_slicing, reason = "ids are made as the lists are filled, which never shrink")]
        impl Layout {$(
            $(#[$doc])*
            pub fn $name(&self, id: $id) -> &$thing {
                &self.$list[id.index()]
            }
        )+}
    };
}

by_id! {
    /// A board.
    board(BoardId) -> Board, boards;
    /// A joint.
    joint(JointId) -> Joint, joints;
    /// A device.
    device(DeviceId) -> Device, devices;
    /// A drive.
    drive(DriveId) -> Drive, drives;
    /// A lever.
    lever(LeverId) -> Lever, levers;
    /// A frog.
    frog(FrogId) -> Frog, frogs;
    /// A route.
    route(RouteId) -> Route, routes;
    /// A supply the user owns.
    supply(OwnedSupplyId) -> OwnedSupply, supplies;
}

impl Layout {
    /// The device a drive moves.
    pub fn device_of(&self, drive: DriveId) -> &Device {
        self.device(self.drive(drive).device)
    }

    /// All drives with their ids.
    pub fn drive_ids(&self) -> impl Iterator<Item = DriveId> + use<> {
        (0..self.drives.len()).map(DriveId::at)
    }

    /// The middle of a board.
    pub fn centre(&self, board: BoardId) -> Spot {
        let half = |length: Length| Length::from_um(length.um() / 2);
        let it = self.board(board);
        Spot { board, at: Point { x: half(it.length.value), y: half(it.width.value) } }
    }

    /// Where power and commands come from: the panel, or the front of the first board.
    pub fn origin(&self) -> Spot {
        self.panel.as_ref().map_or(Spot { board: BoardId(0), at: Point::default() }, |panel| panel.spot)
    }

    /// Whether the layout comes apart.
    pub fn is_portable(&self) -> bool {
        !self.joints.is_empty()
    }
}
