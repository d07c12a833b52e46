//! What must be so before refrigerant is added, looked back on.

use super::{Found, Outcome, found, unknown};
use crate::case::{Addition, Case};
use crate::duty::{Effect, Version};
use crate::facts::{GasFrom, Missing, Reason, What};

/// Only certified persons work on the system.
pub(super) fn certified_person(case: &Case<'_>) -> Vec<Found> {
    let outcome = match case.facts.certified {
        Some(true) => Outcome::Met,
        Some(false) => Outcome::Breached { since: None, until: None },
        None => unknown([Missing::Certified]),
    };
    vec![found(outcome, [])]
}

fn additions<'c, 'a>(case: &'c Case<'a>, version: &Version) -> impl Iterator<Item = &'c Addition<'a>> {
    let from = version.from;
    case.additions.iter().filter(move |a| from.is_none_or(|from| a.on >= from))
}

fn reason_of(case: &Case<'_>, event: usize) -> Option<Reason> {
    match case.events[event].what {
        What::Added { reason, .. } => reason,
        _ => None,
    }
}

fn gas_of(case: &Case<'_>, event: usize) -> Option<GasFrom> {
    match case.events[event].what {
        What::Added { gas, .. } => gas,
        _ => None,
    }
}

/// One day's breach: it began and ended with the addition.
fn on_that_day(a: &Addition<'_>) -> Outcome {
    Outcome::Breached { since: Some(a.on), until: Some(a.on) }
}

/// A leak that was open when the addition was made.
fn open_at(case: &Case<'_>, a: &Addition<'_>) -> Option<usize> {
    let open =
        case.leaks.iter().find(|leak| leak.found < a.event && leak.repaired.is_none_or(|r| r > a.event));
    open.map(|leak| leak.found)
}

/// Nothing is added in order to test for leaks.
pub(super) fn not_to_leak_test(case: &Case<'_>, version: &Version) -> Vec<Found> {
    additions(case, version)
        .filter(|a| reason_of(case, a.event) == Some(Reason::LeakTest))
        .map(|a| found(on_that_day(a), [a.event]))
        .collect()
}

/// Each addition had a leak test before it, and found leaks were repaired; an emergency is judged by its own entries.
pub(super) fn leak_test_before(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let mut list = Vec::new();
    let mut last = None;
    for a in &case.additions {
        let previous = last.replace(a.event);
        if version.from.is_some_and(|from| a.on < from) || reason_of(case, a.event) == Some(Reason::Emergency)
        {
            continue;
        }
        if let Some(leak) = open_at(case, a) {
            let same_day_unclear =
                case.on(leak) == a.on && (case.when(leak).1.is_none() || case.when(a.event).1.is_none());
            let outcome = if same_day_unclear { unknown([Missing::TimeOfDay]) } else { on_that_day(a) };
            list.push(found(outcome, [a.event, leak]));
            continue;
        }
        let start = previous.map_or(0, |p| p + 1);
        let test = (start..a.event).rev().find(|&i| matches!(case.events[i].what, What::LeakChecked { .. }));
        let (outcome, evidence) = match test {
            None => (unknown([Missing::LeakTestBefore]), vec![a.event]),
            Some(test) => {
                let (on, at) = case.when(test);
                let outcome = match case.events[test].what {
                    What::LeakChecked { found: None, .. } => unknown([Missing::LeakTestResult]),
                    _ if on == a.on && (at.is_none() || case.when(a.event).1.is_none()) => {
                        unknown([Missing::TimeOfDay])
                    }
                    _ => Outcome::Met,
                };
                (outcome, vec![a.event, test])
            }
        };
        list.push(found(outcome, evidence));
    }
    list
}

/// Each top-up had its leak located and repaired before it.
pub(super) fn leak_located_before(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let mut list = Vec::new();
    let mut last = None;
    for a in &case.additions {
        let previous = last.replace(a.event);
        let reason = reason_of(case, a.event);
        if version.from.is_some_and(|from| a.on < from) {
            continue;
        }
        if let Some(leak) = open_at(case, a) {
            list.push(found(on_that_day(a), [a.event, leak]));
        } else if matches!(reason, None | Some(Reason::TopUp | Reason::AfterRepair)) {
            let start = previous.map_or(0, |p| p + 1);
            let repair =
                (start..a.event).rev().find(|&i| matches!(case.events[i].what, What::Repaired { .. }));
            list.push(match repair {
                Some(repair) => found(Outcome::Met, [a.event, repair]),
                None => found(
                    unknown([if reason.is_none() { Missing::Reason } else { Missing::LeakTestBefore }]),
                    [a.event],
                ),
            });
        }
    }
    list
}

/// Nothing was added while a leak was known.
pub(super) fn not_with_identified_leak(case: &Case<'_>, version: &Version) -> Vec<Found> {
    additions(case, version)
        .filter_map(|a| open_at(case, a).map(|leak| found(on_that_day(a), [a.event, leak])))
        .collect()
}

/// Nothing was added beyond what was recovered for service.
pub(super) fn no_net_gain(case: &Case<'_>, version: &Version) -> Vec<Found> {
    additions(case, version)
        .map(|a| {
            let outcome = match reason_of(case, a.event) {
                Some(Reason::AfterService) => Outcome::Met,
                None => unknown([Missing::Reason]),
                Some(_) => on_that_day(a),
            };
            found(outcome, [a.event])
        })
        .collect()
}

/// The gas came from where the ban allows.
pub(super) fn gas_origin(case: &Case<'_>, version: &Version) -> Vec<Found> {
    let servicing = |a: &&Addition<'_>| reason_of(case, a.event) != Some(Reason::NewInstallation);
    additions(case, version)
        .filter(servicing)
        .filter(|_| !special(case))
        .map(|a| {
            let from = gas_of(case, a.event);
            let outcome = match from {
                None => unknown([Missing::GasFrom]),
                Some(gas) if banned(version, gas, a.on) => on_that_day(a),
                Some(_) => Outcome::Met,
            };
            found(outcome, [a.event])
        })
        .collect()
}

/// A use that the bans on servicing leave out. Silence means none.
pub(crate) fn special(case: &Case<'_>) -> bool {
    use crate::facts::SpecialUse;
    !matches!(case.facts.special_use, None | Some(SpecialUse::None))
}

/// Whether the version forbids gas of this origin on a day.
pub(crate) fn banned(version: &Version, gas: GasFrom, on: crate::Date) -> bool {
    let treated_out = version.numbers.treated_gas_until.is_some_and(|until| on >= until);
    match version.effect {
        Some(Effect::NoVirginGas) => matches!(gas, GasFrom::Virgin | GasFrom::Recovered) || treated_out,
        Some(Effect::ReclaimedOrRecycledUntil) => {
            matches!(gas, GasFrom::Reclaimed | GasFrom::Recycled) && treated_out
        }
        Some(Effect::ReclaimedOnly) => gas != GasFrom::Reclaimed,
        Some(Effect::RecoveredOnlyAfterTreatment) => gas == GasFrom::Recovered,
        Some(Effect::NoGas) => true,
        _ => false,
    }
}

/// The gas may not be used at all.
pub(super) fn gas_banned(case: &Case<'_>, version: &Version) -> Vec<Found> {
    additions(case, version).map(|a| found(on_that_day(a), [a.event])).collect()
}
