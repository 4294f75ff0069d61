//! The questions an owner asks, each answered by solved turns.

pub mod judge;
pub mod remedy;
