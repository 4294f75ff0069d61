//! A board of findings in words: a headline, and up to five rows, each a big figure with what it means.
//!
//! The figures share one size, as large as the widest allows, so that their column can be read from the back of a room; the
//! words beside them are wrapped by measured widths.

use crate::error::PlotError;
use crate::font::{Fonts, clean};
use crate::frame::{Head, too_small};
use crate::geometry::Rect;
use crate::line_chart::page::Setting;
use crate::line_chart::{Axis, LineChart, head};
use crate::scene::{Layout, Picture, Scene, Shape, TextBox, Weight};
use crate::theme::Theme;

/// At most this many rows.
pub const MOST_ROWS: usize = 5;

/// Size of the figures at their largest, in sizes of the headline.
const FIGURE: f64 = 2.0;
/// Size of the words, in sizes of the headline.
const WORDS: f64 = 0.8;
/// The figures take no more than this part of the width between the margins, …
const FIGURES: f64 = 0.34;
/// … and no more than this part of a row's height.
const FIGURE_HEIGHT: f64 = 0.62;
/// Px between the figures and the words.
const GAP: f64 = 48.0;
/// The most height a row takes, in sizes of the words.
const MOST_PITCH: f64 = 5.6;
/// The least height a row takes, in sizes of the words: two lines and some air.
const LEAST_PITCH: f64 = 2.6;
/// The part of a row's height that its words may fill.
const FILLED: f64 = 0.92;
/// Least width of the words, in sizes of the words.
const LEAST_WORDS: f64 = 8.0;

/// One row: a figure, and what it means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardRow {
    /// The figure with its unit, set large.
    pub figure: String,
    /// What it means, in a line or two.
    pub text: String,
}

/// A board of findings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// What the board says, in a few words; may be empty.
    pub headline: String,
    /// Where the numbers come from: a small line at the foot; may be empty.
    pub source: String,
    /// Width of the canvas, px.
    pub width: u32,
    /// Height of the canvas, px.
    pub height: u32,
    /// The rows, from the top; those past the fifth are not shown.
    pub rows: Vec<BoardRow>,
}

impl Board {
    /// A board without rows on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>) -> Self {
        Self { headline: headline.into(), source: String::new(), width: 1920, height: 1080, rows: Vec::new() }
    }

    /// The same board with a source line at the foot.
    #[must_use]
    pub fn with_source(self, source: impl Into<String>) -> Self {
        Self { source: source.into(), ..self }
    }

    /// The same board on a canvas of another size, px. Type keeps its size in px.
    #[must_use]
    pub fn with_size(self, width: u32, height: u32) -> Self {
        Self { width, height, ..self }
    }

    /// The same board with one more row.
    #[must_use]
    pub fn with_row(mut self, figure: impl Into<String>, text: impl Into<String>) -> Self {
        self.rows.push(BoardRow { figure: figure.into(), text: text.into() });
        self
    }

    /// The size at which every figure fits into its column and its row, and the width of the widest, px.
    fn figure_size(&self, fonts: &Fonts, theme: &Theme, room: f64, pitch: f64) -> (f64, f64) {
        let most = (FIGURE * theme.sizes.headline).min(FIGURE_HEIGHT * pitch);
        let widest = self
            .rows
            .iter()
            .take(MOST_ROWS)
            .map(|row| fonts.width(&clean(&row.figure), most, Weight::Bold))
            .fold(0.0, f64::max);
        // No smaller than the words: what is then still too wide is cut.
        let size = (most * (room / widest.max(room))).max(WORDS * theme.sizes.headline);
        (size, (widest * size / most).min(room))
    }
}

/// The rows' ground: what they may cover, px.
struct Ground {
    rect: Rect,
    pitch: f64,
    figure_size: f64,
    words_left: f64,
}

impl Picture for Board {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        // The line chart's own headline, without its panels.
        let mut chart = LineChart::new(&self.headline, Axis::new("", "")).with_source(&self.source);
        let (width, height) = theme.format.canvas((self.width, self.height));
        chart = chart.with_size(width, height);
        let setting = Setting { chart: &chart, theme, fonts: &fonts };
        let sizes = theme.sizes;
        let Head { frame, mut texts, top } = Head::of(&setting);
        let lines = fonts.wrap(&self.source, sizes.small, Weight::Regular, frame.width(), 2);
        let foot = lines.len() as f64 * head::LEADING * sizes.small;
        let kind = (sizes.small, Weight::Regular, theme.muted);
        texts.extend(head::stacked(&setting, &lines, (frame.left, frame.bottom - foot), kind));

        let words = WORDS * sizes.headline;
        let rows = self.rows.len().clamp(1, MOST_ROWS) as f64;
        let room = frame.bottom - foot - 0.5 * words - top;
        let pitch = (room / rows).min(MOST_PITCH * words);
        let (figure_size, figures) = self.figure_size(&fonts, theme, FIGURES * frame.width(), pitch);
        let words_left = frame.left + figures + GAP;
        let (least, narrow) = (LEAST_PITCH * words, LEAST_WORDS * words);
        if pitch < least || frame.right - words_left < narrow {
            let wider = narrow - (frame.right - words_left);
            return Err(too_small((width, height), wider, rows * least - room));
        }
        let rect = Rect { left: frame.left, right: frame.right, top, bottom: top + room };
        let ground = Ground { rect, pitch, figure_size, words_left };
        let mut shapes = Vec::new();
        let mut omitted = Vec::new();
        for (index, row) in self.rows.iter().enumerate() {
            if index < MOST_ROWS {
                row.draw(&setting, &ground, index, (&mut shapes, &mut texts, &mut omitted));
            } else {
                omitted.push(format!("{} {}", row.figure, row.text));
            }
        }
        let layout = Layout { width, height, texts, omitted };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}

impl BoardRow {
    /// A thin rule, the figure, and the words in the middle of its height.
    fn draw(
        &self,
        setting: &Setting,
        ground: &Ground,
        index: usize,
        (shapes, texts, omitted): (&mut Vec<Shape>, &mut Vec<TextBox>, &mut Vec<String>),
    ) {
        let Setting { theme, fonts, .. } = *setting;
        let rect = ground.rect;
        let top = rect.top + index as f64 * ground.pitch;
        let middle = top + 0.5 * ground.pitch;
        let points = vec![(rect.left, top), (rect.right, top)];
        shapes.push(Shape::Line { points, colour: theme.grid, width: 2.5 });

        let size = ground.figure_size;
        let room = ground.words_left - GAP - rect.left;
        // A hair of room for the rounding of the figure's own width.
        let figure = fonts.wrap(&self.figure, size, Weight::Bold, room + 1e-6 * room, 1);
        let kind = (size, Weight::Bold, theme.series_colour(0).text);
        texts.extend(head::stacked(setting, &figure, (rect.left, middle - size / 2.0), kind));

        let size = WORDS * theme.sizes.headline;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 2 and 5")]
        let most = ((FILLED * ground.pitch / size - 1.0) / head::LEADING + 1.0).max(1.0) as usize;
        let lines = fonts.wrap(&self.text, size, Weight::Regular, rect.right - ground.words_left, most);
        if lines.join(" ") != clean(&self.text) || figure.join(" ") != clean(&self.figure) {
            omitted.push(format!("{} {}", self.figure, self.text));
        }
        let high = size * (1.0 + head::LEADING * lines.len().saturating_sub(1) as f64);
        let kind = (size, Weight::Regular, theme.ink);
        texts.extend(head::stacked(setting, &lines, (ground.words_left, middle - high / 2.0), kind));
    }
}

#[cfg(test)]
mod tests;
