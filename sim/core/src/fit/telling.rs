//! Which values a set of readings can tell, and which only together with others.
//!
//! Everything is in units of what was known beforehand: each value has mean nought and standard deviation one before any reading, so
//! that what is left of that one is how well the readings tell it. The information of the readings is A = JᵀJ/σ². With the priors added, and
//! turned over, it is the covariance of everything that is sought.

use nalgebra::{DMatrix, DVector};

/// A value is told where no more than this is left of what was not known of it.
const TOLD: f64 = 0.6;
/// A value that the readings tell less of than this, were all others known, is not sought: 1/√(1 + A) is then above nine tenths.
const HEARD: f64 = 0.25;
/// Two values are told together where their errors are correlated by at least this.
const TOGETHER: f64 = 0.3;
/// No more companions than this are named.
const COMPANIONS: usize = 3;

/// What readings do for a value.
#[derive(Debug, Clone, PartialEq)]
pub enum Telling {
    /// They tell it.
    Told,
    /// They would, were these others known.
    With(Vec<usize>),
    /// They say little or nothing of it.
    Silent,
}

/// The values of which readings say something, from the information in them; the first `beside` are what is sought along with the values
/// (start, pace, place), of which nothing is asked.
pub fn heard(information: &DMatrix<f64>, beside: usize) -> Vec<usize> {
    let mut left = information.clone();
    // Whatever a reading has to say of the start, it does not say of a value.
    for pivot in 0..beside {
        take_out(&mut left, pivot);
    }
    (0..information.nrows() - beside).filter(|i| left[(beside + i, beside + i)] >= HEARD).collect()
}

/// What readings tell of the values sought, from the covariance of the values and the information on them.
pub fn telling(covariance: &DMatrix<f64>, information: &DMatrix<f64>) -> Vec<Telling> {
    let count = covariance.nrows();
    let left = |i: usize| covariance[(i, i)].sqrt();
    let of = |i: usize| {
        if left(i) <= TOLD {
            return Telling::Told;
        }
        if 1.0 / (1.0 + information[(i, i)]).sqrt() > TOLD {
            return Telling::Silent;
        }
        let shared = |j: usize| (covariance[(i, j)] / (left(i) * left(j))).abs();
        let mut with: Vec<usize> = (0..count).filter(|j| *j != i && shared(*j) >= TOGETHER).collect();
        with.sort_by(|a, b| shared(*b).total_cmp(&shared(*a)));
        with.truncate(COMPANIONS);
        if with.is_empty() { Telling::Silent } else { Telling::With(with) }
    };
    (0..count).map(of).collect()
}

/// Takes out of an information matrix what goes by one of its values.
fn take_out(left: &mut DMatrix<f64>, pivot: usize) {
    let size = left[(pivot, pivot)];
    if size <= 0.0 {
        return;
    }
    let column: DVector<f64> = left.column(pivot).into_owned();
    *left -= &column * column.transpose() / size;
    // What is left of the pivot is rounding.
    left.row_mut(pivot).fill(0.0);
    left.column_mut(pivot).fill(0.0);
}

/// The covariance of what is sought, (A + priors)⁻¹, `known` the information of each prior; none where something is told by neither.
pub fn covariance(information: &DMatrix<f64>, known: impl Fn(usize) -> f64) -> Option<DMatrix<f64>> {
    let mut whole = information.clone();
    for i in 0..whole.nrows() {
        whole[(i, i)] += known(i);
    }
    // Start and place come in seconds and metres: scaled, so that rounding does not decide.
    let sizes: Vec<f64> = (0..whole.nrows()).map(|i| whole[(i, i)].sqrt()).collect();
    let even = DMatrix::from_fn(whole.nrows(), whole.ncols(), |i, j| whole[(i, j)] / (sizes[i] * sizes[j]));
    let inverse = even.cholesky()?.inverse();
    Some(DMatrix::from_fn(inverse.nrows(), inverse.ncols(), |i, j| inverse[(i, j)] / (sizes[i] * sizes[j])))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of four values the readings tell the first, the sum of second and third, and nothing of the fourth; an unknown start goes with the first.
    fn information() -> DMatrix<f64> {
        let slopes = DMatrix::from_row_slice(
            4,
            5,
            &[
                1.0, 10.0, 0.0, 0.0, 0.0, //
                1.0, -10.0, 0.0, 0.0, 0.0, //
                1.0, 0.0, 20.0, 20.0, 0.1, //
                1.0, 0.0, -20.0, -20.0, -0.1,
            ],
        );
        slopes.tr_mul(&slopes)
    }

    #[test]
    fn closed_form_what_is_told_together_is_said_so() {
        assert_eq!(heard(&information(), 1), [0, 1, 2]);
        let wide = covariance(&information(), |i| if i == 0 { 0.0 } else { 1.0 }).expect("told");
        // a with a prior of one and readings ±10·a: 1/(1 + 200). b + c is told to 1/√1600, b − c not at all: ½·(2 + …).
        assert!((wide[(1, 1)] - 1.0 / 201.0).abs() < 1e-9, "{wide}");
        assert!((wide[(2, 2)] - 0.5 * (1.0 + 1.0 / 1601.0)).abs() < 1e-4, "{wide}");
        let values = |of: &DMatrix<f64>| of.view((1, 1), (4, 4)).into_owned();
        let found = telling(&values(&wide), &values(&information()));
        assert_eq!(found[0], Telling::Told);
        assert_eq!((&found[1], &found[2]), (&Telling::With(vec![2]), &Telling::With(vec![1])));
        assert_eq!(found[3], Telling::Silent);
    }
}
