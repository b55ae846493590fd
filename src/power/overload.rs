//! How long a fuse carries more than its rating.

use crate::quantity::Current;

/// So many times its rating a miniature fuse carries for an hour at least: IEC 60127-2, from memory.
const CARRIES: f64 = 1.5;

/// At so many times its rating it opens within 30 minutes, a time-lag one as a rule within 2: IEC 60127-2, from memory.
const OPENS: f64 = 2.1;

/// What a fuse does under a current that does not end by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Opening {
    /// It is within its rating.
    Stays,
    /// It carries the current for an hour at least, and may open after that.
    AfterAnHour,
    /// The standard names no time.
    NotSaid,
    /// Within 30 minutes, a time-lag one as a rule within 2.
    Soon,
}

/// What a fuse of a rating does under a current.
pub fn opening(current: Current, rating: Current) -> Opening {
    let times = current / rating;
    if times <= 1.0 {
        Opening::Stays
    } else if times <= CARRIES {
        Opening::AfterAnHour
    } else if times < OPENS {
        Opening::NotSaid
    } else {
        Opening::Soon
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fuse_opens_as_its_standard_says() {
        let under = |current| opening(Current(current), Current(2.0));
        assert_eq!([2.0, 2.1, 3.0].map(under), [Opening::Stays, Opening::AfterAnHour, Opening::AfterAnHour]);
        assert_eq!([3.1, 4.1, 4.2, 20.0].map(under), [Opening::NotSaid, Opening::NotSaid, Opening::Soon, Opening::Soon]);
    }
}
