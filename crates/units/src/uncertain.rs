//! A value with the doubts that stand behind it, each by its cause, propagated to first order.

use crate::Quantity;
use crate::math::sqrt;
use serde::{Deserialize, Serialize};

/// What kind of doubt a contribution is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// The stated accuracy of an instrument.
    Accuracy,
    /// An accuracy that nobody stated, assumed for this kind of instrument.
    AssumedAccuracy,
    /// A zero error, common to every reading of one instrument.
    Zero,
    /// A scale error, common to every reading of one instrument.
    Scale,
    /// The last digit shown.
    Resolution,
    /// How or where the probe sits.
    Placement,
    /// The equations themselves.
    Model,
    /// A range that was typed or told instead of a value.
    Range,
    /// A person's judgement.
    Judgement,
}

/// One independent doubt: its kind, and the reading or instrument it belongs to.
///
/// Two contributions with the same doubt are one and the same error, so they add with their signs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Doubt {
    /// What kind of doubt.
    pub cause: Cause,
    /// The reading, instrument or input it belongs to, by the caller's own key.
    pub of: String,
}

impl Doubt {
    /// Returns the doubt of this cause in that reading.
    pub fn new(cause: Cause, of: impl Into<String>) -> Self {
        Self { cause, of: of.into() }
    }
}

/// A quantity with its standard uncertainty, kept as signed contributions by doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertain<Q> {
    value: Q,
    terms: Vec<(Doubt, f64)>,
}

impl<Q: Quantity> Uncertain<Q> {
    /// Returns a value without doubt.
    #[must_use]
    pub fn exact(value: Q) -> Self {
        Self { value, terms: Vec::new() }
    }

    /// Returns a value with one doubt of standard uncertainty `u`, in SI.
    #[must_use]
    pub fn new(value: Q, doubt: Doubt, u: f64) -> Self {
        Self::exact(value).and(doubt, u)
    }

    /// Returns a value whose stated accuracy is the rectangular half-width `half_width`, in SI: u = a/sqrt(3).
    ///
    /// Source: JCGM 100:2008, 4.3.7.
    #[must_use]
    pub fn within(value: Q, doubt: Doubt, half_width: f64) -> Self {
        Self::new(value, doubt, half_width / sqrt(3.0))
    }

    /// Returns the value with one more doubt of standard uncertainty `u`, in SI.
    #[must_use]
    pub fn and(mut self, doubt: Doubt, u: f64) -> Self {
        add_term(&mut self.terms, doubt, u);
        self
    }

    /// Returns the value with the doubt of a display that shows steps of `step`, in SI: u = step/sqrt(12).
    #[must_use]
    pub fn and_resolution(self, of: impl Into<String>, step: f64) -> Self {
        self.and(Doubt::new(Cause::Resolution, of), step / sqrt(12.0))
    }

    /// Returns the best value.
    #[must_use]
    pub fn value(&self) -> Q {
        self.value
    }

    /// Returns the standard uncertainty (k = 1), in SI.
    #[must_use]
    pub fn u(&self) -> f64 {
        sqrt(self.terms.iter().map(|(_, c)| c * c).sum())
    }

    /// Returns the interval of `k` standard uncertainties on each side.
    #[must_use]
    pub fn interval(&self, k: f64) -> (Q, Q) {
        let half = k * self.u();
        (Q::from_si(self.value.si() - half), Q::from_si(self.value.si() + half))
    }

    /// Returns the signed contributions, in SI, in the order of their doubts.
    #[must_use]
    pub fn terms(&self) -> &[(Doubt, f64)] {
        &self.terms
    }

    /// Returns the doubt that contributes most, with the size of its contribution in SI.
    #[must_use]
    pub fn largest(&self) -> Option<(&Doubt, f64)> {
        self.terms
            .iter()
            .map(|(doubt, c)| (doubt, c.abs()))
            .filter(|(_, c)| *c > 0.0)
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Returns the contributions times `partial`: this input's part in a result.
    #[must_use]
    pub fn part(&self, partial: f64) -> Part {
        Part(self.terms.iter().map(|(doubt, c)| (doubt.clone(), c * partial)).collect())
    }

    /// Returns the same doubts about a value in another unit or of another kind, scaled by `partial`.
    #[must_use]
    pub fn map<R: Quantity>(&self, value: R, partial: f64) -> Uncertain<R> {
        combine(value, [self.part(partial)])
    }
}

/// The contributions of one input to a result.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Part(Vec<(Doubt, f64)>);

/// Returns `value` with the doubts of its inputs, each already times its partial derivative.
///
/// First-order propagation, JCGM 100:2008 equation (13): a doubt that reaches the result by two ways adds with its
/// sign, independent doubts add in squares.
pub fn combine<R: Quantity>(value: R, parts: impl IntoIterator<Item = Part>) -> Uncertain<R> {
    let mut terms = Vec::new();
    for part in parts {
        for (doubt, contribution) in part.0 {
            add_term(&mut terms, doubt, contribution);
        }
    }
    Uncertain { value, terms }
}

fn add_term(terms: &mut Vec<(Doubt, f64)>, doubt: Doubt, contribution: f64) {
    match terms.binary_search_by(|(have, _)| have.cmp(&doubt)) {
        Ok(at) => terms[at].1 += contribution,
        Err(at) => terms.insert(at, (doubt, contribution)),
    }
}

/// What a result must satisfy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit<Q> {
    /// At least this much.
    AtLeast(Q),
    /// At most this much.
    AtMost(Q),
    /// From the first to the second.
    Between(Q, Q),
}

/// How a result stands against a limit, its whole k = 2 interval compared.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// The whole interval lies on the good side.
    Inside,
    /// The whole interval lies on the bad side.
    Outside,
    /// The interval holds the limit.
    NotResolved {
        /// The largest doubt, if there is one.
        largest: Option<Doubt>,
        /// The standard uncertainty, in SI of the result, to which that doubt must shrink for a verdict;
        /// absent when the others alone are too large or the value stands on the limit.
        needed: Option<f64>,
    },
}

impl<Q: Quantity> Limit<Q> {
    /// Returns the verdict on `result`.
    #[must_use]
    pub fn judge(&self, result: &Uncertain<Q>) -> Verdict {
        let (low, high) = result.interval(2.0);
        let (floor, ceiling) = match *self {
            Limit::AtLeast(a) => (Some(a.si()), None),
            Limit::AtMost(b) => (None, Some(b.si())),
            Limit::Between(a, b) => (Some(a.si()), Some(b.si())),
        };
        let above_floor = floor.is_none_or(|f| low.si() >= f);
        let below_ceiling = ceiling.is_none_or(|c| high.si() <= c);
        if above_floor && below_ceiling {
            return Verdict::Inside;
        }
        if floor.is_some_and(|f| high.si() < f) || ceiling.is_some_and(|c| low.si() > c) {
            return Verdict::Outside;
        }
        let value = result.value().si();
        let distance = [floor, ceiling]
            .into_iter()
            .flatten()
            .map(|limit| (value - limit).abs())
            .fold(f64::INFINITY, f64::min);
        let largest = result.largest().map(|(doubt, size)| (doubt.clone(), size));
        let needed = largest.as_ref().and_then(|(_, size)| {
            let others = result.u() * result.u() - size * size;
            let room = distance * distance / 4.0 - others;
            (room > 0.0).then(|| sqrt(room))
        });
        Verdict::NotResolved { largest: largest.map(|(doubt, _)| doubt), needed }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{PressureDifference, TemperatureDifference};

    fn kelvin(value: f64, u: f64) -> Uncertain<TemperatureDifference> {
        Uncertain::new(TemperatureDifference::from_kelvin(value), Doubt::new(Cause::Accuracy, "clamp"), u)
    }

    #[test]
    fn a_rectangular_half_width_becomes_a_standard_uncertainty() {
        // JCGM 100:2008, 4.3.7: a = 2.5 gives u = 1.4433757.
        let gauge = Uncertain::within(
            PressureDifference::from_pascal(0.0),
            Doubt::new(Cause::Accuracy, "gauge"),
            2.5,
        );
        assert!((gauge.u() - 1.4433757).abs() < 1e-7);
    }

    #[test]
    fn a_shared_doubt_cancels_in_a_difference() {
        let zero = Doubt::new(Cause::Zero, "gauge");
        let a = Uncertain::new(PressureDifference::from_pascal(5.0), zero.clone(), 2.0);
        let b = Uncertain::new(PressureDifference::from_pascal(3.0), zero, 2.0);
        let difference = combine(a.value() - b.value(), [a.part(1.0), b.part(-1.0)]);
        assert_eq!(difference.u(), 0.0);
    }

    #[test]
    fn independent_doubts_add_in_squares() {
        let a = kelvin(1.0, 3.0);
        let b =
            Uncertain::new(TemperatureDifference::from_kelvin(1.0), Doubt::new(Cause::Accuracy, "air"), 4.0);
        assert_eq!(combine(a.value() - b.value(), [a.part(1.0), b.part(-1.0)]).u(), 5.0);
    }

    #[test]
    fn a_verdict_needs_the_whole_interval() {
        let limit = Limit::AtLeast(TemperatureDifference::from_kelvin(4.0));
        assert_eq!(limit.judge(&kelvin(6.0, 0.9)), Verdict::Inside);
        assert_eq!(limit.judge(&kelvin(2.0, 0.9)), Verdict::Outside);
        let Verdict::NotResolved { largest, needed } = limit.judge(&kelvin(5.0, 0.9)) else {
            panic!("5 ± 1.8 against 4 cannot be told")
        };
        assert_eq!(largest.unwrap().of, "clamp");
        assert!((needed.unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_range_has_two_sides() {
        let limit =
            Limit::Between(TemperatureDifference::from_kelvin(4.0), TemperatureDifference::from_kelvin(8.0));
        assert_eq!(limit.judge(&kelvin(6.0, 0.5)), Verdict::Inside);
        assert_eq!(limit.judge(&kelvin(10.0, 0.5)), Verdict::Outside);
        assert!(matches!(limit.judge(&kelvin(7.5, 0.5)), Verdict::NotResolved { .. }));
    }

    proptest::proptest! {
        /// First-order propagation against Monte Carlo, for a product and a quotient of independent inputs.
        #[test]
        fn propagation_agrees_with_monte_carlo(
            a in 1.0..10.0f64, b in 1.0..10.0f64, ua in 0.002..0.02f64, ub in 0.002..0.02f64, seed in 1u64..u64::MAX,
        ) {
            let x = Uncertain::new(PressureDifference::from_pascal(a), Doubt::new(Cause::Accuracy, "x"), ua * a);
            let y = Uncertain::new(PressureDifference::from_pascal(b), Doubt::new(Cause::Accuracy, "y"), ub * b);
            let f = |a: f64, b: f64| a * a / b;
            let stated = combine(
                PressureDifference::from_pascal(f(a, b)),
                [x.part(2.0 * a / b), y.part(-a * a / (b * b))],
            )
            .u();
            let mut state = seed;
            // The sum of twelve uniform numbers less six has variance one.
            let mut normal = || {
                let mut sum = -6.0;
                for _ in 0..12 {
                    state ^= state << 13;
                    state ^= state >> 7;
                    state ^= state << 17;
                    sum += (state >> 11) as f64 / (1u64 << 53) as f64;
                }
                sum
            };
            let n = 4000;
            let (mut sum, mut squares) = (0.0, 0.0);
            for _ in 0..n {
                let value = f(a * (1.0 + ua * normal()), b * (1.0 + ub * normal()));
                sum += value;
                squares += value * value;
            }
            let mean = sum / f64::from(n);
            let drawn = sqrt(squares / f64::from(n) - mean * mean);
            proptest::prop_assert!((drawn / stated - 1.0).abs() < 0.08, "stated {stated}, drawn {drawn}");
        }
    }
}
