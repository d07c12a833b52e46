//! What a form begins with: the clock and the names of a visit, the instruments used last, the fields that matter first.

use crate::show::doubtful::finding;
use crate::visit::doubtful::doubts;
use crate::visit::{Visit, readings};
use record::form::{Form, NameOf, Takes};
use record::{Around, Body, Entry, Local, Measures, Observation, Stamp, When};
use report::Text;
use units::Writer;
use uuid::Uuid;

/// Returns what stands around a form of this visit: its clock, the names of its instruments and cylinders, the place
/// arrived at last, and `now` as the time of the entry.
///
/// Where the site does not say its offset from UTC, that of `now`, the device's own, is taken; and so with the day.
#[must_use]
pub fn around(visit: &Visit, now: &When) -> Around {
    let site = &visit.site.value;
    let (here, day) = match now {
        When::Instant { offset_minutes, .. } => (Some(*offset_minutes), now.local_day()),
        When::Date(day) => (None, Some(*day)),
    };
    let offset = site.offset.as_ref().map(|offset| offset.value.0);
    // The zone's name goes with the site's offset, or with the device where both stand at one.
    let zone = site.zone.clone().filter(|_| offset.is_none() || here.is_none() || offset == here);
    Around {
        local: Local { offset_minutes: offset.or(here), zone, date: day.or(visit.day()), setting: None },
        instruments: visit.bench.instruments().map(|instrument| instrument.id.clone()).collect(),
        cylinders: visit.cylinders.keys().cloned().collect(),
        at: Some(now.clone()),
        place: place_now(visit),
        ..Around::default()
    }
}

/// The place arrived at last, where nobody left it since.
fn place_now(visit: &Visit) -> Option<String> {
    visit.current.entries.iter().rev().find_map(|entry| match entry.what() {
        Body::Arrival(_) => Some(entry.seen.place.clone()),
        Body::Departure(_) => Some(None),
        _ => None,
    })?
}

/// What an instrument must measure to serve a field.
fn measures(takes: &Takes) -> Option<&'static [Measures]> {
    Some(match takes {
        Takes::Pressure | Takes::PressureOrTemperature | Takes::PressureDifference => {
            &[Measures::Pressure, Measures::Vacuum]
        }
        Takes::Point => &[Measures::Vacuum, Measures::Pressure],
        Takes::Temperature | Takes::TemperatureDifference => &[Measures::Temperature],
        Takes::Mass => &[Measures::Mass],
        _ => return None,
    })
}

/// Returns the instruments that can serve a field, the one used last for this very field first, then those used last
/// at all, then the rest by name.
#[must_use]
pub fn instruments_for(visit: &Visit, kind: &str, path: &str) -> Vec<String> {
    let form = record::form::form(kind);
    let Some(field) = form.as_ref().and_then(|form| form.at(path)) else { return Vec::new() };
    let fits = |name: &str| {
        let Some(wanted) = measures(&field.takes) else {
            return kind == "leak check" || kind == "detector check";
        };
        visit.bench.instruments().any(|one| one.id == name && wanted.contains(&one.measures))
    };
    let mut for_field: Vec<String> = Vec::new();
    let mut at_all: Vec<String> = Vec::new();
    let entries = visit.earlier.iter().chain([visit]).flat_map(|visit| &visit.current.entries);
    for entry in entries.collect::<Vec<_>>().into_iter().rev() {
        at_all.extend(entry.seen.with.iter().cloned());
        let Some(filled) = record::texts_of(&entry.seen) else { continue };
        for (at, name) in &filled.fields {
            let Some(of) = at.strip_suffix(".with") else { continue };
            if filled.kind == kind && of == path { &mut for_field } else { &mut at_all }.push(name.clone());
        }
    }
    let rest = visit.bench.instruments().map(|one| one.id.clone());
    let mut out: Vec<String> = Vec::new();
    for name in for_field.into_iter().chain(at_all).chain(rest) {
        if !out.contains(&name) && fits(&name) {
            out.push(name);
        }
    }
    out
}

/// Returns the names that a field may take, those used last first; of a field that takes no name nothing.
#[must_use]
pub fn names_for(visit: &Visit, of: NameOf) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut put = |name: &str| {
        if !name.trim().is_empty() && !out.iter().any(|other| other == name) {
            out.push(name.to_owned());
        }
    };
    let entries: Vec<&Entry> =
        visit.earlier.iter().chain([visit]).flat_map(|visit| &visit.current.entries).collect();
    match of {
        NameOf::Instrument => {
            entries.iter().rev().flat_map(|entry| &entry.seen.with).for_each(|name| put(name));
            visit.bench.instruments().for_each(|one| put(&one.id));
        }
        NameOf::Cylinder => {
            for entry in entries.iter().rev() {
                if let Body::Weighing(weighing) = entry.what() {
                    put(&weighing.cylinder);
                }
            }
            visit.cylinders.keys().for_each(|name| put(name));
        }
        NameOf::Place => {
            entries.iter().rev().filter_map(|entry| entry.seen.place.as_ref()).for_each(|name| put(name));
            let shut_offs = visit.system.value.shut_off.iter();
            shut_offs.filter_map(|one| one.place.as_ref()).for_each(|name| put(name));
        }
        NameOf::Refrigerant => {
            let system = visit.system.value.refrigerant.as_ref();
            system.and_then(record::Known::value).into_iter().for_each(|name| put(name));
            for cylinder in visit.cylinders.values() {
                let name = cylinder.refrigerant.as_ref().and_then(record::Known::value);
                name.into_iter().for_each(|name| put(name));
            }
        }
        NameOf::Picture => {
            for entry in entries.iter().rev() {
                if let Body::Picture(picture) = entry.what() {
                    put(&picture.file);
                }
            }
        }
    }
    out
}

/// Returns the fields of a form that matter first; the rest stands behind a touch. What must be there is among them.
#[must_use]
pub fn short(kind: &str, form: &Form) -> Vec<&'static str> {
    let first: &[&str] = match kind {
        "reading" => &["suction_pressure", "suction_line", "discharge_pressure", "liquid_line"],
        "leak check" => &["method", "result", "minutes"],
        "tool check" => &["tool", "against", "result"],
        "stock" => &["what", "count", "wanted"],
        "earlier search" => &["visits", "covered", "found"],
        "past change" => &["on", "amount", "until"],
        "repair" => &["what", "part", "drier_changed"],
        "hold" => &["gas", "start", "end"],
        "rise" => &["points", "volume"],
        "opening plan" => &["bore", "open_for", "walls", "volume"],
        "recovery" => &["machine", "walls", "volume", "liquid"],
        "evacuation" => &["pump", "hose", "hose_length", "volume"],
        "normal" => &["because", "superheat", "ambient", "box_air"],
        "weighing" => &["cylinder", "direction", "before", "after"],
        "setting" => &["what", "found", "left", "why"],
        "finding" => &["what", "about", "urgency", "price", "answer"],
        "part" => &["function", "must", "source"],
        "picture" => &["file", "shows"],
        "choice" => &["option", "chosen_by", "agreed", "reason"],
        "site" => &["name", "altitude"],
        "customer" => &["name", "contact"],
        "visit" => &["complaint", "booked_for", "urgency", "at_risk", "hours"],
        "system" => &["refrigerant", "charge", "box_kind", "expansion"],
        "instrument" => &["id", "measures", "accuracy"],
        "cylinder" => &["id", "refrigerant", "used_for"],
        "line" => &["kind", "size", "length"],
        "shut_off" => &["name", "place", "holds"],
        _ => &[],
    };
    let listed = first.iter().filter_map(|key| form.field(key)).map(|field| field.key);
    let needed = form.fields.iter().filter(|field| field.need).map(|field| field.key);
    let mut out: Vec<&'static str> = listed.collect();
    for key in needed {
        if !out.contains(&key) {
            out.push(key);
        }
    }
    if out.is_empty() {
        out.extend(form.fields.iter().take(4).map(|field| field.key));
    }
    out
}

/// Returns what is doubtful in readings taken together, in words: suction above discharge, a superheat that is a TD, a
/// coil warmer than its box. Nothing is refused for it. Asked once when the entry is kept, not at every key.
#[must_use]
pub fn doubtful_together(visit: &Visit, seen: &Observation, writer: &Writer) -> Vec<Text> {
    let Body::Reading(reading) = &seen.what else { return Vec::new() };
    let entry = Entry {
        id: Uuid::nil(),
        stands_by: Uuid::nil(),
        by: None,
        device: None,
        apprentice: false,
        stamp: Stamp::default(),
        key: None,
        seen: seen.clone(),
    };
    let result = readings::result(visit, &entry, reading);
    doubts(visit, &result).iter().map(|doubt| finding(doubt, writer).name).collect()
}
