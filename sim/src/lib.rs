//! Scenario files in, turns solved, studies run, reports out.

pub mod roots;
pub mod studies;
pub mod turn;
