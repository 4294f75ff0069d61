//! One frame of a film: two machines side by side at the same instant, the clock, and curves drawn up to now.

use super::live::{self, LiveLimit, LivePlot, Sheet};
use super::pen::{Pen, Place};
use super::{Mechanism, Pose, Tints};
use crate::error::PlotError;
use crate::font::{Fonts, Weight};
use crate::geometry::Rect;
use crate::scene::{Layout, Picture, Scene, Shape, TextBox};
use crate::theme::Theme;

/// Width of every frame, px.
const WIDTH: u32 = 1920;
/// Height of every frame, px.
const HEIGHT: u32 = 1080;
/// Where the machines begin and end, px.
const MACHINES: (f64, f64) = (196.0, 800.0);
/// Where the curves begin, px.
const PLOTS: f64 = 822.0;
/// Width of the clock, px.
const CLOCK: f64 = 420.0;
/// From a side's left edge to its stopwatch, px.
const NAME: f64 = 262.0;
/// Space between curves, px.
const GAP: f64 = 44.0;
/// Where the stopwatches' bars begin and end, px.
const BAR: (f64, f64) = (118.0, 144.0);
/// Width of the machines' outlines, px.
const OUTLINE: f64 = 2.4;

/// One of the two machines.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// Its name: how the latch stands.
    pub name: String,
    /// What is happening.
    pub stage: String,
    /// The stopwatch's figure, and what it counts.
    pub count: [String; 2],
    /// How long metal has been coming in, on the scale of the bars; none before it does.
    pub since: Option<f64>,
    /// Number of its colour among the theme's series.
    pub style: usize,
    /// Where everything stands.
    pub pose: Pose,
}

/// One frame, 1920 × 1080 px.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmFrame<'a> {
    /// The machine.
    pub mechanism: &'a Mechanism,
    /// Left and right.
    pub sides: [Side; 2],
    /// How far the stopwatches' bars go; nothing where no metal comes in.
    pub scale: f64,
    /// The limit on that scale.
    pub limit: LiveLimit,
    /// The clock: a figure, and two lines below it.
    pub clock: [String; 3],
    /// The curves, from left to right.
    pub plots: &'a [LivePlot],
    /// Now, on the scale of the curves' x.
    pub now: f64,
}

impl FilmFrame<'_> {
    /// Where the machine of side 0 or 1 stands.
    pub fn place(&self, side: usize) -> Place {
        let half = 0.5 * f64::from(WIDTH);
        let left = if side == 0 { 24.0 } else { half + 24.0 };
        Place::fit(self.mechanism.extent(), (left, MACHINES.0, left + half - 48.0, MACHINES.1))
    }

    /// Left, top, width and height of the part of the picture that shows the machine of side 0 or 1 alone, with its names, for a
    /// screen that has no room for both.
    pub fn part(side: usize) -> [f64; 4] {
        let half = 0.5 * f64::from(WIDTH);
        [half * side as f64, 0.0, half, MACHINES.1]
    }
}

impl FilmFrame<'_> {
    /// From where to where a side's bar goes at a time on its scale, px.
    fn along(&self, (left, right): (f64, f64), at: f64) -> f64 {
        left + (right - left) * (at / self.scale).clamp(0.0, 1.0)
    }

    /// The stopwatch of a side as a bar, with the limit.
    fn bar(&self, side: &Side, ends: (f64, f64), sheet: &mut Sheet) {
        if self.scale <= 0.0 {
            return;
        }
        let theme = sheet.theme;
        let whole = Rect { left: ends.0, top: BAR.0, right: ends.1, bottom: BAR.1 };
        sheet.shapes.push(Shape::block(&whole, theme.grid));
        live::beyond(self.limit.at, (0.0, self.scale), &whole, sheet);
        if let Some(since) = side.since {
            let run = Rect { right: self.along(ends, since), ..whole };
            sheet.shapes.push(Shape::block(&run, theme.series_colour(side.style).line));
        }
        let at = self.along(ends, self.limit.at);
        let mark = Rect { left: at - 1.5, top: BAR.0 - 6.0, right: at + 1.5, bottom: BAR.1 + 6.0 };
        if self.limit.at < self.scale {
            sheet.shapes.push(Shape::block(&mark, theme.limit));
        }
        let label = self.limit.told(self.scale);
        let width = sheet.fonts.width(&label, 26.0, Weight::Regular);
        let left = (at - 0.5 * width).clamp(ends.0, ends.1 - width);
        sheet.text(&label, (left, BAR.1 + 8.0), (26.0, Weight::Regular, theme.limit));
    }

    /// Where the whole bar of side 0 or 1 stands, from nought to the end of its scale: left, right and the height of its middle, px.
    pub fn bar_place(side: usize, theme: &Theme) -> (f64, f64, f64) {
        let half = 0.5 * f64::from(WIDTH);
        let left = theme.margin + half * side as f64;
        (left, left + half - 2.0 * theme.margin, 0.5 * (BAR.0 + BAR.1))
    }
}

impl Picture for FilmFrame<'_> {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        let tints = Tints::of(theme);
        let (wide, half) = (f64::from(WIDTH), 0.5 * f64::from(WIDTH));
        let (mut shapes, mut texts): (Vec<Shape>, Vec<TextBox>) = (Vec::new(), Vec::new());
        let line = |from, to| Shape::Line { points: vec![from, to], colour: theme.grid, width: 2.0 };
        shapes.push(line((half, 36.0), (half, MACHINES.1)));
        shapes.push(line((theme.margin, MACHINES.1 + 4.0), (wide - theme.margin, MACHINES.1 + 4.0)));
        for (index, side) in self.sides.iter().enumerate() {
            let place = self.place(index);
            let mut pen = Pen { place, tints, outline: OUTLINE, shapes: &mut shapes };
            self.mechanism.draw(&side.pose, &mut pen);
            texts.extend(self.mechanism.gauge_words(&place, (&fonts, 20.0), theme.ink));
        }
        let mut sheet = Sheet { theme, fonts: &fonts, tints, shapes: &mut shapes, texts: &mut texts };
        for (index, side) in self.sides.iter().enumerate() {
            let (left, right, _) = Self::bar_place(index, theme);
            let room = right - left;
            let colour = theme.series_colour(side.style).text;
            let stage = fonts.wrap(&side.stage, 34.0, Weight::Regular, room, 1);
            sheet.text(&side.name, (left, 18.0), (44.0, Weight::Bold, colour));
            sheet.text(&stage.concat(), (left, 70.0), (34.0, Weight::Regular, theme.ink));
            let [figure, counts] = &side.count;
            let counted = left + NAME;
            let width = fonts.width(figure, 44.0, Weight::Bold);
            sheet.text(figure, (counted, 18.0), (44.0, Weight::Bold, theme.ink));
            let gap = if figure.is_empty() { 0.0 } else { 14.0 };
            let words = fonts.wrap(counts, 30.0, Weight::Regular, room - NAME - width - gap, 1);
            sheet.text(&words.concat(), (counted + width + gap, 30.0), (30.0, Weight::Regular, theme.muted));
            self.bar(side, (left, right), &mut sheet);
        }
        let mut top = PLOTS + 12.0;
        let [figure, what, more] = &self.clock;
        for (text, size, weight, colour, most) in [
            (figure, 48.0, Weight::Bold, theme.ink, 2),
            (what, 32.0, Weight::Regular, theme.ink, 2),
            (more, 28.0, Weight::Regular, theme.muted, 3),
        ] {
            for line in fonts.wrap(text, size, weight, CLOCK, most) {
                sheet.text(&line, (theme.margin, top), (size, weight, colour));
                top += 1.16 * size;
            }
            top += 8.0;
        }
        let count = self.plots.len().max(1) as f64;
        let left = theme.margin + CLOCK + GAP;
        let width = (wide - theme.margin - left - GAP * (count - 1.0)) / count;
        for (index, plot) in self.plots.iter().enumerate() {
            let from = left + (width + GAP) * index as f64;
            let room = Rect { left: from, top: PLOTS, right: from + width, bottom: f64::from(HEIGHT) - 24.0 };
            live::draw(plot, &room, self.now, &mut sheet);
        }
        let layout = Layout { width: WIDTH, height: HEIGHT, texts, omitted: Vec::new() };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}
