//! The model held to measurements: least squares with bounds, priors and a loss that a few bad readings cannot pull, and what of a
//! machine a measured trace tells.
//!
//! [`trace::Question`] asks of a measured movement which values of a machine it tells of: the turns solved with those values run
//! through the readings ([`curve`]), and no more values are moved than the readings can tell apart ([`telling`]).

pub mod curve;
pub mod least_squares;
pub mod telling;
pub mod trace;

pub use least_squares::{Fitted, Loss, Parameter, Unfit, least_squares};
