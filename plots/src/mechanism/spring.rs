//! A helical spring drawn coil by coil, seen from the side.
//!
//! The wire's middle climbs from the abutment's face to the nut's. Each end has one closed coil, ground flat, that climbs one
//! wire; the coils between share what is left, so that at the solid length (coils times wire) every coil touches the next.

use super::SpringShape;
use super::pen::Pen;
use crate::geometry::Point;
use std::f64::consts::TAU;

/// Points of the drawn line in half a coil.
const POINTS: u32 = 8;

/// Which half of each coil.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Half {
    /// Behind the rod.
    Back,
    /// Before the rod.
    Front,
}

/// Closed coils at each end.
fn closed(shape: &SpringShape) -> f64 {
    if shape.coils > 3.0 { 1.0 } else { 0.0 }
}

/// How far the wire has climbed after so many turns, where the whole spring is `length` long; in the unit of `length`.
pub(super) fn climb(shape: &SpringShape, length: f64, turns: f64) -> f64 {
    let dead = closed(shape);
    let wire = shape.wire.min(length / shape.coils.max(1.0));
    let pitch = (length - 2.0 * dead * wire) / (shape.coils - 2.0 * dead).max(f64::MIN_POSITIVE);
    if turns < dead {
        wire * turns
    } else if turns > shape.coils - dead {
        length - wire * (shape.coils - turns)
    } else {
        dead * wire + pitch * (turns - dead)
    }
}

/// Draws one half of every coil between two faces (abutment and nut, mm).
pub(super) fn draw(shape: &SpringShape, faces: (f64, f64), half: Half, pen: &mut Pen) {
    // Coils that could not be told apart, or a shape without numbers, are not drawn.
    if !(shape.coils > 0.0 && shape.coils < 200.0 && shape.wire > 0.0 && shape.coil > 0.0) {
        return;
    }
    let length = (1e-3 * (faces.1 - faces.0)).min(shape.free).max(0.0);
    let wire = pen.place.scale * 1e3 * shape.wire;
    let (ink, colour) = (pen.tints.ink, pen.tints.wire);
    let mut from = if half == Half::Back { 0.0 } else { 0.5 };
    while from < shape.coils {
        let to = (from + 0.5).min(shape.coils);
        let line: Vec<Point> = (0..=POINTS)
            .map(|step| {
                let turns = from + (to - from) * f64::from(step) / f64::from(POINTS);
                let x = 0.5e3 * shape.coil * (TAU * turns).cos();
                (x, faces.0 + 1e3 * climb(shape, length, turns))
            })
            .collect();
        pen.line(&line, ink, wire);
        pen.line(&line, colour, (wire - 1.6 * pen.outline).max(0.4 * wire));
        from += 1.0;
    }
}
