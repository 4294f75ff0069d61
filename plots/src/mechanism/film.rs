//! One frame of a film: two machines side by side at the same instant, the clock, and curves drawn up to now.

use super::live::{self, LivePlot, Sheet};
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
const MACHINES: (f64, f64) = (128.0, 800.0);
/// Where the curves begin, px.
const PLOTS: f64 = 822.0;
/// Width of the clock, px.
const CLOCK: f64 = 330.0;
/// Space between curves, px.
const GAP: f64 = 44.0;
/// Width of the machines' outlines, px.
const OUTLINE: f64 = 2.4;

/// One of the two machines.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// Its name: how the latch stands.
    pub name: String,
    /// What is happening.
    pub stage: String,
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
    /// The clock: time, angle and pace of the film.
    pub clock: [String; 3],
    /// The curves, from left to right.
    pub plots: &'a [LivePlot],
    /// What the curves' x runs from and to.
    pub span: (f64, f64),
    /// Now, on that scale.
    pub now: f64,
}

impl FilmFrame<'_> {
    /// Where the machine of side 0 or 1 stands.
    pub fn place(&self, side: usize) -> Place {
        let half = 0.5 * f64::from(WIDTH);
        let left = if side == 0 { 24.0 } else { half + 24.0 };
        Place::fit(self.mechanism.extent(), (left, MACHINES.0, left + half - 48.0, MACHINES.1))
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
        }
        let mut sheet = Sheet { theme, fonts: &fonts, tints, shapes: &mut shapes, texts: &mut texts };
        for (index, side) in self.sides.iter().enumerate() {
            let left = theme.margin + half * index as f64;
            let room = half - 2.0 * theme.margin;
            let colour = theme.series_colour(side.style).text;
            let name = fonts.wrap(&side.name, 44.0, Weight::Bold, room, 1);
            let stage = fonts.wrap(&side.stage, 36.0, Weight::Regular, room, 1);
            sheet.text(&name.concat(), (left, 26.0), (44.0, Weight::Bold, colour));
            sheet.text(&stage.concat(), (left, 78.0), (36.0, Weight::Regular, theme.ink));
        }
        let mut top = PLOTS + 22.0;
        let [time, angle, pace] = &self.clock;
        for (text, size, weight, colour) in [
            (time, 56.0, Weight::Bold, theme.ink),
            (angle, 36.0, Weight::Regular, theme.ink),
            (pace, 30.0, Weight::Regular, theme.muted),
        ] {
            let fitted = fonts.wrap(text, size, weight, CLOCK, 1);
            sheet.text(&fitted.concat(), (theme.margin, top), (size, weight, colour));
            top += size + 16.0;
        }
        let count = self.plots.len().max(1) as f64;
        let left = theme.margin + CLOCK + GAP;
        let width = (wide - theme.margin - left - GAP * (count - 1.0)) / count;
        for (index, plot) in self.plots.iter().enumerate() {
            let from = left + (width + GAP) * index as f64;
            let room = Rect { left: from, top: PLOTS, right: from + width, bottom: f64::from(HEIGHT) - 24.0 };
            live::draw(plot, &room, self.span, self.now, &mut sheet);
        }
        let layout = Layout { width: WIDTH, height: HEIGHT, texts, omitted: Vec::new() };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}
