//! How often a figure falls where: upright bars over equal steps, named places, and a limit.
//!
//! Names of places stand above the panel on their poles. The bars stand on the grid; a limit is an upright line, hatched beyond.
//!
//! The step is that of D. Freedman and P. Diaconis, "On the histogram as a density estimator" (1981), twice the quartile
//! distance over the cube root of the number of values, rounded up to 1, 2 or 5 times a power of ten.

use crate::axes::{Axes, Axis, Event, OnePanel, Span, Upright, ticks};
use crate::canvas::{Body, Chart, Content, Setting};
use crate::error::PlotError;
use crate::font::Weight;
use crate::geometry::{Point, Rect};
use crate::hatch::forbidden;
use crate::scene::{Shape, TextBox};

/// The fewest and the most steps across the values.
const STEPS: (f64, f64) = (8.0, 60.0);
/// A limit further from the values than their own span is named at the edge, so that it does not squeeze them.
const NEAR: f64 = 1.0;
/// Empty stretch at either side, as a part of the span.
const SIDE: f64 = 0.04;
/// Room above the highest bar, as a part of its height.
const ABOVE: f64 = 0.06;
/// The same where the name of a limit beyond the edge stands there.
const ABOVE_WITH_NAME: f64 = 0.2;
/// Px between neighbouring bars.
const BETWEEN: f64 = 2.0;
/// Distance of a name from the panel's edge, px.
const INSET: f64 = 14.0;

/// A named place on the x axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Its value in the unit of the x axis.
    pub x: f64,
    /// Its name.
    pub label: String,
}

/// A chart of how often values fall where.
pub type Histogram = Chart<Values>;

/// The body of a [`Histogram`].
#[derive(Debug, Clone, PartialEq)]
pub struct Values {
    /// The axis of the values; its range is found from them.
    pub x: Axis,
    /// What is counted, as in "machines".
    pub counted: String,
    /// Number of the bars' colour among the theme's series.
    pub style: usize,
    /// The values; those that are not finite are passed over.
    pub values: Vec<f64>,
    /// Named places.
    pub places: Vec<Place>,
    /// The greatest value allowed, hatched beyond.
    pub limit: Option<Place>,
}

impl Histogram {
    /// A histogram of values on a canvas of 1920 × 1080 px.
    pub fn new(
        headline: impl Into<String>,
        x: Axis,
        counted: impl Into<String>,
        values: impl IntoIterator<Item = f64>,
    ) -> Self {
        let values = values.into_iter().collect();
        Self::of(
            headline,
            Values { x, counted: counted.into(), style: 0, values, places: Vec::new(), limit: None },
        )
    }

    /// The same chart with one more named place.
    #[must_use]
    pub fn with_place(self, x: f64, label: impl Into<String>) -> Self {
        self.with(|values| values.places.push(Place { x, label: label.into() }))
    }

    /// The same chart with a named limit above which nothing is allowed.
    #[must_use]
    pub fn with_limit(self, x: f64, label: impl Into<String>) -> Self {
        self.with(|values| values.limit = Some(Place { x, label: label.into() }))
    }

    /// The same chart with its bars in the colour of series number `style`, counted from 0.
    #[must_use]
    pub fn with_style(self, style: usize) -> Self {
        self.with(|values| values.style = style)
    }
}

/// What the axes of a histogram show.
struct Plan {
    x: Axis,
    y: Axis,
    events: Vec<Event>,
    /// The side and the name of a limit beyond the edge.
    beyond: Option<(Beyond, String)>,
}

impl Values {
    fn plan(&self, bins: &Bins) -> Plan {
        let span = bins.high - bins.low;
        let (mut low, mut high) = (bins.low - SIDE * span, bins.high + SIDE * span);
        // Where there are no values, no limit can be near them.
        let limit = self.limit.as_ref().filter(|limit| limit.x.is_finite() && !bins.shares.is_empty());
        let beyond = limit.and_then(|limit| {
            if limit.x > bins.high + NEAR * span {
                return Some((Beyond::Right, format!("{} →", limit.label)));
            }
            if limit.x < bins.low - NEAR * span {
                return Some((Beyond::Left, format!("← {}", limit.label)));
            }
            (low, high) = (low.min(limit.x - SIDE * span), high.max(limit.x + 2.0 * SIDE * span));
            None
        });
        let above = if beyond.is_some() { ABOVE_WITH_NAME } else { ABOVE };
        let top = bins.shares.iter().fold(0.0_f64, |top, share| top.max(*share));
        let y = Axis::new(format!("{} in each step of {}", self.counted, bins.step_words(&self.x.unit)), "%");
        let top = if top > 0.0 { top * (1.0 + above) } else { 1.0 };
        let inside = limit.iter().copied().filter(|_| beyond.is_none());
        let places = self.places.iter().chain(inside);
        let events = places.map(|place| Event { x: place.x, label: place.label.clone() }).collect();
        Plan { x: self.x.clone().range(low, high), y: y.range(0.0, top), events, beyond }
    }
}

/// At which side a limit lies beyond the chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Beyond {
    Left,
    Right,
}

/// Equal steps and what falls into each.
#[derive(Debug, Clone, PartialEq)]
struct Bins {
    low: f64,
    high: f64,
    step: f64,
    /// Per cent of all values in each step.
    shares: Vec<f64>,
}

impl Bins {
    /// The steps for the finite values among those given; none at all where there are no values.
    fn of(values: &[f64]) -> Self {
        let mut sorted: Vec<f64> = values.iter().copied().filter(|value| value.abs() < 1e300).collect();
        sorted.sort_by(f64::total_cmp);
        let (Some(&least), Some(&greatest)) = (sorted.first(), sorted.last()) else {
            return Self { low: 0.0, high: 1.0, step: 1.0, shares: Vec::new() };
        };
        let quartile =
            |quarter: usize| sorted.get(quarter * (sorted.len() - 1) / 4).copied().unwrap_or(least);
        let span = greatest - least;
        // Values that agree to eleven figures are one value as far as a picture goes.
        let size = least.abs().max(greatest.abs());
        if span <= 1e-11 * size || span < 1e-290 {
            let step = ticks::step(if size > 1e-290 { 0.2 * size } else { 1.0 }, 2.0);
            return Self { low: least - 0.5 * step, high: least + 0.5 * step, step, shares: vec![100.0] };
        }
        let wish = 2.0 * (quartile(3) - quartile(1)) / (sorted.len() as f64).cbrt();
        let step = ticks::step(wish.clamp(span / STEPS.1, span / STEPS.0), 1.0);
        let low = (least / step + 1e-9).floor() * step;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "at most a few dozen steps"
        )]
        let count = (((greatest - low) / step - 1e-9).ceil() as usize).max(1);
        let mut shares = vec![0.0; count];
        for value in &sorted {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a step from 0 on")]
            let index = ((value - low) / step) as usize;
            if let Some(share) = shares.get_mut(index.min(count - 1)) {
                *share += 100.0 / sorted.len() as f64;
            }
        }
        Self { low, high: low + step * count as f64, step, shares }
    }

    /// The bars that are not empty, px.
    fn bars(&self, page: &OnePanel) -> Vec<Rect> {
        let bar = |(index, share): (usize, &f64)| {
            let edge = |number: usize| page.x(self.low + self.step * number as f64);
            let (left, right) = (edge(index)?, edge(index + 1)?);
            Some(Rect { left, right, top: page.y(*share)?, bottom: page.rect.bottom })
        };
        self.shares.iter().enumerate().filter(|(_, share)| **share > 0.0).filter_map(bar).collect()
    }

    /// "0.2 ms".
    fn step_words(&self, unit: &str) -> String {
        let figures = ticks::at_multiples(self.step, self.step, self.step).major.pop();
        let step = figures.map_or_else(String::new, |(_, figures)| figures);
        if unit.is_empty() { step } else { format!("{step}\u{a0}{unit}") }
    }
}

impl Body for Values {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let theme = setting.theme;
        let bins = Bins::of(&self.values);
        let Plan { x, y, events, beyond } = self.plan(&bins);
        let span = Span::of(&x, events.iter().map(|event| event.x));
        let seen = Span::of(&y, std::iter::empty());
        let upright = vec![Upright { axis: &y, seen, hatched: Vec::new(), share: 1.0 }];
        let axes = Axes { x: &x, span, upright, events: &events, bands: &[] };
        let mut page = OnePanel::of(setting, &axes)?;
        let rect = page.rect;
        if bins.shares.is_empty() {
            page.no_data(setting);
        }
        let colour = theme.series_colour(self.style).line;
        let bars = bins.bars(&page);
        page.content.shapes.extend(bars.iter().map(|bar| {
            let gap = BETWEEN.min(0.2 * bar.width());
            Shape::block(&Rect { right: bar.right - gap, bottom: bar.bottom - 1.0, ..*bar }, colour)
        }));
        let outline = outline(&bars).into_iter();
        page.content.shapes.extend(outline.map(|points| Shape::Line {
            points,
            colour,
            width: theme.line_width,
        }));
        if let Some((side, name)) = &beyond {
            page.content.texts.extend(at_edge(*side, name, &rect, setting));
        }
        // The poles of the places stand in front of the bars.
        for (x, _) in &page.page.stems {
            let pole = |colour, width| Shape::line((*x, rect.top), (*x, rect.bottom), colour, width);
            page.content.shapes.extend([pole(theme.background, 6.0), pole(theme.ink, 2.5)]);
        }
        let inside = self.limit.as_ref().filter(|_| beyond.is_none() && !bins.shares.is_empty());
        if let Some(x) = inside.and_then(|limit| page.page.x_inside(limit.x)) {
            let region = Rect { left: x.max(rect.left), ..rect };
            let anchor = (region.left - region.height(), region.bottom);
            page.content.shapes.extend(forbidden(&region, anchor, theme));
            page.content.shapes.push(Shape::line((x, rect.top), (x, rect.bottom), theme.limit, 4.0));
        }
        Ok(page.content)
    }
}

/// The lines over the tops of the bars, one for each row of bars that touch.
fn outline(bars: &[Rect]) -> Vec<Vec<Point>> {
    let mut lines: Vec<Vec<Point>> = Vec::new();
    let mut reached = f64::NAN;
    for bar in bars {
        let top = [(bar.left, bar.top), (bar.right, bar.top)];
        match lines.last_mut() {
            Some(line) if (bar.left - reached).abs() < 0.5 => line.extend(top),
            _ => lines.push(top.to_vec()),
        }
        reached = bar.right;
    }
    lines
}

/// The name of a limit beyond the edge of the panel.
fn at_edge(side: Beyond, name: &str, rect: &Rect, setting: &Setting) -> Vec<TextBox> {
    let (size, colour) = (setting.theme.sizes.label, setting.theme.limit);
    let room = rect.width() - 2.0 * INSET;
    let lines = setting.fonts.wrap(name, size, Weight::Regular, room, 1);
    let set = |line: &String| {
        let width = setting.width_of(line, size);
        let left = match side {
            Beyond::Left => rect.left + INSET,
            Beyond::Right => rect.right - INSET - width,
        };
        setting.text(line, (left, rect.top + INSET / 2.0), (size, colour))
    };
    lines.iter().map(set).collect()
}

#[cfg(test)]
mod tests;
