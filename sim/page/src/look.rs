//! How the pictures of the page look.

use latchstroke_plots::{Chart, Picture, PlotError, Theme, to_live_svg};
use serde::Deserialize;

/// Narrowest and widest canvas, px.
const CANVAS: (u32, u32) = (860, 1920);
/// A canvas up to this width is drawn higher: for a phone held upright, or for large type, with which a chart is no wider.
const UPRIGHT: u32 = 1250;
/// Canvases tried for a chart that does not fit on the first.
const MOST_ESTIMATES: usize = 5;

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
        let height = f64::from(width) * if self.is_upright() { 0.78 } else { 0.5625 } * tall;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the canvas")]
        let mut size = (width, height.round() as u32);
        // What a canvas lacks is an estimate; a second is usual.
        for _ in 0..MOST_ESTIMATES {
            match self.svg(&chart.clone().with_size(size.0, size.1)) {
                Err(PlotError::CanvasTooSmall { least, .. }) => size = least,
                drawn => return drawn,
            }
        }
        self.svg(&chart.clone().with_size(size.0, size.1))
    }

    /// Whether there is no room for anything enlarged beside a chart.
    pub fn is_upright(self) -> bool {
        self.width <= UPRIGHT
    }
}
