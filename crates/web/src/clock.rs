//! The phone's clock, as the browser tells it.

use record::{Local, When};
use units::Date;

/// Returns the milliseconds since 1970-01-01T00:00:00Z.
#[must_use]
pub fn now_ms() -> i64 {
    // A whole number of milliseconds, far inside what a double holds.
    js_sys::Date::now() as i64
}

/// Returns local time minus UTC at a moment, in minutes.
#[must_use]
pub fn offset_minutes(at_ms: i64) -> i16 {
    let date = js_sys::Date::new(&(at_ms as f64).into());
    // The browser counts the other way round.
    -(date.get_timezone_offset() as i16)
}

/// Returns the IANA name of the phone's time zone, where the browser tells one.
#[must_use]
pub fn zone() -> Option<String> {
    let format = js_sys::Intl::DateTimeFormat::new(&js_sys::Array::new(), &js_sys::Object::new());
    let options = format.resolved_options();
    js_sys::Reflect::get(&options, &"timeZone".into()).ok()?.as_string().filter(|name| !name.is_empty())
}

/// Returns the moment `at_ms`, by the clock of the phone's place.
#[must_use]
pub fn when(at_ms: i64) -> When {
    When::Instant { unix_millis: at_ms, offset_minutes: offset_minutes(at_ms), zone: zone() }
}

/// Returns now, by the clock of the phone's place.
#[must_use]
pub fn now() -> When {
    when(now_ms())
}

/// Returns today's date at the phone's place.
#[must_use]
pub fn today() -> Option<Date> {
    now().local_day()
}

/// Returns what a time typed without a date or an offset is read by.
#[must_use]
pub fn local() -> Local {
    Local { offset_minutes: Some(offset_minutes(now_ms())), zone: zone(), date: today(), setting: None }
}

/// Returns the hour and minute of a moment at the phone's place, `15:46`.
#[must_use]
pub fn hour_minute(at_ms: i64) -> String {
    let date = js_sys::Date::new(&(at_ms as f64).into());
    format!("{:02}:{:02}", date.get_hours(), date.get_minutes())
}
