//! Plane geometry in pixels: rectangles, clipping, dashes, distances. y grows downwards.

/// A point in pixels.
pub type Point = (f64, f64);

/// An upright rectangle in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge, px.
    pub left: f64,
    /// Top edge, px.
    pub top: f64,
    /// Right edge, px.
    pub right: f64,
    /// Bottom edge, px.
    pub bottom: f64,
}

impl Rect {
    /// The rectangle with its top left corner at (`left`, `top`).
    pub fn sized(left: f64, top: f64, width: f64, height: f64) -> Self {
        Self { left, top, right: left + width, bottom: top + height }
    }

    /// The corners, clockwise from the top left.
    pub fn corners(&self) -> [Point; 4] {
        [(self.left, self.top), (self.right, self.top), (self.right, self.bottom), (self.left, self.bottom)]
    }

    /// A line round it, closed.
    pub fn outline(&self) -> Vec<Point> {
        self.corners().into_iter().chain([(self.left, self.top)]).collect()
    }

    /// Its middle.
    pub fn middle(&self) -> Point {
        (f64::midpoint(self.left, self.right), f64::midpoint(self.top, self.bottom))
    }

    /// Width, px.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height, px.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The same rectangle with every edge moved outwards by `by` px.
    pub fn grown(&self, by: f64) -> Self {
        self.grown_by((by, by))
    }

    /// The same rectangle, wider and higher by so many px on each side.
    pub fn grown_by(&self, (across, upwards): (f64, f64)) -> Self {
        Self {
            left: self.left - across,
            top: self.top - upwards,
            right: self.right + across,
            bottom: self.bottom + upwards,
        }
    }

    /// Whether the insides of the two rectangles meet.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether `other` lies wholly inside.
    pub fn contains(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    /// Distance from a point to the rectangle, 0 inside, px.
    pub fn distance_to_point(&self, (x, y): Point) -> f64 {
        let dx = (self.left - x).max(x - self.right).max(0.0);
        let dy = (self.top - y).max(y - self.bottom).max(0.0);
        dx.hypot(dy)
    }

    /// The square of the gap to another rectangle, 0 if they touch, px².
    pub fn gap_squared(&self, other: &Self) -> f64 {
        let apart = |low: f64, high: f64, other_low: f64, other_high: f64| match () {
            () if other_low > high => other_low - high,
            () if low > other_high => low - other_high,
            () => 0.0,
        };
        let dx = apart(self.left, self.right, other.left, other.right);
        let dy = apart(self.top, self.bottom, other.top, other.bottom);
        dx * dx + dy * dy
    }

    /// The smallest rectangle round this one and another.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        let (lesser, greater) =
            (|a: f64, b: f64| if b < a { b } else { a }, |a: f64, b: f64| if b > a { b } else { a });
        Self {
            left: lesser(self.left, other.left),
            top: lesser(self.top, other.top),
            right: greater(self.right, other.right),
            bottom: greater(self.bottom, other.bottom),
        }
    }

    /// Distance from a segment to the rectangle, 0 if they touch, px.
    pub fn distance_to_segment(&self, a: Point, b: Point) -> f64 {
        if clip_segment(a, b, self).is_some() {
            return 0.0;
        }
        // One root at the end: names are tried at thousands of places.
        let corners = [
            (self.left, self.top),
            (self.right, self.top),
            (self.left, self.bottom),
            (self.right, self.bottom),
        ];
        let ends = [a, b].map(|(x, y)| self.gap_squared(&Self { left: x, top: y, right: x, bottom: y }));
        let all = corners.into_iter().map(|corner| point_to_segment_squared(corner, a, b)).chain(ends);
        all.fold(f64::INFINITY, |least, one| if one < least { one } else { least }).sqrt()
    }
}

/// The square of the distance from a point to a segment, px².
fn point_to_segment_squared(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length_squared = dx * dx + dy * dy;
    let t = if length_squared > 0.0 {
        (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (x, y) = (p.0 - a.0 - t * dx, p.1 - a.1 - t * dy);
    x * x + y * y
}

/// A polyline with as few of its points as leave no other further than `within` px from it: each segment is the longest whose
/// direction stays inside the cone from its beginning round all points it passes over.
pub fn simplified(points: &[Point], within: f64) -> Vec<Point> {
    let Some((&first, rest)) = points.split_first() else { return Vec::new() };
    let mut kept = vec![first];
    let (mut from, mut last) = (first, first);
    let mut cone: Option<Cone> = None;
    for &point in rest {
        if cone.as_ref().is_some_and(|cone| !cone.holds(from, point)) {
            kept.push(last);
            (from, cone) = (last, None);
        }
        cone = Cone::narrowed(cone, from, point, within);
        last = point;
    }
    if !rest.is_empty() {
        kept.push(last);
    }
    kept
}

/// Directions from a point that pass others closely enough, and how far the furthest of these is, px.
struct Cone {
    right: Point,
    left: Point,
    reach: f64,
}

impl Cone {
    /// Whether a segment from `from` to `to` passes all that the cone was narrowed by.
    fn holds(&self, from: Point, to: Point) -> bool {
        let way = (to.0 - from.0, to.1 - from.1);
        // What turns back is passed over by no straight line.
        way.0 * way.0 + way.1 * way.1 >= self.reach * self.reach
            && cross(self.right, way) >= 0.0
            && cross(way, self.left) >= 0.0
    }

    /// The cone narrowed by one more point; one nearer than `within` says nothing of the direction.
    fn narrowed(cone: Option<Self>, from: Point, point: Point, within: f64) -> Option<Self> {
        let (dx, dy) = (point.0 - from.0, point.1 - from.1);
        let square = dx * dx + dy * dy;
        if square <= within * within {
            return cone;
        }
        let along = (square - within * within).sqrt();
        let right = (dx * along + dy * within, dy * along - dx * within);
        let left = (dx * along - dy * within, dy * along + dx * within);
        let reach = square.sqrt();
        Some(match cone {
            None => Self { right, left, reach },
            Some(cone) => Self {
                right: if cross(cone.right, right) > 0.0 { right } else { cone.right },
                left: if cross(cone.left, left) < 0.0 { left } else { cone.left },
                reach: cone.reach.max(reach),
            },
        })
    }
}

/// Positive where `b` points to the left of `a`.
fn cross(a: Point, b: Point) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

/// The part of the segment inside the rectangle (Liang and Barsky 1984), if any.
pub fn clip_segment(a: Point, b: Point, rect: &Rect) -> Option<(Point, Point)> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let edges =
        [(-dx, a.0 - rect.left), (dx, rect.right - a.0), (-dy, a.1 - rect.top), (dy, rect.bottom - a.1)];
    for (towards, room) in edges {
        if towards == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if towards < 0.0 {
            enter = enter.max(room / towards);
        } else {
            leave = leave.min(room / towards);
        }
    }
    let at = |t: f64| (a.0 + t * dx, a.1 + t * dy);
    (enter <= leave).then(|| (at(enter), at(leave)))
}

/// The pieces of a polyline that lie inside the rectangle.
pub fn clip_polyline(points: &[Point], rect: &Rect) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let mut open = false;
    for pair in points.windows(2) {
        let &[a, b] = pair else { continue };
        let Some((from, to)) = clip_segment(a, b, rect) else {
            open = false;
            continue;
        };
        match pieces.last_mut() {
            Some(piece) if open => piece.push(to),
            _ => pieces.push(vec![from, to]),
        }
        open = to == b;
    }
    pieces
}

/// Cuts a polyline into dashes; `pattern` is drawn length, gap, drawn length, gap, …, px.
///
/// An empty pattern leaves the line whole. The pattern runs on across corners.
pub fn dashes(line: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    let Some((&first, _)) = line.split_first() else { return Vec::new() };
    let mut lengths = pattern.iter().copied().filter(|length| *length > 0.0).cycle();
    let Some(mut left) = lengths.next() else { return vec![line.to_vec()] };
    let mut drawing = true;
    let mut out = Vec::new();
    let mut dash = vec![first];
    for pair in line.windows(2) {
        let &[mut from, to] = pair else { continue };
        let mut span = (to.0 - from.0).hypot(to.1 - from.1);
        while span > left {
            let t = left / span;
            from = (from.0 + t * (to.0 - from.0), from.1 + t * (to.1 - from.1));
            span -= left;
            if drawing {
                dash.push(from);
                out.push(std::mem::take(&mut dash));
            } else {
                dash = vec![from];
            }
            drawing = !drawing;
            left = lengths.next().unwrap_or(f64::INFINITY);
        }
        left -= span;
        if drawing {
            dash.push(to);
        }
    }
    if drawing && dash.len() > 1 {
        out.push(dash);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: Rect = Rect { left: 0.0, top: 0.0, right: 10.0, bottom: 10.0 };

    /// Whatever the line, its ends stay and no point lies further from what is left than it may; a straight one is left its ends.
    #[test]
    fn property_a_simplified_line_passes_all_its_points() {
        let straight: Vec<Point> = (0..50).map(|n| (f64::from(n), 0.5 * f64::from(n))).collect();
        assert_eq!(simplified(&straight, 0.25), vec![straight[0], straight[49]]);
        assert_eq!(simplified(&[(1.0, 2.0)], 0.25), vec![(1.0, 2.0)]);
        for seed in 0..200_u32 {
            let wild = |n: u32, of: u32| f64::from((seed * 7919 + n * n * 7 + of * 31) % 997) / 997.0;
            // Waves of any steepness, with noise and turnings back.
            let line: Vec<Point> = (0..400)
                .map(|n| {
                    let x = 0.7 * f64::from(n) - if seed % 4 == 0 { 3.0 * wild(n, 1) } else { 0.0 };
                    let y = 90.0 * wild(seed, 3) * (0.02 * wild(seed, 2) * f64::from(n)).sin();
                    (x, y + f64::from(seed % 3) * 0.2 * wild(n, 4))
                })
                .collect();
            let kept = simplified(&line, 0.25);
            assert_eq!((kept.first(), kept.last()), (line.first(), line.last()), "{seed}");
            assert!(kept.len() < line.len(), "{seed}: {}", kept.len());
            for &(x, y) in &line {
                let dot = Rect::sized(x, y, 0.0, 0.0);
                let nearest = kept.windows(2).map(|pair| dot.distance_to_segment(pair[0], pair[1]));
                let nearest = nearest.fold(f64::INFINITY, f64::min);
                assert!(nearest <= 0.25 + 1e-9, "{seed}: {nearest}");
            }
        }
    }

    #[test]
    fn closed_form_a_diagonal_is_cut_at_the_square() {
        assert_eq!(clip_segment((-5.0, -5.0), (15.0, 15.0), &SQUARE), Some(((0.0, 0.0), (10.0, 10.0))));
        assert_eq!(clip_segment((-5.0, 6.0), (4.0, 15.0), &SQUARE), None);
    }

    #[test]
    fn closed_form_a_line_that_leaves_and_returns_is_two_pieces() {
        let pieces = clip_polyline(&[(1.0, 5.0), (1.0, 20.0), (9.0, 20.0), (9.0, 5.0)], &SQUARE);
        assert_eq!(pieces, vec![vec![(1.0, 5.0), (1.0, 10.0)], vec![(9.0, 10.0), (9.0, 5.0)]]);
    }

    #[test]
    fn closed_form_dashes_run_on_round_a_corner() {
        let cut = dashes(&[(0.0, 0.0), (3.0, 0.0), (3.0, 4.0)], &[4.0, 2.0]);
        assert_eq!(cut, vec![vec![(0.0, 0.0), (3.0, 0.0), (3.0, 1.0)], vec![(3.0, 3.0), (3.0, 4.0)]]);
    }

    #[test]
    fn closed_form_distances_of_a_3_4_5_triangle() {
        let distance = SQUARE.distance_to_segment((13.0, 14.0), (13.0, 40.0));
        assert!((distance - 5.0).abs() < 1e-12, "{distance}");
        assert!(SQUARE.distance_to_segment((-5.0, 5.0), (15.0, 5.0)).abs() < 1e-12);
    }
}
