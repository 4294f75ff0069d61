//! What a recording of a machine tells: its turns, and the clicks that come again in each.
//!
//! Samples go through an [`Envelope`], which keeps no more than the energy of each quarter of a millisecond; [`mod@clicks`] finds in
//! that what begins suddenly; [`mod@turns`] finds which of it comes again turn after turn, or says why it cannot tell. Nothing here knows of
//! files or of what a click means.

pub mod clicks;
pub mod envelope;
pub mod turns;

pub use clicks::{Click, clicks};
pub use envelope::{Envelope, Heard};
pub use turns::{Beat, Refused, Turns, turns};
