//! A strip below a dial: what it does at which part of its way.

use crate::error::PlotError;
use crate::geometry::Rect;
use crate::hatch;
use crate::scene::{Layout, Picture, Scene, Shape};
use crate::theme::Theme;

/// Width and height of a strip, px.
const SIZE: (u32, u32) = (1000, 20);
/// Length of a dash and of the gap after it, px.
const DASH: (f64, f64) = (26.0, 12.0);

/// How a part of a strip is marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A bar in the colour of a series.
    Bar(usize),
    /// A broken bar in the colour of a series.
    Broken(usize),
    /// Ruled as what is not allowed.
    Forbidden,
    /// Nothing is known of it.
    Blank,
}

/// A strip: parts from one share of the way (0 to 1) to another.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Strip {
    /// The parts.
    pub parts: Vec<(f64, f64, Mark)>,
}

impl Picture for Strip {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let (wide, high) = (f64::from(SIZE.0), f64::from(SIZE.1));
        let mut shapes = Vec::new();
        for &(from, to, mark) in &self.parts {
            let part = Rect::sized(wide * from, 0.0, wide * (to - from), high);
            let mut bar = |left: f64, right: f64, colour| {
                let points = vec![(left, 0.0), (right, 0.0), (right, high), (left, high)];
                shapes.push(Shape::Area { points, colour });
            };
            match mark {
                Mark::Bar(style) => bar(part.left, part.right, theme.series_colour(style).line),
                Mark::Broken(style) => {
                    let mut left = part.left;
                    while left < part.right {
                        bar(left, (left + DASH.0).min(part.right), theme.series_colour(style).line);
                        left += DASH.0 + DASH.1;
                    }
                }
                Mark::Forbidden => shapes.extend(hatch::forbidden(&part, (part.left, high), theme)),
                Mark::Blank => bar(part.left, part.right, theme.grid),
            }
        }
        let layout = Layout { width: SIZE.0, height: SIZE.1, texts: Vec::new(), omitted: Vec::new() };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}
