//! Reports and notices to an owner or an authority.

use super::{Due, Found, Outcome, found, timed, unknown};
use crate::case::Case;
use crate::duty::{Duty, Version};
use crate::facts::{Missing, Reason, What};
use crate::leak_rate::calendar_year_loss;
use crate::{Date, ExactMass, Ratio};

/// An appliance that lost so many percent of its charge in a calendar year is reported by 1 March of the next.
pub(super) fn chronic(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let Some(full) = case.charge else { return vec![found(unknown([Missing::FullCharge]), [])] };
    let limit = Ratio::whole(i64::from(version.numbers.percent.unwrap_or(125)));
    let mut list = Vec::new();
    let counted: Vec<_> = case.additions.iter().filter(|a| a.counted).collect();
    for year in counted.chunk_by(|a, b| a.on.year() == b.on.year()) {
        let number = year[0].on.year();
        if version.from.is_some_and(|from| Date::end_of_year(number) < from) {
            continue;
        }
        let lost: ExactMass = year.iter().filter_map(|a| a.mass).sum();
        let evidence = year.iter().map(|a| a.event);
        match calendar_year_loss(lost, full) {
            Ok(percent) if percent >= limit => {
                let due = Date::fixed(number + 1, 3, 1);
                let sent = case.reported(duty, year[0].on);
                list.push(found(timed(due, sent.map(|s| case.on(s)), case.date), evidence.chain(sent)));
            }
            Ok(_) if year.iter().any(|a| a.mass.is_none()) => {
                list.push(found(unknown([Missing::AddedMass]), evidence));
            }
            Ok(_) => {}
            Err(_) => list.push(found(unknown([Missing::FullCharge]), evidence)),
        }
    }
    list
}

fn emergencies<'c>(case: &'c Case<'_>) -> impl Iterator<Item = usize> + use<'c> {
    case.all(|what| matches!(what, What::Added { reason: Some(Reason::Emergency), .. }))
}

/// The owner is told at once after an emergency charge.
pub(super) fn emergency_notice(case: &Case<'_>) -> Vec<Found> {
    emergencies(case)
        .map(|charge| {
            let day = case.on(charge);
            match case.first_from(day, |what| *what == What::OwnerTold) {
                Some(told) => found(timed(day, Some(case.on(told)), case.date), [charge, told]),
                None if case.date == day => found(Outcome::Due(Due::AtOnce(day)), [charge]),
                None => found(Outcome::Breached { since: Some(day.days_after(1)), until: None }, [charge]),
            }
        })
        .collect()
}

/// The owner reports an emergency charge within so many days of being told.
pub(super) fn emergency_report(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let days = version.numbers.days.unwrap_or(7) as i32;
    emergencies(case)
        .map(|charge| match case.first_from(case.on(charge), |what| *what == What::OwnerTold) {
            None => found(unknown([Missing::OwnerTold]), [charge]),
            Some(told) => {
                let sent = case.reported(duty, case.on(told));
                let due = case.on(told).days_after(days);
                found(timed(due, sent.map(|s| case.on(s)), case.date), [charge, told].into_iter().chain(sent))
            }
        })
        .collect()
}

/// Releases with their mass, from the day of the version on.
fn releases<'c>(
    case: &'c Case<'_>,
    version: &Version,
) -> impl Iterator<Item = (usize, Option<ExactMass>)> + use<'c> {
    let from = version.from;
    case.events.iter().enumerate().filter_map(move |(i, event)| match event.what {
        What::Released { mass } if from.is_none_or(|from| event.on >= from) => Some((i, mass)),
        _ => None,
    })
}

fn large(mass: ExactMass, version: &Version) -> bool {
    version.numbers.kilograms.is_some_and(|limit| mass >= ExactMass::kilograms(limit))
}

/// First report of a release of so many kilograms or more, within hours of its detection.
pub(super) fn large_first(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let hours = version.numbers.hours.unwrap_or(24);
    let judged = releases(case, version).filter_map(|(release, mass)| {
        let Some(mass) = mass else { return Some(found(unknown([Missing::ReleasedMass]), [release])) };
        if !large(mass, version) {
            return None;
        }
        let (day, time) = case.when(release);
        let due = day.days_after((hours / 24) as i32);
        let sent = case.reported(duty, day);
        let outcome = match (sent.map(|s| case.when(s)), time) {
            (Some((on, Some(at))), Some(by)) if (on, at) > (due, by) => {
                Outcome::Breached { since: Some(due), until: Some(on) }
            }
            (Some((on, _)), _) => timed(due, Some(on), case.date),
            (None, Some(by)) if case.date <= due => Outcome::Due(Due::At(due, by)),
            (None, _) => timed(due, None, case.date),
        };
        Some(found(outcome, [release].into_iter().chain(sent)))
    });
    judged.collect()
}

/// Full report of a release of so many kilograms or more, within days of its detection.
pub(super) fn large_full(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let days = version.numbers.days.unwrap_or(30) as i32;
    let judged = releases(case, version).filter_map(|(release, mass)| match mass {
        None => Some(found(unknown([Missing::ReleasedMass]), [release])),
        Some(mass) if large(mass, version) => {
            let sent = case.reported(duty, case.on(release));
            let due = case.on(release).days_after(days);
            Some(found(timed(due, sent.map(|s| case.on(s)), case.date), [release].into_iter().chain(sent)))
        }
        Some(_) => None,
    });
    judged.collect()
}

/// The last day of the report for a release detected on `day`: 31 July for January to June, else 31 January.
pub(crate) fn half_year_report_by(day: Date) -> Date {
    if day.month() <= 6 { Date::fixed(day.year(), 7, 31) } else { Date::fixed(day.year() + 1, 1, 31) }
}

/// Releases of more than so many kilograms and less than the large ones, by half-years.
pub(super) fn half_year(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let over = |mass: ExactMass| {
        version.numbers.kilograms.is_some_and(|limit| mass > ExactMass::kilograms(limit))
            && version.numbers.kilograms_below.is_none_or(|limit| mass < ExactMass::kilograms(limit))
    };
    let judged = releases(case, version).filter_map(|(release, mass)| match mass {
        None => Some(found(unknown([Missing::ReleasedMass]), [release])),
        Some(mass) if over(mass) => {
            let sent = case.reported(duty, case.on(release));
            let due = half_year_report_by(case.on(release));
            Some(found(timed(due, sent.map(|s| case.on(s)), case.date), [release].into_iter().chain(sent)))
        }
        Some(_) => None,
    });
    judged.collect()
}

/// More than so many percent of the charge added since the last review starts a report.
pub(super) fn recharge_share(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    let Some(full) = case.charge else { return vec![found(unknown([Missing::FullCharge]), [])] };
    let review = case.all(|what| matches!(what, What::LeakChecked { .. })).next_back();
    let since: Vec<_> =
        case.additions.iter().filter(|a| a.counted && review.is_none_or(|check| a.event > check)).collect();
    let Some(last) = since.last() else { return Vec::new() };
    let sum: ExactMass = since.iter().filter_map(|a| a.mass).sum();
    let limit = Ratio::new(i64::from(version.numbers.percent.unwrap_or(5)), 100).unwrap_or(Ratio::ZERO);
    let evidence = since.iter().map(|a| a.event);
    let outcome = match sum.part_of(full) {
        Some(part) if part > limit => match case.reported(duty, last.on) {
            Some(_) => Outcome::Met,
            None => Outcome::Due(Due::WithoutUndueDelay(last.on)),
        },
        Some(_) if since.iter().any(|a| a.mass.is_none()) => unknown([Missing::AddedMass]),
        Some(_) => return Vec::new(),
        None => unknown([Missing::FullCharge]),
    };
    vec![found(outcome, evidence)]
}
