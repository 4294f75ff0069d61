//! The equations of one mode as the integrators see them, and what there is to see at one instant.

use super::step::Step;
use latchstroke_models::cam::Motion;
use latchstroke_models::machine::{Loads, Machine};
use latchstroke_models::mode::Mode;
use latchstroke_models::state::{STATE_SIZE, Scales, State};
use latchstroke_models::tangent::Tangent;
use nalgebra::SVector;
use ode_solvers::dop_shared::IntegrationError;

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

/// What there is to see at one instant of a leg.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// When, s.
    pub time: f64,
    pub cam: Motion,
    pub state: State,
    pub loads: Loads,
}

impl Equations<'_> {
    /// The state behind the numbers at `t` (s).
    pub fn state(&self, t: f64, y: &Vector) -> State {
        self.state_on(self.machine.cam.at(self.angle(t)), y)
    }

    /// The numbers of a state with the cam where it is known to be.
    pub fn vector(&self, cam: Motion, state: &State) -> Vector {
        Vector::from(state.scaled(cam.lift, &self.scales))
    }

    /// The shaft's angle at `t` (s), rad.
    pub fn angle(&self, t: f64) -> f64 {
        self.machine.shaft_speed * t
    }

    /// What there is to see at `time` (s), with the cam where it is known to be.
    #[inline]
    pub fn look_on(&self, time: f64, cam: Motion, y: &Vector) -> Look {
        let state = self.state_on(cam, y);
        Look { time, cam, state, loads: self.machine.loads_on(cam, &state, self.mode) }
    }

    /// The same at `time` (s) within a step.
    pub fn look_in(&self, step: &Step, time: f64) -> Look {
        self.look_on(time, step.cam(time), &step.at(time))
    }

    /// The state at `time` (s) within a step.
    pub fn state_in(&self, step: &Step, time: f64) -> State {
        self.state_on(step.cam(time), &step.at(time))
    }

    /// The rates at what is seen.
    pub fn rates(&self, look: &Look) -> Vector {
        let rates = self.machine.rates_under(&look.loads, &look.state, self.mode);
        Vector::from(rates.scaled(look.loads.cam_speed, &self.scales))
    }

    /// The rates, with the cam where it is known to be.
    #[inline]
    pub fn rates_on(&self, cam: Motion, y: &Vector) -> Vector {
        let rates = self.machine.rates_on(cam, &self.state_on(cam, y), self.mode);
        Vector::from(rates.scaled(cam.slope * self.machine.shaft_speed, &self.scales))
    }

    /// The slopes of the rates at what is seen.
    pub fn tangent(&self, look: &Look) -> Tangent {
        self.machine.tangent(look.cam, &look.state, self.mode, &self.scales)
    }

    #[inline]
    fn state_on(&self, cam: Motion, y: &Vector) -> State {
        State::from_scaled(&y.data.0[0], cam.lift, &self.scales)
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
