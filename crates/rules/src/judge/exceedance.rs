//! What a leak rate over its threshold starts: repair, tests, inspections, plans. 40 CFR 82.157 and 84.106.

use super::{Found, Outcome, found, timed, unknown};
use crate::Date;
use crate::case::{Case, Rate, Rates, Why};
use crate::duty::{Duty, Judge, Version};
use crate::facts::{Missing, What};

/// A leak rate is known after each addition that counts.
pub(super) fn leak_rate_calculation(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let rates = case.rates.iter().filter(|rates| version.from.is_none_or(|from| rates.on >= from));
    rates
        .map(|rates| {
            let event = case.additions[rates.addition].event;
            let wanting = |rate: &Rate| match rate {
                Rate::Is(_) => None,
                Rate::AtLeast(_, missing) | Rate::Unknown(missing) => Some(*missing),
            };
            let outcome = match (wanting(&rates.annualizing), wanting(&rates.rolling)) {
                (Some(a), Some(b)) if a == b => unknown([a]),
                (Some(a), Some(b)) => unknown([a, b]),
                _ => Outcome::Met,
            };
            found(outcome, [event])
        })
        .collect()
}

/// One method is chosen for the facility.
pub(super) fn leak_rate_method(case: &Case<'_>) -> Vec<Found> {
    let outcome =
        if case.facts.leak_rate_method.is_some() { Outcome::Met } else { unknown([Missing::LeakRateMethod]) };
    vec![found(outcome, [])]
}

/// Instances for each exceedance, and one for the additions of which it is not known.
fn each<'c>(
    case: &'c Case<'_>,
    duty: &Duty,
    version: &Version,
    judge: impl Fn(&'c Rates) -> Option<Found>,
) -> Vec<Found> {
    let (over, missing) = case.exceedances(duty, version);
    let mut list: Vec<Found> = over.into_iter().filter_map(judge).collect();
    if !missing.is_empty() {
        list.push(found(Outcome::Unknown(missing), []));
    }
    list
}

fn event_of(case: &Case<'_>, rates: &Rates) -> usize {
    case.additions[rates.addition].event
}

/// A time out of use: from its first day to the addition that ends it, or to this day.
struct Mothballed {
    since: Date,
    until: Option<Date>,
}

/// The times out of use that end after `from`, in order.
fn mothballed(case: &Case<'_>, from: Date) -> Vec<Mothballed> {
    let mut times: Vec<Mothballed> = Vec::new();
    let mut asleep: Option<Date> = None;
    for event in &case.events {
        match event.what {
            What::Mothballed if asleep.is_none() => asleep = Some(event.on.max(from)),
            What::Added { .. } => {
                if let Some(since) = asleep.take()
                    && event.on > from
                {
                    times.push(Mothballed { since, until: Some(event.on) });
                }
            }
            _ => {}
        }
    }
    times.extend(asleep.map(|since| Mothballed { since, until: None }));
    times
}

/// Returns the last day of a clock of `days` that stands still while out of use; a time out of use that begins after it
/// has run out changes nothing.
fn deadline(from: Date, days: u32, times: &[Mothballed]) -> Date {
    let mut due = from.days_after(days as i32);
    for time in times.iter().take_while(|time| time.until.is_some()) {
        if time.since > due {
            break;
        }
        due = due.days_after(time.until.map_or(0, |until| until.days_since(time.since)));
    }
    due
}

/// The time to repair, with what may lengthen it: a shutdown, an extension, a time out of use.
struct Window {
    /// Last day without a shutdown.
    short: Date,
    /// Last day with one, where that is not ruled out.
    long: Option<Date>,
    /// Since when it is out of use, if it is.
    asleep: Option<Date>,
}

fn window(
    case: &Case<'_>,
    from: Date,
    days: u32,
    with_shutdown: Option<u32>,
    extension: Option<&Version>,
) -> Window {
    let times = mothballed(case, from);
    let asleep = times.last().filter(|time| time.until.is_none()).map(|time| time.since);
    let after = |days: u32| deadline(from, days, &times);
    let shutdown = if case.is_process() { case.facts.process_shutdown } else { Some(false) };
    let stretched = |base: Date, outer: Option<u32>| -> Date {
        let asked = case.first_from(from, |what| *what == What::ExtensionAsked).map(|i| case.on(i));
        let (Some(version), Some(asked), Some(outer)) = (extension, asked, outer) else { return base };
        if asked > base {
            return base;
        }
        let outer = after(outer);
        let delivered = case.first_from(from, |what| *what == What::PartsDelivered).map(|i| case.on(i));
        match (delivered, version.numbers.days_after_delivery) {
            (Some(day), Some(days)) => base.max(outer.min(day.days_after(days as i32))),
            _ => outer,
        }
    };
    let outer = extension.map(|v| &v.numbers);
    let short = stretched(after(days), outer.and_then(|n| n.outer_days));
    let long =
        with_shutdown.map(|days| stretched(after(days), outer.and_then(|n| n.outer_days_with_shutdown)));
    match shutdown {
        Some(true) => Window { short: long.unwrap_or(short), long: None, asleep },
        Some(false) => Window { short, long: None, asleep },
        None => Window { short, long, asleep },
    }
}

fn in_window(window: &Window, done: Option<Date>, today: Date) -> Outcome {
    let first = timed(window.short, done, today);
    // Out of use before the time ran out: the clock stands. Out of use afterwards, a breach stays one.
    if window.asleep.is_some_and(|since| since <= window.short) && !matches!(first, Outcome::Met) {
        return Outcome::NotApplicable(Why::Mothballed);
    }
    match (window.long, &first) {
        (Some(long), Outcome::Breached { .. }) => match timed(long, done, today) {
            Outcome::Breached { since, until } => Outcome::Breached { since, until },
            _ => unknown([Missing::ProcessShutdown]),
        },
        _ => first,
    }
}

fn extension_of<'a>(case: &Case<'a>, duty: &Duty) -> Option<&'a Version> {
    let book = case.book;
    let same = |d: &&Duty| d.judged_by == Judge::RepairExtension && d.instrument == duty.instrument;
    book.duties().iter().find(same).and_then(|d| d.version_on(case.date))
}

/// The event by which everything known to leak was repaired after an exceedance, if it was.
fn repaired_after(case: &Case<'_>, from: Date) -> Option<usize> {
    let first = case.first_from(from, |what| matches!(what, What::Repaired { .. }))?;
    let mut last = first;
    for leak in &case.leaks {
        match leak.repaired {
            None if case.on(leak.found) <= case.on(first) => return None,
            Some(repair) if repair > last && leak.found < last => last = repair,
            _ => {}
        }
    }
    Some(last)
}

fn windows_of(case: &Case<'_>, duty: &Duty, version: &Version, rates: &Rates) -> Window {
    let days = version.numbers.days.unwrap_or(30);
    window(case, rates.on, days, version.numbers.days_with_shutdown, extension_of(case, duty))
}

/// Leaks are repaired within the days after the addition that showed the exceedance, or a plan is made instead.
pub(super) fn repair(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    each(case, duty, version, |rates| {
        let window = windows_of(case, duty, version, rates);
        let repair = repaired_after(case, rates.on);
        let plan = case.first_from(rates.on, |what| *what == What::PlanWritten);
        let done = match (repair, plan) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        let outcome = in_window(&window, done.map(|d| case.on(d)), case.date);
        Some(found(outcome, [event_of(case, rates)].into_iter().chain(done)))
    })
}

/// A repaired leak passes its initial verification test in the same time.
pub(super) fn initial_verification(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    each(case, duty, version, |rates| {
        let repair = repaired_after(case, rates.on)?;
        let window = windows_of(case, duty, version, rates);
        let passed = (repair..case.events.len())
            .find(|&i| case.events[i].what == What::InitialVerification { passed: true });
        let outcome = in_window(&window, passed.map(|p| case.on(p)), case.date);
        Some(found(outcome, [event_of(case, rates), repair].into_iter().chain(passed)))
    })
}

/// The follow-up test, so many days after the passed initial test, or after the return to normal operation.
pub(super) fn follow_up(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let days = version.numbers.days.unwrap_or(10) as i32;
    each(case, duty, version, |rates| {
        let repair = repaired_after(case, rates.on)?;
        let passed = (repair..case.events.len())
            .find(|&i| case.events[i].what == What::InitialVerification { passed: true })?;
        let tested = case.first_from(case.on(passed), |what| {
            matches!(what, What::FollowUpVerification { passed: true, .. })
        });
        let done = tested.map(|t| case.on(t));
        let returned = case.first_from(case.on(passed), |what| *what == What::ReturnedToNormal);
        let early = case.on(passed).days_after(days);
        let evacuated = match case.events[repair].what {
            What::Repaired { evacuated, .. } => evacuated,
            _ => None,
        };
        let outcome = match (evacuated, returned) {
            (Some(false), _) => timed(early, done, case.date),
            (Some(true), Some(back)) => timed(case.on(back).days_after(days), done, case.date),
            (Some(true), None) if done.is_some() => Outcome::Met,
            (Some(true), None) => unknown([Missing::ReturnToNormal]),
            (None, _) => match timed(early, done, case.date) {
                Outcome::Breached { since, until } => match returned {
                    // Late even counted from the return: late either way.
                    Some(back)
                        if matches!(
                            timed(case.on(back).days_after(days), done, case.date),
                            Outcome::Breached { .. }
                        ) =>
                    {
                        Outcome::Breached {
                            since: since.max(Some(case.on(back).days_after(days + 1))),
                            until,
                        }
                    }
                    _ => unknown([Missing::Evacuated]),
                },
                outcome => outcome,
            },
        };
        Some(found(outcome, [event_of(case, rates), repair, passed].into_iter().chain(tested)))
    })
}

/// The last exceedance, if it is known that there was one.
fn last_exceedance<'c>(
    case: &'c Case<'_>,
    duty: &Duty,
    version: &Version,
) -> (Option<&'c Rates>, Vec<Missing>) {
    let (over, missing) = case.exceedances(duty, version);
    (over.last().copied(), missing)
}

/// Inspections every so many months after an exceedance, until four quarters in a row were within the threshold.
///
/// Four quarters are read as twelve months after the last exceedance; one within them starts them anew.
pub(super) fn inspections(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let months = version.numbers.months.unwrap_or(3) as i32;
    let (over, missing) = case.exceedances(duty, version);
    let mut periods: Vec<(Date, Date, usize)> = Vec::new();
    for rates in over {
        let end = rates.on.months_after(12);
        match periods.last_mut() {
            Some((_, last, _)) if rates.on <= *last => *last = end,
            _ => periods.push((rates.on, end, event_of(case, rates))),
        }
    }
    let mut list = Vec::new();
    for (start, end, exceedance) in periods {
        let (mut from, mut evidence) = (start, exceedance);
        let checks: Vec<usize> = case.all(|what| matches!(what, What::LeakChecked { .. })).collect();
        loop {
            let due = from.months_after(months);
            if due > end {
                list.push(found(Outcome::NotApplicable(Why::Finished), [evidence]));
                break;
            }
            let next = checks.iter().copied().find(|&check| check > evidence && case.on(check) >= from);
            let done = next.map(|check| case.on(check));
            let outcome = timed(due, done, case.date);
            let on_time = outcome == Outcome::Met;
            if !on_time {
                list.push(found(outcome, [evidence].into_iter().chain(next)));
            }
            match next {
                Some(check) if case.on(check) <= end => (from, evidence) = (case.on(check), check),
                _ => break,
            }
        }
    }
    if !missing.is_empty() {
        list.push(found(Outcome::Unknown(missing), []));
    }
    list
}

/// One inspection in each calendar year after an exceedance, until a year was within the threshold.
pub(super) fn yearly_inspections(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let (over, missing) = case.exceedances(duty, version);
    let (Some(first), Some(last)) = (over.first(), over.last()) else {
        return if missing.is_empty() { Vec::new() } else { vec![found(Outcome::Unknown(missing), [])] };
    };
    let mut list = Vec::new();
    for year in first.on.year()..=last.on.year() + 1 {
        let near = over.iter().rev().find(|rates| rates.on.year() == year || rates.on.year() + 1 == year);
        let Some(rates) = near else { continue };
        if year > case.date.year() {
            break;
        }
        let start = Date::fixed(year, 1, 1);
        let check = case
            .first_from(start, |what| matches!(what, What::LeakChecked { .. }))
            .filter(|&check| case.on(check).year() == year);
        let late = case.first_from(start, |what| matches!(what, What::LeakChecked { .. }));
        let outcome = match check {
            Some(_) => Outcome::Met,
            None => timed(Date::end_of_year(year), late.map(|l| case.on(l)), case.date),
        };
        list.push(found(outcome, [event_of(case, rates)].into_iter().chain(check.or(late))));
    }
    if !missing.is_empty() {
        list.push(found(Outcome::Unknown(missing), []));
    }
    list
}

/// A retrofit or retirement plan, where the leaks were not repaired in time or not at all.
pub(super) fn plan(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let days = version.numbers.days.unwrap_or(30);
    let sister = case.book.duties().iter().find(|d| {
        d.judged_by == Judge::RepairAfterExceedance
            && d.instrument == duty.instrument
            && d.jurisdiction == duty.jurisdiction
    });
    let repair_version = sister.and_then(|d| d.version_on(case.date));
    each(case, duty, version, |rates| {
        let repair_days = repair_version.and_then(|v| v.numbers.days).unwrap_or(days);
        let with_shutdown = repair_version.and_then(|v| v.numbers.days_with_shutdown);
        let window = window(case, rates.on, repair_days, with_shutdown, extension_of(case, duty));
        let repaired = repaired_after(case, rates.on).map(|r| case.on(r));
        if repaired.is_some_and(|day| day <= window.long.unwrap_or(window.short)) {
            return None;
        }
        let planned = case.first_from(rates.on, |what| *what == What::PlanWritten);
        let due = rates.on.days_after(days as i32).max(window.short);
        let window = Window { short: due, ..window };
        let outcome = in_window(&window, planned.map(|p| case.on(p)), case.date);
        Some(found(outcome, [event_of(case, rates)].into_iter().chain(planned)))
    })
}

/// The plan is carried out in a year, and never later than so many months after it was required.
pub(super) fn plan_finished(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let months = version.numbers.months.unwrap_or(12) as i32;
    let (over, _) = case.exceedances(duty, version);
    case.all(|what| *what == What::PlanWritten)
        .map(|written| {
            let day = case.on(written);
            let required =
                over.iter().rev().find(|rates| rates.on <= day).map(|rates| rates.on.days_after(30));
            let outer = required.zip(version.numbers.outer_months).map(|(r, m)| r.months_after(m as i32));
            let due = outer.map_or(day.months_after(months), |outer| outer.min(day.months_after(months)));
            let done = case.first_from(day, |what| *what == What::PlanFinished);
            found(timed(due, done.map(|d| case.on(d)), case.date), [written].into_iter().chain(done))
        })
        .collect()
}

/// Whether a repair after an exceedance still waits for its initial verification test.
pub(crate) fn after_repair_untested(case: &Case<'_>, duty: &Duty, version: &Version) -> crate::case::Tri {
    use crate::case::Tri;
    let (over, missing) = case.exceedances(duty, version);
    let waiting = |from: Date| {
        let last = case.all(|what| matches!(what, What::Repaired { .. })).rfind(|&i| case.on(i) >= from);
        last.is_some_and(|repair| {
            !(repair..case.events.len())
                .any(|i| case.events[i].what == What::InitialVerification { passed: true })
        })
    };
    if over.iter().any(|rates| waiting(rates.on)) {
        Tri::Yes
    } else if !missing.is_empty() && case.rates.iter().any(|rates| waiting(rates.on)) {
        Tri::Unknown(missing)
    } else {
        Tri::No
    }
}

/// The last day of each choice that is still open: to ask for more time, for relief, for an extension.
pub(crate) fn choices(case: &Case<'_>, duty: &Duty, version: &Version) -> Option<(Date, usize)> {
    let (last, _) = last_exceedance(case, duty, version);
    let last = last?;
    let event = event_of(case, last);
    let planned = case.first_from(last.on, |what| *what == What::PlanWritten);
    let by = match duty.judged_by {
        Judge::RepairExtension if repaired_after(case, last.on).is_none() => {
            let shutdown = case.is_process() && case.facts.process_shutdown == Some(true);
            let days = version.numbers.days_with_shutdown.filter(|_| shutdown).or(version.numbers.days)?;
            last.on.days_after(days as i32)
        }
        Judge::PlanRelief => case.on(planned?).days_after(version.numbers.days? as i32),
        Judge::PlanExtension if planned.is_some() => last.on.months_after(version.numbers.months? as i32),
        _ => return None,
    };
    if case.date <= by { Some((by, event)) } else { None }
}
