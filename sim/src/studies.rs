//! The questions an owner asks, each answered by solved turns.

pub mod cooling;
pub mod judge;
pub mod pace;
pub mod remedy;
