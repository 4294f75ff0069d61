//! What was measured at the bench made into values with errors: numbers in, numbers out.
//!
//! * [`line`](mod@line): the straight line through readings, and what their scatter leaves open.
//! * [`spring`]: rate and free length from loads and lengths, the ends that are no spring left out.
//! * [`dial`]: a cam from several runs of a dial indicator: closing error, means, smoothing.
//! * [`clock`]: stopwatch times, and whether what was timed is steady.
//! * [`pump`]: the clearance of a piston that sinks, and what weighed casts hold.
//! * [`carried`]: the error of what is worked out of several values.
//!
//! Halves of intervals are those within which the truth lies 95 times in 100, by Student's t where the scatter is itself estimated.

pub mod carried;
pub mod clock;
pub mod dial;
pub mod line;
pub mod pump;
pub mod spring;

use statrs::distribution::{ContinuousCDF as _, StudentsT};

/// Within so many standard errors, either way, an estimate with `freedom` degrees of freedom lies with a chance of `share`.
pub fn student(freedom: usize, share: f64) -> f64 {
    let quantile = |of: StudentsT| of.inverse_cdf(0.5 + 0.5 * share.clamp(0.0, 1.0));
    StudentsT::new(0.0, 1.0, freedom.max(1) as f64).map_or(f64::INFINITY, quantile)
}

/// The chance of the intervals that are told.
pub const TOLD: f64 = 0.95;

/// The standard deviation of what was rounded to the nearest `step`: any value within half of it either way is as likely.
pub fn of_rounding(step: f64) -> f64 {
    step / 12.0_f64.sqrt()
}

/// The middle of some numbers; nought of none.
fn median(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    match all.len() {
        0 => 0.0,
        n if n % 2 == 1 => all[n / 2],
        n => 0.5 * (all[n / 2 - 1] + all[n / 2]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn handbook_quantiles_of_student() {
        // The table of any textbook, two-sided.
        for (freedom, share, table) in
            [(1, 0.95, 12.706), (4, 0.95, 2.776), (10, 0.99, 3.169), (30, 0.95, 2.042), (120, 0.95, 1.980)]
        {
            assert!((student(freedom, share) - table).abs() < 6e-4, "{freedom}: {}", student(freedom, share));
        }
    }
}
