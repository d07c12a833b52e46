//! A small symmetric system: its factor and its solution.

use crate::fault::MOST;
use units::math::sqrt;

pub fn factor(a: &[[f64; MOST]; MOST], n: usize) -> [[f64; MOST]; MOST] {
    let mut l = [[0.0; MOST]; MOST];
    for i in 0..n {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            l[i][j] = if i == j { sqrt((a[i][i] - sum).max(1e-9)) } else { (a[i][j] - sum) / l[j][j] };
        }
    }
    l
}

pub fn solve(l: &[[f64; MOST]; MOST], b: &[f64; MOST], n: usize) -> [f64; MOST] {
    let mut x = *b;
    for i in 0..n {
        let sum: f64 = (0..i).map(|k| l[i][k] * x[k]).sum();
        x[i] = (x[i] - sum) / l[i][i];
    }
    back(l, &x, n)
}

/// The solution of the transposed factor alone.
pub fn back(l: &[[f64; MOST]; MOST], b: &[f64; MOST], n: usize) -> [f64; MOST] {
    let mut x = *b;
    for i in (0..n).rev() {
        let sum: f64 = (i + 1..n).map(|k| l[k][i] * x[k]).sum();
        x[i] = (x[i] - sum) / l[i][i];
    }
    x
}
