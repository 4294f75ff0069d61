//! One step of an integrator: where it starts, where it leads, and the solution between.

use super::leg::{Equations, Look, Vector};
use latchstroke_models::cam::{Motion, Piece, Stretch};
use latchstroke_models::state::STATE_SIZE;

/// Where a step starts, and all that is known there.
pub(super) struct Start {
    pub look: Look,
    pub y: Vector,
    pub slope: Vector,
}

impl Start {
    pub fn at(equations: &Equations<'_>, time: f64, cam: Motion, y: Vector) -> Self {
        let look = equations.look_on(time, cam, &y);
        Self { slope: equations.rates(&look), look, y }
    }

    /// The next step starts at `time` (s), where the last one led.
    pub fn move_on(&mut self, equations: &Equations<'_>, time: f64, cam: Motion, y: &Vector) {
        self.look = equations.look_on(time, cam, y);
        self.slope = equations.rates(&self.look);
        self.y = *y;
    }
}

/// A step that is tried: so long, with the cam on this stretch meanwhile, and to be good to this tolerance.
#[derive(Clone, Copy)]
pub(super) struct Trial {
    /// s.
    pub length: f64,
    pub cam: Stretch,
    /// The law that the cam follows on it.
    pub law: Piece,
    /// Relative, on numbers of size one.
    pub tolerance: f64,
}

impl Trial {
    /// The size of an error estimated for a step between two vectors: at most one when it is good enough.
    pub fn size(&self, error: &Vector, before: &Vector, after: &Vector) -> f64 {
        let mut total = 0.0;
        for i in 0..STATE_SIZE {
            let scale = self.tolerance * (1.0 + before[i].abs().max(after[i].abs()));
            total += (error[i] / scale).powi(2);
        }
        (total / STATE_SIZE as f64).sqrt().max(1e-8)
    }
}

/// One step that was tried.
#[derive(Debug)]
pub(super) struct Step {
    /// Start, s.
    pub start: f64,
    /// Length, s.
    pub length: f64,
    cam: Stretch,
    before: Vector,
    /// The numbers at its end.
    pub after: Vector,
    bend: [Vector; 3],
}

impl Step {
    /// No step yet.
    pub fn at_rest(start: &Start) -> Self {
        let Start { look, y, .. } = start;
        let cam = Stretch::between(look.cam, look.cam, 1.0);
        Self { start: look.time, length: 0.0, cam, before: *y, after: *y, bend: [Vector::zeros(); 3] }
    }

    /// From `start` to `after`; y = before + s·(after − before + r·(b₀ + s·(b₁ + r·b₂))) at the share s of the way, r = 1 − s.
    pub fn lead(&mut self, start: &Start, after: &Vector, trial: &Trial, bend: [Vector; 3]) {
        self.start = start.look.time;
        self.length = trial.length;
        self.cam = trial.cam;
        self.before = start.y;
        self.after = *after;
        self.bend = bend;
    }

    /// Its middle, s.
    pub fn middle(&self) -> f64 {
        self.start + 0.5 * self.length
    }

    /// The solution at `time` (s) within the step.
    pub fn at(&self, time: f64) -> Vector {
        let s = self.share(time);
        let r = 1.0 - s;
        let Self { before, after, bend: [b0, b1, b2], .. } = self;
        Vector::from_fn(|i, _| before[i] + s * (after[i] - before[i] + r * (b0[i] + s * (b1[i] + r * b2[i]))))
    }

    /// The cam at `time` (s) within the step.
    pub fn cam(&self, time: f64) -> Motion {
        self.cam.at(self.share(time))
    }

    fn share(&self, time: f64) -> f64 {
        (time - self.start) / self.length
    }
}

/// So much of each of some vectors, added up.
#[inline]
pub(super) fn blend<const N: usize>(shares: &[f64; N], vectors: [&Vector; N]) -> Vector {
    let mut sum = vectors[0] * shares[0];
    for n in 1..N {
        for (sum, number) in sum.as_mut_slice().iter_mut().zip(vectors[n].as_slice()) {
            *sum += shares[n] * number;
        }
    }
    sum
}
