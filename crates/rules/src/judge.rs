//! The functions that judge a duty: one plain function each, chosen by [`Judge`], with the numbers of the duty's own file.

mod adding;
mod exceedance;
mod leak;
mod periodic;
mod report;

use crate::case::{Case, Why};
use crate::duty::{Duty, Judge, Version};
use crate::facts::Missing;
use crate::{Date, TimeOfDay};

/// How it stands with a duty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Done, in time.
    Met,
    /// Not done in time. A breach stays listed when it has ended.
    Breached {
        /// The first day of it, where it is known.
        since: Option<Date>,
        /// The day it ended, or nothing while it lasts.
        until: Option<Date>,
    },
    /// To be done.
    Due(Due),
    /// It does not apply.
    NotApplicable(Why),
    /// Cannot be said for want of these facts.
    Unknown(Vec<Missing>),
}

impl Outcome {
    /// Returns the word of the verdict: `met`, `breached`, `due`, `not-applicable` or `unknown`.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::Breached { .. } => "breached",
            Self::Due(_) => "due",
            Self::NotApplicable(_) => "not-applicable",
            Self::Unknown(_) => "unknown",
        }
    }
}

/// By when something is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Due {
    /// By the end of this day.
    On(Date),
    /// By this time of this day.
    At(Date, TimeOfDay),
    /// At once, since this day.
    AtOnce(Date),
    /// Without undue delay, since this day: the law names no number of days.
    WithoutUndueDelay(Date),
    /// Before refrigerant is added.
    BeforeAdding,
}

impl Due {
    /// Returns the day by which, where the law gives one.
    #[must_use]
    pub const fn day(self) -> Option<Date> {
        match self {
            Self::On(day) | Self::At(day, _) => Some(day),
            Self::AtOnce(day) => Some(day),
            Self::WithoutUndueDelay(_) | Self::BeforeAdding => None,
        }
    }
}

impl core::fmt::Display for Due {
    /// Writes a day as `2026-11-25`, a time as `2026-11-25T10:00`, and a word where the law gives no day.
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::On(day) => write!(f, "{day}"),
            Self::At(day, time) => write!(f, "{day}T{time}"),
            Self::AtOnce(_) => f.write_str("at-once"),
            Self::WithoutUndueDelay(_) => f.write_str("without-undue-delay"),
            Self::BeforeAdding => f.write_str("before-adding"),
        }
    }
}

/// One instance of a duty: its outcome and the events it rests on.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    pub outcome: Outcome,
    pub evidence: Vec<usize>,
}

pub(crate) fn found(outcome: Outcome, evidence: impl IntoIterator<Item = usize>) -> Found {
    Found { outcome, evidence: evidence.into_iter().collect() }
}

pub(crate) fn unknown(missing: impl IntoIterator<Item = Missing>) -> Outcome {
    Outcome::Unknown(missing.into_iter().collect())
}

/// Met if done by `due`, else breached from the day after; due while the day has not passed.
pub(crate) fn timed(due: Date, done: Option<Date>, today: Date) -> Outcome {
    match done {
        Some(day) if day <= due => Outcome::Met,
        None if today <= due => Outcome::Due(Due::On(due)),
        _ => Outcome::Breached { since: Some(due.days_after(1)), until: done },
    }
}

/// Returns every instance of a duty that applies.
pub(crate) fn judge(case: &Case<'_>, duty: &Duty, version: &Version) -> Vec<Found> {
    match duty.judged_by {
        // Shown elsewhere: as words, as standing duties, as records, as figures, as the answer on gas.
        Judge::Definition
        | Judge::Standing
        | Judge::NoBanFound
        | Judge::Record
        | Judge::LeakRateThreshold
        | Judge::EmergencyException
        | Judge::GasException
        | Judge::RepairExtension
        | Judge::PlanRelief
        | Judge::PlanExtension => Vec::new(),
        Judge::CertifiedPerson => adding::certified_person(case),
        Judge::LeakRateCalculation => exceedance::leak_rate_calculation(case, version),
        Judge::LeakRateMethod => exceedance::leak_rate_method(case),
        Judge::RepairAfterExceedance => exceedance::repair(case, duty, version),
        Judge::InitialVerification => exceedance::initial_verification(case, duty, version),
        Judge::FollowUpVerification => exceedance::follow_up(case, duty, version),
        Judge::InspectionAfterExceedance => exceedance::inspections(case, duty, version),
        Judge::InspectionEachCalendarYear => exceedance::yearly_inspections(case, duty, version),
        Judge::RetrofitPlan => exceedance::plan(case, duty, version),
        Judge::PlanFinished => exceedance::plan_finished(case, duty, version),
        Judge::ChronicLeakReport => report::chronic(case, duty, version),
        Judge::DetectionCheck => periodic::detection_check(case, version),
        Judge::DetectionFittedBy => periodic::detection_fitted(case, version),
        Judge::NoAddingToLeakTest => adding::not_to_leak_test(case, version),
        Judge::LeakTestBeforeAdding => adding::leak_test_before(case, version),
        Judge::LeakLocatedBeforeAdding => adding::leak_located_before(case, version),
        Judge::NoAddingWithIdentifiedLeak => adding::not_with_identified_leak(case, version),
        Judge::NoNetGain => adding::no_net_gain(case, version),
        Judge::GasOrigin => adding::gas_origin(case, version),
        Judge::GasBanned => adding::gas_banned(case, version),
        Judge::EmergencyNotice => report::emergency_notice(case),
        Judge::EmergencyReport => report::emergency_report(case, duty, version),
        Judge::LeakTestEachYear => periodic::leak_test_each_year(case, version),
        Judge::LeakTestEachPeriod => periodic::leak_test_each_period(case, version),
        Judge::LeakCheckInterval => periodic::leak_check_interval(case, version),
        Judge::LeakRepairedWithin => leak::repaired_within(case, version),
        Judge::LeakStoppedAtOnce => leak::stopped(case, Due::AtOnce),
        Judge::LeakRepairedPromptly => leak::stopped(case, Due::WithoutUndueDelay),
        Judge::RecheckAfterRepair => leak::recheck(case, version),
        Judge::RechargeShareReport => report::recharge_share(case, duty, version),
        Judge::LargeReleaseFirstReport => report::large_first(case, duty, version),
        Judge::LargeReleaseFullReport => report::large_full(case, duty, version),
        Judge::HalfYearReleaseReport => report::half_year(case, duty, version),
    }
}

pub(crate) use adding::{banned, special};
pub(crate) use exceedance::{after_repair_untested, choices};
pub(crate) use report::half_year_report_by;
