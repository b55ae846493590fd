//! The fixed words of a layout file.

use super::forms::{Fault, Written};
use super::model::{Controllers, DecideBy, FrogKind, Lamps, SwitchOn};
use crate::diagnostic::Code;
use crate::mechanics::{SCALES, Scale};
use crate::name::nearest;

/// Reads one of a list of words; case and extra spaces do not matter.
pub(super) fn word<T: Copy>(text: &str, all: &[T], write: impl Fn(T) -> &'static str) -> Result<T, Fault> {
    let folded = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    all.iter().copied().find(|word| write(*word).to_lowercase() == folded).ok_or_else(|| Fault {
        nearest: nearest(&folded, all.iter().map(|word| write(*word))),
        ..Fault::new(Code::UnknownWord, format!("`{}` is not a word known here", super::report::shown(text)))
    })
}

macro_rules! written_words {
    ($($name:ty, $expected:literal, $all:expr, $word:expr;)+) => {$(
        impl Written for $name {
            const EXPECTED: &'static str = $expected;

            fn read(text: &str) -> Result<Self, Fault> {
                word(text, &$all, $word)
            }

            fn write(&self) -> String {
                $word(*self).to_owned()
            }
        }
    )+};
}

/// The three sorts of signal, as a layout file names them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SignalWord {
    /// Arms that move.
    Semaphore,
    /// Lamps.
    ColourLight,
    /// One low arm or disc.
    GroundSignal,
}

impl SignalWord {
    fn word(self) -> &'static str {
        match self {
            Self::Semaphore => "semaphore",
            Self::ColourLight => "colour light",
            Self::GroundSignal => "ground signal",
        }
    }
}

/// The three sorts of other things.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OtherWord {
    /// A crossing gate.
    Gate,
    /// An uncoupler.
    Uncoupler,
    /// A switched lamp.
    Lamp,
}

impl OtherWord {
    fn word(self) -> &'static str {
        match self {
            Self::Gate => "gate",
            Self::Uncoupler => "uncoupler",
            Self::Lamp => "lamp",
        }
    }
}

/// Yes or no.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct YesNo(pub(super) bool);

impl Written for YesNo {
    const EXPECTED: &'static str = "yes or no";

    fn read(text: &str) -> Result<Self, Fault> {
        word(text, &[("yes", true), ("true", true), ("no", false), ("false", false)], |(word, _)| word).map(|(_, yes)| Self(yes))
    }

    fn write(&self) -> String {
        (if self.0 { "yes" } else { "no" }).to_owned()
    }
}

/// A scale by one of its names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct ScaleWord(pub(super) &'static Scale);

impl Written for ScaleWord {
    const EXPECTED: &'static str = "one of Z, N, TT, H0, 00, S, 0";

    fn read(text: &str) -> Result<Self, Fault> {
        let names: Vec<(&str, &'static Scale)> =
            SCALES.iter().flat_map(|scale| scale.names.iter().map(move |name| (*name, scale))).collect();
        word(text, &names, |(name, _)| name).map(|(_, scale)| Self(scale))
    }

    fn write(&self) -> String {
        self.0.names.first().copied().unwrap_or_default().to_owned()
    }
}

written_words! {
    FrogKind, "one of insulated, live, blade fed", [FrogKind::Insulated, FrogKind::Live, FrogKind::BladeFed], FrogKind::word;
    Controllers, "one of each board, neighbour", [Controllers::EachBoard, Controllers::Neighbour], Controllers::word;
    Lamps, "one of none, commanded, proved", [Lamps::None, Lamps::Commanded, Lamps::Proved], Lamps::word;
    SwitchOn, "one of held, quiet, twitching", SwitchOn::ALL, SwitchOn::word;
    DecideBy, "one of money, hours, conductors, life cost", DecideBy::ALL, DecideBy::word;
    SignalWord, "one of semaphore, colour light, ground signal",
        [SignalWord::Semaphore, SignalWord::ColourLight, SignalWord::GroundSignal], SignalWord::word;
    OtherWord, "one of gate, uncoupler, lamp", [OtherWord::Gate, OtherWord::Uncoupler, OtherWord::Lamp], OtherWord::word;
}
