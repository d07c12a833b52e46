//! A day of the calendar, and the counting of days as the law and the ledger need it.

/// A day of the Gregorian calendar, without time or place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(i32);

impl Day {
    /// Returns the day `year`-`month`-`day`, or nothing if the calendar has no such day.
    ///
    /// Years 1 to 9999.
    #[must_use]
    pub fn from_calendar(year: i32, month: u32, day: u32) -> Option<Self> {
        if !(1..=9999).contains(&year) || !(1..=12).contains(&month) || day < 1 || day > days_in(year, month)
        {
            return None;
        }
        // Counts from the first of March, so that the leap day comes last.
        let y = i64::from(if month <= 2 { year - 1 } else { year });
        let m = i64::from(if month <= 2 { month + 9 } else { month - 3 });
        let era = y.div_euclid(400);
        let year_of_era = y.rem_euclid(400);
        let day_of_year = (153 * m + 2) / 5 + i64::from(day) - 1;
        let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
        i32::try_from(era * 146_097 + day_of_era - 719_468).ok().map(Self)
    }

    /// Returns year, month and day of the month.
    #[must_use]
    pub fn calendar(self) -> (i32, u32, u32) {
        let z = i64::from(self.0) + 719_468;
        let era = z.div_euclid(146_097);
        let day_of_era = z.rem_euclid(146_097);
        let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let m = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * m + 2) / 5 + 1;
        let month = if m < 10 { m + 3 } else { m - 9 };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        // All three lie in range by construction.
        (year as i32, month as u32, day as u32)
    }

    /// Returns the day whose distance from 1970-01-01 is `days`.
    #[must_use]
    pub const fn from_days_since_1970(days: i32) -> Self {
        Self(days)
    }

    /// Returns the distance from 1970-01-01 in days.
    #[must_use]
    pub const fn days_since_1970(self) -> i32 {
        self.0
    }

    /// Returns the number of days from `earlier` to this day; negative if this day comes first.
    ///
    /// The day counted from is left out, as laws count "within N days after".
    #[must_use]
    pub fn days_since(self, earlier: Day) -> i64 {
        i64::from(self.0) - i64::from(earlier.0)
    }

    /// Returns the same day of the month `months` later, or the last day of that month if it is shorter.
    #[must_use]
    pub fn plus_months(self, months: u32) -> Option<Self> {
        let (year, month, day) = self.calendar();
        let total = i64::from(year) * 12 + i64::from(month) - 1 + i64::from(months);
        let year = i32::try_from(total.div_euclid(12)).ok()?;
        let month = u32::try_from(total.rem_euclid(12)).ok()? + 1;
        Self::from_calendar(year, month, day.min(days_in(year, month)))
    }
}

impl core::fmt::Display for Day {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let (year, month, day) = self.calendar();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

/// A text is not a day written as year-month-day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotADay;

impl core::str::FromStr for Day {
    type Err = NotADay;
    /// Returns the day that `text` names as `2026-11-25`.
    fn from_str(text: &str) -> Result<Self, NotADay> {
        let mut parts = text.trim().splitn(3, '-');
        let mut next = || parts.next().filter(|part| part.bytes().all(|b| b.is_ascii_digit())).ok_or(NotADay);
        let year = next()?.parse().map_err(|_| NotADay)?;
        let month = next()?.parse().map_err(|_| NotADay)?;
        let day = next()?.parse().map_err(|_| NotADay)?;
        Self::from_calendar(year, month, day).ok_or(NotADay)
    }
}

fn days_in(year: i32, month: u32) -> u32 {
    match month {
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_days() {
        assert_eq!(Day::from_calendar(1970, 1, 1).unwrap().days_since_1970(), 0);
        assert_eq!(Day::from_calendar(2000, 3, 1).unwrap().days_since_1970(), 11_017);
        assert_eq!(Day::from_calendar(2026, 2, 29), None);
        assert_eq!(Day::from_calendar(2024, 2, 29).unwrap().to_string(), "2024-02-29");
        assert_eq!("2026-11-25".parse::<Day>().unwrap().calendar(), (2026, 11, 25));
        for bad in ["", "2026-13-01", "2026-11", "2026-11-31", "-5-1-1", "26.11.2026", "2026-11-25x"] {
            assert_eq!(bad.parse::<Day>(), Err(NotADay), "{bad}");
        }
    }

    #[test]
    fn a_month_after_the_last_of_january_is_the_last_of_february() {
        let day = Day::from_calendar(2026, 1, 31).unwrap();
        assert_eq!(day.plus_months(1).unwrap().to_string(), "2026-02-28");
        assert_eq!(day.plus_months(12).unwrap().to_string(), "2027-01-31");
    }

    proptest::proptest! {
        #[test]
        fn calendar_there_and_back(days in -700_000i32..2_900_000) {
            let day = Day::from_days_since_1970(days);
            let (y, m, d) = day.calendar();
            proptest::prop_assert_eq!(Day::from_calendar(y, m, d), Some(day));
        }
    }
}
