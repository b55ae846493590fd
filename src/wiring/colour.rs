//! Colours of conductors, by the letters of IEC 60757.

use super::model::Use;

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
        Use::Power => &[Colour::Red, Colour::Black, Colour::Grey],
        Use::Link => &[Colour::Blue, Colour::Violet, Colour::White, Colour::Green],
        Use::Light => &[Colour::Orange],
        Use::Proving => &[Colour::Brown, Colour::Pink],
        Use::Frog => &[Colour::Green, Colour::Brown, Colour::Pink],
    };
    colours.iter().cycle().nth(n as usize).copied().unwrap_or(Colour::White)
}
