//! A page whose one panel holds something other than curves.

use super::{Axes, Page, PanelPlace};
use crate::canvas::{Content, Setting};
use crate::error::PlotError;
use crate::geometry::Rect;

/// The page of a chart with one panel and nothing in it yet.
pub struct OnePanel {
    /// Where things stand.
    pub page: Page,
    /// The inside of the panel.
    pub rect: Rect,
    /// The ground with its text, then what is put upon it.
    pub content: Content,
}

impl OnePanel {
    /// Lays the page out.
    ///
    /// # Errors
    /// [`PlotError::CanvasTooSmall`].
    pub fn of(setting: &Setting, axes: &Axes) -> Result<Self, PlotError> {
        let mut page = Page::new(setting, axes, 0.0)?;
        let rect = page.panels.first().map_or(setting.room, |panel| panel.rect);
        let content = page.ground(setting);
        Ok(Self { page, rect, content })
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
        let (words, size) = ("no data", setting.theme.sizes.label);
        let middle = self.rect.middle();
        let corner = (middle.0 - setting.width_of(words, size) / 2.0, middle.1 - size / 2.0);
        self.content.texts.push(setting.text(words, corner, (size, setting.theme.muted)));
    }
}
