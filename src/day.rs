//! A day of the calendar. The program knows no clock: every day is written by the user.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;

/// A day of the calendar, written `YYYY-MM-DD` as in ISO 8601.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(Date);

/// A text that is no day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("this is not a day of the calendar, written as in 2024-05-31")]
pub struct NotADay;

impl FromStr for Day {
    type Err = NotADay;

    fn from_str(text: &str) -> Result<Self, NotADay> {
        // The library takes other forms of the standard as well, with times and without dashes.
        let is_plain = text.len() == 10 && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
        text.parse().ok().filter(|_| is_plain).map(Self).ok_or(NotADay)
    }
}

impl Day {
    /// How many days lie between this day and a later one; negative if that is earlier.
    pub fn until(self, later: Self) -> i64 {
        self.0.duration_until(later.0).as_hours() / 24
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_of_the_calendar_are_told_from_others() {
        let is_day = |text: &str| text.parse::<Day>().is_ok_and(|day| day.to_string() == text);
        assert!(["2024-02-29", "2000-02-29", "2023-12-31"].into_iter().all(is_day));
        let not = [
            "2023-02-29",
            "1900-02-29",
            "2024-13-01",
            "2024-00-10",
            "24-01-01",
            "31.01.2024",
            "2024-1-1",
            "",
            "20240229",
            "-009999-01",
        ];
        assert!(!not.into_iter().any(is_day));
    }

    #[test]
    fn days_are_counted_over_leap_days() {
        let day = |text: &str| text.parse::<Day>().unwrap();
        assert_eq!(day("2024-02-28").until(day("2024-03-01")), 2);
        assert_eq!(day("2023-02-28").until(day("2023-03-01")), 1);
        assert_eq!(day("2024-03-01").until(day("2024-02-28")), -2);
    }
}
