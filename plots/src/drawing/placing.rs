//! From the part to the paper, with a piece of a long part left out.

use super::profile::Station;
use crate::geometry::Point;

/// Width of the gap where a long part is broken, mm on paper.
const GAP: f64 = 3.0;

/// A stretch of the part that is left out, from one place on its axis to another.
pub(super) type Break = (f64, f64);

/// From the part to the paper.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placing {
    /// The left end of the axis on paper.
    pub origin: Point,
    /// mm on paper for each of the part.
    pub factor: f64,
    /// What is left out.
    pub left_out: Option<Break>,
}

impl Placing {
    /// A part whose left end lies at nought.
    pub fn whole(factor: f64) -> Self {
        Self { origin: (0.0, 0.0), factor, left_out: None }
    }

    /// The same with so much of a plain stretch left out of its middle that `excess` mm of paper are saved; none where that leaves less
    /// than `keep` mm on paper at either side.
    pub fn broken(self, (from, to): Break, excess: f64, keep: f64) -> Option<Self> {
        let out = (excess + GAP) / self.factor;
        let kept = 0.5 * (to - from - out);
        (kept * self.factor >= keep).then_some(Self { left_out: Some((from + kept, to - kept)), ..self })
    }

    /// A place along the axis on paper.
    pub fn x(&self, x: f64) -> f64 {
        let along = match self.left_out {
            Some((from, to)) if x >= to => self.factor * (from + x - to) + GAP,
            Some((from, to)) if x > from => self.factor * from + GAP * (x - from) / (to - from),
            _ => self.factor * x,
        };
        self.origin.0 + along
    }

    /// A place along the axis, and up from it.
    pub fn at(&self, (x, up): Station) -> Point {
        (self.x(x), self.origin.1 - self.factor * up)
    }

    /// Stations above the axis and below it.
    pub fn both(&self, stations: &[Station]) -> [Vec<Point>; 2] {
        let above = stations.iter().map(|&station| self.at(station)).collect();
        let below = stations.iter().map(|&(x, r)| self.at((x, -r))).collect();
        [above, below]
    }

    /// The stretches of a part of a `length` that are drawn.
    pub fn drawn(&self, length: f64) -> Vec<(f64, f64)> {
        match self.left_out {
            Some((from, to)) => vec![(0.0, from), (to, length)],
            None => vec![(0.0, length)],
        }
    }
}
