//! A moment as it was written: an instant with the offset of its place, or a calendar day.

use crate::words::SettingOf;
use core::fmt;
use serde::{Deserialize, Serialize};
use units::Date;

/// The first year that is taken.
pub const FIRST_YEAR: i32 = 1950;
/// The last year that is taken.
pub const LAST_YEAR: i32 = 2199;

const DAY_SECONDS: i64 = 86_400;

/// Returns the day written as `2031-05-06`, if the calendar has it and its year lies in 1950 to 2199.
#[must_use]
pub fn read_day(text: &str) -> Option<Date> {
    let day: Date = text.parse().ok()?;
    (FIRST_YEAR..=LAST_YEAR).contains(&day.year()).then_some(day)
}

/// Returns the day that lies `days` after 1970-01-01, if its year lies in 1950 to 2199.
fn day_after_1970(days: i64) -> Option<Date> {
    let day = Date::from_day_number(i32::try_from(days).ok()?);
    (FIRST_YEAR..=LAST_YEAR).contains(&day.year()).then_some(day)
}

fn digits(bytes: &[u8], from: usize, count: usize) -> Option<i32> {
    let part = bytes.get(from..from + count)?;
    part.iter().try_fold(0, |total, b| b.is_ascii_digit().then(|| total * 10 + i32::from(b - b'0')))
}

/// When something happened.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(into = "Wire", try_from = "Wire")]
pub enum When {
    /// An instant, with the offset that the clocks of the place showed then.
    Instant {
        /// Milliseconds since 1970-01-01T00:00:00Z.
        unix_millis: i64,
        /// Local time minus UTC, in minutes.
        offset_minutes: i16,
        /// The IANA name of the time zone, when it was given.
        zone: Option<String>,
    },
    /// A calendar day, for history that nobody timed.
    Date(Date),
}

#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum Wire {
    Zoned { time: String, zone: String },
    Plain(String),
}

impl From<When> for Wire {
    fn from(when: When) -> Self {
        match &when {
            When::Instant { zone: Some(zone), .. } => {
                Wire::Zoned { time: when.to_string(), zone: zone.clone() }
            }
            _ => Wire::Plain(when.to_string()),
        }
    }
}

impl TryFrom<Wire> for When {
    type Error = &'static str;
    fn try_from(wire: Wire) -> Result<Self, Self::Error> {
        let (text, name) = match wire {
            Wire::Zoned { time, zone } => (time, Some(zone)),
            Wire::Plain(text) => (text, None),
        };
        match (When::read(&text, &Local::default()), name) {
            (Ok(When::Instant { unix_millis, offset_minutes, .. }), zone) => {
                Ok(When::Instant { unix_millis, offset_minutes, zone })
            }
            (Ok(day), None) => Ok(day),
            _ => Err("not a moment"),
        }
    }
}

/// What the place tells about times written without a date or an offset.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Local {
    /// Local time minus UTC, in minutes.
    pub offset_minutes: Option<i16>,
    /// The IANA name of the time zone.
    pub zone: Option<String>,
    /// The day of the visit, for times of day.
    pub date: Option<Date>,
    /// What the setting is whose value is being read: a superheat is a difference, a thermostat a temperature.
    pub setting: Option<SettingOf>,
}

/// Why a text is no moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WhenFault {
    /// Neither a date nor a time.
    Unreadable,
    /// A day or time that no calendar or clock shows.
    NoSuchMoment,
    /// The year lies outside 1950 to 2199.
    YearOutside,
    /// A local time, and the file does not say the place's offset from UTC.
    OffsetMissing,
    /// A time of day, and the file does not say the day of the visit.
    DateMissing,
}

impl When {
    /// Returns the instant of a local day and time of day at an offset, if the parts exist.
    #[must_use]
    pub fn from_local(
        day: Date,
        milli_of_day: i64,
        offset_minutes: i16,
        zone: Option<String>,
    ) -> Option<Self> {
        if !(0..DAY_SECONDS * 1000).contains(&milli_of_day) || !(-1439..=1439).contains(&offset_minutes) {
            return None;
        }
        let unix_millis = i64::from(day.day_number()) * DAY_SECONDS * 1000 + milli_of_day
            - i64::from(offset_minutes) * 60_000;
        Some(When::Instant { unix_millis, offset_minutes, zone })
    }

    /// Reads `2031-05-06`, `2031-05-06T08:10`, `2031-05-06 08:10:30+01:00`, `08:10`; what is not written comes from
    /// `local`.
    ///
    /// # Errors
    /// [`WhenFault`] with the part that is missing or wrong.
    pub fn read(text: &str, local: &Local) -> Result<Self, WhenFault> {
        let text = text.trim();
        let b = text.as_bytes();
        let (day, time) = if b.get(2) == Some(&b':') {
            (local.date.ok_or(WhenFault::DateMissing)?, text)
        } else {
            let date = text.get(..10).ok_or(WhenFault::Unreadable)?;
            if b[4] != b'-' || b[7] != b'-' {
                return Err(WhenFault::Unreadable);
            }
            let year = digits(b, 0, 4).ok_or(WhenFault::Unreadable)?;
            if !(FIRST_YEAR..=LAST_YEAR).contains(&year) {
                return Err(WhenFault::YearOutside);
            }
            let day = read_day(date).ok_or(WhenFault::NoSuchMoment)?;
            match b.get(10) {
                None => return Ok(When::Date(day)),
                Some(b'T' | b't' | b' ') => (day, &text[11..]),
                Some(_) => return Err(WhenFault::Unreadable),
            }
        };
        let t = time.as_bytes();
        if t.get(2) != Some(&b':') {
            return Err(WhenFault::Unreadable);
        }
        let hour = digits(t, 0, 2).ok_or(WhenFault::Unreadable)?;
        let minute = digits(t, 3, 2).ok_or(WhenFault::Unreadable)?;
        let mut end = 5;
        let mut second = 0;
        if t.get(5) == Some(&b':') {
            second = digits(t, 6, 2).ok_or(WhenFault::Unreadable)?;
            end = 8;
        }
        let mut milli = 0;
        if end == 8 && t.get(8) == Some(&b'.') {
            let count = t[9..].iter().take_while(|d| d.is_ascii_digit()).count();
            if count == 0 {
                return Err(WhenFault::Unreadable);
            }
            for place in 0..3 {
                let digit = if place < count { i64::from(t[9 + place] - b'0') } else { 0 };
                milli = milli * 10 + digit;
            }
            end = 9 + count;
        }
        if hour > 23 || minute > 59 || second > 59 {
            return Err(WhenFault::NoSuchMoment);
        }
        let (offset, zone) = match &time[end..] {
            "" => (local.offset_minutes.ok_or(WhenFault::OffsetMissing)?, local.zone.clone()),
            given => {
                let offset = read_offset(given).ok_or(WhenFault::Unreadable)?;
                let same = local.offset_minutes.is_none_or(|here| here == offset);
                (offset, if same { local.zone.clone() } else { None })
            }
        };
        let milli_of_day = i64::from(hour * 3600 + minute * 60 + second) * 1000 + milli;
        When::from_local(day, milli_of_day, offset, zone).ok_or(WhenFault::NoSuchMoment)
    }

    /// Returns the day that the calendar of the place showed; law counts by it.
    #[must_use]
    pub fn local_day(&self) -> Option<Date> {
        match self {
            When::Date(day) => Some(*day),
            When::Instant { unix_millis, offset_minutes, .. } => day_after_1970(
                unix_millis
                    .saturating_add(i64::from(*offset_minutes) * 60_000)
                    .div_euclid(DAY_SECONDS * 1000),
            ),
        }
    }

    /// Returns the milliseconds since 1970-01-01T00:00:00Z; of a day its noon in UTC, right within a day.
    #[must_use]
    pub fn unix_millis(&self) -> i64 {
        match self {
            When::Instant { unix_millis, .. } => *unix_millis,
            When::Date(day) => (i64::from(day.day_number()) * DAY_SECONDS + DAY_SECONDS / 2) * 1000,
        }
    }

    /// Returns the time from `earlier` to this, right within a day where one of them is a day.
    #[must_use]
    pub fn since(&self, earlier: &When) -> units::Duration {
        units::Duration::from_second(
            (self.unix_millis().saturating_sub(earlier.unix_millis())) as f64 / 1000.0,
        )
    }

    /// Returns whether only the day is known.
    #[must_use]
    pub const fn is_day(&self) -> bool {
        matches!(self, When::Date(_))
    }

    /// Returns whether this lies before `other` beyond doubt: of days, on an earlier day.
    #[must_use]
    pub fn surely_before(&self, other: &When) -> bool {
        if self.is_day() || other.is_day() {
            self.local_day() < other.local_day()
        } else {
            self.unix_millis() < other.unix_millis()
        }
    }
}

/// Reads an offset from UTC, `Z`, `+01:00` or `-0700`, in minutes.
#[must_use]
pub fn read_offset(text: &str) -> Option<i16> {
    let text = text.trim();
    if text.eq_ignore_ascii_case("z") || text.eq_ignore_ascii_case("utc") {
        return Some(0);
    }
    let b = text.as_bytes();
    let sign = match b.first()? {
        b'+' => 1,
        b'-' => -1,
        _ => return None,
    };
    let hour = digits(b, 1, 2)?;
    let minute = match b.len() {
        3 => 0,
        5 => digits(b, 3, 2)?,
        6 if b[3] == b':' => digits(b, 4, 2)?,
        _ => return None,
    };
    (hour <= 14 && minute <= 59).then(|| i16::try_from(sign * (hour * 60 + minute)).ok()).flatten()
}

impl fmt::Display for When {
    /// Writes RFC 3339 with the offset of the place, or the day alone.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let When::Instant { unix_millis, offset_minutes, .. } = self else {
            let When::Date(day) = self else { return Ok(()) };
            return write!(f, "{day}");
        };
        let local = unix_millis.saturating_add(i64::from(*offset_minutes) * 60_000);
        let Some(day) = day_after_1970(local.div_euclid(DAY_SECONDS * 1000)) else {
            return write!(f, "{unix_millis} ms");
        };
        let milli = local.rem_euclid(DAY_SECONDS * 1000);
        let second = milli / 1000;
        write!(f, "{day}T{:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60)?;
        if milli % 1000 != 0 {
            write!(f, ".{:03}", milli % 1000)?;
        }
        if *offset_minutes == 0 {
            return write!(f, "Z");
        }
        let sign = if *offset_minutes < 0 { '-' } else { '+' };
        let size = offset_minutes.unsigned_abs();
        write!(f, "{sign}{:02}:{:02}", size / 60, size % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn here() -> Local {
        Local {
            offset_minutes: Some(60),
            zone: Some("Europe/London".to_owned()),
            date: Date::new(2031, 5, 6).ok(),
            setting: None,
        }
    }

    #[test]
    fn known_days_count_from_1970() {
        // 2000-03-01 is day 11,017 and 2038-01-19 day 24,855: the well-known end of 32-bit seconds.
        assert_eq!(read_day("1970-01-01").unwrap().day_number(), 0);
        assert_eq!(read_day("2000-03-01").unwrap().day_number(), 11_017);
        assert_eq!(read_day("2038-01-19").unwrap().day_number(), 24_855);
    }

    #[test]
    fn one_instant_written_five_ways() {
        let want = When::read("2031-05-06T07:10:00Z", &Local::default()).unwrap().unix_millis();
        for text in ["2031-05-06T08:10", "2031-05-06 08:10:00.000", "08:10", "2031-05-06T08:10:00+01:00"] {
            assert_eq!(When::read(text, &here()).unwrap().unix_millis(), want, "{text}");
        }
        assert_eq!(When::read("2031-05-06T00:10-07:00", &here()).unwrap().unix_millis(), want);
    }

    #[test]
    fn an_offset_of_another_place_drops_the_zone_name() {
        let When::Instant { zone, .. } = When::read("2031-05-06T00:10-07:00", &here()).unwrap() else {
            panic!()
        };
        assert_eq!(zone, None);
    }

    #[test]
    fn what_is_missing_is_named() {
        let nowhere = Local::default();
        assert_eq!(When::read("08:10", &nowhere), Err(WhenFault::DateMissing));
        assert_eq!(When::read("2031-05-06T08:10", &nowhere), Err(WhenFault::OffsetMissing));
        assert_eq!(When::read("2031-02-29", &nowhere), Err(WhenFault::NoSuchMoment));
        assert_eq!(When::read("3031-02-28", &nowhere), Err(WhenFault::YearOutside));
        assert_eq!(When::read("yesterday", &nowhere), Err(WhenFault::Unreadable));
        assert_eq!(When::read("2031-05-06T24:10Z", &nowhere), Err(WhenFault::NoSuchMoment));
        assert_eq!(When::read("2031-05-06T08:10:61Z", &nowhere), Err(WhenFault::NoSuchMoment));
    }

    #[test]
    fn legal_days_use_the_stored_offset() {
        let late = When::read("2031-05-06T23:30:00-07:00", &Local::default()).unwrap();
        assert_eq!(late.local_day(), Date::new(2031, 5, 6).ok());
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back(millis in -600_000_000_000_i64..7_000_000_000_000, offset in -840_i16..=840) {
            let when = When::Instant { unix_millis: millis, offset_minutes: offset, zone: None };
            prop_assert_eq!(When::read(&when.to_string(), &Local::default()), Ok(when.clone()));
            let json = serde_json::to_string(&when).unwrap();
            prop_assert_eq!(serde_json::from_str::<When>(&json).unwrap(), when);
        }

        #[test]
        fn any_text_is_read_or_refused(text in ".{0,40}") {
            let _ = When::read(&text, &Local::default());
            let _ = read_offset(&text);
        }

        #[test]
        fn days_go_there_and_back(days in -7_000_i64..84_000) {
            let day = day_after_1970(days).unwrap();
            prop_assert_eq!(i64::from(day.day_number()), days);
        }
    }
}
