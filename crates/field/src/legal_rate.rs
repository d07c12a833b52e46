//! The leak rate as 40 CFR 82.152 defines it, by both of its methods, from masses as typed.
//!
//! Exact arithmetic throughout: no rounding before a comparison. Not legal advice; the text is the regulation's.

use crate::day::Day;
use crate::exact::{Exact, ExactMass, TooLarge};

/// Which of the two methods of 40 CFR 82.152.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RateMethod {
    /// The annualizing method.
    Annualizing,
    /// The rolling average method.
    RollingAverage,
}

/// A leak rate with what went into it.
#[derive(Clone, Debug, PartialEq)]
pub struct LegalRate {
    /// The method used. One method serves all appliances of a facility.
    pub method: RateMethod,
    /// The rate in percent of the full charge a year, exactly.
    pub percent: Exact,
    /// The mass counted as added.
    pub added: ExactMass,
    /// The full charge.
    pub full_charge: ExactMass,
    /// The days counted: those since the last addition, at most 365 (annualizing), or the length of the window
    /// (rolling average).
    pub days: i64,
    /// Additions on a day of which the text does not say whether it belongs to the window; they are counted.
    pub on_the_edge: Vec<Day>,
    /// The rate without those additions, if there are any.
    pub percent_without_edge: Option<Exact>,
}

impl LegalRate {
    /// Returns whether the rate is over `threshold` percent; exactly the threshold is not over.
    #[must_use]
    pub fn exceeds(&self, threshold: Exact) -> bool {
        self.percent > threshold
    }

    /// Returns whether the rate is `threshold` percent or more.
    #[must_use]
    pub fn reaches(&self, threshold: Exact) -> bool {
        self.percent >= threshold
    }
}

/// Why there is no rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LegalRateError {
    /// The full charge is not above zero.
    FullCharge(ExactMass),
    /// An addition is below zero.
    NegativeAddition(ExactMass),
    /// Nothing was added, so there is no addition to calculate at.
    NothingAdded,
    /// The last addition was on the same day or later: the method divides by the days since.
    NoDaysSinceLastAddition(i64),
    /// The follow-up test lies after the day asked for.
    FollowUpLater {
        /// The day of the follow-up test.
        follow_up: Day,
        /// The day asked for.
        as_of: Day,
    },
    /// The masses do not fit exact arithmetic.
    TooLarge,
}

impl From<TooLarge> for LegalRateError {
    fn from(_: TooLarge) -> Self {
        Self::TooLarge
    }
}

const HUNDRED: Exact = Exact::whole(100);
const YEAR: i64 = 365;

/// Returns the leak rate by the annualizing method.
///
/// (added / full charge) x (365 / the lesser of 365 and the days since refrigerant was last added) x 100 %.
/// `additions` are those made for this one leak, which count together; `days_since_last_addition` counts to the first
/// of them. Which addition starts the next interval is not stated in the text.
///
/// # Errors
/// [`LegalRateError`] for a full charge not above zero, a negative or missing addition, an interval of no days.
///
/// Source: 40 CFR 82.152, "Leak rate", (1) annualizing method.
pub fn annualizing(
    additions: &[ExactMass],
    full_charge: ExactMass,
    days_since_last_addition: i64,
) -> Result<LegalRate, LegalRateError> {
    let added = checked_sum(additions.iter().copied(), full_charge)?;
    if additions.is_empty() {
        return Err(LegalRateError::NothingAdded);
    }
    if days_since_last_addition < 1 {
        return Err(LegalRateError::NoDaysSinceLastAddition(days_since_last_addition));
    }
    let days = days_since_last_addition.min(YEAR);
    let per_year = Exact::ratio(i128::from(YEAR), i128::from(days)).ok_or(LegalRateError::TooLarge)?;
    Ok(LegalRate {
        method: RateMethod::Annualizing,
        percent: percent(added, full_charge)?.times(per_year)?,
        added,
        full_charge,
        days,
        on_the_edge: Vec::new(),
        percent_without_edge: None,
    })
}

/// Returns the leak rate by the rolling average method on the day `as_of`.
///
/// The sum of additions in the last 365 days, or since the last successful follow-up test that showed all identified
/// leaks repaired if that is shorter, over the full charge, x 100 %. Additions after `as_of` are left out. The text
/// does not say whether the 365th day itself, or the day of the follow-up test, belongs to the window: an addition on
/// it is counted and named in [`LegalRate::on_the_edge`].
///
/// # Errors
/// [`LegalRateError`] for a full charge not above zero, a negative addition, a follow-up test after `as_of`.
///
/// Source: 40 CFR 82.152, "Leak rate", (2) rolling average method.
pub fn rolling_average(
    additions: &[(Day, ExactMass)],
    full_charge: ExactMass,
    as_of: Day,
    last_follow_up_all_repaired: Option<Day>,
) -> Result<LegalRate, LegalRateError> {
    let window = match last_follow_up_all_repaired {
        Some(follow_up) if follow_up > as_of => {
            return Err(LegalRateError::FollowUpLater { follow_up, as_of });
        }
        Some(follow_up) => as_of.days_since(follow_up).min(YEAR),
        None => YEAR,
    };
    let inside = |day: Day| (0..=window).contains(&as_of.days_since(day));
    let added =
        checked_sum(additions.iter().filter(|(day, _)| inside(*day)).map(|(_, mass)| *mass), full_charge)?;
    let edge: Vec<(Day, ExactMass)> =
        additions.iter().filter(|(day, _)| as_of.days_since(*day) == window).copied().collect();
    let percent_without_edge = if edge.is_empty() {
        None
    } else {
        let clear = additions.iter().filter(|(day, _)| (0..window).contains(&as_of.days_since(*day)));
        Some(percent(ExactMass::sum(clear.map(|(_, mass)| *mass))?, full_charge)?)
    };
    Ok(LegalRate {
        method: RateMethod::RollingAverage,
        percent: percent(added, full_charge)?,
        added,
        full_charge,
        days: window,
        on_the_edge: edge.into_iter().map(|(day, _)| day).collect(),
        percent_without_edge,
    })
}

/// Returns whether a removal and a later addition are a seasonal variance, which is not counted but recorded.
///
/// Both within 12 months in a row, and no more added than was removed.
///
/// Source: 40 CFR 82.152, "Seasonal variance"; 82.157(b), (l)(10).
#[must_use]
pub fn is_seasonal_variance(removed: (Day, ExactMass), added: (Day, ExactMass)) -> bool {
    let in_time = removed.0 <= added.0
        && removed.0.plus_months(12).is_some_and(|twelve_months| added.0 <= twelve_months);
    in_time && added.1 <= removed.1
}

fn checked_sum(
    additions: impl Iterator<Item = ExactMass>,
    full_charge: ExactMass,
) -> Result<ExactMass, LegalRateError> {
    if full_charge <= ExactMass::ZERO {
        return Err(LegalRateError::FullCharge(full_charge));
    }
    let mut masses = Vec::new();
    for mass in additions {
        if mass < ExactMass::ZERO {
            return Err(LegalRateError::NegativeAddition(mass));
        }
        masses.push(mass);
    }
    Ok(ExactMass::sum(masses)?)
}

fn percent(added: ExactMass, full_charge: ExactMass) -> Result<Exact, LegalRateError> {
    let share =
        added.kilogram().over(full_charge.kilogram())?.ok_or(LegalRateError::FullCharge(full_charge))?;
    Ok(share.times(HUNDRED)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pound(text: &str) -> ExactMass {
        ExactMass::from_pound(Exact::from_decimal(text).unwrap()).unwrap()
    }
    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    #[test]
    fn a_hair_over_the_threshold_is_over() {
        let twenty = Exact::whole(20);
        assert!(!annualizing(&[pound("20")], pound("100"), 365).unwrap().exceeds(twenty));
        assert!(annualizing(&[pound("20.000000000001")], pound("100"), 365).unwrap().exceeds(twenty));
        assert!(annualizing(&[pound("20")], pound("100"), 365).unwrap().reaches(twenty));
        // Typed in two units, still the same mass.
        let typed: ExactMass = "16 oz".parse().unwrap();
        assert_eq!(annualizing(&[typed], pound("5"), 365).unwrap().percent, twenty);
    }

    #[test]
    fn impossible_inputs_are_named() {
        assert_eq!(
            annualizing(&[pound("1")], pound("10"), 0),
            Err(LegalRateError::NoDaysSinceLastAddition(0))
        );
        assert_eq!(annualizing(&[], pound("10"), 9), Err(LegalRateError::NothingAdded));
        assert_eq!(annualizing(&[pound("1")], pound("0"), 9), Err(LegalRateError::FullCharge(pound("0"))));
        assert_eq!(
            annualizing(&[pound("-1")], pound("9"), 9),
            Err(LegalRateError::NegativeAddition(pound("-1")))
        );
        let (follow_up, as_of) = (day("2026-05-02"), day("2026-05-01"));
        assert_eq!(
            rolling_average(&[], pound("9"), as_of, Some(follow_up)),
            Err(LegalRateError::FollowUpLater { follow_up, as_of })
        );
    }

    #[test]
    fn the_day_on_the_edge_is_counted_and_named() {
        let as_of = day("2026-08-15");
        let additions = [(day("2025-08-15"), pound("30")), (as_of, pound("20"))];
        let rate = rolling_average(&additions, pound("200"), as_of, None).unwrap();
        assert_eq!(rate.percent, Exact::whole(25));
        assert_eq!(rate.percent_without_edge, Some(Exact::whole(10)));
        assert_eq!(rate.on_the_edge, [day("2025-08-15")]);
    }

    #[test]
    fn nothing_added_is_a_rolling_rate_of_zero() {
        let rate = rolling_average(&[], pound("200"), day("2026-08-15"), None).unwrap();
        assert_eq!((rate.percent, rate.days), (Exact::ZERO, 365));
    }
}
