//! diffsol: its BDF and Runge–Kutta methods.
//!
//! It is given equations, slopes and roots as closures that see the leg it is on. A problem's tolerance cannot be moved, so that there
//! is a problem for each; a solver is made anew for each leg and finds its first step by itself.

use crate::turn::{CLOSENESSES, Leg, Numbers, Solver, Step};
use diffsol::{
    BdfState, NalgebraLU, NalgebraMat, NalgebraVec, NonLinearOp, OdeBuilder, OdeEquationsImplicit,
    OdeSolverMethod, OdeSolverProblem, OdeSolverState, OdeSolverStopReason, RkState,
};
use latchstroke_models::state::STATE_SIZE;
use std::cell::Cell;
use std::ptr::{from_ref, null};

type Lu = NalgebraLU<f64>;
/// No leg has more events that may happen.
const ROOTS: usize = 12;

/// Its methods.
#[derive(Clone, Copy)]
enum Method {
    Bdf,
    Tsit45,
    Esdirk34,
    TrBdf2,
}

/// The leg that the solver is on; set before any closure is called, and there until it returns.
struct OnLeg(Cell<*const Leg<'static>>);

impl OnLeg {
    fn get(&self) -> &Leg<'static> {
        unsafe { &*self.0.get() }
    }
}

fn nine(numbers: &[f64]) -> &Numbers {
    numbers.try_into().expect("as many as the state has")
}

/// Runs `with` on one of its solvers.
pub fn with(method: &str, tolerance: f64, with: &mut dyn FnMut(&mut dyn Solver)) {
    let method = match method {
        "bdf" => Method::Bdf,
        "tsit45" => Method::Tsit45,
        "esdirk34" => Method::Esdirk34,
        _ => Method::TrBdf2,
    };
    let on = OnLeg(Cell::new(null()));
    // The slopes are asked for column by column: they are worked out once.
    let last = Cell::new((f64::NAN, [f64::NAN; STATE_SIZE], [[0.0; STATE_SIZE]; STATE_SIZE]));
    let problem = |closeness: f64| {
        let (on, last) = (&on, &last);
        OdeBuilder::<NalgebraMat<f64>>::new()
            .rtol(closeness * tolerance)
            .atol(vec![closeness * tolerance; STATE_SIZE])
            .rhs_implicit(
                move |y, _, t, out| out.copy_from_slice(&on.get().rates(t, nine(y))),
                move |y, _, t, v, out| {
                    let (at, place, _) = last.get();
                    if at != t || place[..] != *y {
                        last.set((t, *nine(y), on.get().slopes(t, nine(y))));
                    }
                    let (_, _, slopes) = last.get();
                    for (out, row) in out.iter_mut().zip(&slopes) {
                        *out = row.iter().zip(v).map(|(slope, v)| slope * v).sum();
                    }
                },
            )
            .init(|_, _, y| y.fill(0.0), STATE_SIZE)
            .root(
                move |y, _, t, out| {
                    out.fill(-1.0);
                    on.get().guards(t, nine(y), out);
                },
                ROOTS,
            )
            .build()
            .expect("a problem")
    };
    // The initial rates are asked for as a state is made.
    let problems = CLOSENESSES.map(problem);
    with(&mut Peer { method, on: &on, problems: &problems });
}

struct Peer<'p, E: OdeEquationsImplicit> {
    method: Method,
    on: &'p OnLeg,
    problems: &'p [OdeSolverProblem<E>; CLOSENESSES.len()],
}

impl<E> Peer<'_, E>
where
    E: OdeEquationsImplicit<
            T = f64,
            V = NalgebraVec<f64>,
            M = NalgebraMat<f64>,
            C = diffsol::NalgebraContext,
        >,
{
    /// A state at the leg's start.
    fn at_start<S: OdeSolverState<NalgebraVec<f64>>>(
        problem: &OdeSolverProblem<E>,
        leg: &Leg<'_>,
        y: &Numbers,
        order: usize,
    ) -> S {
        let mut state = S::new_without_initialise(problem).expect("a state");
        let now = state.as_mut();
        *now.t = leg.start;
        now.y.batch_as_mut_slice(0).copy_from_slice(y);
        problem.eqn.rhs().call_inplace(now.y, leg.start, now.dy);
        let mut now = state.as_mut();
        now.set_step_size(1.0, &problem.atol, problem.rtol, &problem.eqn, order);
        state
    }
}

impl<E> Solver for Peer<'_, E>
where
    E: OdeEquationsImplicit<
            T = f64,
            V = NalgebraVec<f64>,
            M = NalgebraMat<f64>,
            C = diffsol::NalgebraContext,
        >,
{
    fn follow(
        &mut self,
        leg: &Leg<'_>,
        y: &mut Numbers,
        see: &mut dyn FnMut(&Step<'_>),
    ) -> Result<(f64, Option<usize>), String> {
        self.on.0.set(from_ref(leg).cast());
        let place =
            CLOSENESSES.iter().position(|closeness| *closeness == leg.closeness).expect("one of them");
        let problem = &self.problems[place];
        let rk = |order| Self::at_start::<RkState<_>>(problem, leg, y, order);
        let said = |error: diffsol::error::DiffsolError| error.to_string();
        match self.method {
            Method::Bdf => {
                let state: BdfState<_> = Self::at_start(problem, leg, y, 1);
                go(problem.bdf_solver::<Lu>(state).map_err(said)?, leg, y, see)
            }
            Method::Tsit45 => go(problem.tsit45_solver(rk(5)).map_err(said)?, leg, y, see),
            Method::Esdirk34 => go(problem.esdirk34_solver::<Lu>(rk(4)).map_err(said)?, leg, y, see),
            Method::TrBdf2 => go(problem.tr_bdf2_solver::<Lu>(rk(2)).map_err(said)?, leg, y, see),
        }
    }
}

fn go<'a, E, S>(
    mut solver: S,
    leg: &Leg<'_>,
    y: &mut Numbers,
    see: &mut dyn FnMut(&Step<'_>),
) -> Result<(f64, Option<usize>), String>
where
    E: OdeEquationsImplicit<T = f64, V = NalgebraVec<f64>> + 'a,
    S: OdeSolverMethod<'a, E>,
{
    solver.set_stop_time(leg.end).map_err(|error| error.to_string())?;
    let mut start = leg.start;
    loop {
        let reason = solver.step().map_err(|error| error.to_string())?;
        let at = |t: f64| *nine(solver.interpolate(t).expect("within the step").batch_as_slice(0));
        let (end, place) = match reason {
            OdeSolverStopReason::InternalTimestep => (solver.state().t, None),
            // Any change of sign is told; an event is a rise.
            OdeSolverStopReason::RootFound(t, place) => {
                let mut guards = [-1.0; ROOTS];
                leg.guards(solver.state().t, nine(solver.state().y.batch_as_slice(0)), &mut guards);
                if guards[place] > 0.0 { (t, Some(place)) } else { (solver.state().t, None) }
            }
            OdeSolverStopReason::TstopReached => (leg.end, None),
        };
        let now = at(end);
        see(&Step { start, end, y: &now, at: &at });
        if place.is_some() || end >= leg.end {
            *y = now;
            return Ok((end, place));
        }
        start = end;
    }
}
