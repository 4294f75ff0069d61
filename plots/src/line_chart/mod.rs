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

pub(crate) mod axis;
pub(crate) mod block;
mod compose;
pub(crate) mod foot;
pub(crate) mod head;
mod names;
pub(crate) mod page;
pub(crate) mod paint;

/// How values are spread along an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Evenly, marked in steps of 1, 2 or 5.
    Linear,
    /// Evenly, marked in steps that divide a turn: 15, 30, 45, 90 degrees.
    Degrees,
    /// By the logarithm; only positive values can be drawn.
    Log,
}

/// An axis: what it measures, in which unit, and over which range.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What is measured.
    pub label: String,
    /// Its unit, printed after the label; empty for a pure number.
    pub unit: String,
    /// Lowest and highest value shown; found from the data if not given or not usable.
    pub range: Option<(f64, f64)>,
    /// How values are spread.
    pub scale: Scale,
}

impl Axis {
    /// A linear axis whose range follows the data.
    pub fn new(label: impl Into<String>, unit: impl Into<String>) -> Self {
        Self { label: label.into(), unit: unit.into(), range: None, scale: Scale::Linear }
    }

    /// The same axis, marked in divisions of a turn.
    #[must_use]
    pub fn degrees(self) -> Self {
        Self { scale: Scale::Degrees, ..self }
    }

    /// The same axis on a logarithmic scale.
    #[must_use]
    pub fn log(self) -> Self {
        Self { scale: Scale::Log, ..self }
    }

    /// The same axis over a given range, in the axis' unit.
    #[must_use]
    pub fn range(self, low: f64, high: f64) -> Self {
        Self { range: Some((low, high)), ..self }
    }

    /// The title: "shaft angle, °".
    pub fn title(&self) -> String {
        if self.unit.is_empty() { self.label.clone() } else { format!("{}, {}", self.label, self.unit) }
    }
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
    pub stroke: Option<crate::theme::Stroke>,
    /// Whether each point is marked.
    pub markers: bool,
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
            markers: false,
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
    pub fn stroke(self, stroke: crate::theme::Stroke) -> Self {
        Self { stroke: Some(stroke), ..self }
    }

    /// The same series with a marker at each point.
    #[must_use]
    pub fn with_markers(self) -> Self {
        Self { markers: true, ..self }
    }

    /// The same series as markers alone, for readings.
    #[must_use]
    pub fn markers_only(self) -> Self {
        Self { markers: true, line: false, ..self }
    }
}

/// Which side of a limit is hatched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hatch {
    /// Neither.
    None,
    /// The side above the limit, or right of it.
    Above,
    /// The side below the limit, or left of it.
    Below,
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

/// A named moment: a thin upright line through all panels, its name above them.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Its place in the unit of the x axis.
    pub x: f64,
    /// Its name.
    pub label: String,
}

/// A named stretch of the x axis, shaded in all panels, its name under the axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Where it begins, in the unit of the x axis.
    pub from: f64,
    /// Where it ends, in the unit of the x axis.
    pub to: f64,
    /// Its name.
    pub label: String,
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
}

impl Panel {
    /// An empty panel.
    pub fn new(y: Axis) -> Self {
        Self { y, series: Vec::new(), limits: Vec::new(), x_limits: Vec::new(), points: Vec::new() }
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

    /// The same panel with a named point in the colour of style number `style`.
    #[must_use]
    pub fn with_point(mut self, at: (f64, f64), label: impl Into<String>, style: Option<usize>) -> Self {
        self.points.push(PointMark { at, label: label.into(), style });
        self
    }
}

/// A chart of curves in stacked panels that share the x axis.
#[derive(Debug, Clone, PartialEq)]
pub struct LineChart {
    /// What the chart shows, in a few words; may be empty.
    pub headline: String,
    /// Where the numbers come from: a small line at the foot; may be empty.
    pub source: String,
    /// Width of the canvas, px.
    pub width: u32,
    /// Height of the canvas, px.
    pub height: u32,
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
        Self {
            headline: headline.into(),
            source: String::new(),
            width: 1920,
            height: 1080,
            x,
            panels: Vec::new(),
            events: Vec::new(),
            bands: Vec::new(),
        }
    }

    /// The same chart with a source line at the foot.
    #[must_use]
    pub fn with_source(self, source: impl Into<String>) -> Self {
        Self { source: source.into(), ..self }
    }

    /// The same chart on a canvas of another size, px. Type keeps its size in px.
    #[must_use]
    pub fn with_size(self, width: u32, height: u32) -> Self {
        Self { width, height, ..self }
    }

    /// The same chart with one more panel below the others.
    #[must_use]
    pub fn with_panel(mut self, panel: Panel) -> Self {
        self.panels.push(panel);
        self
    }

    /// The same chart with one more named moment.
    #[must_use]
    pub fn with_event(mut self, x: f64, label: impl Into<String>) -> Self {
        self.events.push(Event { x, label: label.into() });
        self
    }

    /// The same chart with one more named stretch of x.
    #[must_use]
    pub fn with_band(mut self, from: f64, to: f64, label: impl Into<String>) -> Self {
        self.bands.push(Band { from, to, label: label.into() });
        self
    }
}
