//! What conductors are joined to, and what each such thing is called in print.

use crate::catalogue::Catalogue;
use crate::id::{BoardId, ControllerId, DeviceId, DriveId, FrogId, JointId, LeverId, SchemeId};
use crate::layout::{Layout, Spot, Waveform};
use crate::quantity::Quantity;

/// A feed, by what its sockets give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Source {
    /// Its voltage.
    pub voltage: Quantity,
    /// Direct or alternating.
    pub waveform: Waveform,
    /// 0 where the feed has one supply, else the number of the section, from 1.
    pub section: u32,
}

impl Source {
    /// `12 V DC`, or `12 V DC, section 2`.
    pub fn name(self) -> String {
        let section = if self.section > 0 { format!(", section {}", self.section) } else { String::new() };
        format!("{} {}{section}", self.voltage, self.waveform.word())
    }
}

/// A terminal of a discharge unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Clamp {
    /// One of the two to which its supply comes, from 0.
    Input(u32),
    /// The pulse goes out here.
    Plus,
    /// The pulse comes home here.
    Minus,
}

/// A tag of a changeover: of a lever's pole, of a contact at a drive, or of a latch. What it is called by is when it is joined to the common one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tap {
    /// The common one, in the middle.
    Common,
    /// Joined to it when lever or blades stand normal.
    Normal,
    /// Joined to it when they stand reverse.
    Reverse,
}

impl Tap {
    /// The tag for a lamp, a coil or a position, from 0: normal and reverse in turn.
    pub fn of(n: u32) -> Self {
        if n.is_multiple_of(2) { Self::Normal } else { Self::Reverse }
    }

    fn short(self) -> &'static str {
        match self {
            Self::Common => "common",
            Self::Normal => "normal",
            Self::Reverse => "reverse",
        }
    }

    /// In words.
    fn words(self) -> &'static str {
        match self {
            Self::Common => "common",
            Self::Normal => "tag joined at normal",
            Self::Reverse => "tag joined at reverse",
        }
    }
}

/// A tag of a lever's switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Switch {
    /// The one pole of a switch.
    Single(Tap),
    /// One of the poles, from 0, of a switch that has two.
    Pole(u32, Tap),
    /// The common tag of a selector.
    Selector,
    /// A position of a selector, from 0.
    Position(u32),
}

impl Switch {
    fn words(self) -> String {
        match self {
            Self::Single(tap) => tap.words().to_owned(),
            Self::Pole(pole, tap) => format!("pole {}, {}", pole + 1, tap.words()),
            Self::Selector => "common".to_owned(),
            Self::Position(n) => format!("position {}", n + 1),
        }
    }
}

/// A terminal of an encoder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Port {
    /// Plus of its feed.
    Plus,
    /// Minus of its feed.
    Minus,
    /// The link.
    Link,
    /// The common of inputs and lamps: minus, inside.
    Common,
    /// An input, from 1.
    Input(u32),
    /// An output that lights a lamp, from 1.
    Output(u32),
}

impl Port {
    /// In words.
    pub(super) fn word(self) -> String {
        match self {
            Self::Plus => "plus".to_owned(),
            Self::Minus => "minus".to_owned(),
            Self::Link => "link".to_owned(),
            Self::Common => "common of inputs and lamps".to_owned(),
            Self::Input(n) => format!("input {n}"),
            Self::Output(n) => format!("output {n}"),
        }
    }
}

/// A terminal of a latch, which remembers the last throw of a lever that springs back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LatchTag {
    /// One of its coils, from 0: set by a throw to normal, and to reverse.
    Coil(u32),
    /// The common end of its coils.
    Return,
    /// A tag of its contact.
    Contact(Tap),
}

/// The leads of a lamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LampLead {
    /// The longer one.
    Plus,
    /// The shorter one.
    Minus,
}

/// A terminal of a motor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tag {
    /// The end of a coil, from 0: the one that throws to normal, the one that throws to reverse.
    Coil(u32),
    /// The common end of its coils, or of its windings.
    Return,
    /// One of its ends, from 0, where none is common.
    End(u32),
}

/// What a conductor is joined to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// The sockets where a supply plugs in, at the panel or at the front of the first board: what comes home ends there.
    Socket(Source),
    /// The fuse behind such a socket: what goes out begins there.
    Fuse(Source),
    /// The fuse of a branch: the thinner wires of a family of schemes, or of the lights, behind the feed's fuse. With its number, from 1; 0 where
    /// there is one.
    Branch(Source, Option<SchemeId>, u32),
    /// A terminal of the discharge unit.
    Store(Clamp),
    /// A terminal of an encoder, from 1, which reads the levers and sends commands over the link.
    Encoder(u32, Port),
    /// A tag of a lever's switch; where drives of several families hang on the lever, of the switch for one of them.
    Lever(LeverId, Option<SchemeId>, Switch),
    /// A terminal of a lever's latch.
    Latch(LeverId, LatchTag),
    /// A lead of a panel lamp of a lever, from 0.
    Lamp(LeverId, u32, LampLead),
    /// A terminal of a motor.
    Motor(DriveId, Tag),
    /// A tag of a changeover contact at a drive, from 0.
    Contact(DriveId, u32, Tap),
    /// A frog.
    Frog(FrogId),
    /// One of the two rails that feed a frog in turn, from 0: the one it lies with when the blades stand one way, and the other way.
    Rail(FrogId, u32),
    /// A light of a device, from 0.
    Light(DeviceId, u32),
    /// The common return of a device's lights.
    LightReturn(DeviceId),
    /// A controller.
    Controller(ControllerId),
    /// A terminal of a controller's channel, from 1, where it reads the contact that proves the drive.
    Channel(ControllerId, u32, Tap),
    /// A terminal strip of a board: that of a family of schemes, or of the lights.
    Strip(BoardId, Option<SchemeId>),
}

impl End {
    /// Whether it is where power comes in.
    pub fn is_source(self) -> bool {
        matches!(self, Self::Socket(_) | Self::Fuse(_) | Self::Branch(..) | Self::Store(_))
    }

    /// The section of the feed that it is a socket or fuse of; 0 where the feed is not divided, and for all else.
    pub fn section(self) -> u32 {
        match self {
            Self::Socket(source) | Self::Fuse(source) | Self::Branch(source, ..) => source.section,
            _ => 0,
        }
    }

    /// Whether it stands at the panel, or at the front of the first board where there is none.
    pub fn is_at_origin(self) -> bool {
        self.is_source() || matches!(self, Self::Encoder(..) | Self::Latch(..))
    }

    /// Whether a wire ends there under a screw, and so wants a ferrule if it is stranded; elsewhere it is soldered. Common practice, no source.
    pub fn is_screwed(self) -> bool {
        self.is_source()
            || matches!(
                self,
                Self::Encoder(..) | Self::Latch(..) | Self::Motor(..) | Self::Controller(_) | Self::Channel(..) | Self::Strip(..)
            )
    }

    /// Its name in print.
    pub fn name(self, layout: &Layout, catalogue: &Catalogue) -> String {
        match self {
            Self::Socket(source) => format!("supply socket {} {}", source.name(), at_origin(layout)),
            Self::Fuse(source) => format!("fuse of {} {}", source.name(), at_origin(layout)),
            Self::Branch(source, serves, n) => {
                let number = if n > 0 { format!(" {n}") } else { String::new() };
                format!("branch fuse{number} of {}, {} {}", served(catalogue, serves), source.name(), at_origin(layout))
            }
            Self::Store(Clamp::Input(n)) => format!("discharge unit, input {}, {}", n + 1, at_origin(layout)),
            Self::Store(Clamp::Plus) => format!("discharge unit, plus, {}", at_origin(layout)),
            Self::Store(Clamp::Minus) => format!("discharge unit, minus, {}", at_origin(layout)),
            Self::Encoder(n, port) => format!("encoder {n}, {}", port.word()),
            Self::Lever(id, None, switch) => format!("lever {}, {}", layout.lever(id).name, switch.words()),
            Self::Lever(id, family, switch) => {
                format!("lever {} for {}, {}", layout.lever(id).name, served(catalogue, family), switch.words())
            }
            Self::Latch(id, tag) => format!("latch of lever {}, {}", layout.lever(id).name, latch_name(tag)),
            Self::Lamp(id, n, lead) => {
                let lead = if lead == LampLead::Plus { "plus" } else { "minus" };
                format!("lamp {} of lever {}, {lead}", n + 1, layout.lever(id).name)
            }
            Self::Motor(id, Tag::Coil(0)) => format!("coil normal of {}", layout.drive(id).name),
            Self::Motor(id, Tag::Coil(1)) => format!("coil reverse of {}", layout.drive(id).name),
            Self::Motor(id, Tag::Coil(n)) => format!("coil {} of {}", n + 1, layout.drive(id).name),
            Self::Motor(id, Tag::Return) => format!("coil return of {}", layout.drive(id).name),
            Self::Motor(id, Tag::End(n)) => format!("motor {}, end {}", layout.drive(id).name, n + 1),
            Self::Contact(id, 0, tap) => format!("contact at {}, {}", layout.drive(id).name, tap.words()),
            Self::Contact(id, n, tap) => format!("contact {} at {}, {}", n + 1, layout.drive(id).name, tap.words()),
            Self::Frog(id) => format!("frog {}", layout.frog(id).name),
            Self::Rail(id, 0) => format!("rail of frog {} for normal", layout.frog(id).name),
            Self::Rail(id, _) => format!("rail of frog {} for reverse", layout.frog(id).name),
            Self::Light(id, n) => format!("light {} of {}", n + 1, layout.device(id).name),
            Self::LightReturn(id) => format!("return of {}", layout.device(id).name),
            Self::Controller(id) => format!("controller {}", id.0 + 1),
            Self::Channel(id, channel, tap) => format!("controller {}, channel {channel}, contact {}", id.0 + 1, tap.short()),
            Self::Strip(id, serves) => format!("{} on {}", strip_name(catalogue, serves), layout.board(id).name),
        }
    }
}

fn latch_name(tag: LatchTag) -> String {
    match tag {
        LatchTag::Coil(0) => "coil for normal".to_owned(),
        LatchTag::Coil(_) => "coil for reverse".to_owned(),
        LatchTag::Return => "coil return".to_owned(),
        LatchTag::Contact(tap) => format!("contact, {}", tap.words()),
    }
}

/// What a terminal strip is called on its board: by what it serves.
pub fn strip_name(catalogue: &Catalogue, serves: Option<SchemeId>) -> String {
    format!("strip for {}", served(catalogue, serves))
}

/// A family of schemes, or the lights, in words.
pub fn served(catalogue: &Catalogue, serves: Option<SchemeId>) -> &str {
    serves.map_or("lights", |scheme| &catalogue.scheme(scheme).title)
}

/// Where power and commands come from, in words.
fn at_origin(layout: &Layout) -> String {
    match layout.panel {
        Some(_) => "at the panel".to_owned(),
        None => format!("on {}", layout.board(layout.origin().board).name),
    }
}

/// An end of a run and where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Terminal {
    /// What it is joined to.
    pub end: End,
    /// Where.
    pub spot: Spot,
}

/// An end of a piece of wire: a thing, or the half of a joint that is on its board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stop {
    /// A thing.
    At(End),
    /// Plug or socket of a joint.
    Plug(JointId),
}
