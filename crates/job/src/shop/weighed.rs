//! What was weighed on a visit, as it goes into the shop's account.

use super::{Kilograms, days};
use crate::visit::{Visit, account::Account};
use field::ledger::{Entry as Booked, Movement, ledger};
use record::{Body, CylinderUse, Direction, Known};
use serde::{Deserialize, Serialize};
use units::Date;

/// Refrigerant that went from a cylinder into a system, or out of one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Moved {
    /// The day; absent where neither entry nor visit has one.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub day: Option<Date>,
    /// The cylinder, by the name that the shop uses for it.
    pub cylinder: String,
    /// The refrigerant: its designation where it is known, else as it was typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// Out of the system, into the cylinder.
    pub recovered: bool,
    /// The scale, where the entry names one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<String>,
    /// Gross weight before.
    pub before: Kilograms,
    /// Gross weight after; absent while it is owed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Kilograms>,
    /// What moved: positive in the stated direction. What both weighings share of a scale's doubt cancels in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass: Option<Kilograms>,
}

/// A cylinder as a visit names it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Bottle {
    /// The name that the shop uses for it.
    pub cylinder: String,
    /// The refrigerant: its designation where it is known, else as it was typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// It holds recovered gas.
    pub recovery: bool,
    /// Its empty weight, in kilograms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tare_kg: Option<f64>,
    /// When it must be tested again.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub retest: Option<Date>,
}

fn designation(typed: &str) -> String {
    refrigerant::find(typed).map_or_else(|| typed.trim().to_owned(), |known| known.designation().to_owned())
}

/// Returns the weighings of the visit in the order of its entries.
pub(super) fn moved(visit: &Visit) -> Vec<Moved> {
    let weighings = visit.entries(|body| match body {
        Body::Weighing(weighing) => Some(&**weighing),
        _ => None,
    });
    let weighings = weighings.enumerate().map(|(number, (entry, weighing))| {
        let with = &entry.seen.with;
        let key = |end: &str| format!("{} {end} {}", weighing.cylinder, number + 1);
        let before = visit.bench.mass(&weighing.before, with, &key("before"));
        let after = weighing.after.as_ref().map(|after| visit.bench.mass(after, with, &key("after")));
        let recovered = weighing.direction == Direction::Recovered;
        let day = entry.seen.at.as_ref().and_then(record::When::local_day).or_else(|| visit.day());
        let mass = after.clone().map(|after| {
            let cylinder = weighing.cylinder.clone();
            let movement = if recovered {
                Movement::Recovered { cylinder, before: before.clone(), after }
            } else {
                Movement::Charged { cylinder, before: before.clone(), after }
            };
            // The day only orders entries, and here is one.
            let booked = Booked { day: Date::from_day_number(0), movement };
            let made = ledger(None, &[booked]);
            Kilograms::from(if recovered { &made.recovered } else { &made.charged })
        });
        let listed = visit.cylinders.get(&weighing.cylinder).and_then(|one| one.refrigerant.as_ref());
        let system = visit.system.value.refrigerant.as_ref().and_then(Known::value);
        let gas = weighing.refrigerant.as_ref().or_else(|| listed.and_then(Known::value)).or(system);
        Moved {
            day,
            cylinder: weighing.cylinder.trim().to_owned(),
            refrigerant: gas.map(|typed| designation(typed)),
            recovered,
            scale: weighing.before.with.clone().or_else(|| with.first().cloned()),
            before: Kilograms::from(&before),
            after: after.as_ref().map(Kilograms::from),
            mass,
        }
    });
    weighings.collect()
}

/// Returns what was lost from hoses on the visit.
pub(super) fn hoses(account: &Account) -> Option<Kilograms> {
    let lost = &account.ledger.service_losses;
    (lost.value().kilogram() > 0.0).then(|| Kilograms::from(lost))
}

/// Returns the cylinders that the visit names, by name.
pub(super) fn bottles(visit: &Visit) -> Vec<Bottle> {
    let bottle = |cylinder: &record::Cylinder| Bottle {
        cylinder: cylinder.id.trim().to_owned(),
        refrigerant: cylinder.refrigerant.as_ref().and_then(Known::value).map(|typed| designation(typed)),
        recovery: cylinder.used_for == Some(CylinderUse::Recovery),
        tare_kg: cylinder.tare.as_ref().and_then(Known::value).map(|mass| mass.kilogram()),
        retest: cylinder.retest.as_ref().and_then(record::When::local_day),
    };
    visit.cylinders.values().map(bottle).collect()
}
