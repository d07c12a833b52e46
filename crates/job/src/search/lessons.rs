//! What a shop learns from its own finds: leaks that were confirmed and mended, by their places.

use super::{ground, method_of};
use crate::visit::Visit;
use diagnosis::search::{Book, Method};
use record::{Body, CheckResult, Event, LeakCheck, YesNo};
use uuid::Uuid;

/// A leak that was confirmed and mended on a visit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Find {
    /// The job.
    pub job: Option<Uuid>,
    /// The place, by its key in the usual list.
    pub place: String,
}

/// Returns the leaks that were confirmed and mended on a visit and on those it follows, each place of a job once: hit in
/// all its steps, then repaired there, on that visit or a later one.
///
/// A find at a place that the usual list does not have teaches nothing about that list.
#[must_use]
pub fn finds_of(visit: &Visit) -> Vec<Find> {
    let places = Book::shipped().places;
    let chain: Vec<&Visit> = visit.earlier.iter().chain(core::iter::once(visit)).collect();
    let mended = |spot: &str, since: record::Stamp| {
        let here = ground::named(&places, spot);
        let repairs = chain.iter().flat_map(|each| {
            each.entries(|body| match body {
                Body::Repair(repair) => Some(&**repair),
                _ => None,
            })
        });
        repairs.filter(|(entry, _)| entry.stamp > since).any(|(entry, repair)| {
            let words = repair.leak.as_deref().or(entry.seen.place.as_deref()).unwrap_or_default();
            let at = ground::named(&places, words);
            at.is_empty() || at.iter().any(|place| here.contains(place))
        })
    };
    let mut out: Vec<Find> = Vec::new();
    for each in &chain {
        let hits = each.entries(|body| match body {
            Body::LeakCheck(check) if check.result == CheckResult::Hit => Some(&**check),
            _ => None,
        });
        for (entry, check) in hits {
            let spot = entry.seen.place.as_deref().unwrap_or_default();
            if !is_sure(check) || !mended(spot, entry.stamp) {
                continue;
            }
            let Some(at) = ground::named(&places, spot).first().copied() else { continue };
            let find = Find { job: each.job, place: places[at].key.clone() };
            if !out.contains(&find) {
                out.push(find);
            }
        }
    }
    out
}

/// Returns the leaks that these visits, of any systems, confirmed and mended.
#[must_use]
pub fn finds(visits: Vec<Vec<Event>>) -> Vec<Find> {
    let systems = crate::law::grouped(visits);
    systems.iter().flat_map(|visits| finds_of(&Visit::of_chain("", visits))).collect()
}

/// Whether a hit made all the steps that its way of looking asks for; an oil mark makes none.
fn is_sure(check: &LeakCheck) -> bool {
    let steps = check.repeated == Some(YesNo::Yes) && check.gone_when_moved == Some(YesNo::Yes);
    let refuted = check.repeated == Some(YesNo::No) || check.gone_when_moved == Some(YesNo::No);
    match method_of(check.method) {
        _ if refuted => false,
        Method::Visual => false,
        Method::Electronic | Method::Tracer | Method::Ultrasonic => steps,
        _ => true,
    }
}

/// Returns what the other jobs of a shop teach a visit: the places of their finds, those of the visit and of the ones that it
/// follows left out, since its own record speaks of them already.
#[must_use]
pub fn lessons(finds: &[Find], visit: &Visit) -> Vec<String> {
    let own = |job: Option<Uuid>| {
        job.is_some() && (job == visit.job || visit.earlier.iter().any(|earlier| earlier.job == job))
    };
    finds.iter().filter(|find| !own(find.job)).map(|find| find.place.clone()).collect()
}
