//! The transcendental functions, over libm, so that phone and server give the same bits.
//!
//! `clippy.toml` bans the standard library's versions everywhere else in the workspace.

/// Returns e to the power `x`.
#[inline]
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
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

    #[test]
    fn whole_powers_agree_with_multiplication() {
        assert_eq!(powi(3.0, 5), 243.0);
        assert_eq!(powi(2.0, -3), 0.125);
        assert_eq!(powi(7.0, 0), 1.0);
    }
}
