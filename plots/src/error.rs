//! What can go wrong while drawing.

use std::fmt;

/// Why a picture could not be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlotError {
    /// The canvas cannot hold the picture with type of the theme's size.
    CanvasTooSmall {
        /// Width and height asked for, px.
        asked: (u32, u32),
        /// Least width and height that would do, px.
        least: (u32, u32),
    },
    /// A PNG width outside `1..=16384` px was asked for.
    PngWidth(u32),
    /// The embedded font could not be read.
    Font,
    /// A part has no size, or none that fits on a sheet.
    Drawing(String),
    /// The text given is not an SVG document.
    Svg(String),
    /// The picture could not be coded as PNG.
    Png(String),
    /// The page could not be coded as PDF.
    Pdf(String),
    /// The film could not be coded as GIF.
    Gif(String),
}

impl fmt::Display for PlotError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CanvasTooSmall { asked, least } => write!(
                f,
                "the canvas of {} × {} px is too small for this chart; at least {} × {} px is needed",
                asked.0, asked.1, least.0, least.1
            ),
            Self::PngWidth(width) => {
                write!(f, "a PNG {width} px wide cannot be made; give 1 to 16384 px")
            }
            Self::Font => write!(f, "the font inside the program cannot be read"),
            Self::Drawing(why) => write!(f, "the part could not be drawn: {why}"),
            Self::Svg(why) => write!(f, "this is not a readable SVG picture: {why}"),
            Self::Png(why) => write!(f, "the PNG could not be written: {why}"),
            Self::Pdf(why) => write!(f, "the PDF could not be written: {why}"),
            Self::Gif(why) => write!(f, "the GIF could not be written: {why}"),
        }
    }
}

impl std::error::Error for PlotError {}
