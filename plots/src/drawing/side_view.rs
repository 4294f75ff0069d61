//! The side view: its left end in section, the rest from outside.

use super::ink::Pen;
use super::page::Group;
use super::profile::{Station, up_to};
use super::{Surface, TurnedPart};
use crate::geometry::Point;

/// Distance between hatching lines, mm on paper.
const HATCH: f64 = 2.2;
/// How far axes run past the part, mm on paper.
pub(super) const AXIS_PAST: f64 = 4.0;

/// From the part to the paper.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placing {
    /// The left end of the axis on paper.
    pub origin: Point,
    /// mm on paper for each of the part.
    pub factor: f64,
}

impl Placing {
    /// A place along the axis, and up from it.
    pub fn at(&self, (x, up): Station) -> Point {
        (self.origin.0 + self.factor * x, self.origin.1 - self.factor * up)
    }

    fn both(&self, stations: &[Station]) -> [Vec<Point>; 2] {
        let above = stations.iter().map(|&station| self.at(station)).collect();
        let below = stations.iter().map(|&(x, r)| self.at((x, -r))).collect();
        [above, below]
    }
}

/// Draws the view.
pub(super) fn draw(part: &TurnedPart, placing: &Placing) -> Group {
    let mut group = Group::new("side-view");
    let length = part.length();
    // A part cut all through may state a length that differs from the sum of its steps in the last figure.
    let cut = if part.sectioned < length - 1e-6 { part.sectioned } else { length };
    hatch(&mut group, part, placing, cut);
    threads(&mut group, part, placing);
    for line in placing.both(&part.outline()) {
        group.line(Pen::Edge, line);
    }
    let bore = up_to(&part.bore_line(), cut);
    if !bore.is_empty() {
        for line in placing.both(&bore) {
            group.line(Pen::Edge, line);
        }
    }
    across(&mut group, part, placing, cut);
    if cut < length {
        broken(&mut group, part, placing, cut);
    }
    let past = AXIS_PAST / placing.factor;
    group.line(Pen::Axis, [placing.at((-past, 0.0)), placing.at((length + past, 0.0))]);
    group
}

/// Edges square to the axis: the ends; rims of the bore in the section; shoulders and chamfers from outside.
fn across(group: &mut Group, part: &TurnedPart, placing: &Placing, cut: f64) {
    let mut edge = |x: f64, radius: f64| {
        if radius > 0.0 {
            group.line(Pen::Edge, [placing.at((x, radius)), placing.at((x, -radius))]);
        }
    };
    let outline = part.outline();
    for (n, &(x, radius)) in outline.iter().enumerate() {
        let is_end = n == 0 || n + 1 == outline.len();
        if is_end || x > cut {
            edge(x, radius);
        }
    }
    for pair in part.bore.windows(2).zip(part.bore_steps()) {
        if let ([before, after], (start, _)) = pair {
            edge(start + before.length, 0.5 * before.diameter.max(after.diameter));
        }
    }
}

/// Thin lines: the major diameter of a thread in the bore, the core of one outside.
fn threads(group: &mut Group, part: &TurnedPart, placing: &Placing) {
    for (start, step) in part.bore_steps() {
        if let Some(major) = step.thread {
            for line in placing.both(&[(start, 0.5 * major), (start + step.length, 0.5 * major)]) {
                group.line(Pen::Thin, line);
            }
        }
    }
    for (start, step) in part.steps() {
        if let Surface::Thread(core) = step.surface {
            for line in placing.both(&[(start, 0.5 * core), (start + step.length, 0.5 * core)]) {
                group.line(Pen::Thin, line);
            }
        }
    }
}

/// The free-hand line where the section ends.
fn broken(group: &mut Group, part: &TurnedPart, placing: &Placing, cut: f64) {
    const STEPS: u32 = 24;
    let radius = up_to(&part.outline(), cut).last().map_or(0.0, |station| station.1);
    let points: Vec<Point> = (0..=STEPS)
        .map(|n| {
            let share = f64::from(n) / f64::from(STEPS);
            let (x, y) = placing.at((cut, radius * (1.0 - 2.0 * share)));
            // Two waves that do not fit together look drawn by hand; both ends stay put.
            let wave = (9.0 * share).sin() * 0.5 + (23.0 * share).sin() * 0.25;
            (x + wave * (std::f64::consts::PI * share).sin(), y)
        })
        .collect();
    group.line(Pen::Thin, points);
}

/// Hatches the cut faces above and below the axis.
fn hatch(group: &mut Group, part: &TurnedPart, placing: &Placing, cut: f64) {
    let outside = up_to(&part.outline(), cut);
    let bore = up_to(&part.bore_line(), cut);
    let mut face = outside.clone();
    let inner_end = bore.last().map_or(0.0, |station| station.1);
    face.push((cut, inner_end));
    face.extend(bore.iter().rev());
    if bore.is_empty() {
        face.push((0.0, 0.0));
    }
    for polygon in placing.both(&face) {
        for line in strokes(&polygon) {
            group.line(Pen::Hatch, line);
        }
    }
}

/// Lines at 45° inside a polygon, at places fixed on the paper, so that neighbouring faces are hatched as one.
fn strokes(polygon: &[Point]) -> Vec<[Point; 2]> {
    let rank = |point: &Point| point.0 + point.1;
    let low = polygon.iter().map(rank).fold(f64::INFINITY, f64::min);
    let high = polygon.iter().map(rank).fold(f64::NEG_INFINITY, f64::max);
    let step = HATCH * std::f64::consts::SQRT_2;
    let mut lines = Vec::new();
    let mut level = (low / step).ceil() * step;
    while level < high {
        let mut hits: Vec<Point> = edges(polygon)
            .filter_map(|(a, b)| {
                let (ra, rb) = (rank(&a) - level, rank(&b) - level);
                // An edge owns its lower end only, so that a corner counts once.
                ((ra < 0.0) != (rb < 0.0)).then(|| {
                    let share = ra / (ra - rb);
                    (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1))
                })
            })
            .collect();
        hits.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in hits.chunks_exact(2) {
            if let [a, b] = pair
                && b.0 - a.0 > 0.05
            {
                lines.push([*a, *b]);
            }
        }
        level += step;
    }
    lines
}

fn edges(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    polygon.iter().copied().zip(polygon.iter().copied().cycle().skip(1))
}
