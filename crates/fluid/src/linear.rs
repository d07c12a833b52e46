//! Small dense linear systems.

use crate::model::MOST;

/// The largest system: both phases' partial densities, temperature and quality.
pub const SIZE: usize = 2 * MOST + 2;

/// The system of a point on a line: the bulk's density, the other phase's partial densities, temperature.
pub const OF_A_LINE: usize = MOST + 2;

/// A square matrix of up to `S` rows.
pub type Matrix<const S: usize> = [[f64; S]; S];

/// A matrix factored into triangles, with the order of its rows.
#[derive(Clone, Debug)]
pub struct Factored<const S: usize> {
    size: usize,
    lu: Matrix<S>,
    order: [usize; S],
}

impl<const S: usize> Factored<S> {
    /// Returns the factors of the leading `size` rows and columns, or nothing if the matrix is singular or not finite.
    pub fn new(size: usize, mut lu: Matrix<S>) -> Option<Self> {
        let mut order = [0; S];
        for k in 0..size {
            let mut best = k;
            for i in k + 1..size {
                if lu[i][k].abs() > lu[best][k].abs() {
                    best = i;
                }
            }
            let pivot = lu[best][k];
            if pivot == 0.0 || !pivot.is_finite() {
                return None;
            }
            order[k] = best;
            lu.swap(k, best);
            let row = lu[k];
            for below in lu[k + 1..size].iter_mut() {
                let factor = below[k] / pivot;
                below[k] = factor;
                if factor != 0.0 {
                    for j in k + 1..size {
                        below[j] -= factor * row[j];
                    }
                }
            }
        }
        Some(Self { size, lu, order })
    }

    /// Replaces `right` by the solution.
    pub fn solve(&self, right: &mut [f64; S]) {
        for k in 0..self.size {
            right.swap(k, self.order[k]);
        }
        for k in 0..self.size {
            let value = right[k];
            for i in k + 1..self.size {
                right[i] -= self.lu[i][k] * value;
            }
        }
        for k in (0..self.size).rev() {
            let mut value = right[k];
            for j in k + 1..self.size {
                value -= self.lu[k][j] * right[j];
            }
            right[k] = value / self.lu[k][k];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_a_system_that_needs_pivoting() {
        let mut m = [[0.0; SIZE]; SIZE];
        let rows = [[0.0, 2.0, 1.0], [1.0, 1.0, 1.0], [4.0, 0.0, -1.0]];
        for (i, row) in rows.iter().enumerate() {
            m[i][..3].copy_from_slice(row);
        }
        let x = [3.0, -1.0, 2.0];
        let mut right = [0.0; SIZE];
        for i in 0..3 {
            right[i] = (0..3).map(|j| rows[i][j] * x[j]).sum();
        }
        Factored::new(3, m).unwrap().solve(&mut right);
        for i in 0..3 {
            assert!((right[i] - x[i]).abs() < 1e-14);
        }
    }

    #[test]
    fn a_singular_matrix_is_refused() {
        assert!(Factored::new(2, [[1.0; SIZE]; SIZE]).is_none());
    }
}
