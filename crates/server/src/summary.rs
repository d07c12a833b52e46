//! What is worked out of each job once and kept, so that lists of many jobs open at once.

use crate::book::{reckoned_before, today};
use crate::shop::{Shop, now};
use job::visit::{Visit, chain};
use record::Event;
use std::cell::{Cell, RefCell};
use std::sync::Arc;
use std::time::Duration;
use store::{JobRow, Store};
use uuid::Uuid;

/// Under this key a summary keeps the greatest sequence among the visits that it was worked out of.
const CHAIN: &str = "chain_through";
/// How many jobs are read at a time.
const BATCH: usize = 50;
/// What comes within this time is worked out together: a phone brings a day's work in several requests.
const TOGETHER: Duration = Duration::from_millis(500);
/// How long nothing need be looked for when nothing came.
const PAUSE: Duration = Duration::from_secs(30);

pub use job::shop::Summary as JobSummary;

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
    let made = job::shop::summary(&chain, today());
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
    let kept = row.summary.as_ref().and_then(|kept| serde_json::from_str(&kept.text).ok());
    kept.unwrap_or_else(|| JobSummary { job: Some(row.job), ..JobSummary::default() })
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
    let mut reckoned = None;
    loop {
        let began = now();
        let on = today();
        if reckoned != Some(on) {
            let marked = shop.ask(move |store| store.mark_stale(&reckoned_before(store, on)?)).await;
            reckoned = marked.is_ok().then_some(on);
        }
        match shop.ask(refresh_all).await {
            Ok(0) => {}
            Ok(jobs) => {
                shop.held.forget();
                tracing::debug!(jobs, ms = now() - began, "summaries worked out");
            }
            // It was logged; what is stale stays so and is tried again.
            Err(_) => tokio::time::sleep(PAUSE).await,
        }
        tokio::select! {
            () = shop.stale.notified() => tokio::time::sleep(TOGETHER).await,
            () = tokio::time::sleep(PAUSE) => {}
        }
    }
}
