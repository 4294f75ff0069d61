//! A type as it comes out of the mould, from its side: the feet below, the face that prints above.

use super::OUTLINE;
use crate::geometry::{Point, Rect};
use crate::mechanism::Tints;
use crate::scene::Shape;

/// Height of a type for one unit of its width, as drawn.
const TALL: f64 = 1.9;
/// Height at which the shoulder stands, and that at which a spoiled top ends, as shares of the whole.
const SHOULDER: f64 = 0.86;
/// Sides of a drawn circle.
const SIDES: u32 = 36;

/// What is wrong with a type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flaw {
    /// Nothing.
    Sound,
    /// Streams of metal met and did not knit.
    Lapped,
    /// The face has no sharp edges.
    Rounded,
    /// There is a hole within.
    Hollow,
    /// The face is missing.
    Short,
    /// The middle is still liquid.
    Soft,
    /// Metal squeezed out round the face.
    Burred,
    /// Air stayed in it.
    Porous,
}

/// The outline of a body up to a top, from the left foot round by the groove and the nick.
fn outline(top: &[Point]) -> Vec<Point> {
    let foot = [(0.0, 0.0), (0.36, 0.0), (0.40, 0.05), (0.60, 0.05), (0.64, 0.0), (1.0, 0.0)];
    let nick = [(1.0, 0.20), (0.95, 0.22), (0.95, 0.25), (1.0, 0.27)];
    foot.into_iter().chain(nick).chain(top.iter().copied()).collect()
}

/// The tops, from the right shoulder to the left.
const SHARP: [Point; 6] =
    [(1.0, SHOULDER), (0.84, SHOULDER), (0.74, 1.0), (0.26, 1.0), (0.16, SHOULDER), (0.0, SHOULDER)];
const WORN: [Point; 10] = [
    (1.0, SHOULDER),
    (0.84, SHOULDER),
    (0.80, 0.91),
    (0.72, 0.945),
    (0.60, 0.96),
    (0.40, 0.96),
    (0.28, 0.945),
    (0.20, 0.91),
    (0.16, SHOULDER),
    (0.0, SHOULDER),
];
const MISSING: [Point; 7] =
    [(1.0, 0.60), (0.88, 0.66), (0.72, 0.68), (0.52, 0.63), (0.34, 0.69), (0.14, 0.66), (0.0, 0.57)];

/// A type in a place.
pub(super) fn draw(flaw: Flaw, place: &Rect, tints: &Tints) -> Vec<Shape> {
    let high = place.height().min(TALL * place.width());
    let wide = high / TALL;
    let left = place.middle().0 - 0.5 * wide;
    let at = |(u, v): Point| (left + u * wide, place.bottom - v * high);
    let px = |points: &[Point]| -> Vec<Point> { points.iter().copied().map(at).collect() };
    let round = |(u, v): Point, (across, up): Point| -> Vec<Point> {
        let corner = |n: u32| {
            let (sine, cosine) = (std::f64::consts::TAU * f64::from(n) / f64::from(SIDES)).sin_cos();
            at((u + across * cosine, v + up * sine))
        };
        (0..=SIDES).map(corner).collect()
    };
    let edge = |points: Vec<Point>, width: f64| Shape::Line { points, colour: tints.ink, width };
    let mut shapes = Vec::new();
    if flaw == Flaw::Burred {
        for side in [-1.0, 1.0] {
            let from = 0.5 + 0.5 * side;
            let fin =
                px(&[(from, SHOULDER), (from + 0.16 * side, SHOULDER + 0.01), (from, SHOULDER - 0.035)]);
            shapes.push(Shape::Area { points: fin.clone(), colour: tints.solid });
            shapes.push(edge(fin, OUTLINE));
        }
    }
    let top: &[Point] = match flaw {
        Flaw::Rounded => &WORN,
        Flaw::Short => &MISSING,
        _ => &SHARP,
    };
    let body = px(&outline(top));
    shapes.push(Shape::Area { points: body.clone(), colour: tints.solid });
    match flaw {
        Flaw::Lapped => {
            for height in [0.36, 0.56, 0.75] {
                let wave = |n: u32| {
                    let u = f64::from(n) / f64::from(SIDES);
                    at((u, height + 0.014 * (11.0 * u + 9.0 * height).sin() + 0.03 * (u - 0.5)))
                };
                shapes.push(edge((0..=SIDES).map(wave).collect(), 1.6 * OUTLINE));
            }
        }
        Flaw::Hollow => {
            for (middle, size) in [((0.5, 0.52), (0.2, 0.17)), ((0.44, 0.3), (0.09, 0.06))] {
                let hole = round(middle, size);
                shapes.push(Shape::Area { points: hole.clone(), colour: tints.ground });
                shapes.push(edge(hole, OUTLINE));
            }
        }
        Flaw::Soft => {
            shapes.push(Shape::Area { points: round((0.5, 0.45), (0.28, 0.32)), colour: tints.metal });
        }
        Flaw::Porous => {
            let bubbles =
                [(0.3, 0.7), (0.62, 0.76), (0.5, 0.6), (0.72, 0.56), (0.28, 0.5), (0.55, 0.42), (0.4, 0.3)];
            for middle in bubbles {
                let bubble = round(middle, (0.045, 0.045 / TALL));
                shapes.push(Shape::Area { points: bubble.clone(), colour: tints.ground });
                shapes.push(edge(bubble, 0.7 * OUTLINE));
            }
        }
        Flaw::Sound | Flaw::Rounded | Flaw::Short | Flaw::Burred => {}
    }
    shapes.push(edge(body.iter().chain(body.first()).copied().collect(), OUTLINE));
    shapes
}
