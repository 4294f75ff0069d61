//! Times taken by a stopwatch, again and again: their mean, and whether what was timed is steady.
//!
//! A thumb is off by some [`THUMB`] over both ends; that counts as much as `AS_IF` readings would beside the scatter that is seen
//! (a scaled inverse χ² prior), so that two readings that agree by chance are not taken for exact and one says something at all.

use super::line::Line;
use super::{TOLD, median, student};
use statrs::distribution::{ChiSquared, ContinuousCDF as _};

/// Standard deviation of one stopwatch reading, s, both ends together. Common practice, no source.
pub const THUMB: f64 = 0.2;
/// Degrees of freedom that the thumb's own scatter counts for.
const AS_IF: usize = 4;
/// So sure must it be that what was timed wanders.
const SURE: f64 = 0.99;
/// Fewest times of which a trend, or a turn counted wrong, is told.
const FEWEST: (usize, usize) = (4, 3);

/// What is not steady.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unsteady {
    /// The times scatter by this standard deviation (s), more than a thumb does.
    Wanders(f64),
    /// From the first to the last they grow (or fall, below nought) by this, s.
    Drifts(f64),
}

/// What the times tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Timed {
    /// Their mean, s.
    pub mean: f64,
    /// Half the interval of the mean, s; where the times are not steady, that of any one of them.
    pub half: f64,
    /// The standard deviation of one, s, the thumb's counted in.
    pub scatter: f64,
    /// How it is not steady, if it is not.
    pub unsteady: Option<Unsteady>,
    /// Which of them are a whole turn longer (or shorter, below nought) than the others, and were left out.
    pub miscounted: Vec<(usize, f64)>,
}

/// Times (s, above nought) of the same thing done over and over; `turns` how many turns each counted, where there were any. None of none.
pub fn timed(times: &[f64], turns: Option<usize>) -> Option<Timed> {
    let middle = median(times.to_vec());
    let turn = turns.map(|turns| middle / turns as f64);
    let off = |time: f64| {
        let turn = turn.filter(|turn| *turn > 5.0 * THUMB && times.len() >= FEWEST.1)?;
        let whole = ((time - middle) / turn).round();
        (whole.abs() >= 1.0 && (time - middle - whole * turn).abs() < 0.25 * turn).then_some(whole)
    };
    let mut miscounted: Vec<(usize, f64)> =
        times.iter().enumerate().filter_map(|(n, time)| Some((n, off(*time)?))).collect();
    // Where many are off, it is not the counting.
    if 3 * miscounted.len() > times.len() {
        miscounted.clear();
    }
    let is_kept = |n: usize| miscounted.iter().all(|(other, _)| *other != n);
    let kept: Vec<f64> =
        times.iter().enumerate().filter(|(n, _)| is_kept(*n)).map(|(_, time)| *time).collect();
    let count = kept.len();
    let mean = (count > 0).then(|| kept.iter().sum::<f64>() / count as f64)?;
    let squares: f64 = kept.iter().map(|time| (time - mean).powi(2)).sum();
    let freedom = AS_IF + count - 1;
    let scatter = ((AS_IF as f64 * THUMB * THUMB + squares) / freedom as f64).sqrt();
    let unsteady = unsteady(&kept, squares);
    let (over, scatter) = match unsteady {
        None => ((count as f64).sqrt(), scatter),
        Some(_) => (1.0, (squares / (count - 1) as f64).sqrt()),
    };
    Some(Timed { mean, half: student(freedom, TOLD) * scatter / over, scatter, unsteady, miscounted })
}

fn unsteady(times: &[f64], squares: f64) -> Option<Unsteady> {
    let count = times.len();
    let points: Vec<(f64, f64)> = times.iter().enumerate().map(|(n, time)| (n as f64, *time)).collect();
    if count >= FEWEST.0
        && let Some(line) = Line::through(&points, 0.5 * THUMB)
        && line.slope.abs() > student(line.freedom(), SURE) * line.slope_error()
    {
        return Some(Unsteady::Drifts(line.slope * (count - 1) as f64));
    }
    let freedom = count.checked_sub(1).filter(|freedom| *freedom > 0)? as f64;
    let most = ChiSquared::new(freedom).map_or(f64::INFINITY, |of| of.inverse_cdf(SURE));
    (squares > most * THUMB * THUMB).then(|| Unsteady::Wanders((squares / freedom).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_of_one_time_and_of_several() {
        let one = timed(&[60.0], Some(20)).expect("one");
        // Student's 2.776 of four degrees of freedom.
        assert!((one.half - 2.776 * THUMB).abs() < 1e-3 && one.unsteady.is_none(), "{one:?}");
        let times = [60.1, 59.9, 60.2, 59.8, 60.0];
        let five = timed(&times, Some(20)).expect("five");
        // (4·0.04 + 0.1)/8 and Student's 2.306 of eight.
        let expected = 2.306 * (0.26_f64 / 8.0).sqrt() / 5.0_f64.sqrt();
        assert!((five.mean - 60.0).abs() < 1e-9 && (five.half / expected - 1.0).abs() < 1e-3, "{five:?}");
        assert_eq!(timed(&[], None), None);
    }

    #[test]
    fn what_wanders_drifts_or_is_miscounted_is_told() {
        let drift = timed(&[60.0, 61.1, 61.9, 63.0, 64.1], Some(20)).expect("times");
        assert!(matches!(drift.unsteady, Some(Unsteady::Drifts(by)) if (by - 4.1).abs() < 0.1), "{drift:?}");
        let wander = timed(&[60.0, 62.1, 59.0, 61.8, 60.1], None).expect("times");
        assert!(matches!(wander.unsteady, Some(Unsteady::Wanders(_))), "{wander:?}");
        let miscount = timed(&[60.0, 60.2, 63.1, 59.9], Some(20)).expect("times");
        assert_eq!(miscount.miscounted, [(2, 1.0)]);
        assert!(miscount.unsteady.is_none() && (miscount.mean - 60.033).abs() < 1e-3, "{miscount:?}");
    }
}
