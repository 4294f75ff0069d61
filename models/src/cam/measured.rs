//! A cam known only by its readings: lift taken with a dial indicator while the machine is turned by hand.
//!
//! The readings are joined by a periodic piecewise cubic Hermite curve whose slopes are the weighted harmonic means of the
//! neighbouring chords, zero at a turning point. It passes through every reading and overshoots none.
//!
//! Source: F. N. Fritsch and J. Butland, *SIAM J. Sci. Stat. Comput.* 5 (1984) 300 (weights as in the usual PCHIP).

use super::piece::Piece;
use std::f64::consts::TAU;

/// A periodic shape-preserving cubic through readings of lift against shaft angle.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Angles in rad, rising, the first repeated one turn later as the last.
    angles: Vec<f64>,
    lifts: Vec<f64>,
    slopes: Vec<f64>,
}

impl Curve {
    /// Joins readings (angle in rad within one turn and strictly rising, lift in m). Lift counts from where the curve stands at the
    /// start of the turn, whatever the indicator showed there: the machine was at rest with the cam so.
    pub(super) fn through(readings: &[(f64, f64)]) -> Self {
        let mut angles: Vec<f64> = readings.iter().map(|r| r.0).collect();
        let mut lifts: Vec<f64> = readings.iter().map(|r| r.1).collect();
        angles.push(readings[0].0 + TAU);
        lifts.push(lifts[0]);
        let chords: Vec<(f64, f64)> = (0..readings.len())
            .map(|i| {
                let width = angles[i + 1] - angles[i];
                (width, (lifts[i + 1] - lifts[i]) / width)
            })
            .collect();
        let mut slopes: Vec<f64> = (0..chords.len())
            .map(|i| {
                let before = chords[(i + chords.len() - 1) % chords.len()];
                slope_between(before, chords[i])
            })
            .collect();
        slopes.push(slopes[0]);
        let mut curve = Self { angles, lifts, slopes };
        let start = curve.piece(0.0).at(0.0).lift;
        curve.lifts.iter_mut().for_each(|lift| *lift -= start);
        curve
    }

    /// The cubic that holds at shaft angle `theta` (rad, within one turn).
    pub(super) fn piece(&self, theta: f64) -> Piece {
        let turned = if theta < self.angles[0] { TAU } else { 0.0 };
        let theta = theta + turned;
        let next = self.angles.partition_point(|&a| a <= theta).clamp(1, self.angles.len() - 1);
        let i = next - 1;
        let width = self.angles[next] - self.angles[i];
        let (start, end) = (self.lifts[i], self.lifts[next]);
        let (m0, m1) = (self.slopes[i] * width, self.slopes[next] * width);
        // Hermite form about the start of the interval: start + u·(m0 + u·(c2 + u·c3)).
        let c2 = 3.0 * (end - start) - 2.0 * m0 - m1;
        let c3 = 2.0 * (start - end) + m0 + m1;
        Piece::Cubic { start: self.angles[i] - turned, width, coefficients: [start, m0, c2, c3] }
    }

    /// The greatest lift, m; a reading, since the curve overshoots none.
    pub(super) fn highest(&self) -> f64 {
        self.lifts.iter().copied().fold(0.0, f64::max)
    }

    /// The angles of the readings within the turn, rad.
    pub(super) fn knots(&self) -> &[f64] {
        &self.angles[..self.angles.len() - 1]
    }

    /// The last angle within the turn at which the curve is at its highest, or to which it still rises, rad.
    pub(super) fn fall_start(&self) -> f64 {
        let highest = self.highest();
        let not_yet = |i: &usize| self.lifts[*i] >= highest || self.lifts[*i] > self.lifts[*i - 1];
        (1..self.lifts.len()).rev().find(not_yet).map_or(0.0, |i| self.angles[i])
    }

    /// The lifts at these angles, m.
    pub(super) fn readings(&self) -> &[f64] {
        &self.lifts[..self.lifts.len() - 1]
    }
}

/// Weighted harmonic mean of two chords given as (width, slope); zero where they differ in sign.
fn slope_between(before: (f64, f64), after: (f64, f64)) -> f64 {
    if before.1 * after.1 <= 0.0 {
        return 0.0;
    }
    let (w1, w2) = (2.0 * after.0 + before.0, after.0 + 2.0 * before.0);
    (w1 + w2) / (w1 / before.1 + w2 / after.1)
}
