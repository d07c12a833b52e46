//! Checks that come round.

use super::{Due, Found, Outcome, found, timed, unknown};
use crate::Date;
use crate::case::{Case, Why};
use crate::duty::Version;
use crate::facts::{Missing, What};

/// Walks from one check to the next: every interval that was missed, and the one that runs now.
fn walk(
    case: &Case<'_>,
    version: &Version,
    start: Option<Date>,
    checks: impl Iterator<Item = usize>,
    due_after: impl Fn(Date) -> Date,
) -> Option<(Vec<Found>, Date)> {
    let from = version.from.unwrap_or_else(|| Date::from_day_number(i32::MIN));
    let mut list = Vec::new();
    let mut previous: Option<(Date, Option<usize>)> = start.map(|day| (day, None));
    for check in checks {
        let on = case.on(check);
        if let Some((before, evidence)) = previous {
            let due = due_after(before);
            if on > due && due >= from {
                let breach = Outcome::Breached { since: Some(due.days_after(1)), until: Some(on) };
                list.push(found(breach, evidence.into_iter().chain([check])));
            }
        }
        previous = Some((on, Some(check)));
    }
    let (last, evidence) = previous?;
    let due = due_after(last).max(from);
    list.push(found(timed(due, None, case.date), evidence));
    Some((list, last))
}

fn leak_checks<'c>(case: &'c Case<'_>) -> impl Iterator<Item = usize> + use<'c> {
    case.all(|what| matches!(what, What::LeakChecked { .. }))
}

/// A leak test in each calendar year, and so many months at most after the last.
pub(super) fn leak_test_each_year(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let months = version.numbers.months.unwrap_or(12) as i32;
    let due = |last: Date| last.months_after(months).min(Date::end_of_year(last.year() + 1));
    match walk(case, version, case.facts.installed, leak_checks(case), due) {
        Some((list, _)) => list,
        None => vec![found(unknown([Missing::PreviousLeakCheck]), [])],
    }
}

/// A leak test every so many months.
pub(super) fn leak_test_each_period(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let months = version.numbers.months.unwrap_or(12) as i32;
    match walk(case, version, case.facts.installed, leak_checks(case), |last| last.months_after(months)) {
        Some((list, _)) => list,
        None => vec![found(unknown([Missing::PreviousLeakCheck]), [])],
    }
}

/// A leak check every so many months, twice as many with a leakage detection system.
pub(super) fn leak_check_interval(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let single = version.numbers.months.unwrap_or(12) as i32;
    let months = if case.facts.detection_system == Some(false) { single } else { single * 2 };
    let walked =
        walk(case, version, case.facts.installed, leak_checks(case), |last| last.months_after(months));
    let Some((mut list, last)) = walked else {
        return vec![found(unknown([Missing::PreviousLeakCheck]), [])];
    };
    if case.facts.detection_system.is_none() {
        // Not known whether the interval is doubled: firm only where both intervals say the same.
        let short = last.months_after(single);
        if let Some(Found { outcome: outcome @ Outcome::Due(_), .. }) = list.last_mut() {
            *outcome = if case.date <= short {
                Outcome::Due(Due::On(short))
            } else {
                unknown([Missing::DetectionSystem])
            };
        }
    }
    list
}

/// A leakage detection system is there where it must be, and is checked in time.
pub(super) fn detection_check(case: &Case<'_>, version: &Version) -> Vec<Found> {
    // Where the duty asks for the system itself, its scope is a band of amounts; where it only rules its upkeep, not.
    let months = version.numbers.months.unwrap_or(12) as i32;
    match case.facts.detection_system {
        None => return vec![found(unknown([Missing::DetectionSystem]), [])],
        Some(false) if version.asks_for_detection => {
            return vec![found(Outcome::Breached { since: None, until: None }, [])];
        }
        Some(false) => return vec![found(Outcome::NotApplicable(Why::NoDetectionSystem), [])],
        Some(true) => {}
    }
    let checks = case.all(|what| matches!(what, What::DetectionChecked | What::DetectionFitted));
    match walk(case, version, None, checks, |last| last.months_after(months)) {
        Some((list, _)) => list,
        None => vec![found(unknown([Missing::PreviousDetectionCheck]), [])],
    }
}

/// A leakage detection system is fitted by a day, or so many days after installation.
pub(super) fn detection_fitted(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let due = match (version.numbers.by, version.numbers.days, case.facts.installed) {
        (Some(day), _, _) => day,
        (None, Some(days), Some(installed)) => installed.days_after(days as i32),
        _ => return vec![found(unknown([Missing::Installed]), [])],
    };
    let fitted = case.all(|what| *what == What::DetectionFitted).next();
    let outcome = match (fitted, case.facts.detection_system) {
        (Some(event), _) => timed(due, Some(case.on(event)), case.date),
        (None, Some(true)) => Outcome::Met,
        (None, Some(false)) => timed(due, None, case.date),
        (None, None) => unknown([Missing::DetectionSystem]),
    };
    vec![found(outcome, fitted)]
}
