//! Small dense least squares, as the fits of test curves need them.

// Matrices are written with their indices, as in the books.
#![allow(clippy::needless_range_loop)]

use units::math::sqrt;

/// Student's t for a two-sided probability of 95 %, by degrees of freedom.
///
/// Source: the usual table, e.g. JCGM 100:2008, table G.2 (95.00 %).
pub(crate) fn student_95(degrees_of_freedom: usize) -> f64 {
    const TABLE: [f64; 30] = [
        12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160, 2.145,
        2.131, 2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048,
        2.045, 2.042,
    ];
    match degrees_of_freedom {
        0 => f64::INFINITY,
        n if n <= TABLE.len() => TABLE[n - 1],
        n => 1.960 + 2.46 / n as f64,
    }
}

/// Solves the symmetric positive definite system `a x = b` and inverts `a`; nothing if it is singular.
pub(crate) fn solve<const N: usize>(a: [[f64; N]; N], b: [f64; N]) -> Option<([f64; N], [[f64; N]; N])> {
    // Scaled to a unit diagonal, so that units do not decide what counts as singular.
    let mut scale = [0.0; N];
    for i in 0..N {
        if a[i][i].is_nan() || a[i][i] <= 0.0 {
            return None;
        }
        scale[i] = 1.0 / sqrt(a[i][i]);
    }
    let mut lower = [[0.0; N]; N];
    for i in 0..N {
        for j in 0..=i {
            let mut sum = a[i][j] * scale[i] * scale[j];
            for k in 0..j {
                sum -= lower[i][k] * lower[j][k];
            }
            if i == j {
                if sum.is_nan() || sum < 1e-13 {
                    return None;
                }
                lower[i][i] = sqrt(sum);
            } else {
                lower[i][j] = sum / lower[j][j];
            }
        }
    }
    let substitute = |right: [f64; N]| {
        let mut x = right;
        for i in 0..N {
            for k in 0..i {
                x[i] -= lower[i][k] * x[k];
            }
            x[i] /= lower[i][i];
        }
        for i in (0..N).rev() {
            for k in i + 1..N {
                x[i] -= lower[k][i] * x[k];
            }
            x[i] /= lower[i][i];
        }
        x
    };
    let mut right = b;
    for i in 0..N {
        right[i] *= scale[i];
    }
    let mut x = substitute(right);
    for i in 0..N {
        x[i] *= scale[i];
    }
    let mut inverse = [[0.0; N]; N];
    for j in 0..N {
        let mut unit = [0.0; N];
        unit[j] = scale[j];
        let column = substitute(unit);
        for i in 0..N {
            inverse[i][j] = column[i] * scale[i];
        }
    }
    Some((x, inverse))
}

/// Returns the normal equations of rows (coefficients, right side), each with weight one.
pub(crate) fn normal_equations<const N: usize>(
    rows: impl Iterator<Item = ([f64; N], f64)>,
) -> ([[f64; N]; N], [f64; N]) {
    let (mut a, mut b) = ([[0.0; N]; N], [0.0; N]);
    for (row, right) in rows {
        for i in 0..N {
            for j in 0..N {
                a[i][j] += row[i] * row[j];
            }
            b[i] += row[i] * right;
        }
    }
    (a, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_and_inverts() {
        let a = [[4.0, 1.0, 0.5], [1.0, 3.0, 0.2], [0.5, 0.2, 2.0]];
        let x = [1.0, -2.0, 0.5];
        let b = core::array::from_fn(|i| (0..3).map(|j| a[i][j] * x[j]).sum());
        let (found, inverse) = solve(a, b).unwrap();
        for i in 0..3 {
            assert!((found[i] - x[i]).abs() < 1e-12);
            for j in 0..3 {
                let unit: f64 = (0..3).map(|k| a[i][k] * inverse[k][j]).sum();
                assert!((unit - f64::from(u8::from(i == j))).abs() < 1e-12);
            }
        }
        assert!(solve([[1.0, 1.0], [1.0, 1.0]], [1.0, 1.0]).is_none());
    }

    #[test]
    fn student_falls_towards_the_normal_value() {
        assert!(student_95(31) < student_95(30));
        assert!((student_95(60) - 2.000).abs() < 2e-3);
        assert!((student_95(100_000) - 1.960).abs() < 1e-3);
    }
}
