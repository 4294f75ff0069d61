//! The type as it comes out of the mould, enlarged: sound, or with what is wrong with it.
//!
//! It stands on its feet with its face uppermost, cut through where there is something to see inside.

use super::pen::{Pen, corners};
use crate::geometry::Point;
use std::f64::consts::TAU;

/// What a type looks like. Of a sound one `filled` is 1 and all else is not so.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each flaw is there or not, alone or with any other")]
pub struct Looks {
    /// Share of its height that is there, 0 to 1.
    pub filled: f64,
    /// Metal has met metal without knitting: seams.
    pub lapped: bool,
    /// Its edges are rounded.
    pub rounded: bool,
    /// Holes inside.
    pub hollow: bool,
    /// Metal has got out under the matrix: a fin round the face.
    pub flashed: bool,
    /// Its middle is liquid.
    pub soft: bool,
}

/// Height and width of the letter on the face, as shares of the body's width.
const LETTER: (f64, f64) = (0.14, 0.62);
/// Depth of the groove in the foot and of the nick, as a share of the body's width.
const GROOVE: f64 = 0.1;
/// Radius of rounded edges, as a share of the body's width.
const ROUND: f64 = 0.16;
/// Where seams lie, as shares of the height.
const SEAMS: [f64; 4] = [0.34, 0.55, 0.74, 0.9];
/// Where holes lie (across, up) and how wide they are, as shares of width, height and width.
const HOLES: [(f64, f64, f64); 3] = [(0.42, 0.3, 0.16), (0.6, 0.55, 0.22), (0.38, 0.78, 0.14)];
/// Pieces of a quarter of a circle.
const QUARTER: u32 = 6;

/// The body of a type, mm: left edge, foot, width and depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Body {
    pub left: f64,
    pub foot: f64,
    pub width: f64,
    pub depth: f64,
}

impl Looks {
    /// A sound one.
    pub const SOUND: Self =
        Self { filled: 1.0, lapped: false, rounded: false, hollow: false, flashed: false, soft: false };

    /// One that has come out both ways.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            filled: self.filled.min(other.filled),
            lapped: self.lapped || other.lapped,
            rounded: self.rounded || other.rounded,
            hollow: self.hollow || other.hollow,
            flashed: self.flashed || other.flashed,
            soft: self.soft || other.soft,
        }
    }

    /// Draws the type.
    pub(crate) fn draw(&self, body: Body, pen: &mut Pen) {
        let Body { left, foot, width, .. } = body;
        let depth = body.depth * self.filled.clamp(0.0, 1.0);
        let solid = pen.tints.solid;
        let at = |across: f64, up: f64| (left + across * width, foot + up * depth);
        let whole = self.filled >= 1.0;
        if self.flashed {
            let fin = 0.2 * width;
            pen.part(&corners(left - fin, foot + 0.965 * depth, left + width + fin, foot + depth), solid);
        }
        pen.part(&self.outline(left, foot, width, depth), solid);
        if whole {
            self.letter(at(0.5, 1.0), width, pen);
        }
        let (ground, ink, metal) = (pen.tints.ground, pen.tints.ink, pen.tints.metal);
        if self.soft {
            let core: Vec<Point> = oval(at(0.5, 0.5), 0.3 * width, 0.36 * depth);
            pen.part(&core, metal);
        }
        if self.hollow {
            for (across, up, wide) in HOLES {
                pen.part(&oval(at(across, up), 0.5 * wide * width, 0.7 * wide * width), ground);
            }
        }
        if self.lapped {
            let line = 1.2 * pen.outline;
            for (number, up) in SEAMS.into_iter().enumerate() {
                let sign = if number % 2 == 0 { 1.0 } else { -1.0 };
                // A fold from one side across most of the body.
                let seam = (0..=24_u32).map(|step| {
                    let share = 0.78 * f64::from(step) / 24.0;
                    let wave = 0.018 * (TAU * 1.6 * share).sin();
                    at(if sign > 0.0 { share } else { 1.0 - share }, up + sign * wave - 0.03 * share)
                });
                pen.line(&seam.collect::<Vec<Point>>(), ink, line);
            }
        }
    }

    /// The body: a groove in its foot, and its upper end as it has frozen.
    fn outline(&self, left: f64, foot: f64, width: f64, depth: f64) -> Vec<Point> {
        let (right, top) = (left + width, foot + depth);
        let groove = GROOVE * width;
        let mut points = vec![(left, foot)];
        if self.filled < 1.0 {
            // A free surface that was still rising.
            points.extend([
                (left, top - 0.1 * width),
                (left + 0.2 * width, top),
                (left + 0.55 * width, top - 0.04 * width),
                (right - 0.15 * width, top - 0.12 * width),
                (right, top - 0.22 * width),
            ]);
        } else if self.rounded {
            let radius = ROUND * width;
            points.extend(quarter((left + radius, top - radius), radius, 0.5));
            points.extend(quarter((right - radius, top - radius), radius, 0.25));
        } else {
            points.extend([(left, top), (right, top)]);
        }
        let middle = left + 0.5 * width;
        points.extend([
            (right, foot),
            (middle + 1.5 * groove, foot),
            (middle + 1.5 * groove, foot + groove),
            (middle - 1.5 * groove, foot + groove),
            (middle - 1.5 * groove, foot),
        ]);
        points
    }

    /// The letter that stands on the body.
    fn letter(&self, (middle, top): Point, width: f64, pen: &mut Pen) {
        let (high, half) = (LETTER.0 * width, 0.5 * LETTER.1 * width);
        let solid = pen.tints.solid;
        let slope = 0.06 * width;
        if self.rounded {
            // The metal has not gone into the corners.
            let dome: Vec<Point> = (0..=2 * QUARTER)
                .map(|step| {
                    let angle = 0.5 * TAU * (1.0 - f64::from(step) / f64::from(2 * QUARTER));
                    (middle + half * angle.cos(), top + 0.6 * high * angle.sin())
                })
                .collect();
            pen.part(&dome, solid);
        } else {
            let block = [
                (middle - half, top),
                (middle - half + slope, top + high),
                (middle + half - slope, top + high),
                (middle + half, top),
            ];
            pen.part(&block, solid);
        }
    }
}

/// A quarter of a circle, clockwise from `turn` (of a whole turn).
fn quarter(centre: Point, radius: f64, turn: f64) -> impl Iterator<Item = Point> {
    (0..=QUARTER).map(move |step| {
        let angle = TAU * (turn - 0.25 * f64::from(step) / f64::from(QUARTER));
        (centre.0 + radius * angle.cos(), centre.1 + radius * angle.sin())
    })
}

/// An oval of two half axes.
fn oval(centre: Point, across: f64, up: f64) -> Vec<Point> {
    (0..4 * QUARTER)
        .map(|step| {
            let angle = TAU * f64::from(step) / f64::from(4 * QUARTER);
            (centre.0 + across * angle.cos(), centre.1 + up * angle.sin())
        })
        .collect()
}
