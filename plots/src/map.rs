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

use crate::error::PlotError;
use crate::font::Fonts;
use crate::frame::OnePanel;
use crate::geometry::{Point, Rect};
use crate::hatch;
use crate::line_chart::axis::is_drawable;
use crate::line_chart::page::Setting;
use crate::line_chart::{Axis, LineChart, Panel, PointMark, Series};
use crate::scene::{Picture, Scene, Shape};
use crate::theme::Theme;
use regions::{Region, Tile};

/// Width of the lines of a ruling, px.
const RULE: f64 = 2.0;
/// How strong the lines of a ruling are.
const RULE_OPACITY: f64 = 0.42;
/// Width of the lines between regions, line widths.
const EDGE: f64 = 0.7;
/// Length of a tick at the left edge, px.
const TICK: f64 = 9.0;

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
#[derive(Debug, Clone, PartialEq)]
pub struct RegionMap {
    /// What the map shows, in a few words; may be empty.
    pub headline: String,
    /// Where the numbers come from: a small line at the foot; may be empty.
    pub source: String,
    /// Width of the canvas, px.
    pub width: u32,
    /// Height of the canvas, px.
    pub height: u32,
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
        Self {
            headline: headline.into(),
            source: String::new(),
            width: 1920,
            height: 1080,
            x,
            y,
            categories: Vec::new(),
            rows: Vec::new(),
            points: Vec::new(),
        }
    }

    /// The same map with a source line at the foot.
    #[must_use]
    pub fn with_source(self, source: impl Into<String>) -> Self {
        Self { source: source.into(), ..self }
    }

    /// The same map on a canvas of another size, px. Type keeps its size in px.
    #[must_use]
    pub fn with_size(self, width: u32, height: u32) -> Self {
        Self { width, height, ..self }
    }

    /// The same map with one more category, in tint and ruling number `style`.
    #[must_use]
    pub fn with_category(mut self, label: impl Into<String>, style: usize) -> Self {
        self.categories.push(Category { label: label.into(), style });
        self
    }

    /// The same map with one more row.
    #[must_use]
    pub fn with_row(mut self, y: f64, stretches: impl IntoIterator<Item = Stretch>) -> Self {
        self.rows.push(Row { y, stretches: stretches.into_iter().collect() });
        self
    }

    /// The same map with a named point.
    #[must_use]
    pub fn with_point(mut self, at: (f64, f64), label: impl Into<String>) -> Self {
        self.points.push(PointMark { at, label: label.into(), style: None });
        self
    }

    /// The page as a line chart that draws nothing.
    fn page(&self, theme: &Theme) -> LineChart {
        let ends = self.rows.iter().flat_map(|row| &row.stretches).flat_map(|one| [one.from, one.to]);
        let x = spanning(&self.x, ends);
        let y = spanning(&self.y, self.rows.iter().map(|row| row.y));
        let corners = x.range.zip(y.range).map(|(x, y)| [(x.0, y.0), (x.1, y.1)]);
        let unseen = Series::new("", corners.into_iter().flatten());
        let (width, height) = theme.format.canvas((self.width, self.height));
        LineChart::new(&self.headline, x)
            .with_panel(Panel::new(y).with_series(unseen))
            .with_source(&self.source)
            .with_size(width, height)
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

impl Picture for RegionMap {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        let chart = self.page(theme);
        let setting = Setting { chart: &chart, theme, fonts: &fonts };
        let mut page = OnePanel::of(&setting)?;
        let regions = regions::join(&self.tiled(&page));
        let regions: Vec<Region> = regions.into_iter().filter(|region| region.category.is_some()).collect();
        if regions.is_empty() {
            page.no_data(&setting);
        }
        for region in &regions {
            let polygon = region.polygon();
            page.shapes.extend(self.surface(&polygon, region.category, theme));
        }
        page.shapes.extend(frame(&page, theme));
        let edges: Vec<Vec<Point>> = regions.iter().flat_map(|region| region.edges(&page.rect)).collect();
        let edge = |points: &Vec<Point>| Shape::Line {
            points: points.clone(),
            colour: theme.ink,
            width: EDGE * theme.line_width,
        };
        page.shapes.extend(edges.iter().map(edge));
        let named = names::name(self, &setting, &page, (&regions, &edges));
        page.shapes.extend(named.shapes);
        page.texts.extend(named.texts);
        page.omitted.extend(named.omitted);
        Ok(page.scene(&setting))
    }
}

impl RegionMap {
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
    let Rect { left, top, .. } = page.rect;
    let line = |points: Vec<Point>| Shape::Line { points, colour: theme.axis, width: 2.0 };
    let upwards = page.page.panels.iter().flat_map(|panel| &panel.marks.major);
    let ticks = upwards.map(|(y, _)| line(vec![(left - TICK, *y), (left, *y)]));
    let around = page.rect.corners().into_iter().chain([(left, top)]).collect();
    ticks.chain([line(around)]).collect()
}

#[cfg(test)]
mod tests;
