//! What follows when a leak is found, and when it was repaired.

use super::{Due, Found, Outcome, found, timed, unknown};
use crate::case::{Case, Leak};
use crate::duty::Version;
use crate::facts::{Missing, What};

/// The event that ended a leak: repaired, or its part emptied, whichever came first.
fn ended(leak: &Leak<'_>) -> Option<usize> {
    match (leak.repaired, leak.emptied) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// A found leak is repaired, or isolated and emptied, within days, hours or working days of its finding.
pub(super) fn repaired_within(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let n = &version.numbers;
    let leaks = case.leaks.iter().filter(|leak| version.from.is_none_or(|from| case.on(leak.found) >= from));
    leaks
        .map(|leak| {
            let end = ended(leak);
            let evidence = [Some(leak.found), end].into_iter().flatten();
            let (day, time) = case.when(leak.found);
            let done = end.map(|e| case.on(e));
            let outcome = if let Some(days) = n.days {
                timed(day.days_after(days as i32), done, case.date)
            } else if let Some(days) = n.working_days {
                timed(day.working_days_after(days), done, case.date)
            } else {
                // Hours run from when the owner knew; the finding is the earliest that can have been.
                let hours = n.hours.unwrap_or(24) as i32;
                let told = leak.told.map(|t| case.when(t));
                let (day, time) = told.unwrap_or((day, time));
                let due = day.days_after(hours.div_euclid(24));
                let spent = end.map(|e| case.when(e));
                match (time, spent) {
                    (Some(by), Some((done, Some(at)))) if (done, at) > (due, by) && told.is_some() => {
                        Outcome::Breached { since: Some(due), until: Some(done) }
                    }
                    (_, Some((done, _))) if done <= due => Outcome::Met,
                    (Some(by), None) if case.date <= due => Outcome::Due(Due::At(due, by)),
                    (None, None) if case.date <= due => Outcome::Due(Due::On(due)),
                    _ if told.is_none() => unknown([Missing::OwnerTold]),
                    _ => timed(due, done, case.date),
                }
            };
            found(outcome, evidence)
        })
        .collect()
}

/// A found leak is stopped; the law gives no number of days.
pub(super) fn stopped(case: &Case<'_>, due: fn(crate::Date) -> Due) -> Vec<Found> {
    case.leaks
        .iter()
        .map(|leak| match ended(leak) {
            Some(end) => found(Outcome::Met, [leak.found, end]),
            None => found(Outcome::Due(due(case.on(leak.found))), [leak.found]),
        })
        .collect()
}

/// Checked again after a repair: not before 24 hours, and within so many months by the last-day rule.
pub(super) fn recheck(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let months = version.numbers.months.unwrap_or(1) as i32;
    case.all(|what| matches!(what, What::Repaired { .. }))
        .filter(|&repair| version.from.is_none_or(|from| case.on(repair) >= from))
        .map(|repair| {
            let (day, time) = case.when(repair);
            let due = day.months_after(months);
            let checks =
                case.all(|what| matches!(what, What::LeakChecked { .. })).filter(|&check| check > repair);
            let mut too_close = false;
            for check in checks {
                let (on, at) = case.when(check);
                match on.days_since(day) {
                    0 => {}
                    1 => match (time, at) {
                        (Some(repaired), Some(checked)) if checked < repaired => {}
                        (Some(_), Some(_)) => return found(timed(due, Some(on), case.date), [repair, check]),
                        _ => too_close = true,
                    },
                    _ => return found(timed(due, Some(on), case.date), [repair, check]),
                }
            }
            // A check on the next day without its hour may or may not have waited 24 hours.
            match timed(due, None, case.date) {
                Outcome::Breached { .. } if too_close => found(unknown([Missing::TimeOfDay]), [repair]),
                outcome => found(outcome, [repair]),
            }
        })
        .collect()
}
