//! Elimination for the stiff integrator's small matrix, which is mostly zeros.
//!
//! The matrix is 1/(γh) on the diagonal less the slopes of the equations. Every pair in it (lift and speed, pressure and flow)
//! is damped, so its pivots stay above zero in the order in which the state is written and no rows need to be exchanged. A
//! pivot that does not is answered as failure, and the step is taken shorter. Skipping the zeros makes a turn a third faster
//! than a general factorisation with exchanges.

use super::leg::Vector;
use super::rosenbrock::Matrix;
use latchstroke_models::state::STATE_SIZE;

/// A matrix taken apart into a lower and an upper triangle, both in one array of columns, and one over each pivot.
pub(super) struct Factors {
    columns: [[f64; STATE_SIZE]; STATE_SIZE],
    inverse_pivots: [f64; STATE_SIZE],
}

impl Factors {
    /// Takes `diagonal` on the diagonal less `slopes` apart; none when a pivot is not above zero.
    pub fn of(diagonal: f64, slopes: &Matrix) -> Option<Self> {
        let mut columns = [[0.0; STATE_SIZE]; STATE_SIZE];
        for (c, column) in columns.iter_mut().enumerate() {
            for (r, value) in column.iter_mut().enumerate() {
                *value = if r == c { diagonal } else { 0.0 } - slopes[(r, c)];
            }
        }
        let mut inverse_pivots = [0.0; STATE_SIZE];
        for pivot in 0..STATE_SIZE {
            let (done, rest) = columns.split_at_mut(pivot + 1);
            let factors = &mut done[pivot];
            if factors[pivot] <= 0.0 || factors[pivot].is_nan() {
                return None;
            }
            let inverse = 1.0 / factors[pivot];
            inverse_pivots[pivot] = inverse;
            for factor in &mut factors[pivot + 1..] {
                *factor *= inverse;
            }
            for column in rest {
                let top = column[pivot];
                if top != 0.0 {
                    for r in pivot + 1..STATE_SIZE {
                        column[r] -= factors[r] * top;
                    }
                }
            }
        }
        Some(Self { columns, inverse_pivots })
    }

    /// The solution for the right-hand side `b`, column by column so that no sum has to wait for the one before it.
    pub fn solve(&self, mut b: Vector) -> Vector {
        for c in 0..STATE_SIZE {
            let top = b[c];
            for r in c + 1..STATE_SIZE {
                b[r] -= self.columns[c][r] * top;
            }
        }
        for c in (0..STATE_SIZE).rev() {
            let value = b[c] * self.inverse_pivots[c];
            b[c] = value;
            for r in 0..c {
                b[r] -= self.columns[c][r] * value;
            }
        }
        b
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Held against a general-purpose library: nalgebra's factorisation with row exchanges.
    #[test]
    fn reference_solution_agrees_with_nalgebra() {
        let slopes = Matrix::from_fn(|r, c| {
            let mixed = ((r * 7 + c * 13) % 11) as f64 - 5.0;
            if r == c {
                -3.0 - mixed.abs()
            } else if (r + 2 * c) % 3 == 0 {
                mixed
            } else {
                0.0
            }
        });
        let b = Vector::from_fn(|r, _| r as f64 - 3.5);
        let ours = Factors::of(40.0, &slopes).expect("a dominant diagonal").solve(b);
        let theirs = (Matrix::from_diagonal_element(40.0) - slopes).lu().solve(&b).expect("regular");
        assert!((ours - theirs).norm() < 1e-13 * theirs.norm());
    }

    #[test]
    fn a_pivot_that_is_not_above_zero_is_refused() {
        assert!(Factors::of(1.0, &Matrix::identity()).is_none());
        assert!(Factors::of(f64::NAN, &Matrix::zeros()).is_none());
    }
}
