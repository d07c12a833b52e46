//! What the shop's owner asks of the record: which system loses how much, what is due by when, where every kilogram went.
//!
//! [`summary`] works one job out, with the visits it follows; it can be kept and read again. [`overview`] puts the newest
//! summary of each system together, [`accounts`] the weighings of all jobs, and [`tables`] writes each as a table.
//!
//! Masses are in kilograms, each with its standard uncertainty beside it; a verdict compares k = 2. Absent is absent.

mod accounts;
mod days;
mod due;
mod loss;
mod overview;
pub mod tables;
mod weighed;

pub use accounts::{AccountLine, Accounts, Closes, Gap, Of, accounts, years};
pub use due::{Due, DueKind, When, Where};
pub use loss::{Formula, Loss, LossKind, Rate, Trend};
pub use overview::{DueLine, Overview, Shared, Standing, SystemLine, building, overview};
pub use weighed::{Bottle, Moved};

use crate::law::{System as LawSystem, facts};
use crate::visit::{Visit, account, chain};
use record::{Body, Event, Known, SeenKind, YesNo};
use serde::{Deserialize, Serialize};
use units::{Date, Mass, Uncertain};
use uuid::Uuid;

/// A mass with its standard uncertainty, in kilograms.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Kilograms {
    /// The mass.
    pub kg: f64,
    /// Its standard uncertainty.
    pub u_kg: f64,
}

impl From<&Uncertain<Mass>> for Kilograms {
    fn from(mass: &Uncertain<Mass>) -> Self {
        Self { kg: mass.value().kilogram(), u_kg: mass.u() }
    }
}

/// What a job comes to, as the last of the visits to its system.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(default)]
pub struct Summary {
    /// The job; absent where nothing is recorded yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job: Option<Uuid>,
    /// The first job of its system that is here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first: Option<Uuid>,
    /// The earlier visit that it follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub follows: Option<Uuid>,
    /// Which visit of the system it is, from 1.
    pub visit: u64,
    /// The site's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// The system's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub system: Option<String>,
    /// What is kept in it, and how cold, as it was typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holds: Option<String>,
    /// The refrigerant: its designation where it is known, else as it was typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// The full charge as it was typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge: Option<String>,
    /// The full charge in kilograms, where one value is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge_kg: Option<f64>,
    /// The day of the visit.
    #[serde(with = "days::some", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub day: Option<Date>,
    /// Who made the entries.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The complaint, in the customer's words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub complaint: Option<String>,
    /// What the system loses in a year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loss: Option<Loss>,
    /// The leak rate by the law's formulas.
    pub rates: Vec<Rate>,
    /// What is due.
    pub due: Vec<Due>,
    /// What kinds of thing were seen besides and are not put right, in the words of the record.
    pub seen: Vec<String>,
    /// What was weighed on this visit, in the order of its entries.
    pub moved: Vec<Moved>,
    /// Refrigerant lost from hoses on this visit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hoses: Option<Kilograms>,
    /// The cylinders of this visit.
    pub bottles: Vec<Bottle>,
    /// The day that the law's duties were reckoned on.
    #[serde(with = "days::some", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub reckoned: Option<Date>,
    /// The record says that its data are invented.
    pub invented: bool,
    /// It is the log of a van, not of a system.
    pub van: bool,
}

impl Summary {
    /// Returns what the system is called: its own name, else the site's.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.system.as_deref().or(self.site.as_deref())
    }
}

/// Returns what the last of these visits to one system comes to, the oldest first; the law as it stands on `on`.
///
/// ```
/// let file = record::read_job_file(b"gastight = 1\n[visit]\ndate = 2031-05-06\n[system]\nname = \"Room 7\"\n").unwrap();
/// let summary = job::shop::summary(&[file.events], "2031-06-01".parse().unwrap());
/// assert_eq!(summary.name(), Some("Room 7"));
/// assert!(summary.loss.is_none());
/// ```
#[must_use]
pub fn summary(visits: &[Vec<Event>], on: Date) -> Summary {
    let visit = Visit::of_chain("", visits);
    let read = facts(&visit);
    let system = LawSystem { name: String::new(), visit, facts: read };
    let visit = &system.visit;
    let account = account::account(visit);
    let known = &visit.system.value;
    let charge = known.charge.as_ref();
    let typed = known.refrigerant.as_ref().and_then(Known::value);
    let designation = visit.substance.as_ref().and_then(|substance| substance.known);
    Summary {
        job: visit.job,
        first: visits.iter().find_map(|events| events.first()).map(|event| event.job),
        follows: visits.last().and_then(|events| chain::follows(events)),
        visit: visits.len() as u64,
        site: visit.site.value.name.clone(),
        system: known.name.clone(),
        holds: holds(known),
        refrigerant: designation.map(|gas| gas.designation().to_owned()).or_else(|| typed.cloned()),
        charge: charge.map(Known::text),
        charge_kg: charge.and_then(Known::value).map(|mass| mass.kilogram()),
        day: visit.day(),
        by: visit.visit.value.by.clone(),
        complaint: visit.visit.value.complaint.clone(),
        loss: loss::loss(&account, charge.and_then(Known::value).copied()),
        rates: loss::rates(&account),
        due: due::due(&system, &account, on),
        seen: seen(visit),
        moved: weighed::moved(visit),
        hoses: weighed::hoses(&account),
        bottles: weighed::bottles(visit),
        reckoned: Some(on),
        invented: visit.is_demo(),
        van: !visits.is_empty() && visits.iter().all(|events| crate::van::is_log(events)),
    }
}

/// The kinds of what was seen besides, by the last word on each thing over all visits; what was put right is left out.
fn seen(visit: &Visit) -> Vec<String> {
    let findings = visit.entries_of_all(|body| match body {
        Body::Finding(finding) => Some(&**finding),
        _ => None,
    });
    let mut last: Vec<(String, SeenKind, bool)> = Vec::new();
    for (_, _, finding) in findings {
        let key = finding.what.trim().to_lowercase();
        let done = finding.done == Some(YesNo::Yes);
        match (last.iter_mut().find(|(known, ..)| *known == key), finding.about) {
            (Some(known), about) => *known = (key, about.unwrap_or(known.1), done),
            (None, Some(about)) => last.push((key, about, done)),
            (None, None) => {}
        }
    }
    let mut out: Vec<String> =
        last.into_iter().filter(|(.., done)| !done).map(|(_, about, _)| about.word().to_owned()).collect();
    out.sort();
    out.dedup();
    out
}

fn holds(system: &record::System) -> Option<String> {
    let words = [system.goods.as_ref().map(Known::text), system.box_target.as_ref().map(Known::text)];
    let words: Vec<String> = words.into_iter().flatten().filter(|word| !word.is_empty()).collect();
    (!words.is_empty()).then(|| words.join(", "))
}
