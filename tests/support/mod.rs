//! What several tests share.

pub mod any_machine;
pub mod lump;
pub mod recordings;
pub mod reference_data;
pub mod working_set;
