//! SUNDIALS 6: CVODE's two multistep methods and ARKODE's explicit and implicit Runge–Kutta methods.

use crate::turn::{Leg, Numbers, Solver, Step};
use latchstroke_models::state::STATE_SIZE;
use std::cell::Cell;
use std::ffi::{c_int, c_long, c_void};
use std::ptr::null_mut;

type Any = *mut c_void;
type Rates = extern "C" fn(f64, Any, Any, Any) -> c_int;
type Slopes = extern "C" fn(f64, Any, Any, Any, Any, Any, Any, Any) -> c_int;
type Roots = extern "C" fn(f64, Any, *mut f64, Any) -> c_int;

#[link(name = "sundials_cvode")]
#[link(name = "sundials_arkode")]
#[link(name = "sundials_nvecserial")]
#[link(name = "sundials_sunmatrixdense")]
#[link(name = "sundials_sunlinsoldense")]
unsafe extern "C" {
    fn SUNContext_Create(communicator: Any, context: *mut Any) -> c_int;
    fn N_VNew_Serial(length: i64, context: Any) -> Any;
    fn N_VGetArrayPointer(vector: Any) -> *mut f64;
    fn SUNDenseMatrix(rows: i64, columns: i64, context: Any) -> Any;
    fn SUNDenseMatrix_Data(matrix: Any) -> *mut f64;
    fn SUNLinSol_Dense(vector: Any, matrix: Any, context: Any) -> Any;

    fn CVodeCreate(method: c_int, context: Any) -> Any;
    fn CVodeInit(memory: Any, rates: Rates, t: f64, y: Any) -> c_int;
    fn CVodeReInit(memory: Any, t: f64, y: Any) -> c_int;
    fn CVodeSStolerances(memory: Any, relative: f64, absolute: f64) -> c_int;
    fn CVodeSetUserData(memory: Any, data: Any) -> c_int;
    fn CVodeSetMaxNumSteps(memory: Any, most: c_long) -> c_int;
    fn CVodeSetLinearSolver(memory: Any, solver: Any, matrix: Any) -> c_int;
    fn CVodeSetJacFn(memory: Any, slopes: Slopes) -> c_int;
    fn CVodeRootInit(memory: Any, count: c_int, roots: Roots) -> c_int;
    fn CVodeSetRootDirection(memory: Any, directions: *const c_int) -> c_int;
    fn CVodeSetNoInactiveRootWarn(memory: Any) -> c_int;
    fn CVodeSetStopTime(memory: Any, end: f64) -> c_int;
    fn CVode(memory: Any, end: f64, y: Any, t: *mut f64, task: c_int) -> c_int;
    fn CVodeGetRootInfo(memory: Any, fired: *mut c_int) -> c_int;
    fn CVodeGetDky(memory: Any, t: f64, order: c_int, y: Any) -> c_int;

    fn ERKStepCreate(rates: Rates, t: f64, y: Any, context: Any) -> Any;
    fn ERKStepReInit(memory: Any, rates: Rates, t: f64, y: Any) -> c_int;
    fn ERKStepSetOrder(memory: Any, order: c_int) -> c_int;
    fn ERKStepSStolerances(memory: Any, relative: f64, absolute: f64) -> c_int;
    fn ERKStepSetUserData(memory: Any, data: Any) -> c_int;
    fn ERKStepSetMaxNumSteps(memory: Any, most: c_long) -> c_int;
    fn ERKStepRootInit(memory: Any, count: c_int, roots: Roots) -> c_int;
    fn ERKStepSetRootDirection(memory: Any, directions: *const c_int) -> c_int;
    fn ERKStepSetNoInactiveRootWarn(memory: Any) -> c_int;
    fn ERKStepSetStopTime(memory: Any, end: f64) -> c_int;
    fn ERKStepEvolve(memory: Any, end: f64, y: Any, t: *mut f64, task: c_int) -> c_int;
    fn ERKStepGetRootInfo(memory: Any, fired: *mut c_int) -> c_int;
    fn ERKStepGetDky(memory: Any, t: f64, order: c_int, y: Any) -> c_int;

    fn ARKStepCreate(explicit: Option<Rates>, implicit: Option<Rates>, t: f64, y: Any, context: Any) -> Any;
    fn ARKStepReInit(memory: Any, explicit: Option<Rates>, implicit: Option<Rates>, t: f64, y: Any) -> c_int;
    fn ARKStepSetOrder(memory: Any, order: c_int) -> c_int;
    fn ARKStepSStolerances(memory: Any, relative: f64, absolute: f64) -> c_int;
    fn ARKStepSetUserData(memory: Any, data: Any) -> c_int;
    fn ARKStepSetMaxNumSteps(memory: Any, most: c_long) -> c_int;
    fn ARKStepSetLinearSolver(memory: Any, solver: Any, matrix: Any) -> c_int;
    fn ARKStepSetJacFn(memory: Any, slopes: Slopes) -> c_int;
    fn ARKStepRootInit(memory: Any, count: c_int, roots: Roots) -> c_int;
    fn ARKStepSetRootDirection(memory: Any, directions: *const c_int) -> c_int;
    fn ARKStepSetNoInactiveRootWarn(memory: Any) -> c_int;
    fn ARKStepSetStopTime(memory: Any, end: f64) -> c_int;
    fn ARKStepEvolve(memory: Any, end: f64, y: Any, t: *mut f64, task: c_int) -> c_int;
    fn ARKStepGetRootInfo(memory: Any, fired: *mut c_int) -> c_int;
    fn ARKStepGetDky(memory: Any, t: f64, order: c_int, y: Any) -> c_int;
}

unsafe extern "C" {
    fn clock_gettime(clock: c_int, time: *mut [i64; 2]) -> c_int;
}

/// What the thread has had of the processor, s (Linux).
pub fn processor_time() -> f64 {
    const CLOCK_THREAD_CPUTIME_ID: c_int = 3;
    let mut time = [0; 2];
    unsafe { clock_gettime(CLOCK_THREAD_CPUTIME_ID, &raw mut time) };
    time[0] as f64 + 1e-9 * time[1] as f64
}

/// CV_ONE_STEP and ARK_ONE_STEP.
const ONE_STEP: c_int = 2;
/// CV_TSTOP_RETURN and CV_ROOT_RETURN, and ARKODE's likewise.
const AT_END: c_int = 1;
const AT_ROOT: c_int = 2;
const ROOTS: usize = 18;
const MOST_STEPS: c_long = 2_000_000;

fn numbers<'a>(vector: Any) -> &'a mut Numbers {
    // A serial vector of as many numbers, which lives as long as the program.
    unsafe { &mut *N_VGetArrayPointer(vector).cast::<Numbers>() }
}

fn leg<'a>(data: Any) -> &'a Leg<'a> {
    // Set by `follow` to the leg that it is on.
    unsafe { &*(*data.cast::<Cell<Any>>()).get().cast::<Leg<'a>>() }
}

extern "C" fn rates(t: f64, y: Any, out: Any, data: Any) -> c_int {
    *numbers(out) = leg(data).rates(t, numbers(y));
    0
}

extern "C" fn slopes(t: f64, y: Any, _: Any, matrix: Any, data: Any, _: Any, _: Any, _: Any) -> c_int {
    let columns =
        unsafe { std::slice::from_raw_parts_mut(SUNDenseMatrix_Data(matrix), STATE_SIZE * STATE_SIZE) };
    for (r, row) in leg(data).slopes(t, numbers(y)).iter().enumerate() {
        for (c, slope) in row.iter().enumerate() {
            columns[c * STATE_SIZE + r] = *slope;
        }
    }
    0
}

extern "C" fn roots(t: f64, y: Any, out: *mut f64, data: Any) -> c_int {
    let leg = leg(data);
    let out = unsafe { std::slice::from_raw_parts_mut(out, leg.kinds.len()) };
    leg.guards(t, numbers(y), out);
    0
}

#[derive(Clone, Copy)]
enum Method {
    Multistep,
    Explicit,
    Implicit,
}

/// One of its solvers.
pub struct Sundials {
    method: Method,
    tolerance: f64,
    memory: Any,
    y: Any,
    inside: Any,
    /// The leg that it is on.
    leg: Box<Cell<Any>>,
}

impl Sundials {
    pub fn new(method: &str, tolerance: f64) -> Self {
        let leg = Box::new(Cell::new(null_mut()));
        let data: Any = std::ptr::from_ref(&*leg).cast_mut().cast();
        unsafe {
            let mut context = null_mut();
            SUNContext_Create(null_mut(), &raw mut context);
            let y = N_VNew_Serial(STATE_SIZE as i64, context);
            *numbers(y) = [0.0; STATE_SIZE];
            let inside = N_VNew_Serial(STATE_SIZE as i64, context);
            let matrix = SUNDenseMatrix(STATE_SIZE as i64, STATE_SIZE as i64, context);
            let linear = || SUNLinSol_Dense(y, matrix, context);
            let (method, memory) = match method {
                "bdf" | "adams" => {
                    let memory = CVodeCreate(if method == "bdf" { 2 } else { 1 }, context);
                    CVodeInit(memory, rates, 0.0, y);
                    CVodeSStolerances(memory, tolerance, tolerance);
                    CVodeSetUserData(memory, data);
                    CVodeSetMaxNumSteps(memory, MOST_STEPS);
                    CVodeSetLinearSolver(memory, linear(), matrix);
                    CVodeSetJacFn(memory, slopes);
                    (Method::Multistep, memory)
                }
                "erk" => {
                    let memory = ERKStepCreate(rates, 0.0, y, context);
                    ERKStepSetOrder(memory, 5);
                    ERKStepSetUserData(memory, data);
                    ERKStepSetMaxNumSteps(memory, MOST_STEPS);
                    (Method::Explicit, memory)
                }
                _ => {
                    let memory = ARKStepCreate(None, Some(rates), 0.0, y, context);
                    ARKStepSetOrder(
                        memory,
                        method.strip_prefix("dirk").and_then(|n| n.parse().ok()).unwrap_or(4),
                    );
                    ARKStepSetUserData(memory, data);
                    ARKStepSetMaxNumSteps(memory, MOST_STEPS);
                    ARKStepSStolerances(memory, tolerance, tolerance);
                    ARKStepSetLinearSolver(memory, linear(), matrix);
                    ARKStepSetJacFn(memory, slopes);
                    (Method::Implicit, memory)
                }
            };
            Self { method, tolerance, memory, y, inside, leg }
        }
    }

    fn begin(&self, leg: &Leg<'_>) {
        let (memory, y, count) = (self.memory, self.y, leg.kinds.len() as c_int);
        let tolerance = self.tolerance * leg.closeness;
        let rising = [1; ROOTS];
        unsafe {
            match self.method {
                Method::Multistep => {
                    CVodeReInit(memory, leg.start, y);
                    CVodeSStolerances(memory, tolerance, tolerance);
                    CVodeRootInit(memory, count, roots);
                    CVodeSetRootDirection(memory, rising.as_ptr());
                    CVodeSetNoInactiveRootWarn(memory);
                    CVodeSetStopTime(memory, leg.end);
                }
                Method::Explicit => {
                    ERKStepReInit(memory, rates, leg.start, y);
                    ERKStepSStolerances(memory, tolerance, tolerance);
                    ERKStepRootInit(memory, count, roots);
                    ERKStepSetRootDirection(memory, rising.as_ptr());
                    ERKStepSetNoInactiveRootWarn(memory);
                    ERKStepSetStopTime(memory, leg.end);
                }
                Method::Implicit => {
                    ARKStepReInit(memory, None, Some(rates), leg.start, y);
                    ARKStepSStolerances(memory, tolerance, tolerance);
                    ARKStepRootInit(memory, count, roots);
                    ARKStepSetRootDirection(memory, rising.as_ptr());
                    ARKStepSetNoInactiveRootWarn(memory);
                    ARKStepSetStopTime(memory, leg.end);
                }
            }
        }
    }

    fn step(&self, end: f64, t: &mut f64) -> c_int {
        unsafe {
            match self.method {
                Method::Multistep => CVode(self.memory, end, self.y, t, ONE_STEP),
                Method::Explicit => ERKStepEvolve(self.memory, end, self.y, t, ONE_STEP),
                Method::Implicit => ARKStepEvolve(self.memory, end, self.y, t, ONE_STEP),
            }
        }
    }

    fn inside(&self, t: f64) -> Numbers {
        unsafe {
            match self.method {
                Method::Multistep => CVodeGetDky(self.memory, t, 0, self.inside),
                Method::Explicit => ERKStepGetDky(self.memory, t, 0, self.inside),
                Method::Implicit => ARKStepGetDky(self.memory, t, 0, self.inside),
            };
        }
        *numbers(self.inside)
    }

    fn first_fired(&self) -> Option<usize> {
        let mut fired = [0; ROOTS];
        unsafe {
            match self.method {
                Method::Multistep => CVodeGetRootInfo(self.memory, fired.as_mut_ptr()),
                Method::Explicit => ERKStepGetRootInfo(self.memory, fired.as_mut_ptr()),
                Method::Implicit => ARKStepGetRootInfo(self.memory, fired.as_mut_ptr()),
            };
        }
        fired.iter().position(|fired| *fired != 0)
    }
}

impl Solver for Sundials {
    fn follow(
        &mut self,
        leg: &Leg<'_>,
        y: &mut Numbers,
        see: &mut dyn FnMut(&Step<'_>),
    ) -> Result<(f64, Option<usize>), String> {
        self.leg.set(std::ptr::from_ref(leg).cast_mut().cast());
        *numbers(self.y) = *y;
        self.begin(leg);
        let mut t = leg.start;
        loop {
            let start = t;
            let flag = self.step(leg.end, &mut t);
            if flag < 0 {
                return Err(format!("stopped: {flag}"));
            }
            see(&Step { start, end: t, y: numbers(self.y), at: &|t| self.inside(t) });
            if flag == AT_END || flag == AT_ROOT {
                *y = *numbers(self.y);
                return Ok((t, if flag == AT_ROOT { self.first_fired() } else { None }));
            }
        }
    }
}
