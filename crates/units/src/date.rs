//! Days of the calendar, and the counting of days and months as law and ledger count them.

use core::fmt;
use core::str::FromStr;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A day of the Gregorian calendar, as it stands on the site's own calendar.
///
/// The caller turns an instant into a day with the site's offset at that instant; nothing here knows time zones.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: i16,
    month: u8,
    day: u8,
}

/// Why a text or three numbers are no date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DateError {
    /// Not of the form 2026-11-25.
    Form(String),
    /// No such day in the calendar, or a year outside 1900 to 2200.
    NoSuchDay {
        /// The year given.
        year: i32,
        /// The month given.
        month: u32,
        /// The day given.
        day: u32,
    },
}

impl Date {
    /// Returns the day with this year, month and day of the month.
    ///
    /// # Errors
    /// [`DateError::NoSuchDay`] for a day the calendar does not have, or a year outside 1900 to 2200.
    pub fn new(year: i32, month: u32, day: u32) -> Result<Self, DateError> {
        let wrong = DateError::NoSuchDay { year, month, day };
        if !(1900..=2200).contains(&year) || !(1..=12).contains(&month) || day == 0 {
            return Err(wrong);
        }
        let (y, m) = (year as i16, month as u8);
        if day > u32::from(days_in_month(y, m)) {
            return Err(wrong);
        }
        Ok(Self { year: y, month: m, day: day as u8 })
    }

    /// Returns the year.
    #[must_use]
    pub const fn year(self) -> i32 {
        self.year as i32
    }

    /// Returns the month, 1 to 12.
    #[must_use]
    pub const fn month(self) -> u32 {
        self.month as u32
    }

    /// Returns the day of the month, 1 to 31.
    #[must_use]
    pub const fn day(self) -> u32 {
        self.day as u32
    }

    /// Returns the days from 1970-01-01 to this day; negative before it.
    ///
    /// Counts in the 400-year cycle of the Gregorian calendar with the year beginning in March.
    #[must_use]
    pub const fn day_number(self) -> i32 {
        let y = self.year as i32 - if self.month <= 2 { 1 } else { 0 };
        let era = y.div_euclid(400);
        let of_era = y.rem_euclid(400);
        let march = (self.month as i32 + 9) % 12;
        let of_year = (153 * march + 2) / 5 + self.day as i32 - 1;
        era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
    }

    /// Returns the day that lies `number` days after 1970-01-01, held inside 1900 to 2200.
    #[must_use]
    pub fn from_day_number(number: i32) -> Self {
        let first = Self { year: 1900, month: 1, day: 1 };
        let last = Self { year: 2200, month: 12, day: 31 };
        let z = number.clamp(first.day_number(), last.day_number()) + 719_468;
        let era = z.div_euclid(146_097);
        let of_era = z.rem_euclid(146_097);
        let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let march = (5 * of_year + 2) / 153;
        let day = of_year - (153 * march + 2) / 5 + 1;
        let month = if march < 10 { march + 3 } else { march - 9 };
        let year = year_of_era + era * 400 + i32::from(month <= 2);
        Self { year: year as i16, month: month as u8, day: day as u8 }
    }

    /// Returns the day `days` days after this one; this day itself is not counted.
    ///
    /// "Within 7 days after an event" on 2 November ends on 9 November.
    #[must_use]
    pub fn days_after(self, days: i32) -> Self {
        Self::from_day_number(self.day_number().saturating_add(days))
    }

    /// Returns the same day of the month `months` months later, or that month's last day where it has no such day.
    ///
    /// The last-day rule: one month after 31 March ends on 30 April. For the European Union it stands in
    /// Regulation (EEC, Euratom) 1182/71 (recalled); elsewhere it is common practice.
    #[must_use]
    pub fn months_after(self, months: i32) -> Self {
        let index = i32::from(self.year) * 12 + i32::from(self.month) - 1 + months;
        let year = index.div_euclid(12).clamp(1900, 2200) as i16;
        let month = (index.rem_euclid(12) + 1) as u8;
        Self { year, month, day: self.day.min(days_in_month(year, month)) }
    }

    /// Returns the day `days` working days later: Saturdays and Sundays are not counted, holidays are.
    ///
    /// Holidays are not known here, so the true last day may be later, never earlier.
    #[must_use]
    pub fn working_days_after(self, days: u32) -> Self {
        let mut day = self;
        let mut left = days.min(400);
        while left > 0 {
            day = day.days_after(1);
            if day.weekday() < 5 {
                left -= 1;
            }
        }
        day
    }

    /// Returns the day of the week: 0 for Monday to 6 for Sunday.
    #[must_use]
    pub const fn weekday(self) -> u32 {
        (self.day_number() + 3).rem_euclid(7) as u32
    }

    /// Returns the days from `earlier` to this day; negative if this day comes first.
    #[must_use]
    pub const fn days_since(self, earlier: Self) -> i32 {
        self.day_number() - earlier.day_number()
    }

    /// Returns the last day of `year`.
    #[must_use]
    pub fn end_of_year(year: i32) -> Self {
        Self { year: year.clamp(1900, 2200) as i16, month: 12, day: 31 }
    }

    /// Returns the given day of a year that is known to have it, such as 1 March; the year is held to 1900 to 2200.
    #[must_use]
    pub fn fixed(year: i32, month: u8, day: u8) -> Self {
        let year = year.clamp(1900, 2200) as i16;
        Self { year, month, day: day.min(days_in_month(year, month)) }
    }
}

const fn days_in_month(year: i16, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        _ => 31,
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl FromStr for Date {
    type Err = DateError;

    /// Reads `2026-11-25`.
    fn from_str(text: &str) -> Result<Self, DateError> {
        let form = || DateError::Form(text.to_owned());
        let mut parts = text.trim().splitn(3, '-');
        let mut next = |length: usize| -> Result<u32, DateError> {
            let part = parts.next().ok_or_else(form)?;
            if part.len() != length || !part.bytes().all(|b| b.is_ascii_digit()) {
                return Err(form());
            }
            part.parse().map_err(|_| form())
        };
        let (year, month, day) = (next(4)?, next(2)?, next(2)?);
        Self::new(year as i32, month, day)
    }
}

/// Minutes after midnight on the site's clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TimeOfDay(u16);

impl TimeOfDay {
    /// Returns the time of day with this hour and minute, or nothing if the clock has no such time.
    #[must_use]
    pub const fn new(hour: u32, minute: u32) -> Option<Self> {
        if hour < 24 && minute < 60 { Some(Self((hour * 60 + minute) as u16)) } else { None }
    }

    /// Returns the minutes after midnight.
    #[must_use]
    pub const fn minutes(self) -> u32 {
        self.0 as u32
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

impl FromStr for TimeOfDay {
    type Err = DateError;

    /// Reads `10:05`.
    fn from_str(text: &str) -> Result<Self, DateError> {
        let form = || DateError::Form(text.to_owned());
        let (hour, minute) = text.trim().split_once(':').ok_or_else(form)?;
        if hour.len() != 2 || minute.len() != 2 {
            return Err(form());
        }
        let hour = hour.parse().map_err(|_| form())?;
        let minute = minute.parse().map_err(|_| form())?;
        Self::new(hour, minute).ok_or_else(form)
    }
}

macro_rules! as_text {
    ($($type:ident),*) => {$(
        impl Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse().map_err(|_| serde::de::Error::custom(format_args!("no {}: {text:?}", stringify!($type))))
            }
        }
    )*};
}
as_text!(Date, TimeOfDay);

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn date(text: &str) -> Date {
        text.parse().unwrap()
    }

    #[test]
    fn known_days() {
        assert_eq!(date("1970-01-01").day_number(), 0);
        assert_eq!(date("2000-03-01").day_number(), 11_017);
        assert_eq!(date("2026-11-25").weekday(), 2); // a Wednesday
    }

    #[test]
    fn leap_days_exist_only_in_leap_years() {
        assert!("2024-02-29".parse::<Date>().is_ok());
        assert!("2000-02-29".parse::<Date>().is_ok());
        assert!("2100-02-29".parse::<Date>().is_err());
        assert!("2026-02-29".parse::<Date>().is_err());
    }

    #[test]
    fn months_end_by_the_last_day_rule() {
        assert_eq!(date("2026-03-31").months_after(1), date("2026-04-30"));
        assert_eq!(date("2024-01-31").months_after(1), date("2024-02-29"));
        assert_eq!(date("2024-02-29").months_after(12), date("2025-02-28"));
        assert_eq!(date("2026-01-15").months_after(-2), date("2025-11-15"));
        assert_eq!(date("2025-12-15").months_after(15), date("2027-03-15"));
    }

    #[test]
    fn working_days_skip_the_weekend() {
        assert_eq!(date("2026-11-26").working_days_after(4), date("2026-12-02")); // Thursday to Wednesday
    }

    #[test]
    fn bad_texts_are_refused() {
        for text in [
            "",
            "2026-1-05",
            "2026/01/05",
            "26-01-05",
            "2026-13-01",
            "2026-00-10",
            "+026-01-01",
            "1899-12-31",
        ] {
            assert!(text.parse::<Date>().is_err(), "{text}");
        }
        for text in ["24:00", "7:30", "12:60", "noon"] {
            assert!(text.parse::<TimeOfDay>().is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn day_numbers_go_there_and_back(n in -25_567i32..84_370) {
            let day = Date::from_day_number(n);
            prop_assert_eq!(day.day_number(), n);
            prop_assert_eq!(day.days_after(1).days_since(day), 1);
            prop_assert_eq!(day.to_string().parse::<Date>().unwrap(), day);
        }

        #[test]
        fn a_month_later_is_28_to_31_days_later(n in -20_000i32..80_000) {
            let day = Date::from_day_number(n);
            let days = day.months_after(1).days_since(day);
            prop_assert!((28..=31).contains(&days));
        }
    }
}
