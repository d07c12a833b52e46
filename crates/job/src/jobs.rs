//! The list of jobs: a row for each, from its events alone.

use crate::entry::entry_name;
use crate::place;
use crate::visit::{Visit, chain};
use record::{Body, Event, Known, When};
use report::Message;
use uuid::Uuid;

/// A row of the list of jobs.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The job.
    pub job: Uuid,
    /// The site's name.
    pub site: Option<String>,
    /// The system's name.
    pub system: Option<String>,
    /// The designation of the refrigerant.
    pub refrigerant: Option<String>,
    /// What was entered last that is more than a fact.
    pub last: Option<Message>,
    /// When that was; where no entry says, nothing.
    pub last_at: Option<When>,
    /// Where somebody stands.
    pub here: Option<String>,
    /// What is still owed, in sentences.
    pub owed: Vec<Message>,
    /// Entries that say different things, for a person to choose among.
    pub unsettled: usize,
    /// The earlier visit that this one follows.
    pub follows: Option<Uuid>,
    /// The stamp of the newest event, for the order of the list.
    pub stamp: record::Stamp,
}

/// Returns the row of a job; nothing where there are no events.
#[must_use]
pub fn row(events: &[Event]) -> Option<Row> {
    let first = events.iter().min_by_key(|event| (event.stamp, event.id))?;
    let stamp = events.iter().map(|event| event.stamp).max()?;
    let visit = Visit::new("", events);
    let last = visit.current.entries.iter().rev().find(|entry| !is_fact(entry.what()));
    let unsettled =
        visit.current.disagreements.len() + visit.system.unsettled.len() + visit.site.unsettled.len();
    Some(Row {
        job: first.job,
        site: visit.site.value.name.clone(),
        system: visit.system.value.name.clone(),
        refrigerant: visit.system.value.refrigerant.as_ref().and_then(Known::value).cloned(),
        last: last.map(entry_name),
        last_at: last.and_then(|entry| entry.seen.at.clone()),
        here: place::here(&visit),
        owed: place::owed(&visit).into_iter().map(|owed| owed.sentence).collect(),
        unsettled,
        follows: chain::follows(events),
        stamp,
    })
}

/// Returns the rows of the jobs, the one touched last first.
///
/// Each slice holds the events of one job.
#[must_use]
pub fn rows<'a>(jobs: impl IntoIterator<Item = &'a [Event]>) -> Vec<Row> {
    let mut rows: Vec<Row> = jobs.into_iter().filter_map(row).collect();
    rows.sort_by(|a, b| b.stamp.cmp(&a.stamp).then_with(|| b.job.cmp(&a.job)));
    rows
}

/// Whether a body states a fact rather than something done or seen at a moment.
pub(crate) const fn is_fact(body: &Body) -> bool {
    matches!(
        body,
        Body::Site(_)
            | Body::Customer(_)
            | Body::Visit(_)
            | Body::System(_)
            | Body::Instrument(_)
            | Body::Cylinder(_)
            | Body::PastChange(_)
    )
}
