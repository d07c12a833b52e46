//! The places of the circuit as this record has them: added, changed, not there.

use super::ground::{named, region};
use crate::visit::Visit;
use diagnosis::search::{Access, Place, Side};
use record::{Body, CircuitPlace, CircuitRegion, CircuitSide, Cover, Known, PlaceChange, YesNo};
use units::Date;

/// What an entry made of a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edited {
    /// The place in the words of the entry.
    pub words: String,
    /// What became of it.
    pub change: PlaceChange,
}

/// How much likelier a leak is where a part was opened within a year (judgement, trade practice).
const OPENED_LATELY: f64 = 5.0;
/// Where a cap is missing (judgement, trade practice).
pub(crate) const CAP_MISSING: f64 = 4.0;
/// Where it shakes (judgement).
pub(crate) const VIBRATES: f64 = 2.0;
/// Where acid, salt, cleaners or sea air eat the metal (judgement; the same as that of goods on coils).
pub(crate) const EATEN: f64 = 2.0;
/// Where it is old (judgement), and from what age on, in years.
const OLD: (f64, f64) = (1.5, 15.0);
/// The belief in a place that the list lacks: about that of one joint (judgement).
const ADDED: f64 = 0.02;

/// Adds, changes and takes out the places that the entries of this and the earlier visits say, in their order.
pub fn edit(visit: &Visit, places: &mut Vec<Place>) -> Vec<Edited> {
    let mut out = Vec::new();
    for each in visit.earlier.iter().chain(core::iter::once(visit)) {
        for entry in &each.current.entries {
            let (Body::CircuitPlace(told), Some(spot)) = (entry.what(), entry.seen.place.as_deref()) else {
                continue;
            };
            let spot = spot.trim();
            if spot.is_empty() {
                continue;
            }
            let at = named(places, spot);
            let change = match told.change {
                Some(PlaceChange::Changed) | None if at.is_empty() => PlaceChange::Added,
                None => PlaceChange::Changed,
                // What stands there under the same words is changed rather than doubled.
                Some(PlaceChange::Added) if places.iter().any(|place| place.key == spot.to_lowercase()) => {
                    PlaceChange::Changed
                }
                Some(change) => change,
            };
            match change {
                PlaceChange::NotThere => {
                    if at.is_empty() {
                        continue;
                    }
                    let mut index = 0;
                    places.retain(|_| {
                        index += 1;
                        !at.contains(&(index - 1))
                    });
                }
                PlaceChange::Changed => {
                    for index in at {
                        put(&mut places[index], told, each.day());
                    }
                }
                PlaceChange::Added => {
                    let mut place = fresh(each, places, spot);
                    put(&mut place, told, each.day());
                    places.push(place);
                }
            }
            out.push(Edited { words: spot.to_owned(), change });
        }
    }
    out
}

/// A place that the list lacks: side and region are those of the part that its words name, else of the unit's high side.
fn fresh(visit: &Visit, places: &[Place], spot: &str) -> Place {
    let part = crate::stage::circuit::part_of(spot).map_or("other", |part| part.key());
    let like = places.iter().find(|place| place.part == part);
    Place {
        key: spot.to_lowercase(),
        part: part.to_owned(),
        region: region(visit, spot).or(like.map(|place| place.region)).unwrap_or(0),
        access: Access::Bare,
        side: like.map_or(Side::High, |place| place.side),
        weight: ADDED,
        minutes: 2.0,
        opening: 0.0,
        needs: String::new(),
        words: vec![spot.to_lowercase()],
    }
}

fn put(place: &mut Place, told: &CircuitPlace, today: Option<Date>) {
    if let Some(side) = told.side {
        place.side = match side {
            CircuitSide::Low => Side::Low,
            CircuitSide::High => Side::High,
        };
    }
    if let Some(cover) = told.access {
        place.access = match cover {
            Cover::Bare => Access::Bare,
            Cover::CoilFace => Access::Coil,
            Cover::Insulation => Access::Insulated,
            Cover::Cover => Access::Covered,
            Cover::Buried => Access::Buried,
        };
        // What can be opened takes some minutes to open and close; what is bare takes none.
        place.opening = match place.access {
            Access::Insulated | Access::Covered => place.opening.max(5.0),
            Access::Bare | Access::Coil | Access::Buried => 0.0,
        };
    }
    if let Some(region) = told.region {
        place.region = match region {
            CircuitRegion::Unit => 0,
            CircuitRegion::Box => 1,
            CircuitRegion::Lines => 2,
        };
    }
    let minutes = |time: &record::Typed<units::Duration>| time.value.second() / 60.0;
    if let Some(time) = told.minutes.as_ref().map(minutes).filter(|time| *time > 0.0) {
        place.minutes = time;
    }
    if let Some(time) = told.opening.as_ref().map(minutes).filter(|time| *time >= 0.0) {
        place.opening = time;
    }
    let lately = told.opened_on.as_ref().and_then(record::When::local_day).zip(today);
    if lately.is_some_and(|(then, now)| (0..=365).contains(&(now.day_number() - then.day_number()))) {
        place.weight *= OPENED_LATELY;
    }
    if told.cap_missing == Some(YesNo::Yes) {
        place.weight *= CAP_MISSING;
    }
    if told.vibrates == Some(YesNo::Yes) {
        place.weight *= VIBRATES;
    }
    if told.surroundings.as_ref().and_then(Known::value).is_some() {
        place.weight *= EATEN;
    }
    let age = told.age.as_ref().and_then(Known::value).map(|age| age.day() / 365.25);
    if age.is_some_and(|years| years >= OLD.1) {
        place.weight *= OLD.0;
    }
}
