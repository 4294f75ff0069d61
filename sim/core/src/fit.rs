//! The model held to measurements: least squares with bounds, priors and a loss that a few bad readings cannot pull, and what of a
//! machine a measured trace tells.

pub mod least_squares;

pub use least_squares::{Fitted, Loss, Parameter, Unfit, least_squares};
