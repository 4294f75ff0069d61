//! How a part moves over a solved turn, and turn after turn.

use crate::turn::{Instant, Turn};
use latchstroke_models::machine::Machine;

/// The part whose place was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The piston.
    Piston,
    /// The spring rod.
    Rod,
    /// The cross block.
    Block,
}

/// One turn of a part: time (s), place (m) and speed (m/s) at knots, between which it goes as a cubic.
#[derive(Debug, Clone)]
pub struct Curve {
    knots: Vec<(f64, f64, f64)>,
    period: f64,
}

impl Curve {
    /// The way of a part over a turn that was written down.
    pub fn of(part: Part, machine: &Machine, turn: &Turn) -> Self {
        let ratio = machine.rod.ratio;
        let at = |instant: &Instant| {
            let state = &instant.state;
            match part {
                Part::Piston => (instant.time, ratio * state.rod_lift, ratio * state.rod_speed),
                Part::Rod => (instant.time, state.rod_lift, state.rod_speed),
                Part::Block => (instant.time, state.block_lift, state.block_speed),
            }
        };
        let mut knots: Vec<(f64, f64, f64)> = turn.trace.iter().map(at).collect();
        knots.dedup_by(|later, earlier| later.0 <= earlier.0);
        Self { knots, period: std::f64::consts::TAU / machine.shaft_speed }
    }

    /// Time of a turn, s.
    pub fn period(&self) -> f64 {
        self.period
    }

    /// Place, m, at a time (s) after the start of any turn.
    pub fn at(&self, time: f64) -> f64 {
        let time = time.rem_euclid(self.period);
        let after = self.knots.partition_point(|knot| knot.0 <= time);
        let (Some(&(t0, y0, v0)), Some(&(t1, y1, v1))) =
            (self.knots.get(after.saturating_sub(1)), self.knots.get(after))
        else {
            return self.knots.last().map_or(f64::NAN, |knot| knot.1);
        };
        let h = t1 - t0;
        let s = ((time - t0) / h).clamp(0.0, 1.0);
        let (rise, bend) = (y1 - y0, s * (1.0 - s));
        y0 + s * rise + bend * ((1.0 - s) * (h * v0 - rise) - s * (h * v1 - rise))
    }

    /// Between which places it goes, m.
    pub fn travel(&self) -> (f64, f64) {
        let places = || self.knots.iter().map(|knot| knot.1);
        (places().fold(f64::INFINITY, f64::min), places().fold(f64::NEG_INFINITY, f64::max))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_a_cubic_is_followed_exactly() {
        // y = t³ − t², whose slope is 3t² − 2t, between knots at 0, 1 and 3.
        let at = |t: f64| (t, t * t * (t - 1.0), t * (3.0 * t - 2.0));
        let curve = Curve { knots: vec![at(0.0), at(1.0), at(3.0)], period: 3.0 };
        for t in [0.2, 0.9, 1.4, 2.2, 2.95] {
            assert!(
                (curve.at(t) - at(t).1).abs() < 1e-12 && (curve.at(t + 9.0) - at(t).1).abs() < 1e-9,
                "{t}"
            );
        }
        assert_eq!(curve.travel(), (0.0, 18.0));
    }
}
