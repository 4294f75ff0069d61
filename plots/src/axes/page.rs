//! The page: where panels, ticks, titles, event names and band bars stand. Everything but what is in
//! the panels.

use super::{Axes, Foot, Span, TO_FIGURES, Upright, events};
use crate::canvas::Setting;
use crate::error::PlotError;
use crate::font::Weight;
use crate::geometry::Rect;
use crate::scene::TextBox;

/// Marks along one axis, px.
pub struct Marks {
    /// Marks with figures; no two figures collide.
    pub major: Vec<(f64, String)>,
    /// Marks without.
    pub minor: Vec<f64>,
}

/// One panel on the page.
pub struct PanelPlace {
    /// Where curves are drawn.
    pub rect: Rect,
    /// The range of its y axis.
    pub y: Span,
    /// Marks of its y axis.
    pub marks: Marks,
}

/// The page.
pub struct Page {
    /// The range of the x axis.
    pub x: Span,
    /// Marks of the x axis.
    pub marks: Marks,
    /// The panels, from the top.
    pub panels: Vec<PanelPlace>,
    /// Where upright lines begin above the first panel: x and top, px.
    pub stems: Vec<(f64, f64)>,
    /// Bars of the bands under the axis with the number of the band.
    pub bars: Vec<(Rect, usize)>,
    /// All text outside the panels.
    pub texts: Vec<TextBox>,
    /// Names without room.
    pub omitted: Vec<String>,
}

/// Px between a panel and the title of the next.
const BETWEEN_PANELS: f64 = 30.0;
/// Px between an axis title and the panel under it.
pub const UNDER_TITLE: f64 = 22.0;
/// Least width and height of a panel, px.
const LEAST_PANEL: (f64, f64) = (240.0, 80.0);
/// Px of axis for each figure, across and upwards.
const PER_FIGURE: (f64, f64) = (130.0, 88.0);

impl Page {
    /// Lays the page out, keeping `column` px free at the right of the panels.
    ///
    /// # Errors
    /// [`PlotError::CanvasTooSmall`] if a panel would have no useful size.
    pub fn new(setting: &Setting, axes: &Axes, column: f64) -> Result<Self, PlotError> {
        // How many figures a y axis has depends on its height, its height on the rows above it, and those
        // on the width its figures leave. The second round settles all but a rare row.
        let guess = f64::from(setting.size.1) / axes.shares() - 3.0 * setting.theme.sizes.axis;
        let (_, height) = Self::with_figures_for(setting, axes, column, guess)?;
        Ok(Self::with_figures_for(setting, axes, column, height)?.0)
    }

    /// The page with y axes marked as suits panels of the given height, that of a panel of share 1, and the height they have, px.
    fn with_figures_for(
        setting: &Setting,
        axes: &Axes,
        column: f64,
        height: f64,
    ) -> Result<(Self, f64), PlotError> {
        let Setting { room: frame, theme, fonts, .. } = *setting;
        let sizes = theme.sizes;
        let count = axes.upright.len().max(1) as f64;
        let most = |y: &Upright| (y.share * height / PER_FIGURE.1).max(2.0);
        let spans: Vec<Span> = axes.upright.iter().map(|y| y.span(most(y))).collect();
        let figures = axes.upright.iter().zip(&spans).flat_map(|(y, span)| span.ticks(most(y)).major);
        let widest = figures.map(|(_, text)| setting.width_of(&text, sizes.tick)).fold(0.0, f64::max);
        let (left, right) = (frame.left + widest + TO_FIGURES, frame.right - column);

        let strip = events::lay(setting, axes, (left, right));
        let mut omitted = strip.omitted.clone();
        let foot = Foot::lay(setting, axes, (left, right), &strip.key);
        omitted.extend(foot.omitted.iter().cloned());

        let titles = sizes.axis + UNDER_TITLE;
        let fixed = strip.height + count * titles + (count - 1.0) * BETWEEN_PANELS;
        let room = (foot.top - frame.top - fixed) / axes.shares();
        let least = axes.upright.iter().map(|y| y.share).fold(1.0, f64::min);
        if right - left < LEAST_PANEL.0 || least * room < LEAST_PANEL.1 {
            let higher = ((LEAST_PANEL.1 / least - room).max(0.0) * axes.shares()).ceil();
            return Err(setting.too_small(LEAST_PANEL.0 - (right - left), higher));
        }
        let marks = marks_across(&axes.span, (left, right), setting);
        let mut panels = Vec::new();
        let mut texts = Vec::new();
        let mut next = frame.top + strip.height;
        for (upright, y) in axes.upright.iter().zip(spans) {
            let title_top = if panels.is_empty() { next - strip.above_title } else { next };
            let title =
                fonts.wrap(&upright.axis.title(&upright.seen), sizes.axis, Weight::Regular, frame.width(), 1);
            let kind = (sizes.axis, Weight::Regular, theme.ink);
            texts.extend(setting.stacked(&title, (frame.left, title_top), kind));
            let rect = Rect { left, right, top: next + titles, bottom: next + titles + upright.share * room };
            panels.push(PanelPlace { rect, y, marks: marks_upwards(&y, &rect, (most(upright), setting)) });
            next = rect.bottom + BETWEEN_PANELS;
        }
        let first = frame.top + strip.height + titles;
        texts.extend(strip.texts(setting, first));
        let stems = strip.stems(first);
        texts.extend(foot.texts);
        Ok((Self { x: axes.span, marks, panels, stems, bars: foot.bars, texts, omitted }, room))
    }

    /// The pixel of a value of the x axis, if it lies within the axis.
    pub fn x_inside(&self, value: f64) -> Option<f64> {
        self.x.holds(value).then(|| self.x_pixel(value)).flatten()
    }

    /// The pixel of a value of the x axis, in or outside the panels.
    pub fn x_pixel(&self, value: f64) -> Option<f64> {
        let rect = &self.panels.first()?.rect;
        self.x.pixel(value, rect.left, rect.right)
    }
}

/// Marks of the x axis between two pixels.
pub fn marks_across(x: &Span, (left, right): (f64, f64), setting: &Setting) -> Marks {
    let width = |text: &str| setting.width_of(text, setting.theme.sizes.tick);
    let mut most = ((right - left) / PER_FIGURE.0).floor().max(2.0);
    loop {
        let ticks = x.ticks(most);
        let placed: Vec<(f64, String)> = ticks
            .major
            .into_iter()
            .filter_map(|(value, text)| Some((x.pixel(value, left, right)?, text)))
            .collect();
        let extents: Vec<(f64, f64)> =
            placed.iter().map(|(px, text)| (px - width(text) / 2.0, px + width(text) / 2.0)).collect();
        let close = extents.windows(2).any(|pair| matches!(pair, [a, b] if b.0 - a.1 < TO_FIGURES));
        if !close || most <= 2.0 {
            let minor = ticks.minor.into_iter().filter_map(|value| x.pixel(value, left, right)).collect();
            return Marks { major: thinned(placed, &extents), minor };
        }
        most -= 1.0;
    }
}

fn marks_upwards(y: &Span, rect: &Rect, (most, setting): (f64, &Setting)) -> Marks {
    let ticks = y.ticks(most);
    let place = |value: f64| y.pixel(value, rect.bottom, rect.top);
    let placed: Vec<(f64, String)> =
        ticks.major.into_iter().filter_map(|(value, text)| Some((place(value)?, text))).collect();
    let half = setting.theme.sizes.tick / 2.0;
    let extents: Vec<(f64, f64)> = placed.iter().map(|(px, _)| (-px - half, -px + half)).collect();
    Marks { major: thinned(placed, &extents), minor: ticks.minor.into_iter().filter_map(place).collect() }
}

/// Leaves out figures that would run into the figures before them.
fn thinned(placed: Vec<(f64, String)>, extents: &[(f64, f64)]) -> Vec<(f64, String)> {
    let mut reached = f64::NEG_INFINITY;
    let mut kept = Vec::new();
    for (mark, (from, to)) in placed.into_iter().zip(extents) {
        if *from >= reached {
            reached = to + 4.0;
            kept.push(mark);
        }
    }
    kept
}
