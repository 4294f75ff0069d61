//! Scenario files in, turns solved, studies run, reports out.

pub mod turn;
