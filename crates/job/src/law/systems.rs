//! What is due across systems: visits put together by system, and one list by day.

use super::{Law, LawFacts, facts};
use crate::visit::Visit;
use crate::visit::chain::{follows, in_order};
use record::Event;
use rules::{Book, CalendarLine, Date};
use std::collections::BTreeMap;
use uuid::Uuid;

/// A system with its visits.
pub struct System {
    /// What it is called: site and system, else its last visit's job.
    pub name: String,
    /// Its last visit, with the earlier ones behind it.
    pub visit: Visit,
    /// What the law is asked about.
    pub facts: LawFacts,
}

/// Returns the systems that these visits are about, by name.
///
/// Visits belong to one system where one follows the other, or where site and system have the same names.
#[must_use]
pub fn systems(visits: Vec<Vec<Event>>) -> Vec<System> {
    // The log of a van is no system.
    let visits: Vec<Vec<Event>> = visits.into_iter().filter(|events| !crate::van::is_log(events)).collect();
    let mut out: Vec<System> = grouped(visits).into_iter().map(system).collect();
    out.sort_by(|a, b| a.name.cmp(&b.name));
    out
}

/// Returns these visits by system, those of one system in their order.
pub(crate) fn grouped(visits: Vec<Vec<Event>>) -> Vec<Vec<Vec<Event>>> {
    let jobs: Vec<Option<Uuid>> = visits.iter().map(|events| events.first().map(|event| event.job)).collect();
    let mut group: Vec<usize> = (0..visits.len()).collect();
    let mut named: BTreeMap<(String, String), usize> = BTreeMap::new();
    for (at, events) in visits.iter().enumerate() {
        let other = follows(events).and_then(|job| jobs.iter().position(|known| *known == Some(job)));
        let current = record::current(events);
        let name = current.site().value.name.zip(current.system().value.name);
        let same = name.map(|(site, system)| {
            let plain = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
            *named.entry((plain(site), plain(system))).or_insert(at)
        });
        for other in [other, same].into_iter().flatten() {
            let (from, to) = (group[at].max(group[other]), group[at].min(group[other]));
            group.iter_mut().filter(|of| **of == from).for_each(|of| *of = to);
        }
    }
    let mut together: BTreeMap<usize, Vec<Vec<Event>>> = BTreeMap::new();
    for (events, of) in visits.into_iter().zip(group) {
        together.entry(of).or_default().push(events);
    }
    together.into_values().map(in_order).collect()
}

fn system(visits: Vec<Vec<Event>>) -> System {
    let visit = Visit::of_chain("", &visits);
    let names = [visit.site.value.name.clone(), visit.system.value.name.clone()];
    let name = names.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let job = visits.last().and_then(|events| events.first()).map(|event| event.job.to_string());
    let name = if name.is_empty() { job.unwrap_or_default() } else { name };
    let facts = facts(&visit);
    System { name, visit, facts }
}

/// Returns what the law asks of each system on a day.
#[must_use]
pub fn laws<'a>(book: &'a Book, systems: &'a [System], date: Date) -> Vec<(&'a System, Law<'a>)> {
    systems.iter().map(|system| (system, Law::of(book, &system.facts, date))).collect()
}

/// Returns what is overdue and what falls due within `within` days, across systems: by day, then system.
///
/// A line that rests on what was only told is not firm.
#[must_use]
pub fn due<'a>(laws: &'a [(&'a System, Law<'a>)], within: Option<u32>) -> Vec<CalendarLine<'a>> {
    let assessed = laws.iter().map(|(system, law)| (system.name.clone(), &law.assessment));
    let mut lines = rules::calendar(assessed, within);
    for line in &mut lines {
        let told = |law: &Law<'_>| line.evidence.iter().any(|id| law.read.doubtful.contains(id));
        line.firm &= !laws.iter().any(|(system, law)| system.name == line.system && told(law));
    }
    lines
}
