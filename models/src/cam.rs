//! The cam: how far it asks the cross block to lift at each angle of the main shaft.
//!
//! y_c(θ) = h·s(u) over dwell, rise β_r from θ_0, dwell, return β_f; or a curve through measured readings.

mod law;
mod measured;
mod phases;
mod piece;
mod slip;

pub use law::{Law, Shape};
pub use phases::Phase;
pub use piece::{Piece, Stretch};
pub use slip::{Slip, slips};

use crate::fault::{Faults, Sentence, Word};
use crate::field;
use crate::units::{Angle, Length};
use measured::Curve;
use std::f64::consts::TAU;
use std::str::FromStr;
use strum::VariantNames;

/// The cam as an owner states it.
#[derive(Debug, Clone, PartialEq)]
pub enum CamStatement {
    /// A known law.
    Law {
        /// The law of rise and return.
        law: Law,
        /// Full lift h.
        lift: Length,
        /// Shaft angle θ_0 at which the rise begins.
        rise_start: Angle,
        /// Angle β_r of the rise.
        rise: Angle,
        /// Angle of the dwell at full lift.
        dwell: Angle,
        /// Angle β_f of the return.
        fall: Angle,
    },
    /// Readings of lift against shaft angle, in rising order of angle within one turn.
    Measured(Vec<(Angle, Length)>),
}

impl CamStatement {
    const MEASURED: &str = "measured";

    /// An owner's word for each shape a cam may be stated to have: the laws, and that it is measured.
    pub const SHAPES: [&str; Law::VARIANTS.len() + 1] = {
        let mut all = [Self::MEASURED; Law::VARIANTS.len() + 1];
        let (laws, _) = all.split_at_mut(Law::VARIANTS.len());
        laws.copy_from_slice(Law::VARIANTS);
        all
    };

    /// A cam of a law, nothing else of it stated.
    fn of_law(law: Law) -> Self {
        let (lift, none) = (Length::default(), Angle::default());
        Self::Law { law, lift, rise_start: none, rise: none, dwell: none, fall: none }
    }
}

impl Default for CamStatement {
    /// Nothing stated: nought.
    fn default() -> Self {
        Self::of_law(Law::default())
    }
}

impl FromStr for CamStatement {
    type Err = strum::ParseError;

    /// A cam of a shape, nothing else of it stated.
    fn from_str(shape: &str) -> Result<Self, Self::Err> {
        if shape == Self::MEASURED { Ok(Self::Measured(Vec::new())) } else { shape.parse().map(Self::of_law) }
    }
}

/// Lift of the cam and its derivatives by shaft angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Lift, m.
    pub lift: f64,
    /// dy_c/dθ, m/rad.
    pub slope: f64,
    /// d²y_c/dθ², m/rad².
    pub curvature: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Profile {
    Law { law: Law, lift: f64, rise_start: f64, rise: f64, fall_start: f64, fall: f64 },
    Measured(Curve),
}

/// A prepared cam.
#[derive(Debug, Clone, PartialEq)]
pub struct Cam {
    profile: Profile,
}

/// The fewest readings a measured cam is joined from.
pub const FEWEST_READINGS: usize = 6;

impl Cam {
    /// Checks a statement and works out the constants.
    ///
    /// ```
    /// use latchstroke_models::cam::{Cam, CamStatement, Law};
    /// use latchstroke_models::fault::Faults;
    /// use latchstroke_models::units::{Angle, Length};
    ///
    /// let stated = CamStatement::Law {
    ///     law: Law::Cycloidal,
    ///     lift: Length(0.03),
    ///     rise_start: Angle(0.0),
    ///     rise: Angle(80_f64.to_radians()),
    ///     dwell: Angle(100_f64.to_radians()),
    ///     fall: Angle(90_f64.to_radians()),
    /// };
    /// let mut faults = Faults::default();
    /// let cam = Cam::prepare(&stated, &mut faults);
    /// let cam = faults.settle(cam)?;
    /// // Half way through the rise a cycloidal cam has half its lift.
    /// assert!((cam.at(40_f64.to_radians()).lift - 0.015).abs() < 1e-9);
    /// # Ok::<(), Vec<latchstroke_models::fault::Fault>>(())
    /// ```
    pub fn prepare(stated: &CamStatement, faults: &mut Faults) -> Self {
        let profile = match stated {
            CamStatement::Law { law, lift, rise_start, rise, dwell, fall } => {
                let lift = faults.positive(field!(CamStatement::Law, lift), lift.0);
                let rise_start = faults.not_negative(field!(CamStatement::Law, rise_start), rise_start.0);
                let rise = faults.positive(field!(CamStatement::Law, rise), rise.0);
                let dwell = faults.not_negative(field!(CamStatement::Law, dwell), dwell.0);
                let fall = faults.positive(field!(CamStatement::Law, fall), fall.0);
                let sum = rise_start + rise + dwell + fall;
                // A table of whole degrees adds up to a turn to within rounding.
                if sum > TAU * (1.0 + 1e-9) {
                    let last = field!(CamStatement::Law, fall);
                    let parts = [
                        Word::Name(field!(CamStatement::Law, rise_start)),
                        Word::Name(field!(CamStatement::Law, rise)),
                        Word::Name(field!(CamStatement::Law, dwell)),
                        Word::Name(last),
                        Word::Figure(last, sum),
                    ];
                    faults.add(
                        last,
                        Sentence::of("{}, {}, {} and {} together take {}", parts),
                        Sentence::of("they can take at most {}, one turn", [Word::Figure(last, TAU)]),
                    );
                }
                Profile::Law {
                    law: *law,
                    lift,
                    rise_start,
                    rise,
                    fall_start: rise_start + rise + dwell,
                    fall,
                }
            }
            CamStatement::Measured(readings) => {
                let plain: Vec<(f64, f64)> = readings.iter().map(|(a, l)| (a.0, l.0)).collect();
                if let Some((what, right)) = unusable(&plain) {
                    faults.add(field!(CamStatement::Measured, 0), what, right);
                    Profile::Measured(Curve::through(&[(0.0, 0.0)]))
                } else {
                    Profile::Measured(Curve::through(&plain))
                }
            }
        };
        Self { profile }
    }

    /// Lift and derivatives at shaft angle `theta` (rad, 0 to 2π).
    pub fn at(&self, theta: f64) -> Motion {
        self.piece(theta).at(theta)
    }

    /// The greatest lift h, m.
    pub fn lift(&self) -> f64 {
        match &self.profile {
            Profile::Law { lift, .. } => *lift,
            Profile::Measured(curve) => curve.highest(),
        }
    }

    /// The shaft angle from which on the cam only falls, or lies low, rad.
    pub fn fall_start(&self) -> f64 {
        match &self.profile {
            Profile::Law { fall_start, .. } => *fall_start,
            Profile::Measured(curve) => curve.fall_start(),
        }
    }

    /// Shaft angles (rad, rising, inside the turn) at which one of the first three derivatives of the lift steps: an integration
    /// is split there.
    pub fn breaks(&self) -> Vec<f64> {
        let mut all = match &self.profile {
            Profile::Law { law, rise_start, rise, fall_start, fall, .. } => {
                let joints = |start: &f64, width: &f64| {
                    law.joints().iter().map(|share| start + share * width).collect::<Vec<f64>>()
                };
                [joints(rise_start, rise), joints(fall_start, fall)].concat()
            }
            Profile::Measured(curve) => curve.knots().to_vec(),
        };
        all.retain(|&angle| angle > 1e-9 && angle < TAU - 1e-9);
        all.dedup_by(|b, a| *b - *a < 1e-9);
        all
    }
}

fn unusable(readings: &[(f64, f64)]) -> Option<(String, String)> {
    if readings.len() < FEWEST_READINGS {
        let what = format!("{} readings are too few to draw a cam from", readings.len());
        return Some((
            what,
            format!("give {FEWEST_READINGS} or more, closest where the lift changes fastest"),
        ));
    }
    if readings.iter().any(|(a, l)| !(a.is_finite() && l.is_finite())) {
        return Some(("a reading is not a number".into(), "give finite angles and lifts".into()));
    }
    if readings[0].0 < 0.0
        || readings[readings.len() - 1].0 >= TAU
        || readings.windows(2).any(|w| w[1].0 <= w[0].0)
    {
        return Some((
            "the angles do not rise within one turn".into(),
            "give them in rising order from 0 deg up to, not including, 360 deg".into(),
        ));
    }
    let lowest = readings.iter().map(|r| r.1).fold(f64::INFINITY, f64::min);
    let highest = readings.iter().map(|r| r.1).fold(f64::NEG_INFINITY, f64::max);
    if highest - lowest <= 0.0 {
        return Some(("the readings show no lift".into(), "give at least one reading above the rest".into()));
    }
    // Lift counts from the start of the turn, so the highest reading stands that much lower above a start half-way up.
    if Curve::through(readings).highest() < 0.5 * (highest - lowest) {
        return Some((
            "the turn starts with the cam more than half-way up".into(),
            "count the shaft angle from a place where the cam is low".into(),
        ));
    }
    None
}
