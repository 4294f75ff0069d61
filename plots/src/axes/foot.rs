//! What stands under the panels: bars and names of bands, the x axis' title, the key.

use super::Axes;
use crate::canvas::{FOOT_GAP, Setting};
use crate::font::{Weight, clean};
use crate::geometry::Rect;
use crate::scene::TextBox;

/// Px from the lowest panel to the figures of the x axis.
pub const TO_FIGURES: f64 = 16.0;
/// Height of a band's bar, px.
const BAR: f64 = 8.0;
/// Px between a bar and its name, and between two rows of bands.
const BAR_GAP: f64 = 5.0;
/// At most this many rows of bands.
const MOST_ROWS: usize = 4;
/// At most this many lines of the x axis' title.
const TITLE_LINES: usize = 2;
/// At most this many lines of key.
const KEY_LINES: usize = 6;

/// The foot of a page.
pub struct Foot {
    /// Its top: the bottom of the lowest panel, px.
    pub top: f64,
    /// Bars with the number of their band.
    pub bars: Vec<(Rect, usize)>,
    /// All text but the figures of the x axis.
    pub texts: Vec<TextBox>,
    /// Names that stand nowhere.
    pub omitted: Vec<String>,
}

/// A band on the page: its number, bar and name, px.
struct Placed {
    index: usize,
    bar: (f64, f64),
    name: (f64, String),
    row: usize,
}

impl Foot {
    /// Lays the foot out from the bottom of the room upwards; panels run from `left` to `right`.
    pub fn lay(setting: &Setting, axes: &Axes, (left, right): (f64, f64), key: &[String]) -> Self {
        let Setting { room: frame, theme, fonts, .. } = *setting;
        let sizes = theme.sizes;
        let mut texts = Vec::new();
        let mut bottom = frame.bottom;
        let (key_lines, mut omitted) = key_lines(setting, key, frame.width());
        if !key_lines.is_empty() {
            let top = bottom - Setting::height_of(key_lines.len(), sizes.small);
            let kind = (sizes.small, Weight::Regular, theme.muted);
            texts.extend(setting.stacked(&key_lines, (frame.left, top), kind));
            bottom = top - FOOT_GAP;
        }
        let title =
            fonts.wrap(&axes.x.title(&axes.span), sizes.axis, Weight::Regular, right - left, TITLE_LINES);
        for line in title.iter().rev() {
            let corner = (right - setting.width_of(line, sizes.axis), bottom - sizes.axis);
            texts.push(setting.text(line, corner, (sizes.axis, theme.ink)));
            bottom -= sizes.axis + FOOT_GAP * 0.6;
        }
        let (placed, lost) = bands(setting, axes, (left, right));
        omitted.extend(lost);
        let rows = placed.iter().map(|band| band.row + 1).max().unwrap_or(0) as f64;
        let row_height = BAR + BAR_GAP + sizes.label + BAR_GAP;
        let first = bottom - rows * row_height;
        let mut bars = Vec::new();
        for Placed { index, bar, name, row } in placed {
            let top = first + row as f64 * row_height;
            bars.push((Rect { left: bar.0, right: bar.1, top, bottom: top + BAR }, index));
            texts.push(setting.text(&name.1, (name.0, top + BAR + BAR_GAP), (sizes.label, theme.muted)));
        }
        let above = if rows > 0.0 { BAR_GAP } else { 0.0 };
        Self { top: first - above - sizes.tick - TO_FIGURES, bars, texts, omitted }
    }
}

/// Numbered names run on in lines; those beyond the last line are handed back.
fn key_lines(setting: &Setting, key: &[String], room: f64) -> (Vec<String>, Vec<String>) {
    let width = |text: &str| setting.width_of(text, setting.theme.sizes.small);
    let mut lines: Vec<String> = Vec::new();
    let mut left_over = Vec::new();
    for entry in key {
        let joined = lines.last().map(|line| format!("{line}\u{a0}\u{a0}\u{a0} {entry}"));
        match joined {
            Some(joined) if width(&joined) <= room => {
                lines.pop();
                lines.push(joined);
            }
            _ if lines.len() < KEY_LINES && width(entry) <= room => lines.push(entry.clone()),
            _ => left_over.push(entry.clone()),
        }
    }
    (lines, left_over)
}

/// Bars and names of bands, each in the first row with room for both, and the names of those without.
fn bands(setting: &Setting, axes: &Axes, (left, right): (f64, f64)) -> (Vec<Placed>, Vec<String>) {
    let (frame, x, size) = (setting.room, &axes.span, setting.theme.sizes.label);
    let mut placed: Vec<(Placed, (f64, f64))> = Vec::new();
    let mut lost = Vec::new();
    for (index, band) in axes.bands.iter().enumerate() {
        let label = clean(&band.label);
        let ends = x.pixel(band.from, left, right).zip(x.pixel(band.to, left, right));
        let Some((from, to)) =
            ends.map(|(a, b)| (a.min(b).max(left), a.max(b).min(right))).filter(|(a, b)| a < b)
        else {
            lost.push(label);
            continue;
        };
        let lines = setting.fonts.wrap(&label, size, Weight::Regular, frame.width(), 1);
        let name = lines.into_iter().next().unwrap_or_default();
        let width = setting.width_of(&name, size);
        let start = ((from + to - width) / 2.0).clamp(frame.left, (frame.right - width).max(frame.left));
        let reach = (from.min(start) - FOOT_GAP, to.max(start + width) + FOOT_GAP);
        let is_free = |row: &usize| {
            !placed.iter().any(|(other, span)| other.row == *row && reach.0 < span.1 && span.0 < reach.1)
        };
        match (0..MOST_ROWS).find(is_free) {
            Some(row) => {
                let reach = (reach.0 + FOOT_GAP, reach.1 - FOOT_GAP);
                placed.push((Placed { index, bar: (from, to), name: (start, name), row }, reach));
            }
            None => lost.push(label),
        }
    }
    (placed.into_iter().map(|(band, _)| band).collect(), lost)
}
