//! A cam from a dial indicator, read round the turn once or several times.
//!
//! Each run may begin from a nought of its own. What the dial shows after a whole turn less what it showed at first is the run's closing
//! error; it is spread over the run in the order of its readings, as a levelling line is closed. Means and noughts are those for which
//! Σ(reading − mean of its angle − nought of its run)² is least. The smoothing (`dial/smooth.rs`) may be left out.

mod means;
mod smooth;

use latchstroke_models::cam::{Slip, slips};
use means::Means;
use std::f64::consts::TAU;

/// Fewest angles that show the shape of a cam.
pub const FEWEST: usize = 6;
/// What a sound dial does not exceed, m, and as a share of the lift: as a closing error, and between runs.
const LOOSE: (f64, f64) = (0.1e-3, 0.01);
/// No more than so many readings are left out.
const MOST_OFF: usize = 5;

/// One reading, in the order in which they were taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Of which run, from 0.
    pub run: usize,
    /// Shaft angle as counted, rad.
    pub angle: f64,
    /// What the dial showed, m.
    pub lift: f64,
}

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The readings.
    pub looks: &'a [Look],
    /// A division of the dial, m.
    pub step: f64,
    /// Whether the lifts are to be smoothed.
    pub smooth: bool,
}

/// An angle and its lift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Shaft angle within one turn, rad.
    pub angle: f64,
    /// The mean of its readings, m, from the lowest lift.
    pub mean: f64,
    /// How many there are.
    pub count: usize,
    /// The lift to be taken, m, from the lowest: the mean or what the smoothing makes of it.
    pub lift: f64,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The angles in growing order.
    pub places: Vec<Place>,
    /// How many runs there are.
    pub runs: usize,
    /// The closing error of each run that went all the way round, m.
    pub closings: Vec<(usize, f64)>,
    /// Standard deviation of a reading, m, from those at the same angle; none where nothing was read twice.
    pub scatter: Option<f64>,
    /// Readings that were left out: which, and by how much they are off, m.
    pub off: Vec<(usize, f64)>,
    /// Angles that hold two readings of which one must be wrong, and nobody can say which: which of the places, and how far they are apart, m.
    pub apart: Vec<(usize, f64)>,
    /// Means that do not lie on the curve of their neighbours.
    pub slips: Vec<Slip>,
    /// Root mean square of what the smoothing moved, m, and the place that it moved most, with by how much.
    pub moved: Option<(f64, usize, f64)>,
}

/// Why nothing is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refused {
    /// So many angles.
    TooFew(usize),
    /// The dial of this run has moved: its closing error, m.
    Loose(usize, f64),
    /// The runs differ by this standard deviation, m.
    Unlike(f64),
}

impl Question<'_> {
    /// Lift by angle.
    ///
    /// # Errors
    /// Why none is told.
    pub fn answer(&self) -> Result<Answer, Refused> {
        let lifts = self.looks.iter().map(|look| look.lift);
        let range = lifts.clone().fold(f64::NEG_INFINITY, f64::max) - lifts.fold(f64::INFINITY, f64::min);
        let loose = LOOSE.0.max(LOOSE.1 * range);
        let runs = self.looks.iter().map(|look| look.run + 1).max().unwrap_or(0);
        let mut closings = Vec::new();
        let mut kept: Vec<(usize, Look)> = Vec::new();
        for run in 0..runs {
            let mut own: Vec<(usize, Look)> =
                self.looks.iter().copied().enumerate().filter(|(_, look)| look.run == run).collect();
            if let ([(_, first), .., (_, last)], count) = (own.as_slice(), own.len())
                && ((last.angle - first.angle).abs() - TAU).abs() < means::SAME
            {
                let error = last.lift - first.lift;
                if error.abs() > loose {
                    return Err(Refused::Loose(run, error));
                }
                closings.push((run, error));
                for (n, (_, look)) in own.iter_mut().enumerate() {
                    look.lift -= error * n as f64 / (count - 1) as f64;
                }
                own.pop();
            }
            kept.extend(own);
        }
        let mut off = Vec::new();
        let mut table = Means::of(&kept, runs);
        while let Some((n, by)) = table.worst(&kept, self.step).filter(|_| off.len() < MOST_OFF) {
            off.push((kept.remove(n).0, by));
            table = Means::of(&kept, runs);
        }
        let count = table.angles.len();
        if count < FEWEST {
            return Err(Refused::TooFew(count));
        }
        let scatter = table.scatter(&kept, runs);
        if let Some(scatter) = scatter.filter(|scatter| *scatter > loose) {
            return Err(Refused::Unlike(scatter));
        }
        let means: Vec<(f64, f64)> = table.angles.iter().copied().zip(table.lifts.iter().copied()).collect();
        let slips = slips(&means);
        // A slip would bend the curve on either side of it.
        let smoothed =
            (self.smooth && slips.is_empty()).then(|| smooth::smoothed(&means, &table.counts, scatter));
        let taken = smoothed.as_ref().unwrap_or(&table.lifts);
        let least = |of: &[f64]| of.iter().copied().fold(f64::INFINITY, f64::min);
        let (low, low_mean) = (least(taken), least(&table.lifts));
        let places: Vec<Place> = (0..count)
            .map(|n| Place {
                angle: table.angles[n],
                mean: table.lifts[n] - low_mean,
                count: table.counts[n],
                lift: taken[n] - low,
            })
            .collect();
        let moved = smoothed.as_ref().map(|smoothed| {
            let by: Vec<f64> = smoothed.iter().zip(&table.lifts).map(|(new, old)| new - old).collect();
            let most = (0..count).max_by(|a, b| by[*a].abs().total_cmp(&by[*b].abs())).unwrap_or(0);
            ((by.iter().map(|by| by * by).sum::<f64>() / count as f64).sqrt(), most, by[most])
        });
        let apart = table.apart(&kept, self.step);
        Ok(Answer { places, runs, closings, scatter, off, apart, slips, moved })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use latchstroke_models::cam::Law;

    fn lift(degrees: f64) -> f64 {
        let d = degrees.rem_euclid(360.0);
        0.030
            * match d {
                d if d < 20.0 => 0.0,
                d if d < 120.0 => Law::Cycloidal.at((d - 20.0) / 100.0).lift,
                d if d < 200.0 => 1.0,
                d if d < 300.0 => 1.0 - Law::Cycloidal.at((d - 200.0) / 100.0).lift,
                _ => 0.0,
            }
    }

    /// Three runs every ten degrees, 0 and 360 both read, each from its own nought, each slipping by its own closing error.
    fn runs(shake: f64) -> Vec<Look> {
        let mut looks = Vec::new();
        for run in 0..3 {
            for n in 0..=36 {
                let (share, shift) = (f64::from(n) / 36.0, 0.002 * run as f64);
                let error = 0.05e-3 * (run as f64 - 1.0) * share;
                let noise = shake * (f64::from(n * 7 + 13) * (1.3 + run as f64)).sin();
                let angle = f64::from(10 * n).to_radians();
                looks.push(Look { run, angle, lift: lift(f64::from(10 * n)) + shift + error + noise });
            }
        }
        looks
    }

    #[test]
    fn closed_form_of_noughts_and_closing_errors() {
        let looks = runs(0.0);
        let answer = Question { looks: &looks, step: 0.01e-3, smooth: false }.answer().expect("a cam");
        assert_eq!((answer.places.len(), answer.runs, answer.slips.len()), (36, 3, 0));
        for (place, n) in answer.places.iter().zip(0..) {
            assert!((place.lift - lift(f64::from(10 * n))).abs() < 1e-9 && place.count == 3, "{place:?}");
        }
        let errors: Vec<f64> = answer.closings.iter().map(|(_, error)| *error).collect();
        assert!((errors[0] + 0.05e-3).abs() < 1e-9 && (errors[2] - 0.05e-3).abs() < 1e-9, "{errors:?}");
        assert!(answer.scatter.is_some_and(|scatter| scatter < 1e-9));
    }

    #[test]
    fn property_smoothing_brings_the_lifts_nearer_and_says_by_how_much_it_moved_them() {
        let looks = runs(0.03e-3);
        let asked = |smooth| Question { looks: &looks, step: 0.01e-3, smooth }.answer().expect("a cam");
        let (plain, smooth) = (asked(false), asked(true));
        let off = |answer: &Answer| {
            let square = |place: &Place| (place.lift - lift(place.angle.to_degrees())).powi(2);
            let mean = answer.places.iter().map(|p| p.lift - lift(p.angle.to_degrees())).sum::<f64>() / 36.0;
            (answer.places.iter().map(square).sum::<f64>() / 36.0 - mean * mean).sqrt()
        };
        assert!(off(&smooth) < 1.02 * off(&plain), "{} {}", off(&smooth), off(&plain));
        let (rms, _, most) = smooth.moved.expect("moved");
        assert!(rms < 0.03e-3 && most.abs() < 0.1e-3, "{rms} {most}");
        assert!(plain.moved.is_none());
    }

    #[test]
    fn what_is_wrong_with_a_dial_is_told() {
        let mut looks = runs(0.005e-3);
        looks[40].lift += 1e-3;
        let answer = Question { looks: &looks, step: 0.01e-3, smooth: true }.answer().expect("a cam");
        assert!(
            matches!(answer.off.as_slice(), [(40, by)] if (by - 1e-3).abs() < 0.1e-3),
            "{:?}",
            answer.off
        );
        let two: Vec<Look> = looks.iter().copied().filter(|look| look.run < 2).collect();
        let answer = Question { looks: &two, step: 0.01e-3, smooth: true }.answer().expect("a cam");
        assert!(
            matches!(answer.apart.as_slice(), [(3, by)] if (by - 1e-3).abs() < 0.1e-3),
            "{:?}",
            answer.apart
        );
        let one = &two[..37];
        let plain = Question { looks: one, step: 0.01e-3, smooth: true }.answer().expect("a cam");
        assert!(plain.slips.is_empty() && plain.moved.is_some());
        let mut wrong = one.to_vec();
        wrong[7].lift -= 5e-3;
        let answer = Question { looks: &wrong, step: 0.01e-3, smooth: true }.answer().expect("a cam");
        assert!(
            answer.slips.len() == 1 && answer.slips[0].index == 7 && answer.moved.is_none(),
            "{answer:?}"
        );
        looks[36].lift += 2e-3;
        let refused = Question { looks: &looks, step: 0.01e-3, smooth: true }.answer();
        assert!(matches!(refused, Err(Refused::Loose(0, _))), "{refused:?}");
        let few = Question { looks: &looks[..4], step: 0.01e-3, smooth: true }.answer();
        assert_eq!(few, Err(Refused::TooFew(4)));
    }
}
