//! From millimetres of the machine to shapes on the canvas.

use super::tints::Tints;
use crate::geometry::Point;
use crate::scene::Shape;
use crate::theme::Colour;

/// Where a machine stands on a canvas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// px for each mm.
    pub scale: f64,
    /// Where the machine's origin comes to lie, px.
    pub origin: Point,
}

impl Place {
    /// The largest place for the box between two corners (mm) inside a room (left, top, right, bottom, px), in its middle.
    pub(crate) fn fit((low, high): (Point, Point), (left, top, right, bottom): (f64, f64, f64, f64)) -> Self {
        let (wide, tall) = ((high.0 - low.0).max(1.0), (high.1 - low.1).max(1.0));
        let scale = ((right - left) / wide).min((bottom - top) / tall);
        let origin = (
            f64::midpoint(left, right) - scale * f64::midpoint(low.0, high.0),
            f64::midpoint(top, bottom) + scale * f64::midpoint(low.1, high.1),
        );
        Self { scale, origin }
    }

    /// A point of the machine (mm) on the canvas, px.
    pub fn px(&self, (x, y): Point) -> Point {
        (self.origin.0 + self.scale * x, self.origin.1 - self.scale * y)
    }
}

/// Draws in millimetres: flat tints within strong outlines.
pub(crate) struct Pen<'a> {
    pub place: Place,
    pub tints: Tints,
    /// Width of outlines, px.
    pub outline: f64,
    pub shapes: &'a mut Vec<Shape>,
}

/// The corners of an upright rectangle.
pub(crate) fn corners(left: f64, bottom: f64, right: f64, top: f64) -> [Point; 4] {
    [(left, bottom), (left, top), (right, top), (right, bottom)]
}

impl Pen<'_> {
    fn points(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|&point| self.place.px(point)).collect()
    }

    /// A flat area without an outline.
    pub fn area(&mut self, points: &[Point], colour: Colour) {
        let points = self.points(points);
        self.shapes.push(Shape::Area { points, colour });
    }

    /// An outline alone, closed.
    pub fn edge(&mut self, points: &[Point]) {
        let mut points = self.points(points);
        points.extend(points.first().copied());
        self.shapes.push(Shape::Line { points, colour: self.tints.ink, width: self.outline });
    }

    /// A part: an area within its outline.
    pub fn part(&mut self, points: &[Point], colour: Colour) {
        self.area(points, colour);
        self.edge(points);
    }

    /// A line `width` px wide.
    pub fn line(&mut self, points: &[Point], colour: Colour, width: f64) {
        let points = self.points(points);
        self.shapes.push(Shape::Line { points, colour, width });
    }

    /// A bar `width` mm wide with round ends, within its outline.
    pub fn bar(&mut self, points: &[Point], colour: Colour, width: f64) {
        let across = self.place.scale * width;
        self.line(points, self.tints.ink, across + 1.2 * self.outline);
        self.line(points, colour, (across - 1.2 * self.outline).max(1.0));
    }

    /// A disc of `radius` mm within its outline.
    pub fn disc(&mut self, centre: Point, radius: f64, colour: Colour) {
        let (centre, radius) = (self.place.px(centre), self.place.scale * radius);
        let half = 0.5 * self.outline;
        self.shapes.push(Shape::Dot { centre, radius: radius + half, colour: self.tints.ink });
        self.shapes.push(Shape::Dot { centre, radius: (radius - half).max(0.5), colour });
    }

    /// A pin: a small filled disc.
    pub fn pin(&mut self, centre: Point, radius: f64) {
        let (centre, radius) = (self.place.px(centre), self.place.scale * radius);
        self.shapes.push(Shape::Dot { centre, radius, colour: self.tints.ink });
    }
}

/// A point turned about another by an angle (rad), anticlockwise.
pub(crate) fn turned((x, y): Point, about: Point, angle: f64) -> Point {
    let (sin, cos) = angle.sin_cos();
    let (dx, dy) = (x - about.0, y - about.1);
    (about.0 + cos * dx - sin * dy, about.1 + sin * dx + cos * dy)
}
