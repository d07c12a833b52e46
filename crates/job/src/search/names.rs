//! The names of places, ways of looking and explanations.

use diagnosis::search::{Method, Place, State};
use report::{Message, Text};

/// Returns the name of a place; one that only an entry names keeps the words of the entry.
#[must_use]
pub fn place(place: &Place) -> Text {
    let known = match place.key.as_str() {
        "compressor-body" => Message::new("spot-compressor-body"),
        "suction-service-valve" => Message::new("spot-suction-service-valve"),
        "discharge-service-valve" => Message::new("spot-discharge-service-valve"),
        "discharge-line" => Message::new("spot-discharge-line"),
        "low-control-outside" => Message::new("spot-low-control-outside"),
        "low-control-inside" => Message::new("spot-low-control-inside"),
        "high-control-outside" => Message::new("spot-high-control-outside"),
        "high-control-inside" => Message::new("spot-high-control-inside"),
        "fan-control-inside" => Message::new("spot-fan-control-inside"),
        "control-lines" => Message::new("spot-control-lines"),
        "condenser-face" => Message::new("spot-condenser-face"),
        "condenser-bends" => Message::new("spot-condenser-bends"),
        "head-valve" => Message::new("spot-head-valve"),
        "receiver" => Message::new("spot-receiver"),
        "relief" => Message::new("spot-relief"),
        "drier" => Message::new("spot-drier"),
        "glass" => Message::new("spot-glass"),
        "access-high" => Message::new("spot-access-high"),
        "access-low" => Message::new("spot-access-low"),
        "liquid-line" => Message::new("spot-liquid-line"),
        "liquid-line-chafe" => Message::new("spot-liquid-line-chafe"),
        "lines-in-wall" => Message::new("spot-lines-in-wall"),
        "suction-line" => Message::new("spot-suction-line"),
        "solenoid-inlet" => Message::new("spot-solenoid-inlet"),
        "solenoid-outlet" => Message::new("spot-solenoid-outlet"),
        "valve-inlet" => Message::new("spot-valve-inlet"),
        "valve-body" => Message::new("spot-valve-body"),
        "metering" => Message::new("spot-metering"),
        "distributor" => Message::new("spot-distributor"),
        "coil-face" => Message::new("spot-coil-face"),
        "coil-bends" => Message::new("spot-coil-bends"),
        "coil-header" => Message::new("spot-coil-header"),
        "access-coil" => Message::new("spot-access-coil"),
        _ => return Text::verbatim(place.key.as_str()),
    };
    known.into()
}

/// Returns the name of a way of looking.
#[must_use]
pub const fn method(method: Method) -> Message {
    match method {
        Method::Electronic => Message::new("way-electronic"),
        Method::Soap => Message::new("way-soap"),
        Method::Ultrasonic => Message::new("way-ultrasonic"),
        Method::Dye => Message::new("way-dye"),
        Method::Tracer => Message::new("way-tracer"),
        Method::Bagging => Message::new("way-bagging"),
        Method::Visual => Message::new("way-visual"),
        Method::Listening => Message::new("way-listening"),
        Method::Isolation => Message::new("way-isolation"),
    }
}

/// Returns what the system is to do, in words.
#[must_use]
pub const fn state(state: State) -> Message {
    match state {
        State::Off => Message::new("seek-state-off"),
        State::Running => Message::new("seek-state-running"),
        State::Defrost => Message::new("seek-state-defrost"),
    }
}
