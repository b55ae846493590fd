//! How old a price may be.

use crate::day::Day;

/// The day of the order, and for how long a price is good after it was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fresh {
    /// The day of the order.
    pub on: Day,
    /// For how many days a price is good.
    pub days: u32,
}

impl Fresh {
    /// Whether what was checked on a day is too old by the day of the order.
    pub fn is_old(self, checked_on: Day) -> bool {
        checked_on.until(self.on) > i64::from(self.days)
    }
}
