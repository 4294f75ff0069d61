//! Names inside a panel, beside curves and points.

use crate::geometry::{Point, Rect, clip_segment};

/// Least px between two names, across and upwards: across it must be more than a word space.
const BETWEEN_NAMES: (f64, f64) = (26.0, 8.0);
/// Px between a name and its own curve.
const TO_OWN: f64 = 7.0;
/// Least px between a name and any curve.
const CLEAR: f64 = 4.0;
/// A name must be nearer its own curve than any other by this factor …
const NEARER: f64 = 1.6;
/// … and by this many px.
const NEARER_BY: f64 = 10.0;
/// From this distance on other curves no longer matter, px.
const FAR: f64 = 120.0;
/// Points no further apart are one, px.
const SAME: f64 = 0.5;
/// Places tried along a curve.
const PLACES: u32 = 72;
/// Places looked at on the way from a point to its name.
const LOOKS: u32 = 16;

/// A curve as drawn.
#[derive(Debug, Clone, Default)]
pub struct Curve {
    /// Pieces of polyline, px.
    pub pieces: Vec<Vec<Point>>,
    /// How far its markers reach from the line, px.
    pub radius: f64,
}

impl Curve {
    /// Its right end.
    pub fn end(&self) -> Option<Point> {
        self.pieces.iter().flatten().copied().max_by(|a, b| a.0.total_cmp(&b.0))
    }

    fn segments(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let pairs = self.pieces.iter().flat_map(|piece| piece.windows(2));
        pairs.filter_map(|pair| <[Point; 2]>::try_from(pair).ok()).map(|[a, b]| (a, b))
    }
}

/// Segments to a block.
const BLOCK: usize = 24;

/// Some segments of a curve that follow each other, within their bounds: what lies too far off to matter is passed over at once.
#[derive(Debug, Clone)]
struct Block {
    bounds: Rect,
    segments: Vec<(Point, Point)>,
}

impl Block {
    fn all(curve: &Curve) -> Vec<Self> {
        let segments: Vec<(Point, Point)> = curve.segments().collect();
        let block = |segments: &[(Point, Point)]| Self {
            bounds: segments
                .iter()
                .skip(1)
                .fold(bounds(segments[0]), |all, segment| all.with(&bounds(*segment))),
            segments: segments.to_vec(),
        };
        segments.chunks(BLOCK).map(block).collect()
    }
}

/// The smallest rectangle round a segment.
fn bounds((a, b): (Point, Point)) -> Rect {
    let ordered = |p: f64, q: f64| if p < q { (p, q) } else { (q, p) };
    let ((left, right), (top, bottom)) = (ordered(a.0, b.0), ordered(a.1, b.1));
    Rect { left, top, right, bottom }
}

/// The inside of a panel and what already stands in it.
pub struct Field<'a> {
    area: Rect,
    curves: &'a [Curve],
    blocks: Vec<Vec<Block>>,
    stems: &'a [f64],
    taken: Vec<Rect>,
}

/// Which end of a curve a name is drawn to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pull {
    /// Wherever there is most room.
    Room,
    /// Towards the right end.
    Right,
}

impl<'a> Field<'a> {
    /// A panel with curves and upright lines (`stems`, px) and no names yet.
    pub fn new(area: Rect, curves: &'a [Curve], stems: &'a [f64]) -> Self {
        Self { area, curves, blocks: curves.iter().map(Block::all).collect(), stems, taken: Vec::new() }
    }

    /// Keeps names off a place.
    pub fn take(&mut self, place: Rect) {
        self.taken.push(place);
    }

    fn is_free(&self, place: &Rect) -> bool {
        self.area.contains(place)
            && !self.taken.iter().any(|taken| taken.grown_by(BETWEEN_NAMES).overlaps(place))
    }

    fn stems_under(&self, place: &Rect) -> f64 {
        let hidden = self.stems.iter().filter(|x| (place.left - 2.0..place.right + 2.0).contains(*x));
        hidden.count() as f64
    }

    /// Distance from a place to a curve, px; anything from `limit` on is `limit`, and once it is known to be less than `enough` how much
    /// less is not looked up.
    fn distance(&self, place: &Rect, curve: usize, enough: f64, limit: f64) -> f64 {
        let (Some(blocks), Some(Curve { radius, .. })) = (self.blocks.get(curve), self.curves.get(curve))
        else {
            return limit;
        };
        let mut least = limit;
        // What is no nearer than what has been found cannot be the nearest.
        let matters = |bounds: &Rect, least: f64| place.gap_squared(bounds) < (least + radius).powi(2);
        for block in blocks.iter().filter(|block| !block.segments.is_empty()) {
            if !matters(&block.bounds, least) {
                continue;
            }
            for &(a, b) in &block.segments {
                if matters(&bounds((a, b)), least) {
                    least = least.min((place.distance_to_segment(a, b) - radius).max(0.0));
                    if least < enough {
                        return least;
                    }
                }
            }
        }
        least
    }

    /// Whether a curve runs closer to a place than `clear` px.
    fn meets(&self, place: &Rect, curve: usize, clear: f64) -> bool {
        self.distance(place, curve, clear, clear) < clear
    }

    /// Whether a curve that does not go through `point` itself runs between it and `name`.
    fn parted(&self, point: Point, name: Point) -> bool {
        let at = |t: f64| {
            Rect::sized(point.0 + t * (name.0 - point.0), point.1 + t * (name.1 - point.1), 0.0, 0.0)
        };
        let others = (0..self.curves.len()).filter(|&curve| !self.meets(&at(0.0), curve, CLEAR));
        let looks = || (1..=LOOKS).map(|n| at(f64::from(n) / f64::from(LOOKS)));
        others.into_iter().any(|curve| looks().any(|look| self.meets(&look, curve, CLEAR)))
    }

    /// The least distance from a place to any curve but `own`, by the rule of [`Field::distance`].
    fn distance_to_others(&self, place: &Rect, own: usize, enough: f64, limit: f64) -> f64 {
        let mut least = limit;
        for curve in (0..self.curves.len()).filter(|&curve| curve != own) {
            least = self.distance(place, curve, enough, least);
            if least < enough {
                break;
            }
        }
        least
    }

    /// Whether any curve runs through a place or all but touches it.
    fn is_crossed(&self, place: &Rect) -> bool {
        (0..self.curves.len()).any(|curve| self.meets(place, curve, CLEAR))
    }

    /// Places a name of the given size beside curve number `own`, clear of all curves and nearer its own
    /// than any other. Nothing if there is no such place.
    pub fn beside_curve(&mut self, own: usize, (width, height): (f64, f64), pull: Pull) -> Option<Rect> {
        let curve = self.curves.get(own)?;
        let mut best: Option<(f64, Rect)> = None;
        let gap = TO_OWN + curve.radius;
        let rest = curve.pieces.last().and_then(|piece| piece.last()).map_or(0.0, |end| end.1);
        for (part, (x, y)) in along(curve) {
            let middle = x - width / 2.0;
            let (highest, lowest) = extent(curve, middle - CLEAR, middle + width + CLEAR).unwrap_or((y, y));
            // Above and below sit on the curve's own crest or trough; a steep curve leaves them far away.
            let steep = (lowest - highest) / 40.0;
            let places = [
                (steep, Rect::sized(middle, highest - gap - height, width, height)),
                (steep + 0.15, Rect::sized(middle, lowest + gap, width, height)),
            ];
            // To the right and left: the flatter the curve, the further off the name must stand.
            let beside = (0..4_u32).flat_map(|further| {
                let off = TO_OWN + gap + f64::from(further) * height / 3.0;
                [x + off, x - off - width]
                    .map(|left| (0.4, Rect::sized(left, y - height / 2.0, width, height)))
            });
            for (lean, place) in places.into_iter().chain(beside) {
                let aside = match pull {
                    // A curve is best named where it is doing something, away from its level of rest.
                    Pull::Room => {
                        0.2 * (1.0 - part)
                            + 0.6 * (1.0 - (4.0 * (y - rest).abs() / self.area.height()).min(1.0))
                    }
                    Pull::Right => 2.0 * (1.0 - part),
                };
                let known = lean + aside + 1.5 * self.stems_under(&place);
                if !self.is_free(&place) || best.is_some_and(|(least, _)| known >= least) {
                    continue;
                }
                let to_own = self.distance(&place, own, CLEAR, 4.0 * TO_OWN);
                if !(CLEAR..=3.0 * TO_OWN).contains(&to_own) {
                    continue;
                }
                let clear = NEARER * to_own + NEARER_BY;
                let to_others = self.distance_to_others(&place, own, clear, FAR);
                if to_others < clear {
                    continue;
                }
                let cost = known + 1.2 * (1.0 - to_others / FAR);
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, place));
                }
            }
        }
        let (_, place) = best?;
        self.taken.push(place);
        Some(place)
    }

    /// Places a name near one of the points, off the curves if it can be, and says which point. Nothing if
    /// no place is free.
    pub fn by_points(&mut self, points: &[Point], size: (f64, f64)) -> Option<(Point, Rect)> {
        let mut best: Option<(Point, (f64, Rect))> = None;
        for &point in points {
            let least = best.map_or(f64::INFINITY, |(_, (cost, _))| cost);
            best = self.near(point, size, least, |_| true).map(|found| (point, found)).or(best);
        }
        let (point, (_, place)) = best?;
        self.taken.push(place);
        Some((point, place))
    }

    /// Places a name by the end of curve number `own`, nearer to it than to any other curve. Nothing if there is no such place.
    pub fn at_end(&mut self, own: usize, end: Point, size: (f64, f64)) -> Option<Rect> {
        let is_own = |place: &Rect| {
            let to_end = place.distance_to_point(end);
            let others = self.curves.iter().enumerate().filter(|(curve, _)| *curve != own);
            let is_theirs = others.filter_map(|(_, curve)| curve.end()).any(|other| {
                // An end in the same place is as much its own.
                (other.0 - end.0).hypot(other.1 - end.1) > SAME && place.distance_to_point(other) <= to_end
            });
            // A curve that runs along its own is no nearer.
            let clear = || self.distance(place, own, 0.0, FAR) - SAME;
            let are_clear = |clear: f64| self.distance_to_others(place, own, clear, FAR) >= clear;
            !is_theirs && are_clear(clear())
        };
        let (_, place) = self.near(end, size, f64::INFINITY, is_own)?;
        self.taken.push(place);
        Some(place)
    }

    /// The best free place near a point that serves, and what it costs, if that is less than `most`.
    fn near(
        &self,
        (x, y): Point,
        (width, height): (f64, f64),
        most: f64,
        serves: impl Fn(&Rect) -> bool,
    ) -> Option<(f64, Rect)> {
        let (mut least, mut best) = (most, None);
        for (ring, gap) in [14.0, 30.0, 54.0, 90.0, 140.0].into_iter().enumerate() {
            let (dx, dy) = (gap + width / 2.0, gap + height / 2.0);
            let side = 0.75 * gap + width / 2.0;
            let centres = [
                (x + side, y - dy + 4.0),
                (x + dx, y),
                (x + side, y + dy - 4.0),
                (x, y - dy),
                (x, y + dy),
                (x - side, y - dy + 4.0),
                (x - dx, y),
                (x - side, y + dy - 4.0),
            ];
            for (turn, (cx, cy)) in centres.into_iter().enumerate() {
                let place = Rect::sized(cx - width / 2.0, cy - height / 2.0, width, height);
                let known = ring as f64 + 0.1 * turn as f64 + 1.5 * self.stems_under(&place);
                if known >= least || !self.is_free(&place) || !serves(&place) {
                    continue;
                }
                let known = known + 4.0 * f64::from(u8::from(self.is_crossed(&place)));
                if known >= least {
                    continue;
                }
                let way = ((x, y), (x.clamp(place.left, place.right), y.clamp(place.top, place.bottom)));
                let is_barred = self.taken.iter().any(|taken| {
                    taken.distance_to_point((x, y)) > 0.0 && clip_segment(way.0, way.1, taken).is_some()
                });
                let is_barred = is_barred || self.parted(way.0, way.1);
                let cost = known + 6.0 * f64::from(u8::from(is_barred));
                if cost < least {
                    (least, best) = (cost, Some((cost, place)));
                }
            }
        }
        best
    }

    /// Places a name anywhere free, from the top left.
    pub fn anywhere(&mut self, (width, height): (f64, f64)) -> Option<Rect> {
        let mut best: Option<(f64, Rect)> = None;
        for row in 0..12_u32 {
            for column in 0..12_u32 {
                let left = self.area.left + f64::from(column) / 11.0 * (self.area.width() - width);
                let top = self.area.top + f64::from(row) / 11.0 * (self.area.height() - height);
                let place = Rect::sized(left, top, width, height);
                if !self.is_free(&place) {
                    continue;
                }
                let crossed = 30.0 * f64::from(u8::from(self.is_crossed(&place)));
                let cost = f64::from(row + column) + 8.0 * self.stems_under(&place) + crossed;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, place));
                }
            }
        }
        let (_, place) = best?;
        self.taken.push(place);
        Some(place)
    }
}

/// Points spread evenly along a curve, with the part of its length before each.
fn along(curve: &Curve) -> Vec<(f64, Point)> {
    let length = |(a, b): (Point, Point)| (b.0 - a.0).hypot(b.1 - a.1);
    let total: f64 = curve.segments().map(length).sum();
    let stride = total / f64::from(PLACES);
    let mut out = Vec::new();
    let (mut done, mut next) = (0.0, 0_u32);
    for (a, b) in curve.segments() {
        let span = length((a, b));
        while next <= PLACES && f64::from(next) * stride <= done + span {
            let t = if span > 0.0 { (f64::from(next) * stride - done) / span } else { 0.0 };
            out.push((f64::from(next) / f64::from(PLACES), (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1))));
            next += 1;
        }
        done += span;
    }
    out
}

/// Highest and lowest y of a curve between two x, px.
fn extent(curve: &Curve, left: f64, right: f64) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for (a, b) in curve.segments() {
        if (a.0 < left && b.0 < left) || (a.0 > right && b.0 > right) {
            continue;
        }
        let slope = (b.1 - a.1) / (b.0 - a.0);
        // Only a segment that reaches past an edge is cut there, and such a segment is not upright.
        let at = |x: f64| a.1 + (x - a.0) * slope;
        let ends = [a, b].map(|(x, y)| {
            if x < left {
                at(left)
            } else if x > right {
                at(right)
            } else {
                y
            }
        });
        for y in ends {
            let (high, low) = found.unwrap_or((y, y));
            found = Some((high.min(y), low.max(y)));
        }
    }
    found
}
