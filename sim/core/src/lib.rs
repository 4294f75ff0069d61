//! One turn of the machine solved, and the questions of its owner answered by many turns: numbers in, numbers out.
//!
//! The way through: a [`MachineStatement`] says what the machine is → [`Machine::prepare`] checks it and makes of it plain SI
//! numbers for one cast → [`solve`] turns it once → [`studies`] ask of many turns what an owner asks. Nothing here knows of text,
//! files, clocks or charts.
//!
//! # The machine
//!
//! A type caster presses molten metal through a nozzle into a mould, once in every turn of its main shaft. A cam drives a cross
//! block; springs sit between an abutment on the cross block and a nut on the spring rod; the rod works the piston through a lever.
//!
//! ```text
//!  main shaft ─ cam ─(lever train)─ cross block y ─┬─ abutment ─ springs ─ adjusting nut
//!                                                  │                            │
//!                                                  └─ shoulder ◄──── spring rod x
//!  latch: holds the rod until y has reached y_trip            pump lever, ratio i │
//!                                                                        piston z = i·x
//!  piston ─ well (pressure p) ─ channel ─ nozzle (flow Q) ─ mould (metal, air, heat)
//! ```
//!
//! With the latch aside the rod rests with its shoulder on the cross block and goes with the cam as long as the metal resists with
//! less than the springs' preload: a slow machine gives a slow stroke. With the latch set the rod is held while the cross block
//! squeezes the springs; then it lets go, and the springs alone throw the rod, at a speed that the machine's pace has no part in.
//!
//! # The equations
//!
//! Everything is SI; pressures are gauge; lifts count towards the mould. Each module of [`models`] states its own in full, with
//! every symbol, its source, and what is left out. In short:
//!
//! | part | equation | module |
//! |---|---|---|
//! | cross block | m_c·ÿ = k_f(y_c − y) + c_f(ẏ_c − ẏ) − F_s + F_stop | [`models::cross_block`] |
//! | springs, side by side | F_s = Σ k_j·max(0, s_j + y − x) | [`models::spring`] |
//! | rod, lever and piston | m_r·ẍ = F_s − F_stop − F_c·tanh(ẋ/v_s) − c_v·ẋ − i·A_p·p | [`models::rod`] |
//! | shoulder | F_stop = max(0, k_st·δ + c_st·δ̇), δ = x − y | [`models::contact`] |
//! | latch | lets go at y_trip = c_0 − S + t | [`models::latch`] |
//! | well | dp/dt = β/V_well·(i·A_p·ẋ − Q − λ·p) | [`models::well`], [`models::piston`] |
//! | channel and nozzle | I·dQ/dt = p − p_cav − ½ρQ\|Q\|·(losses) | [`models::nozzle`] |
//! | air and vents | p_a·V_a = m_a·R·T_a, less what the vents let out | [`models::mould`], [`models::vent`] |
//! | heat | e = e_in − w, given to the wall through h and half the section | [`models::freezing`] |
//!
//! Contacts open and close, the latch lets go, ports are covered, the mould fills: between two such events one set of equations
//! holds ([`models::mode`]), and an event is where a quantity passes nought ([`turn`]).
//!
//! # A first turn
//!
//! ```
//! use latchstroke_core::units::{Length, POINT, Pace};
//! use latchstroke_core::{Accuracy, Fault, LatchSetting, Machine, MachineStatement, Sort, solve};
//!
//! let stated = MachineStatement::demo();
//! let sort = Sort { body: Length(24.0 * POINT), set: Length(24.0 * POINT) };
//! let machine = Machine::prepare(&stated, sort, Pace(12.0 / 60.0), LatchSetting::Set)?;
//! let turn = solve(&machine, Accuracy::default());
//! let fill_time = turn.fill.map(|fill| fill.time());
//! assert!(fill_time.is_some_and(|seconds| seconds > 0.0 && seconds < 0.1));
//! # Ok::<(), Vec<Fault>>(())
//! ```
//!
//! `examples/one_turn.rs` is the same as a program. What a turn answers is in [`Turn`]; whether it will do is a list of limits,
//! each kept or missed ([`limits`]), and [`judge`] holds both settings of the latch against it.
//!
//! # Another part
//!
//! A part goes through three types: its statement, what the owner says, each number typed by what it is a number of; the prepared
//! part, checked, which does not change; and its share of the [`models::state::State`]. What is stated wrongly comes back as
//! [`Fault`]s, all of them at once, each naming the field. A second spring inside the first, say:
//!
//! ```
//! use latchstroke_core::models::spring::{PreloadStatement, RateStatement, SpringStatement};
//! use latchstroke_core::units::{Force, Length, Mass, POINT, Pace, Stiffness};
//! use latchstroke_core::{Fault, LatchSetting, Machine, MachineStatement, Sort};
//!
//! let sort = Sort { body: Length(24.0 * POINT), set: Length(24.0 * POINT) };
//! let prepared = |stated: &MachineStatement| Machine::prepare(stated, sort, Pace(0.2), LatchSetting::Set);
//! let mut stated = MachineStatement::demo();
//! let alone = prepared(&stated)?.preload();
//! stated.springs.push(SpringStatement {
//!     rate: RateStatement::Rate(Stiffness(2000.0)),
//!     wire: None,
//!     mass: Some(Mass(0.1)),
//!     free_length: None,
//!     solid_length: None,
//!     preload: PreloadStatement::Force(Force(60.0)),
//!     bound_rate: None,
//!     allowable_stress: None,
//! });
//! assert!((prepared(&stated)?.preload() - alone - 60.0).abs() < 1e-9);
//!
//! stated.rod.mass = Mass(-1.0);
//! stated.latch.release_delay.0 = f64::NAN;
//! let faults = prepared(&stated).err().unwrap_or_default();
//! assert_eq!(faults.len(), 2);
//! # Ok::<(), Vec<Fault>>(())
//! ```
//!
//! A part that is new to the program is a module in [`models`] with these types, taken into [`models::machine`], its slopes into
//! [`models::tangent`], its energy into [`models::energy`]; `DEVELOPERS.md` says what else and what must be proved.

// What tests compute is compared with a tolerance.
#![cfg_attr(test, allow(clippy::disallowed_methods))]

pub mod bench;
#[cfg(test)]
mod demo;
pub mod fit;
pub mod limits;
mod parallel;
pub mod roots;
pub mod studies;
pub mod turn;

pub use latchstroke_models as models;
pub use latchstroke_models::fault::Fault;
pub use latchstroke_models::latch::LatchSetting;
pub use latchstroke_models::machine::{Machine, MachineStatement};
pub use latchstroke_models::mould::Sort;
pub use latchstroke_models::units;
pub use limits::{Clocks, Limit, Margin, Standing, State};
pub use studies::judge::{Acceptance, Cast, Judgement, Terms, Verdict, judge};
pub use turn::{Accuracy, Turn, solve, solve_traced};
