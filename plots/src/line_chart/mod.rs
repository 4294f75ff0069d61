//! Curves over a shared x axis, in one or more stacked panels.
//!
//! The chart is plain data; [`Picture::compose`](crate::Picture::compose) lays it out. Each curve's
//! name stands beside it: at its right end where the ends lie apart, else at the place along the curve
//! that is clear of everything else, else by its end if that is well inside the panel, else in a column at
//! the right with a thin line to the curve's end. Names that find no place are listed in
//! [`Layout::omitted`](crate::Layout::omitted).
//!
//! Any data can be drawn. A point that is not finite (or not positive on a logarithmic axis) breaks its
//! line, and so does one beyond ±1e300; a point with no neighbours is drawn as a disc; a series with
//! nothing to draw is named in the panel with the words "no data".

mod beside;
mod compose;
mod names;
mod paint;
#[cfg(test)]
mod tests;

pub use beside::{Beside, Pair};

use crate::axes::{Axis, Band, Event, Hatch};
use crate::canvas::Chart;
use crate::mechanism::mix;
use crate::theme::{SeriesColour, Stroke, Theme};

/// How far the last of many of one colour goes towards the ink.
const DARKEST: f64 = 0.75;

/// How the points of a series are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marks {
    /// Not at all.
    None,
    /// Filled.
    Solid,
    /// As outlines alone.
    Hollow,
}

/// A named curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// The name printed beside the curve; empty for none.
    pub label: String,
    /// x and y in the units of the axes.
    pub points: Vec<(f64, f64)>,
    /// Colour, line style and marker, counted from 0; the place in the panel if not given.
    pub style: Option<usize>,
    /// Line style, if it is not to follow `style`.
    pub stroke: Option<Stroke>,
    /// Which of how many of one colour: its shade, line style and marker, counted from 0.
    pub variant: Option<(usize, usize)>,
    /// Whether it is a limit, drawn as all of them are.
    pub limit: bool,
    /// How each point is marked.
    pub markers: Marks,
    /// Whether the points are joined.
    pub line: bool,
}

impl Series {
    /// A joined curve without markers.
    pub fn new(label: impl Into<String>, points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        Self {
            label: label.into(),
            points: points.into_iter().collect(),
            style: None,
            stroke: None,
            variant: None,
            limit: false,
            markers: Marks::None,
            line: true,
        }
    }

    /// The same series in the colour, line style and marker number `style`, counted from 0.
    #[must_use]
    pub fn style(self, style: usize) -> Self {
        Self { style: Some(style), ..self }
    }

    /// The same series with another line style.
    #[must_use]
    pub fn stroke(self, stroke: Stroke) -> Self {
        Self { stroke: Some(stroke), ..self }
    }

    /// The same series as number `which` of `of` that mean the same and so share a colour: each has its own shade, line style and
    /// marker.
    #[must_use]
    pub fn variant(self, which: usize, of: usize) -> Self {
        Self { variant: Some((which, of)), ..self }
    }

    /// The same series as a limit that is not the same everywhere.
    #[must_use]
    pub fn as_limit(self) -> Self {
        Self { limit: true, stroke: Some(Stroke::Solid), ..self }
    }

    /// The colour of its line, and of its name, as number `index` of its panel.
    pub(crate) fn colours(&self, index: usize, theme: &Theme) -> SeriesColour {
        if self.limit {
            return SeriesColour { line: theme.limit, text: theme.limit };
        }
        let own = theme.series_colour(self.style.unwrap_or(index));
        let Some((which, of)) = self.variant else { return own };
        let share = DARKEST * which as f64 / of.saturating_sub(1).max(1) as f64;
        SeriesColour { line: mix(own.line, theme.ink, share), text: mix(own.text, theme.ink, share) }
    }

    /// The number of its line style and that of its marker, as number `index` of its panel.
    pub(crate) fn signs(&self, index: usize) -> (usize, usize) {
        match self.variant {
            // Those that share a line style have another marker.
            Some((which, _)) => (which, which + which / Stroke::ALL.len()),
            None => (self.style.unwrap_or(index), self.style.unwrap_or(index)),
        }
    }

    /// The same series with a marker at each point.
    #[must_use]
    pub fn with_markers(self) -> Self {
        Self { markers: Marks::Solid, ..self }
    }

    /// The same series with markers that are outlines alone, for what stands apart from its kind.
    #[must_use]
    pub fn hollow(self) -> Self {
        Self { markers: Marks::Hollow, ..self }
    }

    /// The same series as markers alone, for readings.
    #[must_use]
    pub fn markers_only(self) -> Self {
        Self { markers: Marks::Solid, line: false, ..self }
    }
}

/// A named line across a panel: level for a value of y, upright for one of x.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Its value in the unit of its axis.
    pub value: f64,
    /// The name printed beside it.
    pub label: String,
    /// The side that is hatched.
    pub hatch: Hatch,
}

/// A named point, usually on a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct PointMark {
    /// x and y in the units of the axes.
    pub at: (f64, f64),
    /// The name printed beside it.
    pub label: String,
    /// Number of the style whose colour it takes; plain ink if not given.
    pub style: Option<usize>,
}

/// One y axis and what is drawn against it.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// The y axis.
    pub y: Axis,
    /// The curves, lowest first.
    pub series: Vec<Series>,
    /// Named horizontal lines.
    pub limits: Vec<Limit>,
    /// Named upright lines of this panel alone.
    pub x_limits: Vec<Limit>,
    /// Named points.
    pub points: Vec<PointMark>,
    /// Named moments of this panel alone.
    pub events: Vec<Event>,
    /// Its height against that of the others.
    pub share: f64,
}

impl Panel {
    /// An empty panel.
    pub fn new(y: Axis) -> Self {
        Self {
            y,
            series: Vec::new(),
            limits: Vec::new(),
            x_limits: Vec::new(),
            points: Vec::new(),
            events: Vec::new(),
            share: 1.0,
        }
    }

    /// The same panel, `share` times as high as one of which nothing is said.
    #[must_use]
    pub fn share(self, share: f64) -> Self {
        Self { share, ..self }
    }

    /// The same panel with one more curve.
    #[must_use]
    pub fn with_series(mut self, series: Series) -> Self {
        self.series.push(series);
        self
    }

    /// The same panel with a named horizontal line, one side of it hatched if asked.
    #[must_use]
    pub fn with_limit(mut self, value: f64, label: impl Into<String>, hatch: Hatch) -> Self {
        self.limits.push(Limit { value, label: label.into(), hatch });
        self
    }

    /// The same panel with a named upright line at a value of the x axis, one side of it hatched if asked.
    #[must_use]
    pub fn with_x_limit(mut self, value: f64, label: impl Into<String>, hatch: Hatch) -> Self {
        self.x_limits.push(Limit { value, label: label.into(), hatch });
        self
    }

    /// The same panel with a named moment of its own.
    #[must_use]
    pub fn with_event(mut self, x: f64, label: impl Into<String>) -> Self {
        self.events.push(Event { x, label: label.into() });
        self
    }

    /// The same panel with a named point in the colour of style number `style`.
    #[must_use]
    pub fn with_point(mut self, at: (f64, f64), label: impl Into<String>, style: Option<usize>) -> Self {
        self.points.push(PointMark { at, label: label.into(), style });
        self
    }
}

/// A chart of curves in stacked panels that share the x axis.
pub type LineChart = Chart<Curves>;

/// The body of a [`LineChart`].
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    /// The shared x axis.
    pub x: Axis,
    /// Panels, from the top.
    pub panels: Vec<Panel>,
    /// Named moments, through all panels.
    pub events: Vec<Event>,
    /// Named stretches of x, through all panels.
    pub bands: Vec<Band>,
}

impl LineChart {
    /// A chart without panels on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>, x: Axis) -> Self {
        Self::of(headline, Curves { x, panels: Vec::new(), events: Vec::new(), bands: Vec::new() })
    }

    /// The same chart with one more panel below the others.
    #[must_use]
    pub fn with_panel(self, panel: Panel) -> Self {
        self.with(|curves| curves.panels.push(panel))
    }

    /// The same chart with one more named moment.
    #[must_use]
    pub fn with_event(self, x: f64, label: impl Into<String>) -> Self {
        self.with(|curves| curves.events.push(Event { x, label: label.into() }))
    }

    /// The same chart with one more named stretch of x.
    #[must_use]
    pub fn with_band(self, from: f64, to: f64, label: impl Into<String>) -> Self {
        self.with(|curves| curves.bands.push(Band { from, to, label: label.into() }))
    }
}
