//! Words that several sections share: readings, places, dates, what a result could not say.

use record::{Entry, When};
use report::{Message, Text};

/// Returns a day as it is written everywhere: year, month, day.
#[must_use]
pub fn date(day: units::Date) -> String {
    day.to_string()
}

/// Returns when an entry happened: day and time, the day alone, or nothing.
#[must_use]
pub fn when(entry: &Entry) -> Option<String> {
    entry.seen.at.as_ref().map(moment)
}

/// Returns a moment by the clock of the place, to the minute.
#[must_use]
pub fn moment(at: &When) -> String {
    let text = at.to_string();
    match (text.get(..10), text.get(11..16)) {
        (Some(day), Some(time)) => format!("{day} {time}"),
        _ => text,
    }
}

/// Returns where and when an entry was made, for a heading.
#[must_use]
pub fn heading(entry: &Entry, number: usize) -> Text {
    let place = entry.seen.place.clone();
    match (when(entry), place) {
        (Some(at), Some(place)) => Message::new("visit-at-place").with("at", at).with("place", place).into(),
        (Some(at), None) => Text::verbatim(at),
        (None, Some(place)) => {
            Message::new("visit-numbered-place").with("number", number).with("place", place).into()
        }
        (None, None) => Message::new("visit-numbered").with("number", number).into(),
    }
}

/// Returns the name of a reading by its key.
#[must_use]
pub fn reading(key: &str) -> Text {
    match key {
        "suction_pressure" => Message::new("reading-suction-pressure").into(),
        "evaporator_pressure" => Message::new("reading-evaporator-pressure").into(),
        "discharge_pressure" => Message::new("reading-discharge-pressure").into(),
        "liquid_pressure" => Message::new("reading-liquid-pressure").into(),
        "suction_line" => Message::new("reading-suction-line").into(),
        "evaporator_line" => Message::new("reading-evaporator-line").into(),
        "discharge_line" => Message::new("reading-discharge-line").into(),
        "liquid_line" => Message::new("reading-liquid-line").into(),
        "liquid_at_valve" => Message::new("reading-liquid-at-valve").into(),
        "box_air" => Message::new("reading-box-air").into(),
        "air_on_evaporator" => Message::new("reading-air-on-evaporator").into(),
        "air_off_evaporator" => Message::new("reading-air-off-evaporator").into(),
        "air_on_condenser" => Message::new("reading-air-on-condenser").into(),
        "air_off_condenser" => Message::new("reading-air-off-condenser").into(),
        "ambient" => Message::new("reading-ambient").into(),
        other => Text::verbatim(other),
    }
}

/// Returns a way to look for a leak.
#[must_use]
pub const fn way(method: record::Method) -> Message {
    use record::Method;
    match method {
        Method::Electronic => Message::new("way-electronic"),
        Method::Soap => Message::new("way-soap"),
        Method::Ultrasonic => Message::new("way-ultrasonic"),
        Method::Dye => Message::new("way-dye"),
        Method::Tracer => Message::new("way-tracer"),
        Method::Isolation => Message::new("way-isolation"),
        Method::Bagging => Message::new("way-bagging"),
        Method::Visual => Message::new("way-visual"),
        Method::Listening => Message::new("way-listening"),
    }
}

/// Returns what a person typed, its first letter as it is.
#[must_use]
pub fn typed(text: &Option<String>) -> Option<Text> {
    text.as_ref().filter(|text| !text.trim().is_empty()).map(|text| Text::verbatim(text.as_str()))
}
