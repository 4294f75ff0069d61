//! Step after step along one leg, as long as the error allows.

use super::leg::{Equations, LegError, Look, Method, Vector};
use super::step::{Start, Step, Trial};
use super::{dormand, rosenbrock};
use latchstroke_models::cam::{Motion, Piece, Stretch};
use latchstroke_models::state::{STATE_SIZE, place::VX};
use latchstroke_models::tangent::Tangent;

/// How an integration is to go.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    /// Start, s.
    pub start: f64,
    /// End, s.
    pub end: f64,
    /// The law of the cam from start to end.
    pub cam: Piece,
    /// Greatest step, s.
    pub longest: f64,
    /// Relative tolerance, on numbers of size one.
    pub tolerance: f64,
    /// By which integrator.
    pub method: Method,
}

/// A step is made so much shorter than the error of the last one allows. In a swing errors grow from step to step, and a step
/// refused costs more than one made a little shorter.
const CAUTION: f64 = 0.8;
/// More steps than a leg can need.
const MOST_STEPS: usize = 200_000;
/// How many times the tolerance goes for the explicit integrator. Dry friction turns about within microseconds as the rod turns,
/// which one of its steps can straddle without its error estimate seeing it; and the tolerance is a share of the way the rod lags
/// behind, which is longest as it begins. Flights are short, so shorter steps are cheap.
const WHEN_EXPLICIT: f64 = 2e-3;

/// Below so many times v_s a rod is about to turn, and its dry friction with it.
const TURNING: f64 = 2.0;

impl Method {
    /// How many times as long a step makes an error this many times as great.
    fn stretch(self, error: f64) -> f64 {
        match self {
            Self::Explicit => libm::pow(error, 1.0 / 5.0),
            Self::Stiff => error.sqrt().sqrt(),
        }
    }

    /// Tries a step; answers the size of its error, which is at most one when it is good enough.
    /// The slopes of the rates at the start are found where they are asked for and not known.
    fn attempt(
        self,
        equations: &Equations<'_>,
        start: &Start,
        tangent: &mut Option<Tangent>,
        trial: &Trial,
        step: &mut Step,
    ) -> f64 {
        match self {
            Self::Explicit => dormand::attempt(equations, start, trial, step),
            Self::Stiff => {
                let tangent = tangent.get_or_insert_with(|| equations.tangent(&start.look));
                rosenbrock::attempt(equations, start, tangent, trial, step)
            }
        }
    }
}

impl Span {
    fn cam(&self, equations: &Equations<'_>, time: f64) -> Motion {
        self.cam.at(equations.angle(time))
    }

    fn tolerance(&self) -> f64 {
        match self.method {
            Method::Explicit => WHEN_EXPLICIT * self.tolerance,
            Method::Stiff => self.tolerance,
        }
    }
}

/// Integrates over `span` from `y`, until `see`, which is shown each step, the one before it and what there is to see at its end,
/// answers true.
pub(super) fn integrate(
    equations: &Equations<'_>,
    span: &Span,
    y: Vector,
    mut see: impl FnMut(&Step, &Step, &Look) -> bool,
) -> Result<(), LegError> {
    let tolerance = span.tolerance();
    let mut start = Start::at(equations, span.start, span.cam(equations, span.start), y);
    let (mut tangent, mut step, mut before) = (None, Step::at_rest(&start), Step::at_rest(&start));
    let mut h = first_step(equations, &start, span);
    let mut grown = true;
    let mut steps = 0;
    loop {
        let time = start.look.time;
        if steps >= MOST_STEPS {
            return Err(LegError::TooManySteps(time));
        }
        h = h.min(before_turning(equations, &start));
        let last = time + 1.0001 * h >= span.end;
        if last {
            h = span.end - time;
        }
        if h <= 4.0 * f64::EPSILON * time.max(1e-6) {
            return Err(LegError::StepTooSmall(time));
        }
        let end_cam = span.cam(equations, time + h);
        let width = h * equations.machine.shaft_speed;
        let cam = Stretch::between(start.look.cam, end_cam, width);
        let trial = Trial { length: h, cam, law: span.cam, tolerance };
        // The two steps take turns, so that none is copied.
        let (step, before) = if steps % 2 == 0 { (&mut step, &before) } else { (&mut before, &step) };
        let error = span.method.attempt(equations, &start, &mut tangent, &trial, step);
        let factor = (CAUTION / span.method.stretch(error)).clamp(0.2, if grown { 5.0 } else { 1.0 });
        if error <= 1.0 {
            steps += 1;
            start.move_on(equations, time + h, end_cam, &step.after);
            tangent = None;
            if see(step, before, &start.look) || last {
                return Ok(());
            }
            h = (h * factor).min(span.longest);
            grown = true;
        } else {
            h *= if error.is_finite() { factor } else { 0.1 };
            grown = false;
        }
    }
}

/// The longest step, s, on which a rod that slows down keeps its way: dry friction turns about with it within so short a time that
/// a step across it is all but sure to be refused.
fn before_turning(equations: &Equations<'_>, start: &Start) -> f64 {
    let rod = &equations.machine.rod;
    let speed = start.look.state.rod_speed;
    let slowing = -start.slope[VX] * equations.scales.size(VX) * speed.signum();
    if rod.friction > 0.0 && slowing > 0.0 && speed.abs() > TURNING * rod.friction_speed {
        (speed.abs() - 0.5 * TURNING * rod.friction_speed) / slowing
    } else {
        f64::INFINITY
    }
}

/// The first step, after Hairer, Nørsett and Wanner, *Solving Ordinary Differential Equations I*, section II.4: from the size
/// of the slope, and of its change over a trial step.
fn first_step(equations: &Equations<'_>, start: &Start, span: &Span) -> f64 {
    let Start { y, slope, .. } = start;
    let size = |v: &Vector| {
        let total: f64 = v.iter().zip(y.iter()).map(|(v, y)| (v / (1.0 + y.abs())).powi(2)).sum();
        (total / STATE_SIZE as f64).sqrt() / span.tolerance()
    };
    let limit = span.longest.min(span.end - span.start);
    let first = size(slope);
    // A leg may be shorter than the least trial step.
    let trial = if first > 1e-5 { (0.01 * size(y) / first).clamp(limit.min(1e-9), limit) } else { limit };
    let moved = equations.rates_on(span.cam(equations, span.start + trial), &(y + slope * trial));
    let second = size(&(moved - slope)) / trial;
    let steepest = first.max(second);
    let guess = if steepest > 1e-15 { span.method.stretch(0.01 / steepest) } else { limit };
    guess.min(100.0 * trial).min(limit)
}
