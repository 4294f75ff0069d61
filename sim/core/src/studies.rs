//! The questions an owner asks, each answered by solved turns.

pub mod calibrate;
pub mod cooling;
pub mod distribution;
pub mod entry;
pub mod heard;
pub mod job;
pub mod judge;
pub mod measure;
pub mod odds;
pub mod overview;
pub mod pace;
pub mod parts;
pub mod preload;
pub mod real_pace;
pub mod remedy;
pub mod sensitivity;
pub mod sleeve;
pub mod spread;
pub mod talk;
pub mod tolerance;
pub mod warm;
pub mod watch;
pub mod wrong;
