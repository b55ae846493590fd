//! Colours of conductors, by the letters of IEC 60757.

use super::run::Use;

/// A colour and its letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Colour {
    /// Black.
    Black,
    /// Brown.
    Brown,
    /// Red.
    Red,
    /// Orange.
    Orange,
    /// Yellow.
    Yellow,
    /// Green.
    Green,
    /// Blue.
    Blue,
    /// Violet.
    Violet,
    /// Grey.
    Grey,
    /// White.
    White,
    /// Pink.
    Pink,
}

impl Colour {
    /// The letters of IEC 60757.
    pub fn letters(self) -> &'static str {
        match self {
            Self::Black => "BK",
            Self::Brown => "BN",
            Self::Red => "RD",
            Self::Orange => "OG",
            Self::Yellow => "YE",
            Self::Green => "GN",
            Self::Blue => "BU",
            Self::Violet => "VT",
            Self::Grey => "GY",
            Self::White => "WH",
            Self::Pink => "PK",
        }
    }

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::Black => "black",
            Self::Brown => "brown",
            Self::Red => "red",
            Self::Orange => "orange",
            Self::Yellow => "yellow",
            Self::Green => "green",
            Self::Blue => "blue",
            Self::Violet => "violet",
            Self::Grey => "grey",
            Self::White => "white",
            Self::Pink => "pink",
        }
    }
}

/// The colour of conductor `n` (from 0) among those of one use at one subject: our own convention, printed with the schedule. Red goes out,
/// black comes home; what one use needs beyond its colours begins again with the first.
pub fn colour(purpose: Use, n: u32) -> Colour {
    let colours: &[Colour] = match purpose {
        Use::Drive => &[Colour::Yellow, Colour::White],
        Use::Return => &[Colour::Black],
        Use::Power => &[Colour::Red, Colour::Black],
        Use::Link => &[Colour::Blue, Colour::Violet, Colour::White],
        Use::Light => &[Colour::Orange],
        Use::Proving => &[Colour::Brown, Colour::Pink],
        Use::Reading => &[Colour::Violet, Colour::Grey],
        Use::Frog => &[Colour::Green, Colour::Brown, Colour::Pink],
    };
    colours.iter().cycle().nth(n as usize).copied().unwrap_or(Colour::White)
}

/// What the last core of a link is: where its signals come home, apart from the current of the motors.
pub(super) const LINK_RETURN: &str = "link return";

/// The use and colour of a core of a link, from 0, among so many: the last of several is the common return.
pub(super) fn link_core(core: u32, of: u32) -> (&'static str, Colour) {
    if of > 1 && core + 1 == of { (LINK_RETURN, Colour::Grey) } else { (Use::Link.word(), colour(Use::Link, core)) }
}

/// The name and colour of a core of a lead, from 0: the order in which such leads have them. Common practice, no source.
pub(super) fn lead_core(core: u32) -> (&'static str, Colour) {
    match core {
        0 => ("signal", Colour::Yellow),
        1 => ("plus", Colour::Red),
        2 => ("minus", Colour::Black),
        _ => ("spare", Colour::Grey),
    }
}

/// Colours by their letters, each once, in words: `BK black, RD red`.
pub fn legend(colours: impl IntoIterator<Item = Colour>) -> String {
    let used: std::collections::BTreeSet<Colour> = colours.into_iter().collect();
    used.into_iter().map(|colour| format!("{} {}", colour.letters(), colour.word())).collect::<Vec<_>>().join(", ")
}
