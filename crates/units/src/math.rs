//! The transcendental functions, of our own or over libm, so that phone and server give the same bits.
//!
//! `clippy.toml` bans the standard library's versions everywhere else in the workspace.

/// Where the plain arithmetic of [`exp`] holds; beyond it results are subnormal, infinite or no numbers.
const PLAIN: f64 = 708.0;

/// Returns e to the power `x`, within one unit of the last digit.
#[inline]
#[must_use]
pub fn exp(x: f64) -> f64 {
    if x.abs() < PLAIN { plain_exp(x) } else { libm::exp(x) }
}

/// Replaces every value by e to its power: the same bits as [`exp`] gives, several at a time.
#[inline(always)]
pub fn exp_all(values: &mut [f64]) {
    // One pass without a branch, so that the compiler may take several lanes at once.
    if values.iter().fold(true, |plain, x| plain & (x.abs() < PLAIN)) {
        for x in values {
            *x = plain_exp(*x);
        }
    } else {
        for x in values {
            *x = exp(*x);
        }
    }
}

/// e to the power `x` as `2^k e^r`, r within half of ln 2: additions and multiplications in a fixed order and nothing else.
///
/// e^r is `1 + r + r^2 q(r)`, q of degree nine through Chebyshev's points, off by 1.6e-17 at most.
#[inline(always)]
fn plain_exp(x: f64) -> f64 {
    // Adding 1.5 * 2^52 leaves the nearest whole number in the lowest bits.
    const WHOLE: f64 = 6755399441055744.0;
    // ln 2 in two parts; the first has 21 zero bits at its end, so that k times it is exact.
    const LN2_HIGH: f64 = 0.6931471803691238;
    const LN2_LOW: f64 = 1.9082149292705877e-10;
    let shifted = x * core::f64::consts::LOG2_E + WHOLE;
    let k = shifted - WHOLE;
    let r = (x - k * LN2_HIGH) - k * LN2_LOW;
    let r2 = r * r;
    let r4 = r2 * r2;
    let q01 = 0.5 + 0.16666666666666669 * r;
    let q23 = 0.04166666666662413 + 0.008333333333330062 * r;
    let q45 = 0.0013888888917213717 + 0.00019841269863053618 * r;
    let q67 = 2.4801521295954376e-05 + 2.7557268459997064e-06 * r;
    let q89 = 2.7620088445409746e-07 + 2.510038549551032e-08 * r;
    let q = (q01 + r2 * q23) + r4 * ((q45 + r2 * q67) + r4 * q89);
    let scale = f64::from_bits((shifted.to_bits() << 52).wrapping_add(1023 << 52));
    (1.0 + (r + r2 * q)) * scale
}

/// Returns e to the power `x`, less one, exact for small `x`.
#[inline]
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// Returns the natural logarithm of `x`.
#[inline]
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Replaces every value by its natural logarithm: the same bits as [`ln`] gives, several at a time.
#[inline(always)]
pub fn ln_all(values: &mut [f64]) {
    if values.iter().fold(true, |plain, x| plain & (*x >= f64::MIN_POSITIVE) & (*x < f64::INFINITY)) {
        for x in values {
            *x = plain_ln(*x);
        }
    } else {
        for x in values {
            *x = ln(*x);
        }
    }
}

/// The logarithm of a normal positive number without a branch: of `2^k (1 + f)`, with 1 + f within a factor of sqrt 2 of 1,
/// by the even polynomial in s = f / (2 + f).
///
/// Source of the coefficients: fdlibm, e_log.c, Sun Microsystems, 1993; libm has the same, and so the same bits.
#[inline(always)]
fn plain_ln(x: f64) -> f64 {
    const LN2_HIGH: f64 = 6.93147180369123816490e-01;
    const LN2_LOW: f64 = 1.90821492927058770002e-10;
    /// The upper half of the bits of sqrt(1/2), and of 1.
    const ROOT_HALF: u64 = 0x3fe6_a09e << 32;
    const ONE: u64 = 0x3ff0_0000 << 32;
    /// 2^52, whose lowest bits hold a whole number; and what k is counted from there.
    const HOLDS: u64 = 0x4330 << 48;
    const FROM: f64 = 4503599627370496.0 + 1023.0;
    let bits = x.to_bits().wrapping_add(ONE - ROOT_HALF);
    let k = f64::from_bits((bits >> 52) | HOLDS) - FROM;
    let f = f64::from_bits((bits & 0x000f_ffff_ffff_ffff).wrapping_add(ROOT_HALF)) - 1.0;
    let half = 0.5 * f * f;
    let s = f / (2.0 + f);
    let z = s * s;
    let w = z * z;
    let even = w * (3.999999999940941908e-01 + w * (2.222219843214978396e-01 + w * 1.531383769920937332e-01));
    let odd = z
        * (6.666666666666735130e-01
            + w * (2.857142874366239149e-01 + w * (1.818357216161805012e-01 + w * 1.479819860511658591e-01)));
    let r = odd + even;
    s * (half + r) + k * LN2_LOW - half + f + k * LN2_HIGH
}

/// Returns the natural logarithm of `1 + x`, exact for small `x`.
#[inline]
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Returns the logarithm of `x` to base ten.
#[inline]
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// Returns `x` to the real power `y`.
#[inline]
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Returns `x` to the whole power `n`, by repeated squaring.
#[inline]
#[must_use]
pub fn powi(x: f64, n: i32) -> f64 {
    let mut base = if n < 0 { 1.0 / x } else { x };
    let mut exponent = n.unsigned_abs();
    let mut product = 1.0;
    while exponent > 0 {
        if exponent & 1 == 1 {
            product *= base;
        }
        base *= base;
        exponent >>= 1;
    }
    product
}

/// Returns the square root of `x` (correctly rounded on every platform).
#[inline]
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    libm::sqrt(x)
}

/// Returns the cube root of `x`.
#[inline]
#[must_use]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

/// Returns the error function of `x`.
#[inline]
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// Returns the hyperbolic tangent of `x`.
#[inline]
#[must_use]
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}

/// Returns the angle whose tangent is `x`, in radians.
#[inline]
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Returns the sine of `x` radians.
#[inline]
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Returns the cosine of `x` radians.
#[inline]
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of e^x to seventeen digits, by mpmath 1.3 with sixty digits.
    #[test]
    fn exponentials_are_within_a_unit_of_the_last_digit() {
        let known = [
            (1.0, core::f64::consts::E),
            (-1.0, 0.36787944117144233),
            (0.34657, 1.4142084849595797),
            (-0.34657, 0.7071093199024199),
            (0.1, 1.1051709180756477),
            (-0.1, 0.9048374180359595),
            (1e-09, 1.000000001),
            (-1e-17, 1.0),
            (2.5, 12.182493960703473),
            (-7.25, 0.000710174388842549),
            (13.7, 890911.1659791603),
            (-33.3, 3.4513877443742162e-15),
            (100.1, 2.9708288895158073e+43),
            (-250.75, 1.2608361807252787e-109),
            (512.6, 4.162472943901696e+222),
            (700.5, 1.6721859620674984e+304),
            (-707.9, 3.655411389615008e-308),
        ];
        for (x, wanted) in known {
            assert!((exp(x) / wanted - 1.0).abs() <= 2.3e-16, "{x}: {} for {wanted}", exp(x));
        }
        assert_eq!((exp(0.0), exp(-0.0)), (1.0, 1.0));
        assert_eq!((exp(f64::NEG_INFINITY), exp(f64::INFINITY), exp(-1e300)), (0.0, f64::INFINITY, 0.0));
        assert!(exp(f64::NAN).is_nan() && exp(710.0).is_infinite() && exp(-740.0) > 0.0);
    }

    /// Against libm, another way to the same numbers, and many at once against one at a time.
    #[test]
    fn exponentials_agree_with_libm_and_many_at_once_with_one() {
        let mut many: Vec<f64> =
            (-7079..=7079).map(|k| 0.1 * f64::from(k) + 1e-5 * f64::from(k % 97)).collect();
        let given = many.clone();
        exp_all(&mut many);
        for (x, value) in given.iter().zip(&many) {
            assert_eq!(value.to_bits(), exp(*x).to_bits(), "{x}");
            assert!((value / libm::exp(*x) - 1.0).abs() <= 4.5e-16, "{x}");
        }
        let mut wild = [1.0, f64::NAN, 800.0, -800.0, 2.5];
        exp_all(&mut wild);
        assert_eq!([wild[0], wild[2], wild[3], wild[4]], [exp(1.0), f64::INFINITY, 0.0, exp(2.5)]);
        assert!(wild[1].is_nan());
    }

    #[test]
    fn many_logarithms_at_once_have_the_bits_of_one() {
        let mut many: Vec<f64> =
            (-3000..=3000).map(|k| exp(0.2 * f64::from(k)) * (1.0 + 1e-3 * f64::from(k % 89))).collect();
        many.extend([
            1.0,
            0.5,
            2.0,
            core::f64::consts::FRAC_1_SQRT_2,
            0.7071067811865475 - 1e-16,
            f64::MIN_POSITIVE,
            f64::MAX,
        ]);
        let given = many.clone();
        ln_all(&mut many);
        for (x, value) in given.iter().zip(&many) {
            assert_eq!(value.to_bits(), ln(*x).to_bits(), "{x}");
        }
        let mut wild = [0.0, -1.0, f64::INFINITY, 3.0, f64::MIN_POSITIVE / 4.0];
        ln_all(&mut wild);
        assert_eq!([wild[0], wild[2], wild[3]], [f64::NEG_INFINITY, f64::INFINITY, ln(3.0)]);
        assert!(wild[1].is_nan() && wild[4] == ln(f64::MIN_POSITIVE / 4.0));
    }

    #[test]
    fn whole_powers_agree_with_multiplication() {
        assert_eq!(powi(3.0, 5), 243.0);
        assert_eq!(powi(2.0, -3), 0.125);
        assert_eq!(powi(7.0, 0), 1.0);
    }
}
