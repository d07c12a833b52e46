//! Derivatives by small steps, and roots, where an equation has no closed form.

/// Returns the derivative of `f` at `x` by a central step, or by a one-sided one where a side does not exist.
pub(crate) fn derivative<E>(x: f64, step: f64, f: impl Fn(f64) -> Result<f64, E>) -> Result<f64, E> {
    match (f(x + step), f(x - step)) {
        (Ok(above), Ok(below)) => Ok((above - below) / (2.0 * step)),
        (Ok(above), Err(_)) => Ok((above - f(x)?) / step),
        (Err(_), Ok(below)) => Ok((f(x)? - below) / step),
        (Err(error), Err(_)) => Err(error),
    }
}

/// Returns the root of `f` between `low` and `high`, where it has opposite signs, within `width`; by bisection.
pub(crate) fn bisect<E>(
    mut low: f64,
    mut high: f64,
    width: f64,
    f: impl Fn(f64) -> Result<f64, E>,
) -> Result<Option<f64>, E> {
    let at_low = f(low)?;
    if at_low == 0.0 {
        return Ok(Some(low));
    }
    if (at_low > 0.0) == (f(high)? > 0.0) {
        return Ok(None);
    }
    while high - low > width {
        let middle = 0.5 * (low + high);
        if (f(middle)? > 0.0) == (at_low > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(Some(0.5 * (low + high)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_that_does_not_exist_is_left_out() {
        let f = |x: f64| if x > 2.0 { Err(()) } else { Ok(3.0 * x) };
        assert!((derivative(1.0, 0.1, f).unwrap() - 3.0).abs() < 1e-12);
        assert!((derivative(2.0, 0.1, f).unwrap() - 3.0).abs() < 1e-12);
        assert_eq!(derivative(3.0, 0.1, f), Err(()));
    }

    #[test]
    fn roots_are_bracketed_or_absent() {
        let f = |x: f64| Ok::<_, ()>(x * x - 2.0);
        assert!((bisect(0.0, 2.0, 1e-9, f).unwrap().unwrap() - core::f64::consts::SQRT_2).abs() < 1e-9);
        assert_eq!(bisect(2.0, 3.0, 1e-9, f), Ok(None));
    }
}
