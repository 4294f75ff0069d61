//! A board of findings in words: a headline, and up to five rows, each a big figure with what it means.
//!
//! The figures share one size, as large as the widest allows, so that their column can be read from the back of a room; the
//! words beside them are wrapped by measured widths.

use crate::canvas::{Body, Chart, Content, LEADING, Setting};
use crate::error::PlotError;
use crate::font::{Weight, clean};
use crate::scene::Shape;

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
pub type Board = Chart<BoardRows>;

/// The body of a [`Board`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardRows {
    /// The rows, from the top; those past the fifth are not shown.
    pub rows: Vec<BoardRow>,
}

impl Board {
    /// A board without rows on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>) -> Self {
        Self::of(headline, BoardRows { rows: Vec::new() })
    }

    /// The same board with one more row.
    #[must_use]
    pub fn with_row(self, figure: impl Into<String>, text: impl Into<String>) -> Self {
        self.with(|board| board.rows.push(BoardRow { figure: figure.into(), text: text.into() }))
    }
}

impl BoardRows {
    /// The size at which every figure fits into its column and its row, and the width of the widest, px.
    fn figure_size(&self, setting: &Setting, room: f64, pitch: f64) -> (f64, f64) {
        let headline = setting.theme.sizes.headline;
        let most = (FIGURE * headline).min(FIGURE_HEIGHT * pitch);
        let widest = self
            .rows
            .iter()
            .take(MOST_ROWS)
            .map(|row| setting.fonts.width(&clean(&row.figure), most, Weight::Bold))
            .fold(0.0, f64::max);
        // No smaller than the words: what is then still too wide is cut.
        let size = (most * (room / widest.max(room))).max(WORDS * headline);
        (size, (widest * size / most).min(room))
    }
}

/// Where the rows stand, px.
struct Rows {
    pitch: f64,
    figure_size: f64,
    words_left: f64,
}

impl Body for BoardRows {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let room = setting.room;
        let words = WORDS * setting.theme.sizes.headline;
        let count = self.rows.len().clamp(1, MOST_ROWS) as f64;
        let pitch = (room.height() / count).min(MOST_PITCH * words);
        let (figure_size, figures) = self.figure_size(setting, FIGURES * room.width(), pitch);
        let words_left = room.left + figures + GAP;
        let (least, narrow) = (LEAST_PITCH * words, LEAST_WORDS * words);
        if pitch < least || room.right - words_left < narrow {
            return Err(setting.too_small(narrow - (room.right - words_left), count * least - room.height()));
        }
        let rows = Rows { pitch, figure_size, words_left };
        let mut content = Content::default();
        for (index, row) in self.rows.iter().enumerate() {
            if index < MOST_ROWS {
                row.draw(setting, &rows, index, &mut content);
            } else {
                content.omitted.push(format!("{} {}", row.figure, row.text));
            }
        }
        Ok(content)
    }
}

impl BoardRow {
    /// A thin rule, the figure, and the words in the middle of its height.
    fn draw(&self, setting: &Setting, rows: &Rows, index: usize, content: &mut Content) {
        let Setting { room, theme, fonts, .. } = *setting;
        let top = room.top + index as f64 * rows.pitch;
        let middle = top + 0.5 * rows.pitch;
        content.shapes.push(Shape::line((room.left, top), (room.right, top), theme.grid, 2.5));

        let size = rows.figure_size;
        let across = rows.words_left - GAP - room.left;
        // A hair of room for the rounding of the figure's own width.
        let figure = fonts.wrap(&self.figure, size, Weight::Bold, across + 1e-6 * across, 1);
        let kind = (size, Weight::Bold, theme.series_colour(0).text);
        content.texts.extend(setting.stacked(&figure, (room.left, middle - size / 2.0), kind));

        let size = WORDS * theme.sizes.headline;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 2 and 5")]
        let most = ((FILLED * rows.pitch / size - 1.0) / LEADING + 1.0).max(1.0) as usize;
        let lines = fonts.wrap(&self.text, size, Weight::Regular, room.right - rows.words_left, most);
        if lines.join(" ") != clean(&self.text) || figure.join(" ") != clean(&self.figure) {
            content.omitted.push(format!("{} {}", self.figure, self.text));
        }
        let high = Setting::height_of(lines.len(), size);
        let kind = (size, Weight::Regular, theme.ink);
        content.texts.extend(setting.stacked(&lines, (rows.words_left, middle - high / 2.0), kind));
    }
}

#[cfg(test)]
mod tests;
