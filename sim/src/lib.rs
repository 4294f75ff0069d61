//! Scenario files in, turns solved, studies run, reports out.
//!
//! The way through: [`scenario`] reads a file → [`stated`] types its values as a machine →
//! [`latchstroke_models::machine::Machine`] prepares it in plain SI numbers → [`turn`] solves one turn → [`studies`] asks an
//! owner's questions of many turns → [`report`] puts the answers into words, tables, data and charts.

pub mod report;
pub mod roots;
pub mod scenario;
pub mod stated;
pub mod studies;
pub mod turn;
