//! A name as a block of lines.

use crate::canvas::Setting;
use crate::font::Weight;
use crate::geometry::Rect;
use crate::scene::TextBox;
use crate::theme::Colour;

/// Distance from line to line in a name, in type sizes.
const LEADING: f64 = 1.1;
/// Names in the column are no wider than this part of the canvas.
const COLUMN_PART: f64 = 0.22;

/// A name broken into lines, and the room it takes, px.
pub struct Block {
    lines: Vec<String>,
    /// Width of the longest line, px.
    pub width: f64,
    /// Height of all lines, px.
    pub height: f64,
}

impl Block {
    /// A name no wider than `room` px, in at most three lines.
    pub fn new(setting: &Setting, label: &str, room: f64) -> Self {
        let size = setting.theme.sizes.label;
        let lines = setting.fonts.wrap(label, size, Weight::Regular, room, 3);
        let width = lines.iter().map(|line| setting.width_of(line, size)).fold(0.0, f64::max);
        let height = size * (1.0 + LEADING * (lines.len().max(1) - 1) as f64);
        Self { lines, width, height }
    }

    /// A name that stands in the column at the right.
    pub fn in_column(setting: &Setting, label: &str) -> Self {
        Self::new(setting, label, COLUMN_PART * setting.width())
    }

    /// Whether all of a label stands in it.
    pub fn is_whole(&self, label: &str) -> bool {
        self.lines.join(" ") == label
    }

    /// Width and height, px.
    pub fn size(&self) -> (f64, f64) {
        (self.width, self.height)
    }

    /// The lines as text, flush left in the given place.
    pub fn set(&self, setting: &Setting, place: &Rect, colour: Colour) -> Vec<TextBox> {
        let size = setting.theme.sizes.label;
        let mut top = place.top;
        let mut out = Vec::new();
        for line in &self.lines {
            out.push(TextBox::set(setting.fonts, line, (place.left, top), (size, Weight::Regular, colour)));
            top += LEADING * size;
        }
        out
    }
}
