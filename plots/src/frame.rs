//! What pictures of every kind share: the canvas with its headline, and a page whose one panel holds something other than curves.

use crate::error::PlotError;
use crate::geometry::Rect;
use crate::line_chart::page::{Page, PanelPlace, Setting};
use crate::line_chart::{head, paint};
use crate::scene::{Layout, Scene, Shape, TextBox, Weight};

/// The canvas within its margins, and the headline on it.
pub struct Head {
    /// The canvas within its margins.
    pub frame: Rect,
    /// The headline, one box a line.
    pub texts: Vec<TextBox>,
    /// Where whatever comes under the headline may begin, px.
    pub top: f64,
}

impl Head {
    /// The headline of a chart at the top of its canvas.
    pub fn of(setting: &Setting) -> Self {
        let size = (f64::from(setting.chart.width), f64::from(setting.chart.height));
        let frame = Rect::sized(0.0, 0.0, size.0, size.1).grown(-setting.theme.margin);
        let texts = head::headline(setting, &frame);
        let under = |last: &TextBox| last.y + last.h + 0.55 * setting.theme.sizes.headline;
        let top = texts.last().map_or(frame.top, under);
        Self { frame, texts, top }
    }
}

/// The error for a canvas of `asked` px that lacks so many px of width and height.
pub fn too_small(asked: (u32, u32), wider: f64, higher: f64) -> PlotError {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "rounded and not negative")]
    let more = |lacking: f64| lacking.max(0.0).ceil() as u32;
    let least = (asked.0.saturating_add(more(wider)), asked.1.saturating_add(more(higher)));
    PlotError::CanvasTooSmall { asked, least }
}

/// Estimates of a canvas large enough; two or three are usual.
const MOST_ESTIMATES: usize = 20;

/// The same error with a canvas that will do for `lay`: a first estimate leaves out what shows only once there is more room, such
/// as a column of names.
pub fn enough(
    setting: &Setting,
    error: PlotError,
    lay: impl Fn(&Setting) -> Result<(), PlotError>,
) -> PlotError {
    let PlotError::CanvasTooSmall { asked, mut least } = error else { return error };
    for _ in 0..MOST_ESTIMATES {
        let chart = setting.chart.clone().with_size(least.0, least.1);
        match lay(&Setting { chart: &chart, ..*setting }) {
            Err(PlotError::CanvasTooSmall { least: more, .. }) => least = more,
            _ => break,
        }
    }
    PlotError::CanvasTooSmall { asked, least }
}

/// The page of a chart with one panel and nothing in it yet.
pub struct OnePanel {
    /// Where things stand.
    pub page: Page,
    /// The inside of the panel.
    pub rect: Rect,
    /// The ground, then what is put upon it.
    pub shapes: Vec<Shape>,
    /// All text outside the panel, then what is put inside.
    pub texts: Vec<TextBox>,
    /// Names that stand nowhere.
    pub omitted: Vec<String>,
}

impl OnePanel {
    /// Lays the page out.
    ///
    /// # Errors
    /// [`PlotError::CanvasTooSmall`].
    pub fn of(setting: &Setting) -> Result<Self, PlotError> {
        let lay = |setting: &Setting| Page::new(setting, 0.0).map(|_| ());
        let mut page = Page::new(setting, 0.0).map_err(|error| enough(setting, error, lay))?;
        let rect = page.panels.first().map_or(page.frame, |panel| panel.rect);
        let mut shapes = Vec::new();
        paint::ground(setting, &page, &mut shapes);
        let mut texts = paint::figures(setting, &page);
        texts.append(&mut page.texts);
        let omitted = std::mem::take(&mut page.omitted);
        Ok(Self { page, rect, shapes, texts, omitted })
    }

    /// The pixel of a value of the x axis.
    pub fn x(&self, value: f64) -> Option<f64> {
        self.page.x_pixel(value)
    }

    /// The pixel of a value of the y axis.
    pub fn y(&self, value: f64) -> Option<f64> {
        let PanelPlace { rect, y, .. } = self.page.panels.first()?;
        y.pixel(value, rect.bottom, rect.top)
    }

    /// Says in the middle of the panel that there is nothing to show.
    pub fn no_data(&mut self, setting: &Setting) {
        let (words, kind) = ("no data", (setting.theme.sizes.label, Weight::Regular, setting.theme.muted));
        let width = setting.fonts.width(words, kind.0, kind.1);
        let middle =
            (f64::midpoint(self.rect.left, self.rect.right), f64::midpoint(self.rect.top, self.rect.bottom));
        let corner = (middle.0 - width / 2.0, middle.1 - kind.0 / 2.0);
        self.texts.push(TextBox::set(setting.fonts, words, corner, kind));
    }

    /// The finished picture.
    pub fn scene(self, setting: &Setting) -> Scene {
        let (width, height) = (setting.chart.width, setting.chart.height);
        let layout = Layout { width, height, texts: self.texts, omitted: self.omitted };
        Scene { background: setting.theme.background, shapes: self.shapes, layout }
    }
}
