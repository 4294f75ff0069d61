//! How the pictures of the page look.

use latchstroke_plots::{Chart, Picture, PlotError, Theme, to_live_svg};
use serde::Deserialize;

/// Narrowest and widest canvas, px.
const CANVAS: (u32, u32) = (860, 1920);
/// A canvas up to this width is drawn for a phone held upright: higher.
const UPRIGHT: u32 = 1000;

/// What a page says of itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub struct Look {
    /// Light on dark.
    pub dark: bool,
    /// Width of a chart's canvas, px; type keeps its size on it, so that a narrow one has large type.
    pub width: u32,
}

impl Look {
    /// The colours and sizes.
    pub fn theme(self) -> Theme {
        if self.dark { Theme::dark() } else { Theme::light() }
    }

    /// A picture as SVG with live text.
    pub fn svg(self, picture: &impl Picture) -> Result<String, PlotError> {
        to_live_svg(picture, &self.theme())
    }

    /// A chart as SVG with live text, `tall` times as high as one on a screen.
    pub fn chart<B: Clone>(self, chart: &Chart<B>, tall: f64) -> Result<String, PlotError>
    where
        Chart<B>: Picture,
    {
        let width = self.width.clamp(CANVAS.0, CANVAS.1);
        let height = f64::from(width) * if width <= UPRIGHT { 0.78 } else { 0.5625 } * tall;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the canvas")]
        let height = height.round() as u32;
        match self.svg(&chart.clone().with_size(width, height)) {
            Err(PlotError::CanvasTooSmall { least, .. }) => {
                self.svg(&chart.clone().with_size(least.0, least.1))
            }
            drawn => drawn,
        }
    }
}
