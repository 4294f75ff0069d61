//! How exact the length of sleeve or extension must be.

use latchstroke_models::machine::Machine;

/// What share of the way to the nearer failure a length error may use up. Common practice, no source: a twentieth keeps what
/// one turns at a lathe apart from what decides whether the latch works.
pub const MARGIN_SHARE: f64 = 0.05;

/// What a plain lathe holds with care, m. Common practice, no source.
const FINEST: f64 = 0.02e-3;
/// What is coarse enough for any saw and file, m. Common practice, no source.
pub const COARSEST: f64 = 0.5e-3;

/// Where a tolerance comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// The owner states it with the length.
    Stated,
    /// It is that of the sleeve with which an extension goes.
    AsSleeve,
    /// It was given by whoever asked for the pieces.
    Given,
    /// A share of the lift that is left to the nearer failure of the latch.
    Margin {
        /// The lift left, m; zero or less if the latch cannot work as stated.
        margin: f64,
    },
}

/// How exact a length must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthTolerance {
    /// Half-width, m.
    pub half_width: f64,
    /// Where it comes from.
    pub basis: Basis,
}

/// The half-width of a length's tolerance: `given` if any, else as `stated`, else [`MARGIN_SHARE`] of the lift that is left
/// before the latch no longer trips (h − y_trip) or no longer holds (the clearance c), whichever is nearer; an error in the
/// sleeve moves the trip lift one for one. Kept within 0.02 mm and 0.5 mm, what a lathe can hold and any saw can.
pub fn length_tolerance(machine: &Machine, stated: Option<f64>, given: Option<f64>) -> LengthTolerance {
    if let Some(half_width) = given {
        return LengthTolerance { half_width, basis: Basis::Given };
    }
    if let Some(half_width) = stated {
        return LengthTolerance { half_width, basis: Basis::Stated };
    }
    let to_trip = machine.cam.lift() - machine.latch.trip_lift;
    let margin = machine.abutment.clearance.map_or(to_trip, |clearance| clearance.min(to_trip));
    LengthTolerance {
        half_width: (MARGIN_SHARE * margin).clamp(FINEST, COARSEST),
        basis: Basis::Margin { margin },
    }
}
