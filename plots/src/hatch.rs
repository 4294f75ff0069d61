//! Ruled lines over an area, so that areas differ without colour.

use crate::geometry::{Point, Rect};
use crate::scene::Shape;
use crate::theme::{Colour, Theme};

/// A family of parallel lines.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ruling {
    /// Direction, degrees from the x axis towards the top of the page.
    pub angle: f64,
    /// From line to line, px.
    pub apart: f64,
}

/// Lines that rise at 45 degrees, 20 px apart along a level edge: the mark of what is not allowed.
const FORBIDDEN: Ruling = Ruling { angle: 45.0, apart: 10.0 * std::f64::consts::SQRT_2 };

/// The rulings of areas number 0, 1, …; they repeat after the fifth.
const OF_AREAS: [&[Ruling]; 5] = [
    &[Ruling { angle: 45.0, apart: 24.0 }],
    &[],
    &[Ruling { angle: 90.0, apart: 30.0 }],
    &[Ruling { angle: 45.0, apart: 22.0 }, Ruling { angle: 135.0, apart: 22.0 }],
    &[Ruling { angle: 135.0, apart: 16.0 }],
];

/// The rulings of area number `style`, counted from 0.
pub fn of_area(style: usize) -> &'static [Ruling] {
    OF_AREAS.get(style % OF_AREAS.len()).copied().unwrap_or_default()
}

/// Rules a polygon as area number `style`, with lines `width` px wide that meet those of every other area of that number.
pub fn rule(polygon: &[Point], style: usize, (colour, width): (Colour, f64)) -> Vec<Shape> {
    let lines = of_area(style).iter().flat_map(|ruling| ruling.lines(polygon, (0.0, 0.0)));
    lines.map(|(from, to)| Shape::line(from, to, colour, width)).collect()
}

/// Slanting lines over what a limit forbids, one of them through `anchor`.
pub fn forbidden(region: &Rect, anchor: Point, theme: &Theme) -> Vec<Shape> {
    if region.width() <= 0.0 || region.height() <= 0.0 {
        return Vec::new();
    }
    let (colour, width) = (theme.limit.faded(0.35), 1.5);
    let lines = FORBIDDEN.lines(&region.corners(), anchor);
    lines.into_iter().map(|(from, to)| Shape::line(from, to, colour, width)).collect()
}

impl Ruling {
    /// The parts of the lines within a polygon, by the even-odd rule; one line runs through `anchor`.
    pub fn lines(&self, polygon: &[Point], anchor: Point) -> Vec<(Point, Point)> {
        let (sine, cosine) = self.angle.to_radians().sin_cos();
        // How far along the lines a point lies, and how far across them.
        let along = |(x, y): Point| x * cosine - y * sine;
        let across = |(x, y): Point| x * sine + y * cosine;
        let start = across(anchor);
        let heights = || polygon.iter().map(|corner| (across(*corner) - start) / self.apart);
        let (low, high) =
            heights().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        let mut out = Vec::new();
        let mut number = low.ceil();
        while number <= high {
            let level = start + number * self.apart;
            let following = polygon.iter().cycle().skip(1);
            let mut met: Vec<f64> = polygon
                .iter()
                .zip(following)
                .filter_map(|(&a, &b)| {
                    let (from, to) = (across(a), across(b));
                    let crosses = (from < level) != (to < level);
                    crosses.then(|| along(a) + (level - from) / (to - from) * (along(b) - along(a)))
                })
                .collect();
            met.sort_by(f64::total_cmp);
            let point = |t: f64| (t * cosine + level * sine, level * cosine - t * sine);
            out.extend(met.chunks_exact(2).filter_map(|pair| match pair {
                [from, to] => Some((point(*from), point(*to))),
                _ => None,
            }));
            number += 1.0;
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Point; 4] = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];

    fn length(lines: &[(Point, Point)]) -> f64 {
        lines.iter().map(|(a, b)| (b.0 - a.0).hypot(b.1 - a.1)).sum()
    }

    /// Closed form: lines 1 px apart have as many px of length as the polygon has px of area, at any angle.
    #[test]
    fn closed_form_close_lines_have_the_length_of_the_area() {
        // A square with a notch of a quarter of it.
        let notched = [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (50.0, 50.0), (50.0, 100.0), (0.0, 100.0)];
        for angle in [0.0, 30.0, 45.0, 90.0, 135.0] {
            for (polygon, area) in [(&SQUARE[..], 1e4), (&notched[..], 7.5e3)] {
                // Half a line more or less at each edge.
                let lines = Ruling { angle, apart: 1.0 }.lines(polygon, (0.5, 0.5));
                assert!((length(&lines) / area - 1.0).abs() < 0.02, "{angle}: {}", length(&lines));
            }
        }
    }

    #[test]
    fn closed_form_the_diagonal_runs_from_corner_to_corner() {
        let lines = Ruling { angle: 45.0, apart: 1000.0 }.lines(&SQUARE, (0.0, 100.0));
        let [(a, b)] = lines.as_slice() else { panic!("one line, not {lines:?}") };
        for (found, expected) in [(a, (0.0, 100.0)), (b, (100.0, 0.0))] {
            assert!((found.0 - expected.0).hypot(found.1 - expected.1) < 1e-9, "{lines:?}");
        }
    }

    #[test]
    fn property_nothing_comes_of_nothing() {
        for polygon in [&[][..], &[(1.0, 1.0)][..], &[(0.0, 0.0), (9.0, 9.0)][..], &[(f64::NAN, 0.0); 3][..]]
        {
            assert!(length(&Ruling { angle: 20.0, apart: 3.0 }.lines(polygon, (0.0, 0.0))) < 1e-9);
        }
    }
}
