//! The solver against closed forms.
//!
//! * `bench_readings`: bench measurements: a line against certified values, how often intervals hold, a sinking piston.
//! * `calibration`: what remembered casts say: a probit in closed form, quadrature by SciPy, and how often intervals hold.
//! * `certified_fits`: the fitting engine against certified answers of public problems, easy to hard.
//! * `closed_tangent`: the slopes that steer the stiff integrator are those of the rates.
//! * `closed_power`: in any state and mode, what the cam gives is what is lost and what the parts hold more.
//! * `closed_release`: a rod thrown by its springs against an orifice, and without one.
//! * `closed_contact`: a damped block stepped by its cam; a rod that bounces on its shoulder.
//! * `closed_filling`: a column started from rest, a mould filled at constant pressure, and one filled against trapped air.
//! * `closed_follower`: where a follower leaves its cam.
//! * `closed_order`: the integrators converge at their order, and agree.
//! * `default_accuracy`: every figure of a turn against a tight undamped one, and how many steps it takes.
//! * `fitted_traces`: what measured traces tell, against machines whose values are known.
//! * `heard_clicks`: clicks and turns of recordings whose times are known, and two hundred and twenty without a machine.
//! * `ringing`: what is told of a turn does not know of the damping that takes the ringing out.
//! * `slab`: freezing along the body and across the section, against Neumann, series and lumped solutions.
//! * `surge`: springs resolved along their length, against the wave equation.
//! * `traces`: the whole turn, instant by instant, against an independent program on a general-purpose solver.
//! * `working_table`: the working set's table, and what each law of the well makes of it.

mod bench_readings;
mod calibration;
mod certified_fits;
mod closed_contact;
mod closed_filling;
mod closed_follower;
mod closed_machines;
mod closed_order;
mod closed_power;
mod closed_release;
mod closed_tangent;
mod default_accuracy;
mod fitted_traces;
mod heard_clicks;
mod ringing;
mod slab;
mod surge;
mod traces;
mod working_table;
