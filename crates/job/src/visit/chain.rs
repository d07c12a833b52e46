//! A system over several visits: what an earlier one found out holds for a later one, and what it did is history.

use super::Visit;
use record::{Body, Entry, Event, LeakCheck, Repair};
use std::collections::BTreeSet;
use uuid::Uuid;

/// Facts about a site that belong to their own day: the weather, and the offset of summer or winter time.
pub(crate) const OF_THEIR_DAY: &[&str] = &["barometer", "offset"];

impl Visit {
    /// Returns the last of these visits to one system, the oldest first, with the earlier ones behind it: their facts
    /// about site, customer, system, instruments and cylinders hold until it says otherwise; what was weighed, repaired
    /// and searched there is history. Of one visit alone it is [`Visit::new`]; of none a visit without entries.
    #[must_use]
    pub fn of_chain(name: &str, visits: &[Vec<Event>]) -> Self {
        let mut earlier: Vec<Visit> = Vec::new();
        for events in visits {
            let visit = Visit::after(name, events, earlier.last());
            earlier.push(visit);
        }
        let mut last = earlier.pop().unwrap_or_else(|| Visit::new(name, &[]));
        last.earlier = earlier;
        last
    }

    /// Returns the entries of one kind over all visits, the oldest first; true for those of an earlier visit.
    pub fn entries_of_all<'a, T: 'a>(
        &'a self,
        pick: impl Fn(&'a Body) -> Option<&'a T> + Copy + 'a,
    ) -> impl Iterator<Item = (bool, &'a Entry, &'a T)> + 'a {
        let before = self.earlier.iter().flat_map(move |visit| visit.entries(pick));
        let before = before.map(|(entry, body)| (true, entry, body));
        before.chain(self.entries(pick).map(|(entry, body)| (false, entry, body)))
    }

    /// Returns every leak check made on this system, the oldest first; true for those of an earlier visit.
    pub fn checks_of_all(&self) -> impl Iterator<Item = (bool, &Entry, &LeakCheck)> {
        self.entries_of_all(|body| match body {
            Body::LeakCheck(check) => Some(&**check),
            _ => None,
        })
    }

    /// Returns every repair made on this system, the oldest first; true for those of an earlier visit.
    pub fn repairs_of_all(&self) -> impl Iterator<Item = (bool, &Entry, &Repair)> {
        self.entries_of_all(|body| match body {
            Body::Repair(repair) => Some(&**repair),
            _ => None,
        })
    }
}

/// Returns the job that a visit follows, by its facts.
#[must_use]
pub fn follows(events: &[Event]) -> Option<Uuid> {
    record::current(events).visit().value.follows?.trim().parse().ok()
}

/// Returns the events of a job and of those it follows, the oldest first; `events_of` gives the events of a job, and a
/// job that is not here ends the chain.
pub fn chain_of(job: Uuid, events_of: impl Fn(Uuid) -> Option<Vec<Event>>) -> Vec<Vec<Event>> {
    let mut seen = BTreeSet::new();
    let mut chain = Vec::new();
    let mut next = Some(job);
    // Jobs that follow each other in a ring are each taken once.
    while let Some(job) = next.filter(|job| seen.insert(*job)) {
        let Some(events) = events_of(job) else { break };
        next = follows(&events);
        chain.push(events);
    }
    chain.reverse();
    chain
}

/// Returns the visits in their order: by whom they follow, else by the day of the visit, else by their first stamp.
#[must_use]
pub fn in_order(mut visits: Vec<Vec<Event>>) -> Vec<Vec<Event>> {
    visits.sort_by_key(|events| {
        let day = Visit::new("", events).day().map(|day| i64::from(day.day_number()) * 86_400_000);
        day.or_else(|| events.iter().map(|event| event.stamp.ms).min())
    });
    let jobs: Vec<Option<Uuid>> = visits.iter().map(|events| events.first().map(|event| event.job)).collect();
    // The last by day is the one that is asked about, where no other visit follows it.
    let followed: BTreeSet<Uuid> = visits.iter().filter_map(|events| follows(events)).collect();
    let ends: Vec<Uuid> = jobs.iter().flatten().filter(|job| !followed.contains(job)).copied().collect();
    let Some(end) = ends.last() else { return visits };
    let of = |job: Uuid| visits.iter().find(|events| is_of(events, job)).cloned();
    let linked = chain_of(*end, of);
    if linked.len() == visits.len() { linked } else { visits }
}

fn is_of(events: &[Event], job: Uuid) -> bool {
    events.first().is_some_and(|event| event.job == job)
}
