//! What charts of every kind are drawn on: a canvas within its margins, with a headline at its head and a source line at its foot.
//! What stands between the two is the chart's body.

use crate::error::PlotError;
use crate::font::{Fonts, Weight};
use crate::geometry::{Point, Rect};
use crate::scene::{Layout, Picture, Scene, Shape, TextBox};
use crate::theme::{Colour, Theme};

/// A chart: a body on a canvas with a headline and a source line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart<B> {
    /// What the chart shows, in a few words; may be empty.
    pub headline: String,
    /// Where the numbers come from: a small line at the foot; may be empty.
    pub source: String,
    /// Width of the canvas, px.
    pub width: u32,
    /// Height of the canvas, px.
    pub height: u32,
    /// What is drawn.
    pub body: B,
}

impl<B> Chart<B> {
    /// A body on a canvas of 1920 × 1080 px.
    pub(crate) fn of(headline: impl Into<String>, body: B) -> Self {
        Self { headline: headline.into(), source: String::new(), width: 1920, height: 1080, body }
    }

    /// The same chart with a source line at the foot.
    #[must_use]
    pub fn with_source(self, source: impl Into<String>) -> Self {
        Self { source: source.into(), ..self }
    }

    /// The same chart on a canvas of another size, px. Type keeps its size in px.
    #[must_use]
    pub fn with_size(self, width: u32, height: u32) -> Self {
        Self { width, height, ..self }
    }

    /// The same chart with another body.
    #[must_use]
    pub(crate) fn with(mut self, change: impl FnOnce(&mut B)) -> Self {
        change(&mut self.body);
        self
    }
}

/// What stands on the canvas of a chart.
pub trait Body {
    /// Lays the body out in the room between headline and source line.
    ///
    /// # Errors
    /// [`PlotError::CanvasTooSmall`] if it does not fit, from [`Setting::too_small`].
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError>;
}

/// What every step of the layout needs to know.
#[derive(Clone, Copy)]
pub struct Setting<'a> {
    /// Width and height of the canvas, px.
    pub size: (u32, u32),
    /// What the headline and the source line leave of the canvas within its margins, px.
    pub room: Rect,
    /// Colours and sizes.
    pub theme: &'a Theme,
    /// For measuring text.
    pub fonts: &'a Fonts,
}

/// What is drawn: shapes, text, and what has no room.
#[derive(Debug, Default)]
pub struct Content {
    /// Shapes, lowest first.
    pub shapes: Vec<Shape>,
    /// Lines of text.
    pub texts: Vec<TextBox>,
    /// Names that stand nowhere.
    pub omitted: Vec<String>,
}

impl Content {
    /// Takes in what is drawn on top.
    pub fn extend(&mut self, other: Self) {
        self.shapes.extend(other.shapes);
        self.texts.extend(other.texts);
        self.omitted.extend(other.omitted);
    }
}

/// Distance from line to line, in type sizes.
pub const LEADING: f64 = 1.15;
/// Px between the parts of the foot, from the source line up.
pub const FOOT_GAP: f64 = 18.0;
/// The most lines of a headline: two are usual, and a finding is not cut short on a narrow canvas.
const HEADLINE_LINES: usize = 4;
/// The most lines of a source line.
const SOURCE_LINES: usize = 2;
/// Estimates of a canvas large enough; two or three are usual.
const MOST_ESTIMATES: usize = 20;

impl<'a> Setting<'a> {
    /// Sets headline and source line on a canvas; what they leave is the room.
    pub fn new<B>(
        chart: &Chart<B>,
        size: (u32, u32),
        theme: &'a Theme,
        fonts: &'a Fonts,
    ) -> (Self, Vec<TextBox>) {
        let room = Rect::sized(0.0, 0.0, f64::from(size.0), f64::from(size.1)).grown(-theme.margin);
        let mut setting = Self { size, room, theme, fonts };
        let kind = (theme.sizes.headline, Weight::Bold, theme.ink);
        let lines = fonts.wrap(&chart.headline, kind.0, kind.1, room.width(), HEADLINE_LINES);
        let mut texts = setting.stacked(&lines, (room.left, room.top), kind);
        if let Some(last) = texts.last() {
            setting.room.top = last.y + last.h + 0.55 * kind.0;
        }
        let kind = (theme.sizes.small, Weight::Regular, theme.muted);
        let lines = fonts.wrap(&chart.source, kind.0, kind.1, room.width(), SOURCE_LINES);
        if !lines.is_empty() {
            let top = room.bottom - Self::height_of(lines.len(), kind.0);
            texts.extend(setting.stacked(&lines, (room.left, top), kind));
            setting.room.bottom = top - FOOT_GAP;
        }
        (setting, texts)
    }

    /// Width of the canvas, px.
    pub fn width(&self) -> f64 {
        f64::from(self.size.0)
    }

    /// Width of one line of text, px.
    pub fn width_of(&self, text: &str, size: f64) -> f64 {
        self.fonts.width(text, size, Weight::Regular)
    }

    /// One line of text in the regular face with its top left corner at `corner`.
    pub fn text(&self, text: &str, corner: Point, (size, colour): (f64, Colour)) -> TextBox {
        TextBox::set(self.fonts, text, corner, (size, Weight::Regular, colour))
    }

    /// Lines of text under each other, flush left.
    pub fn stacked(
        &self,
        lines: &[String],
        (left, top): Point,
        type_of: (f64, Weight, Colour),
    ) -> Vec<TextBox> {
        let tops = (0_u32..).map(|n| top + LEADING * type_of.0 * f64::from(n));
        lines.iter().zip(tops).map(|(line, y)| TextBox::set(self.fonts, line, (left, y), type_of)).collect()
    }

    /// Height of so many lines of one size, px.
    pub fn height_of(lines: usize, size: f64) -> f64 {
        size * (1.0 + LEADING * lines.saturating_sub(1) as f64)
    }

    /// The error for a body that lacks so many px of width and height.
    pub fn too_small(&self, wider: f64, higher: f64) -> PlotError {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "rounded, not negative")]
        let more = |lacking: f64| lacking.max(0.0).ceil() as u32;
        let least = (self.size.0.saturating_add(more(wider)), self.size.1.saturating_add(more(higher)));
        PlotError::CanvasTooSmall { asked: self.size, least }
    }
}

impl<B: Body> Chart<B> {
    /// The picture on a canvas of a size, px.
    fn on(&self, size: (u32, u32), theme: &Theme, fonts: &Fonts) -> Result<Scene, PlotError> {
        let (setting, texts) = Setting::new(self, size, theme, fonts);
        let mut content = Content { texts, ..Content::default() };
        content.extend(self.body.draw(&setting)?);
        let Content { shapes, texts, omitted } = content;
        let layout = Layout { width: size.0, height: size.1, texts, omitted };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}

impl<B: Body> Picture for Chart<B> {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        let asked = theme.format.canvas((self.width, self.height));
        let mut outcome = self.on(asked, theme, &fonts);
        // A first estimate leaves out what shows only once there is more room, such as a column of names.
        for _ in 0..MOST_ESTIMATES {
            let Err(PlotError::CanvasTooSmall { least, .. }) = outcome else { return outcome };
            outcome = match self.on(least, theme, &fonts) {
                Err(PlotError::CanvasTooSmall { least, .. }) => {
                    Err(PlotError::CanvasTooSmall { asked, least })
                }
                _ => return Err(PlotError::CanvasTooSmall { asked, least }),
            };
        }
        outcome
    }
}
