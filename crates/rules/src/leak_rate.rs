//! The leak rates that law defines, in exact arithmetic from masses as typed.
//!
//! Source: 40 CFR 82.152, "Leak rate", "Full charge" and "Seasonal variance".

use crate::{Date, ExactMass, Ratio};

/// Days over which a leak rate is counted at most.
pub const YEAR: i32 = 365;

/// Why a leak rate cannot be counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeakRateFault {
    /// The full charge is nothing.
    NoFullCharge,
    /// No day lies between the additions: they count together, or the interval is wrong.
    ZeroDays,
    /// The masses leave the range of exact arithmetic.
    OutOfRange,
}

/// Returns the leak rate in percent per year by the annualizing method.
///
/// The addition over the full charge, over the days since the last addition or 365, whichever is less, times 365 and 100.
/// Additions for one leak count together as one `added`, and `days` runs to the first of them from the one before.
///
/// # Errors
/// [`LeakRateFault::NoFullCharge`], or [`LeakRateFault::ZeroDays`] where `days` is below one.
///
/// Source: 40 CFR 82.152, "Leak rate" (1).
pub fn annualizing(added: ExactMass, full_charge: ExactMass, days: i32) -> Result<Ratio, LeakRateFault> {
    if days < 1 {
        return Err(LeakRateFault::ZeroDays);
    }
    let part = added.part_of(full_charge).ok_or(LeakRateFault::NoFullCharge)?;
    let yearly =
        Ratio::new(i64::from(YEAR) * 100, i64::from(days.min(YEAR))).ok_or(LeakRateFault::ZeroDays)?;
    part.times(yearly).ok_or(LeakRateFault::OutOfRange)
}

/// A rolling leak rate with what went into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rolling {
    /// Percent per year.
    pub percent: Ratio,
    /// Sum of the additions counted.
    pub sum: ExactMass,
    /// First day counted.
    pub from: Date,
    /// An addition lies on the very first day, and whether that day counts the text does not say. It was counted.
    pub on_the_edge: bool,
}

/// Returns the leak rate in percent per year by the rolling average method, on the day `on`.
///
/// The sum of the additions of the last 365 days, or since the last successful follow-up test that showed all identified
/// leaks repaired if that is shorter, over the full charge, times 100. Whether day 365 itself is in, the text does not say;
/// here it is, the stricter reading, and the result says so.
///
/// # Errors
/// [`LeakRateFault::NoFullCharge`] or [`LeakRateFault::OutOfRange`].
///
/// Source: 40 CFR 82.152, "Leak rate" (2).
pub fn rolling(
    additions: &[(Date, ExactMass)],
    full_charge: ExactMass,
    on: Date,
    good_follow_up: Option<Date>,
) -> Result<Rolling, LeakRateFault> {
    let year_ago = on.days_after(-YEAR);
    let from = good_follow_up.filter(|day| *day <= on).map_or(year_ago, |day| day.max(year_ago));
    let counted = additions.iter().filter(|(day, _)| (from..=on).contains(day));
    let sum: ExactMass = counted.map(|(_, mass)| *mass).sum();
    if full_charge <= ExactMass::ZERO {
        return Err(LeakRateFault::NoFullCharge);
    }
    Ok(Rolling {
        percent: sum.part_times(full_charge, 100, 1).ok_or(LeakRateFault::OutOfRange)?,
        sum,
        from,
        on_the_edge: additions.iter().any(|(day, _)| *day == from),
    })
}

/// Returns whether an addition is a seasonal variance: no more put back than was taken out, both within 12 months.
///
/// Such an addition is recorded and not counted. Source: 40 CFR 82.152, "Seasonal variance"; 82.157(b), (l)(10).
#[must_use]
pub fn is_seasonal_variance(removed: ExactMass, removed_on: Date, added: ExactMass, added_on: Date) -> bool {
    added <= removed && removed_on <= added_on && added_on <= removed_on.months_after(12)
}

/// Returns the percent of the full charge that was lost in a calendar year; 125 or more is to be reported.
///
/// # Errors
/// [`LeakRateFault::NoFullCharge`] or [`LeakRateFault::OutOfRange`].
///
/// Source: 40 CFR 82.157(j).
pub fn calendar_year_loss(lost: ExactMass, full_charge: ExactMass) -> Result<Ratio, LeakRateFault> {
    let part = lost.part_of(full_charge).ok_or(LeakRateFault::NoFullCharge)?;
    part.times(Ratio::whole(100)).ok_or(LeakRateFault::OutOfRange)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn date(text: &str) -> Date {
        text.parse().unwrap()
    }

    #[test]
    fn no_interval_is_no_rate() {
        let five = ExactMass::pounds(5);
        assert_eq!(annualizing(five, ExactMass::pounds(50), 0), Err(LeakRateFault::ZeroDays));
        assert_eq!(annualizing(five, ExactMass::pounds(50), -3), Err(LeakRateFault::ZeroDays));
        assert_eq!(annualizing(five, ExactMass::ZERO, 9), Err(LeakRateFault::NoFullCharge));
    }

    #[test]
    fn day_365_counts_and_day_366_does_not() {
        let (charge, on) = (ExactMass::pounds(100), date("2026-08-15"));
        let at = |day: &str| rolling(&[(date(day), ExactMass::pounds(9))], charge, on, None).unwrap();
        assert_eq!(at("2025-08-15").sum, ExactMass::pounds(9));
        assert!(at("2025-08-15").on_the_edge);
        assert_eq!(at("2025-08-14").sum, ExactMass::ZERO);
        // Across a leap day a year ago by the calendar is 366 days ago.
        let on = date("2024-08-15");
        assert_eq!(
            rolling(&[(date("2023-08-15"), ExactMass::pounds(9))], charge, on, None).unwrap().sum,
            ExactMass::ZERO
        );
        assert_eq!(
            rolling(&[(date("2023-08-16"), ExactMass::pounds(9))], charge, on, None).unwrap().sum,
            ExactMass::pounds(9)
        );
    }

    #[test]
    fn a_follow_up_in_the_future_does_not_shorten_the_window() {
        let day = date("2026-03-01");
        let one = rolling(
            &[(day, ExactMass::pounds(9))],
            ExactMass::pounds(100),
            date("2026-08-15"),
            Some(date("2027-01-01")),
        );
        assert_eq!(one.unwrap().sum, ExactMass::pounds(9));
    }

    #[test]
    fn season_ends_after_twelve_months_and_at_what_was_removed() {
        let (forty, may) = (ExactMass::pounds(40), date("2026-05-01"));
        assert!(is_seasonal_variance(forty, may, ExactMass::pounds(40), date("2027-05-01")));
        assert!(!is_seasonal_variance(forty, may, ExactMass::pounds(40), date("2027-05-02")));
        assert!(!is_seasonal_variance(forty, may, ExactMass::pounds(41), date("2026-11-01")));
        assert!(!is_seasonal_variance(forty, may, ExactMass::pounds(40), date("2026-04-30")));
    }

    proptest! {
        #[test]
        fn a_shorter_interval_never_lowers_the_rate(added in 1u32..500, charge in 1u32..5000, days in 2i32..800) {
            let (added, charge) = (ExactMass::pounds(added), ExactMass::pounds(charge));
            prop_assert!(annualizing(added, charge, days - 1).unwrap() >= annualizing(added, charge, days).unwrap());
        }

        #[test]
        fn the_unit_does_not_matter(tenths in 1u32..5000, charge in 1u32..5000, days in 1i32..800) {
            let typed: ExactMass = format!("{}.{} lb", tenths / 10, tenths % 10).parse().unwrap();
            let metric: ExactMass = typed.to_string().parse().unwrap();
            let charge_lb = ExactMass::pounds(charge);
            let charge_kg: ExactMass = charge_lb.to_string().parse().unwrap();
            prop_assert_eq!(annualizing(typed, charge_lb, days), annualizing(metric, charge_kg, days));
        }
    }
}
