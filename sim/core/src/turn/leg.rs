//! One leg of a turn: the equations of one mode, integrated until something happens.

use super::rosenbrock::{self, Failure, Span, Step};
use latchstroke_models::cam::Motion;
use latchstroke_models::machine::{Loads, Machine};
use latchstroke_models::mode::Mode;
use latchstroke_models::state::{STATE_SIZE, Scales, State};
use latchstroke_models::tangent::Tangent;
use nalgebra::SVector;
use ode_solvers::continuous_output_model::ContinuousOutputModel;
use ode_solvers::dop_shared::{IntegrationError, OutputType};
use ode_solvers::{Dopri5, System};

/// The state as the solvers see it: numbers of size one.
pub(super) type Vector = SVector<f64, STATE_SIZE>;

/// Which integrator a leg uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Dormand and Prince's explicit pair of order 5(4): best while the springs throw the rod.
    Explicit,
    /// The Rosenbrock method RODAS of order 4(3): best while stiff contacts and vents only follow the slow cam.
    Stiff,
}

/// The equations of one mode, in scaled numbers.
pub(super) struct Equations<'a> {
    pub machine: &'a Machine,
    pub mode: Mode,
    pub scales: Scales,
}

impl Equations<'_> {
    pub fn state(&self, t: f64, y: &Vector) -> State {
        self.state_on(self.cam(t), y)
    }

    /// The cam at `t` (s).
    pub fn cam(&self, t: f64) -> Motion {
        self.machine.cam.at(self.angle(t))
    }

    /// The state and the loads at `t` (s).
    pub fn look(&self, t: f64, y: &Vector) -> (State, Loads) {
        let cam = self.cam(t);
        let state = self.state_on(cam, y);
        (state, self.machine.loads_on(cam, &state, self.mode))
    }

    pub fn vector(&self, t: f64, state: &State) -> Vector {
        Vector::from(state.scaled(self.cam(t).lift, &self.scales))
    }

    fn state_on(&self, cam: Motion, y: &Vector) -> State {
        State::from_scaled(&y.data.0[0], cam.lift, &self.scales)
    }

    pub fn angle(&self, t: f64) -> f64 {
        self.machine.shaft_speed * t
    }

    /// The slopes of the rates, with the cam where it is known to be.
    pub fn tangent_on(&self, cam: Motion, y: &Vector) -> Tangent {
        self.machine.tangent(cam, &self.state_on(cam, y), self.mode, &self.scales)
    }

    /// The rates, with the cam where it is known to be.
    pub fn rates_on(&self, cam: Motion, y: &Vector) -> Vector {
        let rates = self.machine.rates_on(cam, &self.state_on(cam, y), self.mode);
        Vector::from(rates.scaled(cam.slope * self.machine.shaft_speed, &self.scales))
    }
}

/// The solution over one leg, from its start to where the integrator stopped.
pub(super) struct Leg {
    /// Ends of the steps, s, the start included.
    pub times: Vec<f64>,
    curve: Curve,
}

enum Curve {
    Explicit { model: ContinuousOutputModel<f64, Vector>, last: Vector },
    Stiff(Vec<Step>),
}

impl Leg {
    /// The solution at `t` within step `step` (counted from 0).
    pub fn at(&self, step: usize, t: f64) -> Vector {
        match &self.curve {
            Curve::Explicit { model, last } => model.evaluate(t).unwrap_or(*last),
            Curve::Stiff(steps) => steps[step].at(t),
        }
    }
}

/// Why a leg could not be integrated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LegError {
    /// The integrator's step became too small at this time (s).
    StepTooSmall(f64),
    /// The integrator took more steps than a turn can need, at this time (s).
    TooManySteps(f64),
}

impl From<IntegrationError> for LegError {
    fn from(error: IntegrationError) -> Self {
        match error {
            IntegrationError::MaxNumStepReached { x, .. } => Self::TooManySteps(x),
            IntegrationError::StepSizeUnderflow { x } | IntegrationError::StiffnessDetected { x } => {
                Self::StepTooSmall(x)
            }
        }
    }
}

/// Integrates one leg over `span` from `start`, until `watch` (called at rising times) answers true.
pub(super) fn run(
    equations: &Equations<'_>,
    method: Method,
    span: Span,
    start: Vector,
    watch: impl FnMut(f64, &Vector) -> bool,
) -> Result<Leg, LegError> {
    match method {
        Method::Explicit => run_explicit(equations, span, start, watch),
        Method::Stiff => {
            let steps =
                rosenbrock::integrate(equations, span, start, watch).map_err(|failure| match failure {
                    Failure::StepTooSmall(t) => LegError::StepTooSmall(t),
                    Failure::TooManySteps(t) => LegError::TooManySteps(t),
                })?;
            let mut times = Vec::with_capacity(steps.len() + 1);
            times.push(span.start);
            times.extend(steps.iter().map(|s| s.start + s.length));
            Ok(Leg { times, curve: Curve::Stiff(steps) })
        }
    }
}

/// The equations with a watch, as the explicit stepper wants them.
struct Watched<'a, W> {
    equations: &'a Equations<'a>,
    watch: W,
}

impl<W: FnMut(f64, &Vector) -> bool> System<f64, Vector> for Watched<'_, W> {
    fn system(&self, t: f64, y: &Vector, rates: &mut Vector) {
        *rates = self.equations.rates_on(self.equations.cam(t), y);
    }

    fn solout(&mut self, t: f64, y: &Vector, _rates: &Vector) -> bool {
        (self.watch)(t, y)
    }
}

fn run_explicit(
    equations: &Equations<'_>,
    span: Span,
    start: Vector,
    watch: impl FnMut(f64, &Vector) -> bool,
) -> Result<Leg, LegError> {
    // Dry friction turns about within microseconds as the rod turns, which one step of the explicit pair can straddle without
    // its error estimate seeing it; and the tolerance is a share of the way the rod lags behind, which is longest as it begins.
    // Flights are short, so shorter steps are cheap.
    let tolerance = 2e-3 * span.tolerance;
    let mut stepper = Dopri5::from_param(
        Watched { equations, watch },
        span.start,
        span.end,
        0.0,
        start,
        tolerance,
        tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        span.longest,
        0.0,
        1_000_000,
        u32::MAX,
        OutputType::Continuous,
    );
    let mut model = ContinuousOutputModel::default();
    stepper.integrate_with_continuous_output_model(&mut model).map_err(LegError::from)?;
    let mut times = Vec::with_capacity(stepper.x_out().len() + 1);
    times.push(span.start);
    times.extend(stepper.x_out());
    let last = stepper.y_out().last().copied().unwrap_or(start);
    Ok(Leg { times, curve: Curve::Explicit { model, last } })
}
