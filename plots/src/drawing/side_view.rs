//! The side view: its left end in section, the rest from outside.

use super::ink::Pen;
use super::page::Group;
use super::part::{Surface, TurnedPart};
use super::placing::Placing;
use super::profile::between;
use crate::geometry::Point;

/// Distance between hatching lines, mm on paper.
const HATCH: f64 = 2.2;
/// How far axes run past the part, mm on paper.
pub(super) const AXIS_PAST: f64 = 4.0;

/// Draws the view.
pub(super) fn draw(part: &TurnedPart, placing: &Placing) -> Group {
    let mut group = Group::new("side-view");
    body(&mut group, part, placing);
    let past = AXIS_PAST / placing.factor;
    group.line(Pen::Axis, [placing.at((-past, 0.0)), placing.at((part.length() + past, 0.0))]);
    group
}

/// Draws the part without its axis.
pub(super) fn body(group: &mut Group, part: &TurnedPart, placing: &Placing) {
    let length = part.length();
    // A part cut all through may state a length that differs from the sum of its steps in the last figure.
    let cut = if part.sectioned < length - 1e-6 { part.sectioned } else { length };
    for drawn in placing.drawn(length) {
        let sectioned = (drawn.0, drawn.1.min(cut));
        if sectioned.0 < sectioned.1 {
            hatch(group, part, placing, sectioned);
            for line in placing.both(&between(&part.bore_line(), sectioned)) {
                if line.len() > 1 {
                    group.line(Pen::Edge, line);
                }
            }
        }
        threads(group, part, placing, drawn);
        for line in placing.both(&between(&part.outline(), drawn)) {
            group.line(Pen::Edge, line);
        }
        across(group, part, placing, (drawn, cut));
    }
    if cut < length {
        broken(group, part, placing, cut);
    }
    for place in placing.left_out.into_iter().flat_map(|(from, to)| [from, to]) {
        broken(group, part, placing, place);
    }
}

/// Edges square to the axis: the ends; rims of the bore in the section; shoulders and chamfers from outside.
fn across(group: &mut Group, part: &TurnedPart, placing: &Placing, (drawn, cut): ((f64, f64), f64)) {
    let is_drawn = |x: f64| (drawn.0..=drawn.1).contains(&x);
    let mut edge = |x: f64, radius: f64| {
        if radius > 0.0 && is_drawn(x) {
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
    for (start, step) in part.bore_steps().filter(|(_, step)| step.countersink > 0.0) {
        edge(start + step.countersink, 0.5 * step.diameter);
    }
    for pair in part.bore.windows(2).zip(part.bore_steps()) {
        if let ([before, after], (start, _)) = pair {
            edge(start + before.length, 0.5 * before.diameter.max(after.diameter));
        }
    }
}

/// Thin lines: the major diameter of a thread in the bore, the core of one outside.
fn threads(group: &mut Group, part: &TurnedPart, placing: &Placing, (from, to): (f64, f64)) {
    let inside = part.bore_steps().filter_map(|(start, step)| Some((start, step.length, step.thread?)));
    let outside = part.steps().filter_map(|(start, step)| match step.surface {
        Surface::Thread(core) => Some((start, step.length, core)),
        Surface::Plain | Surface::Flats(_) => None,
    });
    for (start, length, diameter) in inside.chain(outside) {
        let (a, b) = (start.max(from), (start + length).min(to));
        if a < b {
            for line in placing.both(&[(a, 0.5 * diameter), (b, 0.5 * diameter)]) {
                group.line(Pen::Thin, line);
            }
        }
    }
}

/// The free-hand line where the section ends, or a long part is broken.
fn broken(group: &mut Group, part: &TurnedPart, placing: &Placing, cut: f64) {
    const STEPS: u32 = 24;
    let radius = part.radius_at(cut);
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

/// Hatches the cut faces above and below the axis, over a stretch.
fn hatch(group: &mut Group, part: &TurnedPart, placing: &Placing, sectioned: (f64, f64)) {
    let outside = between(&part.outline(), sectioned);
    let bore = between(&part.bore_line(), sectioned);
    let mut face = outside.clone();
    let inner_end = bore.last().map_or(0.0, |station| station.1);
    face.push((sectioned.1, inner_end));
    face.extend(bore.iter().rev());
    if bore.is_empty() {
        face.push((sectioned.0, 0.0));
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
