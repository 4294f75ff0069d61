//! Named rows of lying bars, each bar with its interval and its figure: what causes how much.
//!
//! Names stand at the left, figures beside the bars' ends, so that nothing need be looked up. The first bar of a row is filled,
//! the others are outlined, so that they differ without colour too; what they mean is said by the figures of the first row.

use crate::axes::{Axes, Axis, Foot, Span, TICK, TO_FIGURES, marks_across};
use crate::canvas::{Body, Chart, Content, LEADING, Setting};
use crate::error::PlotError;
use crate::font::Weight;
use crate::geometry::Rect;
use crate::scene::Shape;
use crate::theme::Colour;

/// The names take no more than this part of the canvas.
const NAMES: f64 = 0.3;
/// The figures beside the bars take no more than this part of the canvas.
const FIGURES: f64 = 0.25;
/// Px between names, axis, bars and figures.
const GAP: f64 = 20.0;
/// Height of a bar, as a part of what one bar has.
const BAR: f64 = 0.62;
/// The most height one bar has, px.
const MOST: f64 = 64.0;
/// Space between rows, as a part of what one bar has.
const BETWEEN: f64 = 0.5;
/// Half the height of an interval's end, as a part of the bar's height.
const CAP: f64 = 0.2;
/// Least width of the bars' field, px.
const LEAST: f64 = 240.0;

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Its length in the unit of the axis.
    pub value: f64,
    /// The ends of its interval, drawn as a thin line.
    pub interval: Option<(f64, f64)>,
    /// The figure printed beside it.
    pub label: String,
}

impl Bar {
    /// The figures as they are set, on one line, and their width, px.
    fn figures(&self, setting: &Setting) -> (String, f64) {
        let (size, room) = (setting.theme.sizes.tick, FIGURES * setting.width());
        let lines = setting.fonts.wrap(&self.label, size, Weight::Regular, room, 1);
        let figures = lines.into_iter().next().unwrap_or_default();
        let width = setting.width_of(&figures, size);
        (figures, width)
    }
}

/// A named row of bars.
#[derive(Debug, Clone, PartialEq)]
pub struct BarRow {
    /// The name printed before them.
    pub label: String,
    /// The bars, from the top.
    pub bars: Vec<Bar>,
}

/// A chart of lying bars.
pub type Bars = Chart<BarRows>;

/// The body of [`Bars`].
#[derive(Debug, Clone, PartialEq)]
pub struct BarRows {
    /// The axis the bars are measured on; from zero unless it has a range.
    pub x: Axis,
    /// The rows, from the top.
    pub rows: Vec<BarRow>,
}

impl Bars {
    /// A chart without rows on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>, x: Axis) -> Self {
        Self::of(headline, BarRows { x, rows: Vec::new() })
    }

    /// The same chart with one more row.
    #[must_use]
    pub fn with_row(self, label: impl Into<String>, bars: impl IntoIterator<Item = Bar>) -> Self {
        let row = BarRow { label: label.into(), bars: bars.into_iter().collect() };
        self.with(|chart| chart.rows.push(row))
    }
}

impl BarRows {
    /// What the axis must reach: every bar and every end of an interval, and zero.
    fn span(&self) -> Span {
        let bars = self.rows.iter().flat_map(|row| &row.bars);
        let seen = bars.flat_map(|bar| {
            let (low, high) = bar.interval.unwrap_or((bar.value, bar.value));
            [bar.value, low, high]
        });
        Span::of(&self.x, seen.chain(std::iter::once(0.0))).rounded(8.0)
    }
}

/// The lines of a name and where its row stands, px.
struct Row<'a> {
    name: Vec<String>,
    bars: &'a [Bar],
    top: f64,
    /// Height of each bar with its space.
    pitch: f64,
}

impl Body for BarRows {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let Setting { room: frame, theme, fonts, .. } = *setting;
        let sizes = theme.sizes;
        let names: Vec<Vec<String>> = self
            .rows
            .iter()
            .map(|row| fonts.wrap(&row.label, sizes.label, Weight::Regular, NAMES * setting.width(), 2))
            .collect();
        let named = names.iter().flatten().map(|line| setting.width_of(line, sizes.label));
        let figures = self.rows.iter().flat_map(|row| &row.bars).map(|bar| bar.figures(setting).1);
        let left = frame.left + named.fold(0.0, f64::max) + GAP;
        let right = frame.right - figures.fold(0.0, f64::max) - GAP;

        let axes = Axes { x: &self.x, span: self.span(), upright: Vec::new(), events: &[], bands: &[] };
        let foot = Foot::lay(setting, &axes, (left, right.max(left + 1.0)), &[]);
        // Two lines of a name, and a line of figures for each bar, must find room in a row.
        let pitches: f64 = self.rows.iter().map(|row| row.bars.len().max(1) as f64 + BETWEEN).sum();
        let height = foot.top - frame.top;
        let pitch = (height / pitches.max(1.0)).min(MOST);
        let least = sizes.tick.max(sizes.label * (1.0 + LEADING) / (2.0 + BETWEEN));
        if right - left < LEAST || pitch < least {
            return Err(setting.too_small(LEAST - (right - left), pitches * least - height));
        }
        let rect = Rect { left, right, top: frame.top, bottom: foot.top };
        let mut content = Content::default();
        ground(setting, &axes.span, &rect, &mut content);
        let mut next = frame.top + 0.5 * (height - pitch * pitches + BETWEEN * pitch).max(0.0);
        for (row, name) in self.rows.iter().zip(names) {
            let row = Row { name, bars: &row.bars, top: next, pitch };
            next += pitch * (row.bars.len().max(1) as f64 + BETWEEN);
            row.draw(setting, &axes.span, &rect, &mut content);
        }
        content.texts.extend(foot.texts);
        content.omitted.extend(foot.omitted);
        Ok(content)
    }
}

/// Grid, axis and the figures along it.
fn ground(setting: &Setting, x: &Span, rect: &Rect, content: &mut Content) {
    let theme = setting.theme;
    let size = theme.sizes.tick;
    let marks = marks_across(x, (rect.left, rect.right), setting);
    let mut line = |from, to, colour, width| content.shapes.push(Shape::line(from, to, colour, width));
    for (at, figures) in &marks.major {
        line((*at, rect.top), (*at, rect.bottom), theme.grid, 1.5);
        line((*at, rect.bottom), (*at, rect.bottom + TICK), theme.axis, 2.0);
        let corner = (at - setting.width_of(figures, size) / 2.0, rect.bottom + TO_FIGURES);
        content.texts.push(setting.text(figures, corner, (size, theme.muted)));
    }
    line((rect.left, rect.bottom), (rect.right, rect.bottom), theme.axis, 2.0);
    if let Some(zero) = x.pixel(0.0, rect.left, rect.right).filter(|_| x.holds(0.0)) {
        line((zero, rect.top), (zero, rect.bottom), theme.axis, 2.0);
    }
}

/// The colour of bars that stand for no setting of the latch.
const OWN: usize = 4;

impl Row<'_> {
    /// Name, bars, intervals and figures.
    fn draw(&self, setting: &Setting, x: &Span, rect: &Rect, Content { shapes, texts, .. }: &mut Content) {
        let theme = setting.theme;
        let pixel =
            |value: f64| x.pixel(value, rect.left, rect.right).map(|at| at.clamp(rect.left, rect.right));
        let start = pixel(0.0).unwrap_or(rect.left);
        let middle = self.top + 0.5 * self.pitch * self.bars.len().max(1) as f64;
        let size = theme.sizes.label;
        let high = Setting::height_of(self.name.len(), size);
        for (index, line) in self.name.iter().enumerate() {
            let left = rect.left - GAP - setting.width_of(line, size);
            let corner = (left, middle - high / 2.0 + LEADING * size * index as f64);
            texts.push(setting.text(line, corner, (size, theme.ink)));
        }
        for (index, bar) in self.bars.iter().enumerate() {
            let colours = theme.series_colour(OWN);
            let centre = self.top + self.pitch * (index as f64 + 0.5);
            let half = 0.5 * BAR * self.pitch;
            let Some(end) = pixel(bar.value) else { continue };
            let (from, to) = (start.min(end), start.max(end));
            let block = Rect { left: from, right: to, top: centre - half, bottom: centre + half };
            shapes.extend(if index == 0 {
                vec![Shape::block(&block, colours.line)]
            } else {
                outline(&block, colours.line)
            });
            let interval = bar.interval.and_then(|(low, high)| Some((pixel(low)?, pixel(high)?)));
            if let Some((low, high)) = interval {
                let cap = CAP * self.pitch;
                let ends = [low, high].map(|at| ((at, centre - cap), (at, centre + cap)));
                let lines = || std::iter::once(((low, centre), (high, centre))).chain(ends);
                // On a light edge the interval shows up against the bar, too.
                shapes.extend(lines().map(|(a, b)| Shape::line(a, b, theme.background, 6.0)));
                shapes.extend(lines().map(|(a, b)| Shape::line(a, b, theme.ink, 2.5)));
            }
            let size = theme.sizes.tick;
            let corner = (interval.map_or(to, |(_, high)| to.max(high)) + GAP, centre - size / 2.0);
            texts.push(setting.text(&bar.figures(setting).0, corner, (size, colours.text)));
        }
    }
}

/// The four sides of a bar, drawn inside it.
fn outline(block: &Rect, colour: Colour) -> Vec<Shape> {
    const PEN: f64 = 4.0;
    let inner = block.grown(-PEN / 2.0);
    if inner.width() <= 0.0 {
        return vec![Shape::block(block, colour)];
    }
    vec![Shape::Line { points: inner.outline(), colour, width: PEN }]
}

#[cfg(test)]
mod tests;
