//! What several tests share.

pub mod reference_data;
pub mod working_set;
