//! The pump latch: holds the spring rod while the cross block squeezes the springs, then lets go.
//!
//! It lets go when the cross block has lifted y_trip = c + t (clearance to the prongs plus the prongs' own travel), after a
//! delay t_rel. So a sleeve works only for c_0 + t − h < S ≤ c_0.

use crate::abutment::Abutment;
use crate::abutment::AbutmentStatement;
use crate::fault::Faults;
use crate::field;
use crate::units::{Length, Time};
use strum::{EnumString, IntoStaticStr, VariantNames};

/// How the trip lift is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TripStatement {
    /// Measured directly.
    Lift(Length),
    /// From the clearance at rest and the prongs' travel t.
    Prongs(Length),
}

impl Default for TripStatement {
    /// Nothing stated: nought.
    fn default() -> Self {
        Self::Lift(Length::default())
    }
}

/// The latch as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LatchStatement {
    /// How the trip lift is known.
    pub trip: TripStatement,
    /// t_rel: from the trip lift to the rod being free.
    pub release_delay: Time,
}

/// What the latch does in a turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum LatchSetting {
    /// Swung clear: the rod goes with the cross block.
    #[default]
    Aside,
    /// Set over the abutment.
    Set,
}

/// A prepared latch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Latch {
    /// y_trip, m.
    pub trip_lift: f64,
    /// t_rel, s.
    pub release_delay: f64,
    /// c, m, where the stack-up is known: below zero the latch never holds.
    pub clearance: Option<f64>,
}

impl Latch {
    pub(crate) fn prepare(stated: &LatchStatement, abutment: &Abutment, faults: &mut Faults) -> Self {
        let release_delay =
            faults.not_negative(field!(LatchStatement, release_delay), stated.release_delay.0);
        let (trip_lift, clearance) = match stated.trip {
            TripStatement::Lift(lift) => (faults.positive(field!(TripStatement::Lift, 0), lift.0), None),
            TripStatement::Prongs(travel) => {
                let travel = faults.positive(field!(TripStatement::Prongs, 0), travel.0);
                if abutment.clearance.is_none() {
                    faults.add(
                        field!(AbutmentStatement, bare_clearance),
                        "the trip lift follows from the clearance to the prongs, which is not given",
                        "give that clearance, or the trip lift instead of the prongs' travel",
                    );
                }
                (abutment.clearance.unwrap_or(0.0) + travel, abutment.clearance)
            }
        };
        Self { trip_lift, release_delay, clearance }
    }

    /// Whether the latch catches the rod at all: it cannot when the abutment already holds the prongs apart at rest.
    pub fn can_hold(&self) -> bool {
        self.clearance.is_none_or(|c| c >= 0.0) && self.trip_lift > 0.0
    }

    /// Prong clearance below which the latch counts as caught again as the rod comes home, m. Common practice, no source.
    pub const CATCH_PLAY: f64 = 50e-6;
}
