//! From rows of stretches to regions, in pixels.

use crate::geometry::{Point, Rect};
use std::ops::Range;

/// A narrower gap between two stretches is closed, px.
const CLOSED: f64 = 0.75;
/// What two tiles of one category that do not overlap still gain by being joined, px.
const KINSHIP: f64 = 1.0;

/// A stretch of a row, px; of no category where nothing covers the row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tile {
    /// Left end, px.
    pub from: f64,
    /// Right end, px.
    pub to: f64,
    /// Number of its category.
    pub category: Option<usize>,
}

impl Tile {
    fn overlap(&self, other: &Self) -> f64 {
        (self.to.min(other.to) - self.from.max(other.from)).max(0.0)
    }
}

/// Tiles from edge to edge without gaps: what is not covered gets tiles of no category, and of two that overlap the later one
/// begins where the earlier one ends.
pub fn tile(stretches: impl Iterator<Item = Tile>, (left, right): (f64, f64)) -> Vec<Tile> {
    let mut given: Vec<Tile> = stretches.filter(|tile| tile.to > tile.from).collect();
    given.sort_by(|a, b| a.from.total_cmp(&b.from));
    let mut tiles: Vec<Tile> = Vec::new();
    let mut add = |tile: Tile| match tiles.last_mut() {
        Some(last) if last.category == tile.category => last.to = tile.to,
        _ => tiles.push(tile),
    };
    let mut reached = left;
    for stretch in given {
        let (mut from, to) = (stretch.from.max(reached), stretch.to.min(right));
        if from - reached > CLOSED {
            add(Tile { from: reached, to: from.min(right), category: None });
        } else {
            from = reached;
        }
        if to > from {
            add(Tile { from, to, category: stretch.category });
            reached = to;
        }
    }
    if right - reached > CLOSED {
        add(Tile { from: reached, to: right, category: None });
    } else if let Some(last) = tiles.last_mut() {
        last.to = right;
    }
    tiles
}

/// A region: its left and its right edge from the lowest row up, px, point by point at the same heights.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// Number of its category.
    pub category: Option<usize>,
    left: Vec<Point>,
    right: Vec<Point>,
}

impl Region {
    fn new(category: Option<usize>) -> Self {
        Self { category, left: Vec::new(), right: Vec::new() }
    }

    fn push(&mut self, (from, to): (f64, f64), y: f64) {
        self.left.push((from, y));
        self.right.push((to, y));
    }

    /// Its outline.
    pub fn polygon(&self) -> Vec<Point> {
        self.left.iter().chain(self.right.iter().rev()).copied().collect()
    }

    /// The parts of its outline that do not lie on the edge of the panel.
    pub fn edges(&self, panel: &Rect) -> Vec<Vec<Point>> {
        let outline = self.polygon();
        let closed = outline.iter().chain(outline.first()).copied().collect::<Vec<_>>();
        let on = |value: f64, edge: f64| (value - edge).abs() < 0.5;
        let along_panel = |a: Point, b: Point| {
            [panel.left, panel.right].into_iter().any(|x| on(a.0, x) && on(b.0, x))
                || [panel.top, panel.bottom].into_iter().any(|y| on(a.1, y) && on(b.1, y))
        };
        let mut edges: Vec<Vec<Point>> = Vec::new();
        let mut open = false;
        for pair in closed.windows(2) {
            let &[a, b] = pair else { continue };
            if along_panel(a, b) {
                open = false;
                continue;
            }
            match edges.last_mut() {
                Some(edge) if open => edge.push(b),
                _ => edges.push(vec![a, b]),
            }
            open = true;
        }
        edges
    }

    /// Its area, px².
    pub fn area(&self) -> f64 {
        let rows = self.left.iter().zip(&self.right).map(|(left, right)| (left.1, right.0 - left.0));
        let rows: Vec<(f64, f64)> = rows.collect();
        rows.windows(2).map(pair_area).sum()
    }

    /// Its top and bottom, px.
    pub fn heights(&self) -> (f64, f64) {
        let ends = |points: &[Point]| Some((points.last()?.1, points.first()?.1));
        ends(&self.left).unwrap_or_default()
    }

    /// Between which x it reaches without a break from one height down to another, px.
    pub fn clear_between(&self, top: f64, bottom: f64) -> Option<(f64, f64)> {
        let (highest, lowest) = self.heights();
        if top < highest || bottom > lowest {
            return None;
        }
        let left = values_between(&self.left, top, bottom).fold(f64::NEG_INFINITY, f64::max);
        let right = values_between(&self.right, top, bottom).fold(f64::INFINITY, f64::min);
        (left < right).then_some((left, right))
    }
}

/// Area between two rows given by height and width.
fn pair_area(pair: &[(f64, f64)]) -> f64 {
    match pair {
        [a, b] => (a.0 - b.0).abs() * f64::midpoint(a.1, b.1),
        _ => 0.0,
    }
}

/// The x of an edge at two heights and at its own points between them.
fn values_between(edge: &[Point], top: f64, bottom: f64) -> impl Iterator<Item = f64> {
    edge.windows(2).flat_map(move |pair| {
        let mut found = Vec::new();
        if let &[low, high] = pair {
            let span = high.1 - low.1;
            let at = |y: f64| if span == 0.0 { low.0 } else { low.0 + (y - low.1) / span * (high.0 - low.0) };
            let (from, to) = (high.1.max(top), low.1.min(bottom));
            if from <= to {
                found.extend([at(from), at(to)]);
            }
        }
        found
    })
}

/// Joins the tiles of neighbouring rows into regions; rows from the lowest up, each tiled from edge to edge.
pub fn join(rows: &[(f64, Vec<Tile>)]) -> Vec<Region> {
    let mut regions: Vec<Region> = Vec::new();
    // The region of each tile of the row below.
    let mut open: Vec<usize> = Vec::new();
    let start = |regions: &mut Vec<Region>, tile: &Tile| {
        regions.push(Region::new(tile.category));
        regions.len() - 1
    };
    if let Some((y, tiles)) = rows.first() {
        for tile in tiles {
            let index = start(&mut regions, tile);
            if let Some(region) = regions.get_mut(index) {
                region.push((tile.from, tile.to), *y);
            }
            open.push(index);
        }
    }
    for pair in rows.windows(2) {
        let [(low, below), (high, above)] = pair else { continue };
        let mut next = Vec::new();
        for step in align(below, above) {
            let (old, new) = (below.get(step.below.clone()), above.get(step.above.clone()));
            let (old, new) = (old.unwrap_or_default(), new.unwrap_or_default());
            let indices: Vec<usize> = open.get(step.below.clone()).unwrap_or_default().to_vec();
            if step.joined {
                for (index, tile) in indices.iter().zip(new) {
                    if let Some(region) = regions.get_mut(*index) {
                        region.push((tile.from, tile.to), *high);
                    }
                    next.push(*index);
                }
                continue;
            }
            let change = Change::new((below, *low, &step.below), (above, *high, &step.above));
            for (index, tile) in indices.iter().zip(old) {
                if let Some(region) = regions.get_mut(*index) {
                    region.push(change.at_meeting(change.low, tile), change.y);
                }
            }
            for tile in new {
                let index = start(&mut regions, tile);
                if let Some(region) = regions.get_mut(index) {
                    region.push(change.at_meeting(change.high, tile), change.y);
                    region.push((tile.from, tile.to), *high);
                }
                next.push(index);
            }
        }
        open = next;
    }
    regions
}

/// Tiles of two rows that answer each other: one and one of the same category, or any number on either side with no match.
struct Step {
    below: Range<usize>,
    above: Range<usize>,
    joined: bool,
}

/// Between two rows, where tiles end and others begin: at the far row where only one side has any, else half-way.
struct Change {
    low: (f64, f64),
    high: (f64, f64),
    meeting: (f64, f64),
    y: f64,
}

impl Change {
    fn new(
        (below, low_y, old): (&[Tile], f64, &Range<usize>),
        (above, high_y, new): (&[Tile], f64, &Range<usize>),
    ) -> Self {
        let (low, high) = (ends(below, old), ends(above, new));
        let (meeting, y) = if new.is_empty() {
            (high, high_y)
        } else if old.is_empty() {
            (low, low_y)
        } else {
            let half = (f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1));
            (half, f64::midpoint(low_y, high_y))
        };
        Self { low, high, meeting, y }
    }

    /// Where a tile of a run stands at the meeting.
    fn at_meeting(&self, run: (f64, f64), tile: &Tile) -> (f64, f64) {
        let width = run.1 - run.0;
        let map = |x: f64| {
            let part = if width > 0.0 { (x - run.0) / width } else { 0.5 };
            self.meeting.0 + part * (self.meeting.1 - self.meeting.0)
        };
        (map(tile.from), map(tile.to))
    }
}

/// The ends of a run of tiles; for an empty run both are the place between its neighbours.
fn ends(tiles: &[Tile], run: &Range<usize>) -> (f64, f64) {
    let before = run.start.checked_sub(1).and_then(|index| tiles.get(index)).map(|tile| tile.to);
    let from = tiles.get(run.start).map(|tile| tile.from).or(before).unwrap_or(0.0);
    let last = run.end.checked_sub(1).and_then(|index| tiles.get(index));
    let to = if run.is_empty() { from } else { last.map_or(from, |tile| tile.to) };
    (from, to)
}

/// Pairs off the tiles of two rows, in order, so that those of one category overlap as far as may be.
fn align(below: &[Tile], above: &[Tile]) -> Vec<Step> {
    let gain = |i: usize, j: usize| -> Option<f64> {
        let (a, b) = (below.get(i)?, above.get(j)?);
        (a.category == b.category).then(|| KINSHIP + a.overlap(b))
    };
    // The most that the tiles from (i, j) on can gain.
    let (rows, columns) = (below.len() + 1, above.len() + 1);
    let mut best = vec![0.0_f64; rows * columns];
    let value = |best: &[f64], i: usize, j: usize| best.get(i * columns + j).copied().unwrap_or(0.0);
    for i in (0..below.len()).rev() {
        for j in (0..above.len()).rev() {
            let skip = value(&best, i + 1, j).max(value(&best, i, j + 1));
            let take = gain(i, j).map_or(0.0, |gain| gain + value(&best, i + 1, j + 1));
            if let Some(entry) = best.get_mut(i * columns + j) {
                *entry = skip.max(take);
            }
        }
    }
    let mut steps = Vec::new();
    let (mut i, mut j) = (0, 0);
    let (mut from, mut to) = (0, 0);
    while i < below.len() && j < above.len() {
        let here = value(&best, i, j);
        let taken = gain(i, j).is_some_and(|gain| gain + value(&best, i + 1, j + 1) >= here - 1e-9);
        if taken {
            steps.push(Step { below: from..i, above: to..j, joined: false });
            steps.push(Step { below: i..i + 1, above: j..j + 1, joined: true });
            (i, j) = (i + 1, j + 1);
            (from, to) = (i, j);
        } else if value(&best, i + 1, j) >= value(&best, i, j + 1) {
            i += 1;
        } else {
            j += 1;
        }
    }
    steps.push(Step { below: from..below.len(), above: to..above.len(), joined: false });
    steps.retain(|step| !(step.below.is_empty() && step.above.is_empty()));
    steps
}
