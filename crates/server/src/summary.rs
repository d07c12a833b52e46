//! What is worked out of each job once and kept, so that lists of many jobs open at once.

use crate::shop::{Shop, now};
use job::visit::{Visit, account, chain};
use record::{Event, Known};
use serde::{Deserialize, Serialize};
use std::cell::{Cell, RefCell};
use std::sync::Arc;
use std::time::Duration;
use store::{JobRow, Store};
use utoipa::ToSchema;
use uuid::Uuid;

/// Under this key a summary keeps the greatest sequence among the visits that it was worked out of.
const CHAIN: &str = "chain_through";
/// How many jobs are read at a time.
const BATCH: usize = 50;
/// How long nothing need be looked for when nothing came.
const PAUSE: Duration = Duration::from_secs(30);

/// What the lists show of a job.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(default)]
pub struct JobSummary {
    /// The site's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// The system's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub system: Option<String>,
    /// The refrigerant, as it was typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// The day of the visit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day: Option<String>,
    /// The earlier visit that it follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub follows: Option<Uuid>,
    /// Which visit of the system it is, from 1.
    pub visit: u64,
    /// What is still owed.
    pub due: Vec<Due>,
    /// What went in and out by cylinder.
    pub cylinders: Vec<CylinderMass>,
}

/// Something still owed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Due {
    /// What: `cylinder_weight_after`.
    pub what: String,
    /// Of what.
    pub of: String,
}

/// What a cylinder gave and took on a visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CylinderMass {
    /// The cylinder's name.
    pub cylinder: String,
    /// What it gave, in kilograms.
    pub given_kg: f64,
    /// The standard uncertainty of that, in kilograms.
    pub given_u_kg: f64,
    /// What it took, in kilograms.
    pub taken_kg: f64,
    /// The standard uncertainty of that, in kilograms.
    pub taken_u_kg: f64,
}

/// Returns the name of a visit, as its reports bear it.
#[must_use]
pub fn name(events: &[Event]) -> String {
    let visit = Visit::new("", events);
    match (visit.system.value.name.as_deref(), visit.site.value.name.as_deref()) {
        (Some(system), Some(site)) => format!("{system}, {site}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => String::new(),
    }
}

/// Returns what the lists show of the last of these visits, the oldest first.
#[must_use]
pub fn summary(visits: &[Vec<Event>]) -> JobSummary {
    let visit = Visit::of_chain("", visits);
    let account = account::account(&visit);
    let owed = |cylinder: &String| Due { what: "cylinder_weight_after".to_owned(), of: cylinder.clone() };
    JobSummary {
        site: visit.site.value.name.clone(),
        system: visit.system.value.name.clone(),
        refrigerant: visit.system.value.refrigerant.as_ref().and_then(Known::value).cloned(),
        day: visit.day().map(|day| day.to_string()),
        follows: visits.last().and_then(|events| chain::follows(events)),
        visit: visits.len() as u64,
        due: account.owed.iter().map(owed).collect(),
        cylinders: account
            .ledger
            .cylinders
            .iter()
            .map(|one| CylinderMass {
                cylinder: one.cylinder.clone(),
                given_kg: one.given.value().kilogram(),
                given_u_kg: one.given.u().abs(),
                taken_kg: one.taken.value().kilogram(),
                taken_u_kg: one.taken.u().abs(),
            })
            .collect(),
    }
}

/// Returns the words by which a job is found: everything that a person typed into it, and the visit it follows.
fn words(events: &[Event], summary: &JobSummary) -> String {
    fn collect(value: &serde_json::Value, into: &mut String) {
        match value {
            serde_json::Value::String(text) => {
                into.push_str(text);
                into.push('\n');
            }
            serde_json::Value::Array(all) => all.iter().for_each(|inner| collect(inner, into)),
            serde_json::Value::Object(map) => map.values().for_each(|inner| collect(inner, into)),
            _ => {}
        }
    }
    let mut text = String::new();
    for entry in &record::current(events).entries {
        if let Ok(value) = serde_json::to_value(&entry.seen) {
            collect(&value, &mut text);
        }
    }
    if let Some(follows) = summary.follows {
        text.push_str(&follows.simple().to_string());
    }
    text
}

/// Returns the visits of a job's chain, the oldest first, with the greatest sequence among them.
///
/// # Errors
/// What the store says.
pub fn visits(store: &dyn Store, job: Uuid) -> store::Result<(Vec<Vec<Event>>, u64)> {
    let fault = RefCell::new(None);
    let last = Cell::new(0);
    let chain = chain::chain_of(job, |job| {
        let found = store.job(job).and_then(|row| match row {
            Some(row) => store.job_events(job).map(|events| Some((row.last, events))),
            None => Ok(None),
        });
        match found {
            Ok(found) => found.map(|(sequence, events)| {
                last.set(last.get().max(sequence));
                events
            }),
            Err(error) => {
                fault.replace(Some(error));
                None
            }
        }
    });
    match fault.into_inner() {
        Some(error) => Err(error),
        None => Ok((chain, last.get())),
    }
}

/// Works out the summary of a job again, and marks those that follow it where they are older.
fn refresh(store: &dyn Store, row: &JobRow) -> store::Result<()> {
    let (chain, through) = visits(store, row.job)?;
    let Some(own) = chain.last() else { return Ok(()) };
    let made = summary(&chain);
    let system = chain.first().and_then(|first| first.first()).map(|event| event.job);
    let mut text = serde_json::to_value(&made).unwrap_or_default();
    text[CHAIN] = through.into();
    let kept = store::Summary {
        // What came since is worked out in the next round.
        through: row.last,
        system,
        title: name(own),
        text: text.to_string(),
        words: words(own, &made),
    };
    store.put_summary(row.job, &kept)?;
    // A visit that follows this one says what this one said: it is read anew where it was made of an older one.
    let followers = store.search(&row.job.simple().to_string(), None, 200)?;
    let older: Vec<Uuid> = followers
        .iter()
        .filter(|one| one.job != row.job && !one.stale)
        .filter(|one| read(one).follows == Some(row.job) && chain_through(one) < through)
        .map(|one| one.job)
        .collect();
    if older.is_empty() { Ok(()) } else { store.mark_stale(&older) }
}

/// Returns the greatest sequence among the visits that a job's summary was worked out of.
fn chain_through(row: &JobRow) -> u64 {
    let text = row.summary.as_ref().map_or("", |kept| kept.text.as_str());
    let kept: serde_json::Value = serde_json::from_str(text).unwrap_or_default();
    kept[CHAIN].as_u64().unwrap_or(0)
}

/// Returns what the lists show of a job, as far as it was worked out.
#[must_use]
pub fn read(row: &JobRow) -> JobSummary {
    row.summary.as_ref().and_then(|kept| serde_json::from_str(&kept.text).ok()).unwrap_or_default()
}

/// Works out every summary that is stale. Returns how many.
///
/// # Errors
/// What the store says.
pub fn refresh_all(store: &dyn Store) -> store::Result<usize> {
    let mut done = 0;
    loop {
        let stale = store.stale_jobs(BATCH)?;
        if stale.is_empty() {
            return Ok(done);
        }
        for row in &stale {
            refresh(store, row)?;
            done += 1;
        }
    }
}

/// Works out what is stale whenever something came, until the server ends.
pub async fn keep_fresh(shop: Arc<Shop>) {
    loop {
        let began = now();
        match shop.ask(refresh_all).await {
            Ok(0) => {}
            Ok(jobs) => tracing::debug!(jobs, ms = now() - began, "summaries worked out"),
            // It was logged; what is stale stays so and is tried again.
            Err(_) => tokio::time::sleep(PAUSE).await,
        }
        tokio::select! {
            () = shop.stale.notified() => {}
            () = tokio::time::sleep(PAUSE) => {}
        }
    }
}
