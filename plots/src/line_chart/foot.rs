//! What stands under the panels: bars and names of bands, the x axis' title, the key, the source line.

use super::axis::Span;
use super::head::{LEADING, stacked};
use super::page::Setting;
use crate::font::clean;
use crate::geometry::Rect;
use crate::scene::{TextBox, Weight};

/// Px from the lowest panel to the figures of the x axis.
pub const TO_FIGURES: f64 = 16.0;
/// Height of a band's bar, px.
const BAR: f64 = 8.0;
/// Px between a bar and its name, and between two rows of bands.
const BAR_GAP: f64 = 5.0;
/// Px between the parts of the foot.
const GAP: f64 = 18.0;
/// At most this many rows of bands.
const MOST_ROWS: usize = 4;
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

/// Lays the foot out from the bottom of the frame upwards; panels run from `left` to `right`.
pub fn lay(setting: &Setting, frame: &Rect, x: &Span, (left, right): (f64, f64), key: &[String]) -> Foot {
    let Setting { chart, theme, fonts } = *setting;
    let sizes = theme.sizes;
    let mut texts = Vec::new();
    let mut bottom = frame.bottom;
    let mut block = |lines: &[String], size: f64, gap: f64| {
        if lines.is_empty() {
            return;
        }
        let height = size * (1.0 + LEADING * (lines.len() as f64 - 1.0));
        let kind = (size, Weight::Regular, theme.muted);
        texts.extend(stacked(setting, lines, (frame.left, bottom - height), kind));
        bottom -= height + gap;
    };
    block(&fonts.wrap(&chart.source, sizes.small, Weight::Regular, frame.width(), 2), sizes.small, GAP);
    let (key_lines, mut omitted) = key_lines(setting, key, frame.width());
    block(&key_lines, sizes.small, GAP);

    let title = fonts.wrap(&chart.x.title(), sizes.axis, Weight::Regular, right - left, 1);
    for line in &title {
        let width = fonts.width(line, sizes.axis, Weight::Regular);
        let corner = (right - width, bottom - sizes.axis);
        texts.push(TextBox::set(fonts, line, corner, (sizes.axis, Weight::Regular, theme.ink)));
        bottom -= sizes.axis + GAP * 0.6;
    }
    let (placed, lost) = bands(setting, frame, x, (left, right));
    omitted.extend(lost);
    let rows = placed.iter().map(|band| band.row + 1).max().unwrap_or(0) as f64;
    let row_height = BAR + BAR_GAP + sizes.label + BAR_GAP;
    let first = bottom - rows * row_height;
    let mut bars = Vec::new();
    for Placed { index, bar, name, row } in placed {
        let top = first + row as f64 * row_height;
        bars.push((Rect { left: bar.0, right: bar.1, top, bottom: top + BAR }, index));
        let kind = (sizes.label, Weight::Regular, theme.muted);
        texts.push(TextBox::set(fonts, &name.1, (name.0, top + BAR + BAR_GAP), kind));
    }
    let above = if rows > 0.0 { BAR_GAP } else { 0.0 };
    Foot { top: first - above - sizes.tick - TO_FIGURES, bars, texts, omitted }
}

/// Numbered names run on in lines; those beyond the last line are handed back.
fn key_lines(setting: &Setting, key: &[String], room: f64) -> (Vec<String>, Vec<String>) {
    let width = |text: &str| setting.fonts.width(text, setting.theme.sizes.small, Weight::Regular);
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
fn bands(setting: &Setting, frame: &Rect, x: &Span, (left, right): (f64, f64)) -> (Vec<Placed>, Vec<String>) {
    let mut placed: Vec<(Placed, (f64, f64))> = Vec::new();
    let mut lost = Vec::new();
    for (index, band) in setting.chart.bands.iter().enumerate() {
        let label = clean(&band.label);
        let ends = x.pixel(band.from, left, right).zip(x.pixel(band.to, left, right));
        let Some((from, to)) =
            ends.map(|(a, b)| (a.min(b).max(left), a.max(b).min(right))).filter(|(a, b)| a < b)
        else {
            lost.push(label);
            continue;
        };
        let lines = setting.fonts.wrap(&label, setting.theme.sizes.label, Weight::Regular, frame.width(), 1);
        let name = lines.into_iter().next().unwrap_or_default();
        let width = setting.fonts.width(&name, setting.theme.sizes.label, Weight::Regular);
        let start = ((from + to - width) / 2.0).clamp(frame.left, (frame.right - width).max(frame.left));
        let reach = (from.min(start) - GAP, to.max(start + width) + GAP);
        let is_free = |row: &usize| {
            !placed.iter().any(|(other, span)| other.row == *row && reach.0 < span.1 && span.0 < reach.1)
        };
        match (0..MOST_ROWS).find(is_free) {
            Some(row) => {
                let reach = (reach.0 + GAP, reach.1 - GAP);
                placed.push((Placed { index, bar: (from, to), name: (start, name), row }, reach));
            }
            None => lost.push(label),
        }
    }
    (placed.into_iter().map(|(band, _)| band).collect(), lost)
}
