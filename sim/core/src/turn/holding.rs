//! The pressure in the full mould that lasts, told from its ringing.

use std::f64::consts::TAU;

/// What the pressure in the full mould was, step by step.
#[derive(Debug)]
pub(super) struct Holding {
    steps: Vec<Held>,
}

/// The pressure over a step.
#[derive(Debug, Clone, Copy)]
struct Held {
    /// s.
    start: f64,
    /// s.
    end: f64,
    /// At the start, in the middle and at the end, Pa.
    pressures: [f64; 3],
}

/// So many steps have room from the start.
const USUAL_STEPS: usize = 512;
/// In how many places the pressure is looked up. It swings some four times within the window, and each swing has others on it that are
/// a few times as fast.
const PLACES: u32 = 256;

impl Default for Holding {
    /// Nothing noted yet.
    fn default() -> Self {
        Self { steps: Vec::with_capacity(USUAL_STEPS) }
    }
}

impl Holding {
    /// Notes a step between two times (s), with the pressures (Pa) at its start, in its middle and at its end.
    pub fn note(&mut self, (start, end): (f64, f64), pressures: [f64; 3]) {
        self.steps.push(Held { start, end, pressures });
    }

    /// The pressure that lasts up to `end` (s), Pa: the mean over the last `window` (s), or over all the time since the mould was
    /// first full where that is shorter, weighted by a raised cosine so that whatever still rings falls out, at any phase. None where the
    /// mould was not full within the window.
    ///
    /// Once nothing rings the steps are nearly as long as the window, and the weight changes more within each than the pressure does:
    /// weighed at the steps' own ends and middles alone, a pressure that falls would be told up to three per cent off.
    pub fn lasting(&self, end: f64, window: f64) -> Option<f64> {
        let start = end - window.min(end - self.steps.first()?.start);
        let last = self.steps.last().filter(|last| last.end > start)?;
        let mut late = self.steps.iter().rev().peekable();
        let (mut sum, mut total) = (0.0, 0.0);
        for place in (0..PLACES).rev() {
            let share = (f64::from(place) + 0.5) / f64::from(PLACES);
            let time = start + share * (end - start);
            while late.next_if(|held| held.start > time).is_some() {}
            let Some(held) = late.peek() else { break };
            if time <= held.end {
                let weight = 1.0 - libm::cos(TAU * share);
                sum += weight * held.at(time);
                total += weight;
            }
        }
        Some(if total > 0.0 { sum / total } else { last.pressures[2] })
    }
}

impl Held {
    /// The pressure at a time (s) of the step, Pa, on the parabola through the three.
    fn at(&self, time: f64) -> f64 {
        let [first, middle, last] = self.pressures;
        let s = (time - self.start) / (self.end - self.start);
        first + s * (4.0 * middle - 3.0 * first - last + 2.0 * s * (first - 2.0 * middle + last))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A pressure over time, noted in steps between the times.
    fn holding(pressure: impl Fn(f64) -> f64, times: &[f64]) -> Holding {
        let mut holding = Holding::default();
        for pair in times.windows(2) {
            let (start, end) = (pair[0], pair[1]);
            holding.note((start, end), [start, 0.5 * (start + end), end].map(&pressure));
        }
        holding
    }

    /// Closed form: weighted by 1 − cos 2πs, s has the mean ½ and s² the mean ⅓ − 1/2π², whatever the steps; at the ends and in the
    /// middle of one step as long as the window the second would come out a fourth.
    #[test]
    fn closed_form_what_lasts_is_the_mean_of_the_window() {
        let square = |t: f64| 7.0 - 2.0 * (t - 6.0) + 3.0 * (t - 6.0) * (t - 6.0);
        let mean = 7.0 - 2.0 * 2.0 + 3.0 * 16.0 * (1.0 / 3.0 - 0.5 / (std::f64::consts::PI.powi(2)));
        for times in [&[0.0, 10.0][..], &[0.0, 6.5, 10.0], &[0.0, 3.0, 6.1, 7.7, 9.9, 10.0]] {
            let lasting = holding(square, times).lasting(10.0, 4.0).expect("full");
            assert!((lasting - mean).abs() < 1e-3, "{lasting} {mean}");
        }
    }

    /// Closed form: full for half the window only, it is the mean of that half.
    #[test]
    fn closed_form_a_mould_that_was_full_for_less_than_the_window_is_weighed_over_that() {
        let lasting = holding(|t| 7.0 - 2.0 * (t - 8.0), &[8.0, 8.7, 10.0]).lasting(10.0, 4.0).expect("full");
        assert!((lasting - 5.0).abs() < 1e-9, "{lasting}");
    }

    /// Closed form: whole swings have no share in it, at any phase.
    #[test]
    fn closed_form_a_swing_falls_out() {
        let times: Vec<f64> = (0..=200).map(|n| 0.05 * f64::from(n)).collect();
        for phase in 0..8 {
            let swings = |t: f64| 10.0 + 5.0 * libm::cos(TAU * t + f64::from(phase));
            let lasting = holding(swings, &times).lasting(10.0, 4.0).expect("full");
            assert!((lasting - 10.0).abs() < 1e-3, "{lasting}");
        }
    }

    /// Time in which the mould was not full does not count; where it was full only before the window there is none, and where it
    /// was full for less than a place it is the last there was.
    #[test]
    fn only_a_full_mould_has_a_pressure() {
        let mut holding = holding(|_| 8.0, &[0.0, 1.0]);
        assert_eq!(holding.lasting(20.0, 4.0), None);
        assert_eq!(holding.lasting(4.0, 4.0), Some(8.0));
        holding.note((20.0 - 1e-9, 20.0), [5.0, 5.0, 6.0]);
        assert_eq!(holding.lasting(20.0, 4.0), Some(6.0));
        assert_eq!(Holding::default().lasting(20.0, 4.0), None);
    }
}
