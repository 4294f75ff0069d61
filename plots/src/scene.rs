//! A laid-out picture: shapes and text boxes in pixels, top left corner at (0, 0), y downwards.

use crate::error::PlotError;
use crate::font::{ASCENT, DESCENT, Fonts, Weight};
use crate::geometry::{Point, Rect};
use crate::theme::{Colour, Theme};

/// Something that can be laid out on a canvas.
pub trait Picture {
    /// Lays the picture out in the colours and sizes of the theme.
    ///
    /// # Errors
    /// [`PlotError::CanvasTooSmall`] if the canvas cannot hold it, [`PlotError::Font`] if the
    /// embedded font is damaged.
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError>;
}

/// A shape without text.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line through the points, with round joins and ends.
    Line {
        /// Corners, px.
        points: Vec<Point>,
        /// Colour of the stroke.
        colour: Colour,
        /// Width of the stroke, px.
        width: f64,
    },
    /// A filled polygon.
    Area {
        /// Corners, px.
        points: Vec<Point>,
        /// Colour of the fill.
        colour: Colour,
    },
    /// A filled disc.
    Dot {
        /// Centre, px.
        centre: Point,
        /// Radius, px.
        radius: f64,
        /// Colour of the fill.
        colour: Colour,
    },
}

impl Shape {
    /// A straight line.
    pub(crate) fn line(from: Point, to: Point, colour: Colour, width: f64) -> Self {
        Self::Line { points: vec![from, to], colour, width }
    }

    /// Its colour.
    pub fn colour(&self) -> Colour {
        match self {
            Self::Line { colour, .. } | Self::Area { colour, .. } | Self::Dot { colour, .. } => *colour,
        }
    }

    /// A filled rectangle.
    pub(crate) fn block(rect: &Rect, colour: Colour) -> Self {
        Self::Area { points: rect.corners().to_vec(), colour }
    }
}

/// One line of text and the box it fills, px: `x`, `y` is the top left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct TextBox {
    /// The words.
    pub text: String,
    /// Left edge, px.
    pub x: f64,
    /// Top edge, px.
    pub y: f64,
    /// Width, px.
    pub w: f64,
    /// Height, px: one type size.
    pub h: f64,
    /// Type size, px.
    pub size: f64,
    /// Weight of the type.
    pub weight: Weight,
    /// Colour of the type.
    pub colour: Colour,
    /// Colour of the halo, where it is not the background's.
    pub halo: Option<Colour>,
}

impl TextBox {
    /// Sets one line of text with its box's top left corner at `corner`.
    pub(crate) fn set(fonts: &Fonts, text: &str, corner: Point, type_of: (f64, Weight, Colour)) -> Self {
        let (size, weight, colour) = type_of;
        Self {
            text: text.to_owned(),
            x: corner.0,
            y: corner.1,
            w: fonts.width(text, size, weight),
            h: size * (ASCENT + DESCENT),
            size,
            weight,
            colour,
            halo: None,
        }
    }

    /// Height of the baseline, px from the top of the picture.
    pub fn baseline(&self) -> f64 {
        self.y + ASCENT * self.size
    }

    /// The box as a rectangle.
    pub(crate) fn rect(&self) -> Rect {
        Rect::sized(self.x, self.y, self.w, self.h)
    }

    /// Whether the two boxes cover common ground.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.rect().overlaps(&other.rect())
    }
}

/// The text of a laid-out picture, for checks that nothing overlaps and nothing is cut off.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Width of the canvas, px.
    pub width: u32,
    /// Height of the canvas, px.
    pub height: u32,
    /// Every line of text with its box.
    pub texts: Vec<TextBox>,
    /// Names that stand nowhere: there was no room, or what they name lies outside the axes. Empty on any
    /// sensible chart; worth a warning where it is not.
    pub omitted: Vec<String>,
}

/// A laid-out picture, ready to be drawn: shapes in their order, then all text on top.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Colour of the canvas, also of the halo round the letters where text names no other.
    pub background: Colour,
    /// Shapes, lowest first.
    pub shapes: Vec<Shape>,
    /// Canvas size, text, and what had no room.
    pub layout: Layout,
}
