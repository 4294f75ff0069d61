//! One turn of the machine solved, and the questions of its owner answered by many turns: numbers in, numbers out.
//!
//! The way through: a [`MachineStatement`] says what the machine is → [`Machine::prepare`] checks it and makes of it plain SI
//! numbers for one cast → [`solve`] turns it once → [`studies`] ask of many turns what an owner asks. Nothing here knows of text,
//! files, clocks or charts.
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
//! `examples/one_turn.rs` is the same as a program.

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
