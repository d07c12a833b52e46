//! The box of a visit while its plant stands, and while it is brought down again.

use super::Visit;
use crate::Refused;
use crate::ask::cold_box::{BoxAnswer, BoxAsked, cold_box};
use record::{Body, Known, Measured};
use units::{Length, Temperature};

/// The room around a box where nobody says: 24 °C (judgement).
pub const AROUND: Temperature = Temperature::from_celsius(24.0);
/// The foam of a box's walls where nobody says: four inches (common practice, no source).
pub const FOAM: Length = Length::from_metre(0.1016);

/// The last temperature of the air in the box that was read.
#[must_use]
pub fn last_box_air(visit: &Visit) -> Option<Temperature> {
    visit.current.entries.iter().rev().find_map(|entry| match entry.what() {
        Body::Reading(reading) => reading.box_air.as_ref().map(Measured::get),
        _ => None,
    })
}

/// Returns the box by the facts and the last reading of its air; nothing while a side, or that reading, is missing.
#[must_use]
pub fn of(visit: &Visit) -> Option<Result<BoxAnswer, Refused>> {
    let system = &visit.system.value;
    let value = |known: &Option<Known<Length>>| known.as_ref().and_then(Known::value).copied();
    let temperature = |known: &Option<Known<Temperature>>| known.as_ref().and_then(Known::value).copied();
    let sides = (value(&system.box_length)?, value(&system.box_width)?, value(&system.box_height)?, "");
    let inside = last_box_air(visit)?;
    let goods = system.goods_mass.as_ref().and_then(Known::value).copied();
    Some(cold_box(&BoxAsked {
        sides,
        foam: (value(&system.insulation).unwrap_or(FOAM), ""),
        inside: (inside, ""),
        around: (temperature(&system.box_around).unwrap_or(AROUND), ""),
        limit: temperature(&system.warmest_goods).filter(|limit| *limit > inside).map(|limit| (limit, "")),
        target: temperature(&system.box_target).filter(|target| *target < inside).map(|target| (target, "")),
        goods,
        besides: None,
        capacity: system.capacity.as_ref().and_then(Known::value).copied(),
    }))
}
