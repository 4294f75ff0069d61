//! The cam over the part of a turn in which one law holds, and over a short stretch of that.

use super::law::Law;
use super::{Cam, Motion, Profile};

/// One law of the cam, from one of its breaks to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// It stands at this lift, m.
    Still(f64),
    /// A rise, or a fall, by a law.
    Law {
        /// The law.
        law: Law,
        /// Lift at its start, m.
        from: f64,
        /// By how much it lifts, m; below zero for a fall.
        by: f64,
        /// Shaft angle of its start, rad.
        start: f64,
        /// Its width, rad.
        width: f64,
    },
    /// The cubic between two readings: its coefficients by the share of the way, m.
    Cubic {
        /// Shaft angle of its start, rad.
        start: f64,
        /// Its width, rad.
        width: f64,
        /// Of the powers 0 to 3.
        coefficients: [f64; 4],
    },
}

impl Piece {
    /// Lift and derivatives at shaft angle `theta` (rad), by this law, whatever the cam does beyond the law's ends.
    pub fn at(&self, theta: f64) -> Motion {
        match *self {
            Self::Still(lift) => Motion { lift, slope: 0.0, curvature: 0.0 },
            Self::Law { law, from, by, start, width } => {
                let shape = law.at((theta - start) / width);
                let by_angle = by / width;
                Motion {
                    lift: from + by * shape.lift,
                    slope: by_angle * shape.slope,
                    curvature: by_angle / width * shape.curvature,
                }
            }
            Self::Cubic { start, width, coefficients: [c0, c1, c2, c3] } => {
                let u = (theta - start) / width;
                Motion {
                    lift: c0 + u * (c1 + u * (c2 + u * c3)),
                    slope: (c1 + u * (2.0 * c2 + u * 3.0 * c3)) / width,
                    curvature: (2.0 * c2 + 6.0 * u * c3) / (width * width),
                }
            }
        }
    }
}

impl Cam {
    /// The law that holds at shaft angle `theta` (rad, 0 to 2π).
    pub fn piece(&self, theta: f64) -> Piece {
        match &self.profile {
            Profile::Measured(curve) => curve.piece(theta),
            &Profile::Law { law, lift, rise_start, rise, fall_start, fall } => {
                if theta <= rise_start || theta >= fall_start + fall {
                    Piece::Still(0.0)
                } else if theta >= fall_start {
                    Piece::Law { law, from: lift, by: -lift, start: fall_start, width: fall }
                } else if theta >= rise_start + rise {
                    Piece::Still(lift)
                } else {
                    Piece::Law { law, from: 0.0, by: lift, start: rise_start, width: rise }
                }
            }
        }
    }
}

/// A short stretch of one law: the cubic that has the cam's slope and curvature at both ends, and the lift that follows from it.
///
/// A solver's step needs the cam at half a dozen places, which this gives without a sine. Over 3° of a cycloidal rise of 80° its
/// speed is off by some 10⁻⁶ of the greatest and its lift by 10⁻⁷, and by as much less as the power of four and five of the way is.
/// What the lift is off by at the end is laid on the way there, and on the lift alone: over the shortest steps its last digits would
/// make a speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    width: f64,
    lift: f64,
    /// Of the slope, by the powers of the share of the way.
    slope: [f64; 4],
    /// By how much the lift is off at the end, m.
    off: f64,
}

const THIRD: f64 = 1.0 / 3.0;

impl Stretch {
    /// From `start` to `end`, which lie `width` (rad) apart.
    #[inline]
    pub fn between(start: Motion, end: Motion, width: f64) -> Self {
        let (bend, end_bend) = (start.curvature * width, end.curvature * width);
        let change = end.slope - start.slope;
        let slope = [start.slope, bend, 3.0 * change - 2.0 * bend - end_bend, bend + end_bend - 2.0 * change];
        let stretch = Self { width, lift: start.lift, slope, off: 0.0 };
        Self { off: end.lift - stretch.at(1.0).lift, ..stretch }
    }

    /// Lift and derivatives at a `share` (0 to 1) of the way.
    #[inline]
    pub fn at(&self, share: f64) -> Motion {
        let [c0, c1, c2, c3] = self.slope;
        let s = share;
        Motion {
            lift: self.lift
                + self.width * s * (c0 + s * (0.5 * c1 + s * (THIRD * c2 + s * 0.25 * c3)))
                + self.off * s * s * s,
            slope: c0 + s * (c1 + s * (c2 + s * c3)),
            curvature: (c1 + s * (2.0 * c2 + s * 3.0 * c3)) / self.width,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cam::CamStatement;
    use crate::fault::Faults;
    use crate::units::{Angle, Length};

    fn cam(law: Law) -> Cam {
        let [rise_start, rise, dwell, fall] = [10.0_f64, 80.0, 100.0, 90.0].map(|a| Angle(a.to_radians()));
        let stated = CamStatement::Law { law, lift: Length(0.03), rise_start, rise, dwell, fall };
        let mut faults = Faults::default();
        let cam = Cam::prepare(&stated, &mut faults);
        faults.settle(cam).expect("a cam")
    }

    /// Closed form: the pieces between the breaks are the cam, and a stretch of 3° within a piece follows it, for the laws that
    /// are smooth from break to break.
    #[test]
    fn closed_form_pieces_and_stretches_are_the_cam() {
        let (mut lift_off, mut speed_off, mut bend_off) = (0.0_f64, 0.0_f64, 0.0_f64);
        for &law in Law::ALL {
            let cam = cam(law);
            let mut ends = vec![0.0];
            ends.extend(cam.breaks());
            ends.push(std::f64::consts::TAU);
            for ends in ends.windows(2) {
                let piece = cam.piece(0.5 * (ends[0] + ends[1]));
                let count = ((ends[1] - ends[0]) / 3.0_f64.to_radians()).ceil();
                let width = (ends[1] - ends[0]) / count;
                let mut start = ends[0];
                while start < ends[1] - 0.5 * width {
                    let stretch = Stretch::between(piece.at(start), piece.at(start + width), width);
                    for share in [0.1, 0.35, 0.5, 0.8] {
                        let (exact, own) = (cam.at(start + share * width), stretch.at(share));
                        lift_off = lift_off.max((own.lift - exact.lift).abs());
                        speed_off = speed_off.max((own.slope - exact.slope).abs());
                        bend_off = bend_off.max((own.curvature - exact.curvature).abs());
                    }
                    start += width;
                }
            }
        }
        assert!(lift_off < 1e-6 * 0.03, "{lift_off}");
        assert!(speed_off < 2e-5 * 0.05, "{speed_off}");
        assert!(bend_off < 1e-3 * 0.1, "{bend_off}");
    }
}
