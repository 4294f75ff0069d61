//! What lies under all that is drawn in the panels: shading, grid, axes and upright lines, with the figures along the axes.

use super::TO_FIGURES;
use super::page::{Page, PanelPlace};
use crate::canvas::{Content, Setting};
use crate::geometry::Rect;
use crate::scene::{Shape, TextBox};
use crate::theme::{Colour, Theme};

/// Width of grid lines, px.
const HAIR: f64 = 1.5;
/// Width of axes, ticks and poles, px.
const AXIS: f64 = 2.0;
/// Length of a tick, px.
pub const TICK: f64 = 9.0;

impl Page {
    /// The ground, and all text outside the panels. What stands nowhere is told.
    pub fn ground(&mut self, setting: &Setting) -> Content {
        let mut content = Content { texts: self.figures(setting), ..Content::default() };
        content.texts.append(&mut self.texts);
        content.omitted.append(&mut self.omitted);
        self.shade_and_rule(setting.theme, &mut content.shapes);
        content
    }

    fn shade_and_rule(&self, theme: &Theme, shapes: &mut Vec<Shape>) {
        for place in &self.panels {
            for (bar, index) in &self.bars {
                let column = Rect { top: place.rect.top, bottom: place.rect.bottom, ..*bar };
                shapes.push(Shape::block(&column, shade(theme, *index)));
            }
        }
        for (bar, _) in &self.bars {
            shapes.push(Shape::block(bar, theme.axis.faded(0.55)));
        }
        for PanelPlace { rect, marks, y } in &self.panels {
            let across = |up: f64, colour| Shape::line((rect.left, up), (rect.right, up), colour, HAIR);
            let upright = |x: f64, colour| Shape::line((x, rect.top), (x, rect.bottom), colour, HAIR);
            shapes.extend(marks.minor.iter().map(|up| across(*up, theme.grid.faded(0.6))));
            shapes.extend(self.marks.minor.iter().map(|x| upright(*x, theme.grid.faded(0.6))));
            shapes.extend(marks.major.iter().map(|(up, _)| across(*up, theme.grid)));
            shapes.extend(self.marks.major.iter().map(|(x, _)| upright(*x, theme.grid.faded(0.7))));
            let zero = y.pixel(0.0, rect.bottom, rect.top).filter(|_| y.holds(0.0));
            shapes.extend(zero.map(|zero| across(zero, theme.axis.faded(0.6))));
            shapes.push(Shape::line((rect.left, rect.bottom), (rect.right, rect.bottom), theme.axis, AXIS));
        }
        if let Some(PanelPlace { rect, .. }) = self.panels.last() {
            for (x, _) in &self.marks.major {
                shapes.push(Shape::line((*x, rect.bottom), (*x, rect.bottom + TICK), theme.axis, AXIS));
            }
        }
        for (index, PanelPlace { rect, .. }) in self.panels.iter().enumerate() {
            for (x, top) in &self.stems {
                let start = if index == 0 { *top } else { rect.top };
                shapes.push(Shape::line((*x, start), (*x, rect.bottom), theme.axis, AXIS));
            }
        }
    }

    /// The figures along all axes.
    fn figures(&self, setting: &Setting) -> Vec<TextBox> {
        let (size, colour) = (setting.theme.sizes.tick, setting.theme.muted);
        let mut out = Vec::new();
        for PanelPlace { rect, marks, .. } in &self.panels {
            for (y, text) in &marks.major {
                let left = rect.left - TO_FIGURES - setting.width_of(text, size);
                out.push(setting.text(text, (left, y - 0.5 * size), (size, colour)));
            }
        }
        if let Some(PanelPlace { rect, .. }) = self.panels.last() {
            for (x, text) in &self.marks.major {
                let width = setting.width_of(text, size);
                let left = (x - width / 2.0).min(setting.room.right + 0.5 * setting.theme.margin - width);
                out.push(setting.text(text, (left, rect.bottom + TO_FIGURES), (size, colour)));
            }
        }
        out
    }

    /// The shading that lies under the whole of a text in a panel, if any; later bands cover earlier ones.
    pub fn shade_under(&self, theme: &Theme, text: &Rect) -> Option<Colour> {
        let covers = |bar: &Rect| bar.left <= text.left && text.right <= bar.right;
        let touches = |bar: &Rect| bar.left < text.right && text.left < bar.right;
        let (bar, index) = self.bars.iter().rfind(|(bar, _)| touches(bar))?;
        covers(bar).then(|| shade(theme, *index))
    }
}

/// The colour of a band's shading.
fn shade(theme: &Theme, index: usize) -> Colour {
    theme.bands[index % 2]
}
