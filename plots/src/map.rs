//! Which category rules where, over two axes: regions in tints and rulings, each with its name in it.
//!
//! The data are rows, each a height with the stretches of x that belong to one category each. Between two rows a stretch runs
//! straight to the stretch of the same category it meets in the next; one that meets none narrows to nothing. The nearer the rows,
//! the smoother the regions.
//!
//! Every category has a ruling of its own as well as a tint, so that the regions can be told apart without colour. Names stand in
//! the regions on a plain plate; the name of a region without room for it stands above the panel, beside a sample.

mod names;
mod regions;

use crate::axes::{Axes, Axis, OnePanel, Span, TICK, Upright, is_drawable};
use crate::canvas::{Body, Chart, Content, Setting};
use crate::error::PlotError;
use crate::geometry::Point;
use crate::hatch;
use crate::line_chart::PointMark;
use crate::scene::Shape;
use crate::theme::Theme;
use regions::{Region, Tile};

/// Width of the lines of a ruling, px.
const RULE: f64 = 2.0;
/// How strong the lines of a ruling are.
const RULE_OPACITY: f64 = 0.42;
/// Width of the lines between regions, line widths.
const EDGE: f64 = 0.7;

/// What a region can belong to.
#[derive(Debug, Clone, PartialEq)]
pub struct Category {
    /// The name printed in its regions.
    pub label: String,
    /// Number of its tint and ruling, counted from 0; they repeat after the fifth.
    pub style: usize,
}

/// A stretch of the x axis that belongs to one category.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins, in the unit of the x axis.
    pub from: f64,
    /// Where it ends, in the unit of the x axis.
    pub to: f64,
    /// Number of its category, counted from 0.
    pub category: usize,
}

/// What belongs to which category at one height.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The height in the unit of the y axis.
    pub y: f64,
    /// The stretches; what none of them covers stays empty, and where two overlap the earlier one holds.
    pub stretches: Vec<Stretch>,
}

/// A map of regions.
pub type RegionMap = Chart<Regions>;

/// The body of a [`RegionMap`].
#[derive(Debug, Clone, PartialEq)]
pub struct Regions {
    /// The axis across; the stretches span it unless it has a range.
    pub x: Axis,
    /// The axis upwards; the rows span it unless it has a range.
    pub y: Axis,
    /// The categories.
    pub categories: Vec<Category>,
    /// The rows, in any order.
    pub rows: Vec<Row>,
    /// Named points.
    pub points: Vec<PointMark>,
}

impl RegionMap {
    /// A map without rows on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>, x: Axis, y: Axis) -> Self {
        Self::of(headline, Regions { x, y, categories: Vec::new(), rows: Vec::new(), points: Vec::new() })
    }

    /// The same map with one more category, in tint and ruling number `style`.
    #[must_use]
    pub fn with_category(self, label: impl Into<String>, style: usize) -> Self {
        self.with(|map| map.categories.push(Category { label: label.into(), style }))
    }

    /// The same map with one more row.
    #[must_use]
    pub fn with_row(self, y: f64, stretches: impl IntoIterator<Item = Stretch>) -> Self {
        self.with(|map| map.rows.push(Row { y, stretches: stretches.into_iter().collect() }))
    }

    /// The same map with a named point.
    #[must_use]
    pub fn with_point(self, at: (f64, f64), label: impl Into<String>) -> Self {
        self.with(|map| map.points.push(PointMark { at, label: label.into(), style: None }))
    }
}

impl Regions {
    /// The page with the axes over all rows.
    fn page(&self, setting: &Setting) -> Result<OnePanel, PlotError> {
        let ends = self.rows.iter().flat_map(|row| &row.stretches).flat_map(|one| [one.from, one.to]);
        let x = spanning(&self.x, ends);
        let y = spanning(&self.y, self.rows.iter().map(|row| row.y));
        let seen = |axis: &Axis| Span::of(axis, axis.range.into_iter().flat_map(|(low, high)| [low, high]));
        let upright = vec![Upright { axis: &y, seen: seen(&y), hatched: Vec::new(), share: 1.0 }];
        let axes = Axes { x: &x, span: seen(&x), upright, events: &[], bands: &[] };
        OnePanel::of(setting, &axes)
    }

    /// The rows in pixels from the lowest up, each tiled from edge to edge of the panel.
    fn tiled(&self, page: &OnePanel) -> Vec<(f64, Vec<Tile>)> {
        let rect = &page.rect;
        let holds = |y: &f64| (rect.top - 0.5..=rect.bottom + 0.5).contains(y);
        let mut rows: Vec<(f64, Vec<Tile>)> = Vec::new();
        for row in &self.rows {
            let Some(y) = page.y(row.y).filter(holds) else { continue };
            let known = row.stretches.iter().filter(|stretch| stretch.category < self.categories.len());
            let tiles = known.filter_map(|stretch| {
                let (from, to) = (page.x(stretch.from)?, page.x(stretch.to)?);
                Some(Tile { from, to, category: Some(stretch.category) })
            });
            rows.push((y.clamp(rect.top, rect.bottom), regions::tile(tiles, (rect.left, rect.right))));
        }
        rows.sort_by(|a, b| b.0.total_cmp(&a.0));
        rows.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6);
        if let [only] = rows.as_mut_slice() {
            // One row rules the whole height.
            only.0 = rect.bottom;
            let again = (rect.top, only.1.clone());
            rows.push(again);
        }
        rows
    }
}

/// The axis over the range of the values, unless it has one of its own.
fn spanning(axis: &Axis, values: impl Iterator<Item = f64>) -> Axis {
    let (low, high) = values
        .filter(|value| is_drawable(*value, axis.scale))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    if axis.range.is_some() || low > high { axis.clone() } else { axis.clone().range(low, high) }
}

impl Body for Regions {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let theme = setting.theme;
        let mut page = self.page(setting)?;
        let regions = regions::join(&self.tiled(&page));
        let regions: Vec<Region> = regions.into_iter().filter(|region| region.category.is_some()).collect();
        if regions.is_empty() {
            page.no_data(setting);
        }
        for region in &regions {
            let polygon = region.polygon();
            page.content.shapes.extend(self.surface(&polygon, region.category, theme));
        }
        let frame = frame(&page, theme);
        page.content.shapes.extend(frame);
        let edges: Vec<Vec<Point>> = regions.iter().flat_map(|region| region.edges(&page.rect)).collect();
        let edge = |points: &Vec<Point>| Shape::Line {
            points: points.clone(),
            colour: theme.ink,
            width: EDGE * theme.line_width,
        };
        page.content.shapes.extend(edges.iter().map(edge));
        let named = names::name(self, setting, &page, (&regions, &edges));
        page.content.extend(named);
        Ok(page.content)
    }
}

impl Regions {
    /// Tint and ruling of a category over a polygon.
    fn surface(&self, polygon: &[Point], category: Option<usize>, theme: &Theme) -> Vec<Shape> {
        let Some(category) = category.and_then(|number| self.categories.get(number)) else {
            return Vec::new();
        };
        let line = theme.series_colour(category.style).line.faded(RULE_OPACITY);
        let tint = Shape::Area { points: polygon.to_vec(), colour: theme.tint(category.style) };
        let rules = hatch::rule(polygon, category.style, (line, RULE));
        std::iter::once(tint).chain(rules).collect()
    }
}

/// The frame, and ticks at its left edge; those under it belong to the ground.
fn frame(page: &OnePanel, theme: &Theme) -> Vec<Shape> {
    let left = page.rect.left;
    let upwards = page.page.panels.iter().flat_map(|panel| &panel.marks.major);
    let ticks = upwards.map(|(y, _)| Shape::line((left - TICK, *y), (left, *y), theme.axis, 2.0));
    let around = Shape::Line { points: page.rect.outline(), colour: theme.axis, width: 2.0 };
    ticks.chain([around]).collect()
}

#[cfg(test)]
mod tests;
