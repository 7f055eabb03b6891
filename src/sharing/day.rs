//! Days as they stand in records and lists: ISO 8601, UTC. Must not know what happens on them.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use std::fmt;
use std::str::FromStr;
use time::{Date, Duration, Month, OffsetDateTime};

/// A day of the calendar (`2026-11-25`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(Date);

impl Day {
    /// Today in UTC.
    pub fn today() -> Day {
        Day(OffsetDateTime::now_utc().date())
    }

    /// The day so many days later; the last day of the calendar where there is none.
    pub fn after(self, days: u32) -> Day {
        Day(self.0.saturating_add(Duration::days(days.into())))
    }

    /// Days from `earlier` to this one; negative when it lies before.
    pub fn days_since(self, earlier: Day) -> i64 {
        (self.0 - earlier.0).whole_days()
    }
}

impl FromStr for Day {
    type Err = String;

    fn from_str(text: &str) -> Result<Day, String> {
        let wrong = || format!("\"{text}\" is no day; write it like 2026-11-25");
        let digits =
            text.bytes().enumerate().all(|(i, b)| if i == 4 || i == 7 { b == b'-' } else { b.is_ascii_digit() });
        if text.len() != 10 || !digits {
            return Err(wrong());
        }
        let number = |range: std::ops::Range<usize>| text.get(range).and_then(|t| t.parse::<u16>().ok());
        let (Some(year), Some(month), Some(day)) = (number(0..4), number(5..7), number(8..10)) else {
            return Err(wrong());
        };
        let part = |n: u16| u8::try_from(n).map_err(|_| wrong());
        let month = Month::try_from(part(month)?).map_err(|_| wrong())?;
        Date::from_calendar_date(year.into(), month, part(day)?).map(Day).map_err(|_| wrong())
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.0.year(), u8::from(self.0.month()), self.0.day())
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Day, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_it_prints_and_nothing_else() {
        assert_eq!("2028-02-29".parse::<Day>().unwrap().to_string(), "2028-02-29");
        for text in ["", "2027-02-29", "2026-13-01", "2026-1-01", "+026-01-01", "2026-01-01 ", "20260-1-01", "2026-0é"]
        {
            assert!(text.parse::<Day>().is_err(), "{text}");
        }
    }

    #[test]
    fn counts_days() {
        let day = |text: &str| text.parse::<Day>().unwrap();
        // 2028 is a leap year: 366 days from one first of January to the next.
        assert_eq!(day("2029-01-01").days_since(day("2028-01-01")), 366);
        assert_eq!(day("2028-02-28").after(2), day("2028-03-01"));
        assert_eq!(day("9999-12-30").after(40).to_string(), "9999-12-31");
    }
}
