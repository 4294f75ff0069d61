//! What several tests share.

pub mod working_set;
