//! What a kind makes of a device: its drives, levers, frogs and lights.

use super::field::Entry;
use super::forms::{Fault, Written, any, within};
use super::model::{DeviceKind, FrogKind, Purpose};
use super::report::{Report, shown};
use super::words::{OtherWord, SignalWord, YesNo};
use crate::catalogue::{Catalogue, FrogFollows};
use crate::diagnostic::{Code, Diagnostic};

/// The most arms or aspects of one signal.
const MOST_ARMS: u32 = 12;
/// The kind of a turnout that names none.
const USUAL_KIND: &str = "plain";

/// What a kind makes of a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Shape {
    /// What its drives move.
    pub(super) purpose: Purpose,
    /// Its drives.
    pub(super) drives: u32,
    /// Its levers, before any are joined.
    pub(super) levers: u32,
    /// Frogs that change over if they are live.
    pub(super) frogs: u32,
    /// Which drive changes a frog over.
    pub(super) follows: FrogFollows,
    /// Its lights.
    pub(super) lights: u32,
    /// How many of them burn at once.
    pub(super) lit: u32,
    /// Whether its lever switches the lights.
    pub(super) switched: bool,
}

impl Shape {
    /// Something with `drives` drives that each have a lever.
    fn moving(purpose: Purpose, drives: u32) -> Self {
        Self { purpose, drives, levers: drives, frogs: 0, follows: FrogFollows::Own, lights: 0, lit: 0, switched: false }
    }

    /// Something with nothing but lights, on one lever.
    fn lights(lights: u32, lit: u32) -> Self {
        Self { levers: 1, lights, lit, switched: true, ..Self::moving(Purpose::Arm, 0) }
    }

    /// Whether its frogs follow the drive of another device.
    pub(super) fn follows_neighbour(self) -> bool {
        self.frogs > 0 && (self.follows == FrogFollows::Neighbour || self.drives == 0)
    }
}

/// What is known of a device by its kind.
pub(super) struct Known {
    pub(super) kind: DeviceKind,
    /// `None` where the kind cannot be told; that has been reported.
    pub(super) shape: Option<Shape>,
    pub(super) frog: FrogKind,
}

impl Known {
    fn of(kind: DeviceKind, shape: Option<Shape>) -> Self {
        Self { kind, shape, frog: FrogKind::Insulated }
    }
}

/// What a turnout is: a kind of the catalogue, and how its frogs are made.
pub(super) fn turnout(entry: &Entry<'_>, catalogue: &Catalogue, report: &mut Report) -> Known {
    let (word, place) = match entry.get("kind") {
        Some(field) => match field.text("a kind of turnout", report) {
            Some(word) => (word.trim(), field.place(report)),
            None => return Known::of(DeviceKind::Turnout("".into()), None),
        },
        None => (USUAL_KIND, report.took(&entry.path("kind"), USUAL_KIND)),
    };
    let Some(kind) = catalogue.turnout(word) else {
        let what = format!("the catalogue has no kind of turnout named `{}`", shown(word));
        let valid = catalogue.turnouts.iter().map(|kind| &*kind.name);
        report.problem(Diagnostic::error(Code::UnknownWord, place, what).one_of(&shown(word), valid));
        entry.optional::<FrogKind>("frog", any, report);
        return Known::of(DeviceKind::Turnout("".into()), None);
    };
    let shape = Shape {
        levers: kind.levers.clamp(kind.drives.min(1), kind.drives),
        frogs: kind.frogs,
        follows: kind.follows,
        ..Shape::moving(Purpose::TieBar, kind.drives)
    };
    let possible = |frog: &FrogKind| match frog {
        FrogKind::Live if shape.frogs == 0 => Err(contradiction(format!("a {} has no frog", kind.name), "no `frog` at all")),
        FrogKind::BladeFed if shape.drives == 0 => {
            Err(contradiction(format!("a {} has no blades to feed it", kind.name), "insulated or live"))
        }
        _ => Ok(()),
    };
    let frog = if shape.frogs == 0 {
        entry.optional("frog", possible, report).map_or(FrogKind::Insulated, |frog| frog.value)
    } else {
        entry.given("frog", FrogKind::Insulated, possible, report).value
    };
    Known { frog, ..Known::of(DeviceKind::Turnout(kind.name.clone()), Some(shape)) }
}

/// What a signal is.
pub(super) fn signal(entry: &Entry<'_>, report: &mut Report) -> Known {
    let Some(word) = kind_word::<SignalWord>(entry, report) else {
        // What else is wrong with it is told all the same.
        for key in ["arms", "aspects", "lit"] {
            entry.optional(key, within(1, MOST_ARMS), report);
        }
        entry.optional::<YesNo>("lamp", any, report);
        return Known::of(DeviceKind::Semaphore, None);
    };
    let belongs = |keys: &[&str], report: &mut Report| {
        for field in keys.iter().filter_map(|key| entry.get(key)) {
            let fault = contradiction(format!("a {} has none", word.write()), "another kind, or no such key");
            report.problem(field.fault(fault, report));
        }
    };
    let lamp = |shape: Shape, report: &mut Report| {
        let lit = entry.optional::<YesNo>("lamp", any, report).is_some_and(|yes| yes.value.0);
        Shape { lights: lit.into(), lit: lit.into(), ..shape }
    };
    let (kind, shape) = match word {
        SignalWord::Semaphore => {
            belongs(&["aspects", "lit"], report);
            let arms = entry.given("arms", 1, within(1, MOST_ARMS), report).value;
            (DeviceKind::Semaphore, lamp(Shape::moving(Purpose::Arm, arms), report))
        }
        SignalWord::GroundSignal => {
            belongs(&["arms", "aspects", "lit"], report);
            (DeviceKind::GroundSignal, lamp(Shape::moving(Purpose::Arm, 1), report))
        }
        SignalWord::ColourLight => {
            belongs(&["arms", "lamp"], report);
            let aspects = entry.given("aspects", 2, within(1, MOST_ARMS), report).value;
            let lit = entry.given("lit", 1, within(1, aspects), report).value;
            (DeviceKind::ColourLight, Shape::lights(aspects, lit))
        }
    };
    Known::of(kind, Some(shape))
}

/// What another thing is.
pub(super) fn other(entry: &Entry<'_>, report: &mut Report) -> Known {
    let (kind, shape) = match kind_word::<OtherWord>(entry, report) {
        Some(OtherWord::Gate) => (DeviceKind::Gate, Some(Shape::moving(Purpose::Gate, 1))),
        Some(OtherWord::Uncoupler) => (DeviceKind::Uncoupler, Some(Shape::moving(Purpose::Uncoupler, 1))),
        Some(OtherWord::Lamp) => (DeviceKind::Lamp, Some(Shape::lights(1, 1))),
        None => (DeviceKind::Lamp, None),
    };
    Known::of(kind, shape)
}

fn kind_word<T: Written>(entry: &Entry<'_>, report: &mut Report) -> Option<T> {
    let Some(field) = entry.get("kind") else {
        report.problem(entry.missing("kind", "what it is cannot be guessed", report).expected(T::EXPECTED));
        return None;
    };
    field.read(report)
}

/// Two statements that cannot both hold.
pub(super) fn contradiction(what: impl Into<String>, expected: impl Into<String>) -> Fault {
    Fault::new(Code::Contradiction, what).expected(expected)
}
