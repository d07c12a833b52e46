//! Polynomials in pieces: fitted at Chebyshev's points, evaluated in powers. Few long ones follow a function that is dear to
//! evaluate; many short ones, made from those, are read.
//!
//! Source of the nodes and of the transform: Trefethen, Approximation Theory and Approximation Practice, SIAM 2013,
//! chapters 2 and 3 (from memory); the tests check both against functions that are known.

use units::math::cos;

/// Coefficients of one polynomial.
pub(crate) const TERMS: usize = 16;

/// Returns the points of a piece, between -1 and 1, at which a polynomial of `terms` coefficients is fitted.
pub(crate) fn node(k: usize, terms: usize) -> f64 {
    cos(core::f64::consts::PI * (k as f64 + 0.5) / terms as f64)
}

/// Returns the coefficients, in powers, of the polynomial through `values` at the points of [`node`].
pub(crate) fn fit(values: &[f64]) -> Vec<f64> {
    let n = values.len();
    // Chebyshev's coefficients.
    let chebyshev: Vec<f64> = (0..n)
        .map(|j| {
            let sum: f64 = values
                .iter()
                .enumerate()
                .map(|(k, v)| v * cos(core::f64::consts::PI * j as f64 * (k as f64 + 0.5) / n as f64))
                .sum();
            sum * if j == 0 { 1.0 } else { 2.0 } / n as f64
        })
        .collect();
    // Powers of each of Chebyshev's polynomials by their recurrence.
    let mut powers = vec![0.0; n];
    let (mut before, mut here) = (vec![0.0; n], vec![0.0; n]);
    here[0] = 1.0;
    for (j, c) in chebyshev.iter().enumerate() {
        for (power, own) in powers.iter_mut().zip(&here) {
            *power += c * own;
        }
        let twice = if j == 0 { 1.0 } else { 2.0 };
        let mut next = vec![0.0; n];
        for i in 0..n {
            next[i] = -before[i];
            if i > 0 {
                next[i] += twice * here[i - 1];
            }
        }
        if j == 0 {
            next.iter_mut().for_each(|v| *v = if *v == 0.0 { 0.0 } else { *v });
        }
        before = here;
        here = next;
    }
    powers
}

/// Returns the polynomial's value: pairs, pairs of pairs and so on, so that few operations wait for another.
#[inline]
pub(crate) fn value(powers: &[f64; TERMS], x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    let x8 = x4 * x4;
    let c = powers;
    let low =
        ((c[0] + c[1] * x) + x2 * (c[2] + c[3] * x)) + x4 * ((c[4] + c[5] * x) + x2 * (c[6] + c[7] * x));
    let high = ((c[8] + c[9] * x) + x2 * (c[10] + c[11] * x))
        + x4 * ((c[12] + c[13] * x) + x2 * (c[14] + c[15] * x));
    low + x8 * high
}

/// Several functions of one variable over pieces of equal width.
#[derive(Clone, Debug)]
pub(crate) struct Curve<const FIELDS: usize> {
    low: f64,
    per_width: f64,
    pieces: Vec<[[f64; TERMS]; FIELDS]>,
}

impl<const FIELDS: usize> Curve<FIELDS> {
    /// Returns the curve of `at` between `low` and `high`, or nothing where `at` gives nothing.
    pub fn build(
        low: f64,
        high: f64,
        pieces: usize,
        mut at: impl FnMut(f64) -> Option<[f64; FIELDS]>,
    ) -> Option<Self> {
        let width = (high - low) / pieces as f64;
        let mut out = Vec::with_capacity(pieces);
        for piece in 0..pieces {
            let middle = low + width * (piece as f64 + 0.5);
            let mut values = vec![[0.0; TERMS]; FIELDS];
            // Upwards, so that each point may start from the one before.
            for k in (0..TERMS).rev() {
                let here = at(middle + 0.5 * width * node(k, TERMS))?;
                for (field, value) in here.iter().enumerate() {
                    values[field][k] = *value;
                }
            }
            let mut fitted = [[0.0; TERMS]; FIELDS];
            for (own, values) in fitted.iter_mut().zip(&values) {
                own.copy_from_slice(&fit(values));
            }
            out.push(fitted);
        }
        Some(Self { low, per_width: 1.0 / width, pieces: out })
    }

    /// Returns whether the curve agrees with `at` at some places of every piece, by the measure of `good`; before each piece
    /// `afresh` is called.
    pub fn agrees(
        &self,
        places: &[f64],
        afresh: impl Fn(),
        mut at: impl FnMut(f64) -> Option<[f64; FIELDS]>,
        good: impl Fn(&[f64; FIELDS], &[f64; FIELDS]) -> bool,
    ) -> bool {
        let half = 0.5 / self.per_width;
        (0..self.pieces.len()).all(|piece| {
            afresh();
            places.iter().all(|place| {
                let x = self.low + half * (2.0 * piece as f64 + 1.0 + place);
                at(x).is_some_and(|full| good(&self.all(x), &full))
            })
        })
    }

    /// Returns the piece that holds `x` and the place within it, between -1 and 1.
    fn place(&self, x: f64) -> (&[[f64; TERMS]; FIELDS], f64) {
        let along = (x - self.low) * self.per_width;
        let piece = (along as usize).min(self.pieces.len() - 1);
        (&self.pieces[piece], 2.0 * (along - piece as f64) - 1.0)
    }

    /// Returns the values of all functions at `x`.
    pub fn all(&self, x: f64) -> [f64; FIELDS] {
        let (piece, x) = self.place(x);
        let mut out = [0.0; FIELDS];
        for (out, powers) in out.iter_mut().zip(piece) {
            *out = value(powers, x);
        }
        out
    }
}

/// Coefficients of one polynomial of a [`Fine`] curve.
const FEW: usize = 8;

/// The same functions over many narrow pieces, each with few coefficients: half the work of a [`Curve`] to read.
#[derive(Clone, Debug)]
pub(crate) struct Fine<const FIELDS: usize> {
    low: f64,
    per_width: f64,
    pieces: Vec<[[f64; FEW]; FIELDS]>,
}

impl<const FIELDS: usize> Fine<FIELDS> {
    /// Returns the curve of `at` over `pieces` pieces between `low` and `high`.
    pub fn build(low: f64, high: f64, pieces: usize, at: impl Fn(f64) -> [f64; FIELDS]) -> Self {
        let width = (high - low) / pieces as f64;
        let pieces = (0..pieces).map(|piece| {
            let middle = low + width * (piece as f64 + 0.5);
            let values: Vec<[f64; FIELDS]> =
                (0..FEW).map(|k| at(middle + 0.5 * width * node(k, FEW))).collect();
            core::array::from_fn(|field| {
                let own: Vec<f64> = values.iter().map(|all| all[field]).collect();
                let powers = fit(&own);
                core::array::from_fn(|k| powers[k])
            })
        });
        Self { low, per_width: 1.0 / width, pieces: pieces.collect() }
    }

    /// Returns the piece that holds `x` and the place within it, between -1 and 1.
    #[inline]
    fn place(&self, x: f64) -> (&[[f64; FEW]; FIELDS], f64) {
        let along = (x - self.low) * self.per_width;
        let piece = (along as usize).min(self.pieces.len() - 1);
        (&self.pieces[piece], 2.0 * (along - piece as f64) - 1.0)
    }

    /// Returns one function's value at `x`.
    #[inline]
    pub fn field(&self, field: usize, x: f64) -> f64 {
        let (piece, x) = self.place(x);
        value_of_few(&piece[field], x)
    }

    /// Returns the values of all functions at `x`.
    #[inline]
    pub fn all(&self, x: f64) -> [f64; FIELDS] {
        let (piece, x) = self.place(x);
        core::array::from_fn(|field| value_of_few(&piece[field], x))
    }

    /// Returns how many bytes the coefficients take.
    pub fn bytes(&self) -> usize {
        self.pieces.len() * FIELDS * FEW * size_of::<f64>()
    }
}

/// Returns the polynomial's value, as [`value`] does.
#[inline]
fn value_of_few(c: &[f64; FEW], x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    ((c[0] + c[1] * x) + x2 * (c[2] + c[3] * x)) + x4 * ((c[4] + c[5] * x) + x2 * (c[6] + c[7] * x))
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::math::{exp, sin};

    #[test]
    fn a_polynomial_is_found_again() {
        let own = |x: f64| 1.5 - 2.0 * x + 0.25 * x * x * x;
        let values: Vec<f64> = (0..TERMS).map(|k| own(node(k, TERMS))).collect();
        let powers = fit(&values);
        for (k, wanted) in [1.5, -2.0, 0.0, 0.25, 0.0].iter().enumerate() {
            assert!((powers[k] - wanted).abs() < 1e-10, "{k}: {}", powers[k]);
        }
    }

    #[test]
    fn smooth_functions_are_met_to_twelve_digits() {
        let curve = Curve::<2>::build(0.0, 4.0, 3, |x| Some([exp(-x), sin(x)])).expect("a curve");
        for k in 0..=1000 {
            let x = 0.004 * f64::from(k);
            let [a, b] = curve.all(x);
            assert!((a - exp(-x)).abs() < 1e-12 && (b - sin(x)).abs() < 1e-12, "{x}: {a} {b}");
        }
        let fine = Fine::<2>::build(0.0, 4.0, 24, |x| curve.all(x));
        for k in 0..=1000 {
            let x = 0.004 * f64::from(k);
            let [a, b] = fine.all(x);
            assert!((a - exp(-x)).abs() < 1e-11 && (b - sin(x)).abs() < 1e-11, "{x}: {a} {b}");
            assert_eq!(fine.field(1, x), b);
        }
        assert_eq!(fine.bytes(), 24 * 2 * FEW * 8);
        assert!(Curve::<1>::build(0.0, 1.0, 1, |x| (x < 0.5).then_some([x])).is_none());
    }
}
