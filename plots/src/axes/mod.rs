//! The axes of a chart and what is named along them: everything but what stands in the panels.

mod events;
mod foot;
mod ground;
mod one_panel;
mod page;
mod span;
pub(crate) mod ticks;

pub(crate) use foot::{Foot, TO_FIGURES};
pub(crate) use ground::TICK;
pub(crate) use one_panel::OnePanel;
pub(crate) use page::{Page, PanelPlace, UNDER_TITLE, marks_across};
pub(crate) use span::{Span, is_drawable};

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
    /// What no value can be below: the axis does not go on past it to end on a figure.
    pub floor: Option<f64>,
}

impl Axis {
    /// A linear axis whose range follows the data.
    pub fn new(label: impl Into<String>, unit: impl Into<String>) -> Self {
        Self { label: label.into(), unit: unit.into(), range: None, scale: Scale::Linear, floor: None }
    }

    /// The same axis, marked in divisions of a turn.
    #[must_use]
    pub fn degrees(self) -> Self {
        Self { scale: Scale::Degrees, ..self }
    }

    /// The same axis on a logarithmic scale, where what it shows needs one: over a decade or more.
    #[must_use]
    pub fn log(self) -> Self {
        Self { scale: Scale::Log, ..self }
    }

    /// The same axis over a given range, in the axis' unit.
    #[must_use]
    pub fn range(self, low: f64, high: f64) -> Self {
        Self { range: Some((low, high)), ..self }
    }

    /// The same axis, which does not go on below a value that nothing can be below.
    #[must_use]
    pub fn not_below(self, floor: f64) -> Self {
        Self { floor: Some(floor), ..self }
    }

    /// The title over what is shown: "shaft angle, °", "pace, turns/min, logarithmic".
    pub(crate) fn title(&self, span: &Span) -> String {
        let mut title = self.label.clone();
        for more in [self.unit.as_str(), if span.is_log() { "logarithmic" } else { "" }] {
            if !more.is_empty() {
                title += ", ";
                title += more;
            }
        }
        title
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

/// What a page is laid out for: its axes, and moments and stretches of the x axis.
pub(crate) struct Axes<'a> {
    /// The shared x axis.
    pub x: &'a Axis,
    /// Its range.
    pub span: Span,
    /// The y axes of the panels, from the top.
    pub upright: Vec<Upright<'a>>,
    /// Named moments.
    pub events: &'a [Event],
    /// Named stretches of x.
    pub bands: &'a [Band],
}

/// The y axis of a panel.
pub(crate) struct Upright<'a> {
    /// The axis.
    pub axis: &'a Axis,
    /// What must be seen.
    pub seen: Span,
    /// Values with a hatched side.
    pub hatched: Vec<(f64, Hatch)>,
    /// The panel's height against that of the others.
    pub share: f64,
}

impl Axes<'_> {
    /// Heights of all panels in heights of one whose share is 1.
    fn shares(&self) -> f64 {
        self.upright.iter().map(|y| y.share).sum::<f64>().max(1.0)
    }
}

impl Upright<'_> {
    /// The range for at most about `most` figures: stated, or rounded from what is seen, with room for hatching.
    fn span(&self, most: f64) -> Span {
        if self.axis.range.is_some_and(|(low, high)| self.seen.holds(low) && self.seen.holds(high)) {
            return self.seen;
        }
        let rounded = self.seen.with_near_zero().rounded(most);
        let room = |side: Hatch, edge: f64| {
            let near =
                |value: f64| rounded.pixel(value, 0.0, 1.0).is_some_and(|part| (part - edge).abs() < 0.07);
            if self.hatched.iter().any(|(value, hatch)| *hatch == side && near(*value)) { 0.09 } else { 0.0 }
        };
        rounded.widened(room(Hatch::Below, 0.0), room(Hatch::Above, 1.0)).not_below(self.axis.floor)
    }
}
