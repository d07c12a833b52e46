//! What a look after a repair could see, if the repair had failed.
//!
//! The leak that was mended lost so much a year; a repair that failed leaves that leak, or a part of it. By the day of the
//! look it has lost a mass, and each way of looking sees a loss from some mass on. The chance is over what is not known:
//! the rate, the reserve, the error of the reading.

use units::math::{erf, exp, ln, sqrt};
use units::{Duration, Fraction, Mass, MassFlow};

/// The factor of the standard uncertainty past which a change is called one: one-sided 5 % false alarms.
pub const ONE_SIDED: f64 = 1.645;

/// What is believed of the rate of a leak: the logarithm of the rate is normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateBelief {
    /// The rate that is as often too low as too high.
    pub median: MassFlow,
    /// The standard deviation of its logarithm.
    pub spread: f64,
}

impl RateBelief {
    /// Returns the belief in a rate with its interval of k = 2; nothing where the rate is not above zero.
    ///
    /// An interval that reaches zero says little of the lower side: the upper side then counts for both.
    #[must_use]
    pub fn new(rate: MassFlow, low: MassFlow, high: MassFlow) -> Option<Self> {
        let (rate_si, low, high) =
            (rate.kilogram_per_year(), low.kilogram_per_year(), high.kilogram_per_year());
        if rate_si.is_nan() || rate_si <= 0.0 || high.is_nan() || high < rate_si {
            return None;
        }
        let up = ln(high / rate_si) / 2.0;
        let down = if low > 0.0 && low <= rate_si { ln(rate_si / low) / 2.0 } else { up };
        Some(Self { median: rate, spread: up.max(down) })
    }

    /// Returns the belief in a part of that leak.
    #[must_use]
    pub fn part(self, part: Fraction) -> Self {
        let rate = self.median.kilogram_per_year() * part.ratio();
        Self { median: MassFlow::from_kilogram_per_year(rate), ..self }
    }

    /// The rates of equal weight that stand for the belief, kg a year.
    fn rates(self) -> impl Iterator<Item = f64> {
        let median = self.median.kilogram_per_year();
        (0..STEPS).map(move |at| {
            let share = (f64::from(at) + 0.5) / f64::from(STEPS);
            median * exp(self.spread * quantile(share))
        })
    }
}

const STEPS: u32 = 64;

/// A way of looking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Look {
    /// Something that changes once the reserve is gone: a glass, a subcooling, the air in the box.
    Reserve {
        /// The reserve is not less than this.
        least: Mass,
        /// And not more than this; anything between is as likely.
        most: Mass,
    },
    /// A level or a weight that is read at the end of the job and again: it sees what is lost past its doubt.
    Twice {
        /// The standard uncertainty of one reading, as a mass.
        u: Mass,
    },
    /// A detector or soap at the mended place.
    There {
        /// The smallest leak it is rated to find.
        least: MassFlow,
        /// How often a leak of that size is found by who looks there.
        found: Fraction,
    },
}

/// Returns the chance that a look so long after the repair sees the leak that is left.
#[must_use]
pub fn chance(left: RateBelief, look: Look, after: Duration) -> Fraction {
    let years = (after.day() / 365.25).max(0.0);
    let sum: f64 = left.rates().map(|rate| seen(rate, rate * years, look)).sum();
    Fraction::from_ratio((sum / f64::from(STEPS)).clamp(0.0, 1.0))
}

/// Returns how long after the repair a look sees the leak with the chance `wanted`; nothing where ten years are too short.
#[must_use]
pub fn sees_after(left: RateBelief, look: Look, wanted: Fraction) -> Option<Duration> {
    let enough = |days: f64| chance(left, look, Duration::from_day(days)).ratio() >= wanted.ratio();
    let (mut low, mut high) = (0.0, 3652.5);
    if !enough(high) {
        return None;
    }
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(Duration::from_day(high))
}

fn seen(rate: f64, lost: f64, look: Look) -> f64 {
    match look {
        Look::Reserve { least, most } => {
            let (least, most) = (least.kilogram().max(0.0), most.kilogram());
            if most <= least {
                return f64::from(u8::from(lost > least));
            }
            ((lost - least) / (most - least)).clamp(0.0, 1.0)
        }
        Look::Twice { u } => {
            let both = sqrt(2.0) * u.kilogram();
            if both <= 0.0 {
                return f64::from(u8::from(lost > 0.0));
            }
            below(lost / both - ONE_SIDED)
        }
        Look::There { least, found } => {
            if rate >= least.kilogram_per_year() {
                found.ratio()
            } else {
                0.0
            }
        }
    }
}

/// The share of a standard normal below `z`.
fn below(z: f64) -> f64 {
    0.5 * (1.0 + erf(z / sqrt(2.0)))
}

/// The place below which a share of a standard normal lies, by halving.
fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-8.0, 8.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if below(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WANTED: Fraction = Fraction::from_ratio(0.95);

    fn sure(rate: f64) -> RateBelief {
        let rate = MassFlow::from_kilogram_per_year(rate);
        RateBelief::new(rate, rate, rate).unwrap()
    }

    #[test]
    fn a_sure_rate_is_a_plain_sum() {
        let reserve = Look::Reserve { least: Mass::from_kilogram(0.0), most: Mass::from_kilogram(1.0) };
        let half_a_year = Duration::from_day(365.25 / 2.0);
        assert!((chance(sure(1.0), reserve, half_a_year).ratio() - 0.5).abs() < 1e-9);
        assert_eq!(chance(sure(1.0), reserve, Duration::from_day(0.0)).ratio(), 0.0);
        let after = sees_after(sure(1.0), reserve, WANTED).unwrap();
        assert!((after.day() / 365.25 - 0.95).abs() < 1e-6);
        assert_eq!(sees_after(sure(0.01), reserve, WANTED), None);
    }

    #[test]
    fn a_level_read_twice_says_one_in_twenty_of_nothing_lost() {
        let level = Look::Twice { u: Mass::from_kilogram(0.5) };
        assert!((chance(sure(1.0), level, Duration::from_day(0.0)).ratio() - 0.05).abs() < 1e-3);
    }

    #[test]
    fn a_detector_sees_at_once_what_it_is_rated_for() {
        let there = |least| Look::There {
            least: MassFlow::from_kilogram_per_year(least),
            found: Fraction::from_ratio(0.9),
        };
        assert!((chance(sure(1.0), there(0.005), Duration::from_day(0.0)).ratio() - 0.9).abs() < 1e-12);
        assert_eq!(chance(sure(1.0), there(2.0), Duration::from_day(400.0)).ratio(), 0.0);
    }

    #[test]
    fn what_is_no_rate_is_no_belief() {
        let flow = MassFlow::from_kilogram_per_year;
        assert_eq!(RateBelief::new(flow(0.0), flow(0.0), flow(1.0)), None);
        assert_eq!(RateBelief::new(flow(1.0), flow(0.5), flow(0.9)), None);
        assert_eq!(RateBelief::new(flow(f64::NAN), flow(0.0), flow(1.0)), None);
        let open = RateBelief::new(flow(1.0), flow(0.0), flow(4.0)).unwrap();
        assert!((open.spread - ln(2.0)).abs() < 1e-12);
    }
}
