//! Where names stand so that they can be told apart and none overlaps another.
//!
//! All of it is greedy and deterministic: names are placed one after the other, each at the best of a
//! fixed list of places, and none moves again.

pub mod block;
pub mod column;
pub mod field;
pub mod strip;
