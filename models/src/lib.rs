//! The machine, part by part: pure physics, with no files, no clock and no printing.
//!
//! One module for each real part, named as the trade names it. Each part goes through two types: a *statement*, what the
//! owner says, typed by kind of quantity; and the *prepared* part, checked, in plain SI numbers, never changed afterwards.
//! A force or a flow is a pure function of a prepared part and of named [`state::State`].
//!
//! [`machine::Machine`] is the assembly: it is prepared for one sort, one pace and one latch setting, and states the
//! equations of motion for whichever [`mode::Mode`] holds. Solving them is not done here.
//!
//! Everything is SI inside; angles are radians of the main shaft from the start of a turn; pressures are gauge unless said
//! otherwise; lifts are positive in the direction that drives metal into the mould.

// What tests compute is compared with a tolerance.
#![cfg_attr(test, allow(clippy::disallowed_methods))]

pub mod abutment;
pub mod air;
pub mod alloy;
pub mod cam;
pub mod contact;
pub mod cooling_water;
pub mod cross_block;
pub mod energy;
pub mod fault;
pub mod freezing;
pub mod heat_curve;
pub mod latch;
pub mod machine;
pub mod metal;
pub mod mode;
pub mod mould;
pub mod nozzle;
pub mod piston;
pub mod ringing;
pub mod rod;
pub mod spring;
pub mod state;
pub mod tangent;
pub mod thread;
pub mod units;
pub mod vent;
pub mod well;
