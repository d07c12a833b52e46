//! A visit as its record tells it, ready to compute with.

pub mod account;
pub mod chain;
pub mod charge;
pub mod cold_box;
pub mod compared;
pub(crate) mod document;
pub mod doubtful;
mod figures;
pub mod inventory;
pub mod plans;
pub mod proofs;
pub mod readings;
pub mod speaks;

pub use document::{Results, reading_name};

use crate::doubts::Bench;
use crate::{Refused, Substance};
use record::{Body, Current, Customer, Cylinder, Entry, Event, Facts, Known, Site, System, When};
use std::collections::BTreeMap;
use units::{Atmosphere, Writer};

/// A visit put together from its events: what stands after corrections, and what it computes with.
#[derive(Clone)]
pub struct Visit {
    /// The name of the job.
    pub name: String,
    /// The id of the job; absent where nothing is recorded yet.
    pub job: Option<uuid::Uuid>,
    /// What the record says today.
    pub current: Current,
    /// The site.
    pub site: Facts<Site>,
    /// The customer.
    pub customer: Facts<Customer>,
    /// The visit as a whole.
    pub visit: Facts<record::Visit>,
    /// The system.
    pub system: Facts<System>,
    /// The instruments.
    pub bench: Bench,
    /// The cylinders, by their names.
    pub cylinders: BTreeMap<String, Cylinder>,
    /// The refrigerant, where it is known here.
    pub substance: Option<Substance>,
    /// Why the refrigerant named is not known here.
    pub refused: Option<Refused>,
    /// The air around the gauges.
    pub air: Atmosphere,
    /// The visits to this system that this one follows, the oldest first.
    pub earlier: Vec<Visit>,
    /// Places where the shop confirmed leaks on other jobs, by their keys in the list of the search. Empty unless somebody
    /// wishes to learn from them: a report never does, so that it depends on its own record alone.
    pub lessons: Vec<String>,
}

impl Visit {
    /// Returns the visit that these events tell.
    #[must_use]
    pub fn new(name: &str, events: &[Event]) -> Self {
        Self::after(name, events, None)
    }

    /// Returns site, system, refrigerant and charge in a line.
    pub(crate) fn headline(&self) -> report::Text {
        let system = &self.system.value;
        let mut parts: Vec<String> = Vec::new();
        parts.extend(self.site.value.name.clone());
        parts.extend(system.name.clone());
        parts.extend(system.refrigerant.as_ref().and_then(Known::value).cloned());
        parts.extend(system.charge.as_ref().map(Known::text));
        report::Text::verbatim(parts.join(", "))
    }

    /// Returns the visit that these events tell, with the facts of the one before it held over.
    fn after(name: &str, events: &[Event], before: Option<&Visit>) -> Self {
        let current = record::current(events);
        let (mut site, mut customer) = (current.site(), current.customer());
        let (visit, mut system) = (current.visit(), current.system());
        let mut bench = Bench::default();
        let mut cylinders = BTreeMap::new();
        if let Some(before) = before {
            site = site.over(&before.site, chain::OF_THEIR_DAY);
            customer = customer.over(&before.customer, &[]);
            system = system.over(&before.system, &[]);
            bench.clone_from(&before.bench);
            cylinders.clone_from(&before.cylinders);
        }
        for entry in &current.entries {
            match entry.what() {
                Body::Instrument(instrument) => bench.put(instrument),
                Body::Cylinder(cylinder) => {
                    cylinders.insert(cylinder.id.clone(), (**cylinder).clone());
                }
                _ => {}
            }
        }
        let (substance, refused) = substance(&system.value);
        let air = air(&site.value);
        Self {
            name: name.to_owned(),
            job: events.first().map(|event| event.job),
            site,
            customer,
            visit,
            system,
            bench,
            cylinders,
            substance,
            refused,
            air,
            current,
            earlier: Vec::new(),
            lessons: Vec::new(),
        }
    }

    /// Takes over what was worked out for the refrigerant of an earlier look at this job.
    pub fn share(&mut self, before: &Visit) {
        if let (Some(substance), Some(before)) = (&mut self.substance, &before.substance) {
            substance.share(before);
        }
    }

    /// Returns the entries of one kind, in the order of the log.
    pub fn entries<'a, T: 'a>(
        &'a self,
        pick: impl Fn(&'a Body) -> Option<&'a T> + 'a,
    ) -> impl Iterator<Item = (&'a Entry, &'a T)> + 'a {
        self.current.entries.iter().filter_map(move |entry| pick(entry.what()).map(|body| (entry, body)))
    }

    /// Returns the day of the visit, or of its first timed entry.
    #[must_use]
    pub fn day(&self) -> Option<units::Date> {
        self.visit.value.day().or_else(|| {
            self.current.entries.iter().filter_map(|entry| entry.seen.at.as_ref()).find_map(When::local_day)
        })
    }

    /// Returns the units that most of the entries were typed in.
    #[must_use]
    pub fn writer(&self) -> Writer {
        let mut votes = Votes::default();
        let earlier = self.earlier.iter().flat_map(|visit| &visit.current.entries);
        for entry in earlier.chain(&self.current.entries) {
            if let Ok(value) = serde_json::to_value(&entry.seen) {
                votes.count(&value);
            }
        }
        // The loss and the account are thought of in the unit of the charge.
        let charge = self.system.value.charge.as_ref().and_then(Known::typed);
        let mut writer = votes.writer();
        if let Some(charge) = charge {
            let pound = charge.text.contains("lb") || charge.text.contains("oz");
            writer.mass = if pound { Writer::us().mass } else { Writer::metric().mass };
        }
        writer
    }

    /// Returns whether the file says that its data are invented.
    #[must_use]
    pub fn is_demo(&self) -> bool {
        self.entries(|body| match body {
            Body::Note(note) => Some(note),
            _ => None,
        })
        .any(|(_, note)| note.text.trim_start().to_lowercase().starts_with("invented"))
            || self.earlier.iter().any(Visit::is_demo)
    }
}

fn substance(system: &System) -> (Option<Substance>, Option<Refused>) {
    let composition = system.composition.as_ref().filter(|c| !c.0.is_empty()).map(|composition| {
        composition
            .0
            .iter()
            .map(|(name, part)| format!("{name}={}", part.ratio()))
            .collect::<Vec<_>>()
            .join(",")
    });
    let name = system.refrigerant.as_ref().and_then(Known::value).map(String::as_str);
    if name.is_none() && composition.is_none() {
        return (None, None);
    }
    match Substance::read(name.unwrap_or_default(), composition.as_deref()) {
        Ok(substance) => (Some(substance), None),
        Err(refused) => (None, Some(refused)),
    }
}

fn air(site: &Site) -> Atmosphere {
    let barometer = site.barometer.as_ref().and_then(Known::value);
    let altitude = site.altitude.as_ref().and_then(Known::value);
    let made = match (barometer, altitude) {
        (Some(read), _) => Atmosphere::from_barometer(read.0).ok(),
        (None, Some(altitude)) => Atmosphere::at_altitude(*altitude).ok(),
        (None, None) => None,
    };
    // Out-of-range places are refused when the file is read; a log from elsewhere falls back, and the answer says so.
    made.unwrap_or(Atmosphere::sea_level_assumed())
}

/// Counts how often each unit was typed.
#[derive(Default)]
struct Votes {
    fahrenheit: usize,
    celsius: usize,
    psi: usize,
    kilopascal: usize,
    bar: usize,
    pound: usize,
    kilogram: usize,
}

impl Votes {
    fn count(&mut self, value: &serde_json::Value) {
        match value {
            serde_json::Value::Object(map) => {
                for (key, inner) in map {
                    match inner {
                        serde_json::Value::String(text) if key == "text" => self.typed(text),
                        other => self.count(other),
                    }
                }
            }
            serde_json::Value::Array(all) => all.iter().for_each(|inner| self.count(inner)),
            _ => {}
        }
    }

    fn typed(&mut self, text: &str) {
        let unit = text.trim_start_matches(|c: char| !c.is_alphabetic() && c != '°').to_lowercase();
        let unit = unit.trim_start_matches('°').trim_start();
        match unit {
            _ if unit.starts_with("psi") => self.psi += 1,
            _ if unit.starts_with("kpa") => self.kilopascal += 1,
            _ if unit.starts_with("bar") => self.bar += 1,
            "f" => self.fahrenheit += 1,
            "c" | "k" => self.celsius += 1,
            _ if unit.starts_with("lb") || unit == "oz" => self.pound += 1,
            "kg" | "g" => self.kilogram += 1,
            _ => {}
        }
    }

    fn writer(&self) -> Writer {
        let (us, metric) = (Writer::us(), Writer::metric());
        let customary = self.fahrenheit + self.psi + self.pound
            > self.celsius + self.kilopascal + self.bar + self.kilogram;
        let base = if customary { us } else { metric };
        let pick = |a: usize, b: usize| if a == b { customary } else { a > b };
        Writer {
            temperature: if pick(self.fahrenheit, self.celsius) {
                us.temperature
            } else {
                metric.temperature
            },
            pressure: if pick(self.psi, self.kilopascal + self.bar) {
                us.pressure
            } else if self.bar > self.kilopascal {
                units::PressureUnit::Bar
            } else {
                metric.pressure
            },
            mass: if pick(self.pound, self.kilogram) { us.mass } else { metric.mass },
            ..base
        }
    }
}
