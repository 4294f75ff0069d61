//! Cam laws: the shape of a rise, normalised so that both travel and lift run from 0 to 1.
//!
//! Sources: VDI 2143; R. L. Norton, *Cam Design and Manufacturing Handbook* (segment shapes of the modified sine and the
//! modified trapezoid: quarter sine to 1/8, and so on). The tests hold peak velocity, acceleration and jerk to the exact
//! values.

use std::f64::consts::PI;
use strum::{EnumString, VariantArray, VariantNames};

/// Lift, slope and curvature of a normalised rise at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Share of the lift, 0 to 1.
    pub lift: f64,
    /// First derivative by the share of the travel.
    pub slope: f64,
    /// Second derivative by the share of the travel.
    pub curvature: f64,
}

/// The law a cam's rise and return follow; its words are an owner's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, VariantArray, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum Law {
    /// Half a cosine; the acceleration steps at both ends.
    SimpleHarmonic,
    /// A full sine of acceleration.
    #[default]
    Cycloidal,
    /// Quarter sine, half cosine, quarter sine of acceleration.
    ModifiedSine,
    /// Constant acceleration with sine corners.
    ModifiedTrapezoid,
    /// The polynomial 10u³ − 15u⁴ + 6u⁵.
    #[strum(serialize = "3-4-5")]
    Polynomial345,
    /// The polynomial 35u⁴ − 84u⁵ + 70u⁶ − 20u⁷.
    #[strum(serialize = "4-5-6-7")]
    Polynomial4567,
}

impl Law {
    /// Every law.
    pub const ALL: &'static [Self] = <Self as VariantArray>::VARIANTS;

    /// The shares of the travel at which one of the first three derivatives of the lift steps, both ends included.
    pub fn joints(self) -> &'static [f64] {
        match self {
            Self::ModifiedSine => &[0.0, 0.125, 0.875, 1.0],
            Self::ModifiedTrapezoid => &[0.0, 0.125, 0.375, 0.625, 0.875, 1.0],
            Self::SimpleHarmonic | Self::Cycloidal | Self::Polynomial345 | Self::Polynomial4567 => {
                &[0.0, 1.0]
            }
        }
    }

    /// The normalised rise at `u`, the share of the travel; `u` outside 0 to 1 is taken as the nearer end.
    pub fn at(self, u: f64) -> Shape {
        let u = u.clamp(0.0, 1.0);
        match self {
            Self::SimpleHarmonic => {
                let (sin, cos) = libm::sincos(PI * u);
                Shape { lift: 0.5 * (1.0 - cos), slope: 0.5 * PI * sin, curvature: 0.5 * PI * PI * cos }
            }
            Self::Cycloidal => {
                let (sin, cos) = libm::sincos(2.0 * PI * u);
                Shape { lift: u - sin / (2.0 * PI), slope: 1.0 - cos, curvature: 2.0 * PI * sin }
            }
            Self::ModifiedSine => modified_sine(u),
            Self::ModifiedTrapezoid => modified_trapezoid(u),
            Self::Polynomial345 => Shape {
                lift: u * u * u * (10.0 + u * (-15.0 + u * 6.0)),
                slope: 30.0 * u * u * (1.0 - u) * (1.0 - u),
                curvature: 60.0 * u * (1.0 + u * (-3.0 + u * 2.0)),
            },
            Self::Polynomial4567 => {
                let v = 1.0 - u;
                Shape {
                    lift: u.powi(4) * (35.0 + u * (-84.0 + u * (70.0 - u * 20.0))),
                    slope: 140.0 * u.powi(3) * v.powi(3),
                    curvature: 420.0 * u * u * v * v * (1.0 - 2.0 * u),
                }
            }
        }
    }
}

fn modified_sine(u: f64) -> Shape {
    let scale = 1.0 / (4.0 + PI);
    if (0.125..=0.875).contains(&u) {
        let (sin, cos) = libm::sincos((4.0 * PI * u + PI) / 3.0);
        Shape {
            lift: scale * (2.0 + PI * u - 2.25 * sin),
            slope: scale * PI * (1.0 - 3.0 * cos),
            curvature: scale * 4.0 * PI * PI * sin,
        }
    } else {
        let (sin, cos) = libm::sincos(4.0 * PI * u);
        let offset = if u < 0.5 { 0.0 } else { 4.0 };
        Shape {
            lift: scale * (offset + PI * u - 0.25 * sin),
            slope: scale * PI * (1.0 - cos),
            curvature: scale * 4.0 * PI * PI * sin,
        }
    }
}

fn modified_trapezoid(u: f64) -> Shape {
    if u > 0.5 {
        // The second half is the first, turned about the middle.
        let first = modified_trapezoid(1.0 - u);
        return Shape { lift: 1.0 - first.lift, slope: first.slope, curvature: -first.curvature };
    }
    let peak = 8.0 * PI / (2.0 + PI);
    let rate = 4.0 * PI;
    let ramp = |x: f64| {
        let (sin, cos) = libm::sincos(rate * x);
        Shape {
            lift: peak / rate * (x - sin / rate),
            slope: peak / rate * (1.0 - cos),
            curvature: peak * sin,
        }
    };
    if u <= 0.125 {
        return ramp(u);
    }
    let steady = |x: f64| {
        let start = ramp(0.125);
        Shape {
            lift: start.lift + x * (start.slope + 0.5 * peak * x),
            slope: start.slope + peak * x,
            curvature: peak,
        }
    };
    if u <= 0.375 {
        return steady(u - 0.125);
    }
    let start = steady(0.25);
    let x = u - 0.375;
    let (sin, cos) = libm::sincos(rate * x);
    Shape {
        lift: start.lift + start.slope * x + peak / (rate * rate) * (1.0 - cos),
        slope: start.slope + peak / rate * sin,
        curvature: peak * cos,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beyond_its_ends_a_law_stands_as_at_the_nearer_one() {
        for &law in Law::ALL {
            for (beyond, end) in [(-0.3, 0.0), (1.001, 1.0), (1.2, 1.0), (9.0, 1.0)] {
                assert_eq!(law.at(beyond), law.at(end), "{law:?} at {beyond}");
            }
        }
    }
}
