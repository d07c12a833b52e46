//! Moments as a person plans by them: the clock of the place, to the minute.

use record::When;
use units::Duration;

/// Returns a moment as the clock shows it, with its day where that is not the day of `now`.
///
/// A moment awaited is rounded up to the minute by [`later`], so that the clock does not promise too much.
pub fn clock(at: &When, now: &When) -> String {
    let text = at.to_string();
    let (Some(day), Some(time)) = (text.get(..10), text.get(11..16)) else { return text };
    if at.local_day() == now.local_day() { time.to_owned() } else { format!("{day} {time}") }
}

/// Returns the moment a stretch of time later, up to the next full minute; nothing for a day, or past the calendar.
pub fn later(from: &When, by: Duration) -> Option<When> {
    let When::Instant { unix_millis, offset_minutes, zone } = from else { return None };
    // A century is further than any test runs.
    if !(0.0..3.2e9).contains(&by.second()) {
        return None;
    }
    let exact = unix_millis.checked_add((by.second() * 1000.0).ceil() as i64)?;
    let unix_millis = exact.checked_add(59_999)?.div_euclid(60_000) * 60_000;
    Some(When::Instant { unix_millis, offset_minutes: *offset_minutes, zone: zone.clone() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> When {
        When::read(text, &record::Local::default()).unwrap()
    }

    #[test]
    fn a_clock_names_the_day_only_where_it_differs() {
        let now = at("2031-05-07T15:40-04:00");
        assert_eq!(clock(&at("2031-05-07T16:05-04:00"), &now), "16:05");
        assert_eq!(clock(&at("2031-05-08T07:40-04:00"), &now), "2031-05-08 07:40");
    }

    #[test]
    fn a_moment_awaited_is_a_full_minute_and_never_too_early() {
        let from = at("2031-05-07T15:40:10-04:00");
        let awaited = later(&from, Duration::from_second(61.0)).unwrap();
        assert_eq!(clock(&awaited, &from), "15:42");
        assert_eq!(later(&at("2031-05-07"), Duration::from_second(61.0)), None);
        assert_eq!(later(&from, Duration::from_second(f64::NAN)), None);
        assert_eq!(later(&from, Duration::from_second(-1.0)), None);
    }
}
