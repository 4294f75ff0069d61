//! Small charts that are drawn while a film runs: curves up to now, and a line that marks now.

use super::tints::Tints;
use crate::axes::ticks;
use crate::font::{Fonts, Weight};
use crate::geometry::{Point, Rect, clip_polyline, dashes};
use crate::hatch::forbidden;
use crate::scene::{Shape, TextBox};
use crate::theme::Theme;

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveCurve {
    /// Points in rising order of x.
    pub points: Vec<(f64, f64)>,
    /// Number of its colour among the theme's series.
    pub style: usize,
    /// Whether it is dashed.
    pub dashed: bool,
    /// Whether its end means something: a dot marks it.
    pub stops: bool,
}

/// A limit along x.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveLimit {
    /// Where it stands.
    pub at: f64,
    /// Its name with its figure.
    pub label: String,
}

impl LiveLimit {
    /// Its name, with an arrow where it lies past the end of what is shown.
    pub(super) fn told(&self, end: f64) -> String {
        if self.at < end { self.label.clone() } else { format!("{}\u{a0}→", self.label) }
    }
}

/// One chart.
#[derive(Debug, Clone, PartialEq)]
pub struct LivePlot {
    /// What it shows, with the unit.
    pub title: String,
    /// What its x runs from and to, ms.
    pub x: (f64, f64),
    /// What its figures run from and to.
    pub y: (f64, f64),
    /// A limit along x, beyond which all is hatched; told beside the title, even where it lies outside.
    pub limit: Option<LiveLimit>,
    /// Its curves.
    pub curves: Vec<LiveCurve>,
}

/// Type size, px.
const TYPE: f64 = 26.0;
/// Points of a curve that are drawn as one piece, so that only its last piece changes from frame to frame.
const PIECE: usize = 16;

/// What is drawn into.
pub(super) struct Sheet<'a> {
    pub theme: &'a Theme,
    pub fonts: &'a Fonts,
    pub tints: Tints,
    pub shapes: &'a mut Vec<Shape>,
    pub texts: &'a mut Vec<TextBox>,
}

impl Sheet<'_> {
    fn line(&mut self, points: Vec<Point>, colour: crate::theme::Colour, width: f64) {
        self.shapes.push(Shape::Line { points, colour, width });
    }

    pub fn text(&mut self, text: &str, corner: Point, type_of: (f64, Weight, crate::theme::Colour)) {
        if !text.is_empty() {
            self.texts.push(TextBox::set(self.fonts, text, corner, type_of));
        }
    }
}

/// Draws a chart into a room, its curves up to `now`.
pub(super) fn draw(plot: &LivePlot, room: &Rect, now: f64, sheet: &mut Sheet) {
    let (theme, span) = (sheet.theme, plot.x);
    let muted = (TYPE, Weight::Regular, theme.muted);
    sheet.text(&plot.title, (room.left, room.top), (TYPE, Weight::Regular, theme.ink));
    let marks = ticks::at_multiples(plot.y.0, plot.y.1, ticks::step(plot.y.1 - plot.y.0, 3.0)).major;
    let widest = marks.iter().map(|(_, text)| sheet.fonts.width(text, TYPE, Weight::Regular));
    let frame = Rect {
        left: room.left + widest.fold(0.0, f64::max) + 12.0,
        top: room.top + TYPE + 22.0,
        right: room.right,
        bottom: room.bottom - TYPE - 12.0,
    };
    let x = |value: f64| frame.left + frame.width() * (value - span.0) / (span.1 - span.0);
    let y = |value: f64| frame.bottom - frame.height() * (value - plot.y.0) / (plot.y.1 - plot.y.0);
    for (value, text) in &marks {
        let at = y(*value);
        sheet.line(vec![(frame.left, at), (frame.right, at)], theme.grid, 1.5);
        let width = sheet.fonts.width(text, TYPE, Weight::Regular);
        sheet.text(text, (frame.left - 10.0 - width, at - 0.5 * TYPE), muted);
    }
    let step = ticks::step(span.1 - span.0, 4.0);
    let along = ticks::at_multiples(span.0, span.1, step).major;
    let last = along.len().saturating_sub(1);
    for (index, (value, text)) in along.iter().enumerate() {
        let at = x(*value);
        sheet.line(vec![(at, frame.bottom), (at, frame.bottom + 7.0)], theme.axis, 2.0);
        let text = if index == last { format!("{text}\u{a0}ms") } else { text.clone() };
        let width = sheet.fonts.width(&text, TYPE, Weight::Regular);
        let left = (at - 0.5 * width).min(room.right - width);
        sheet.text(&text, (left, frame.bottom + 10.0), muted);
    }
    sheet.line(vec![(frame.left, frame.bottom), (frame.right, frame.bottom)], theme.axis, 2.0);
    if let Some(limit) = &plot.limit {
        let label = limit.told(span.1);
        let width = sheet.fonts.width(&label, TYPE, Weight::Regular);
        sheet.text(&label, (room.right - width, room.top), (TYPE, Weight::Regular, theme.limit));
        beyond(limit.at, span, &frame, sheet);
    }
    let until = Rect { right: x(now).clamp(frame.left, frame.right), ..frame };
    for curve in &plot.curves {
        let points: Vec<Point> = curve.points.iter().map(|&(at, value)| (x(at), y(value))).collect();
        let (colour, width) = (theme.series_colour(curve.style).line, theme.line_width);
        for line in clip_polyline(&points, &until) {
            if curve.dashed {
                for dash in dashes(&line, &[3.0 * width, 2.6 * width]) {
                    sheet.line(dash, colour, width);
                }
            } else {
                for from in (0..line.len().saturating_sub(1)).step_by(PIECE) {
                    let piece = line.iter().skip(from).take(PIECE + 1).copied().collect();
                    sheet.line(piece, colour, width);
                }
            }
        }
    }
    for curve in plot.curves.iter().filter(|curve| curve.stops) {
        if let Some(&(at, value)) = curve.points.last().filter(|point| point.0 <= now) {
            let colour = theme.series_colour(curve.style).line;
            sheet.shapes.push(Shape::Dot { centre: (x(at), y(value)), radius: 8.0, colour });
        }
    }
    if (span.0..=span.1).contains(&now) {
        let ink = sheet.tints.ink;
        sheet.line(vec![(x(now), frame.top - 6.0), (x(now), frame.bottom)], ink, 2.5);
    }
}

/// Draws a limit along x and hatches what lies beyond it, as far as both lie within the frame.
pub(super) fn beyond(at: f64, span: (f64, f64), frame: &Rect, sheet: &mut Sheet) {
    if !(at > span.0 && at < span.1) {
        return;
    }
    let left = frame.left + frame.width() * (at - span.0) / (span.1 - span.0);
    let line = [(left, frame.top), (left, frame.bottom)];
    sheet.shapes.extend(forbidden(&Rect { left, ..*frame }, line[1], sheet.theme));
    sheet.line(line.to_vec(), sheet.theme.limit, 3.0);
}
