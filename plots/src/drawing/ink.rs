//! Pens and type sizes of a sheet.

use strum::VariantArray;

/// A kind of line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub(super) enum Pen {
    /// The frame of the sheet.
    Frame,
    /// A visible edge.
    Edge,
    /// Dimension, leader, thread root or rule.
    Thin,
    /// Hatching of a cut.
    Hatch,
    /// A hidden edge.
    Hidden,
    /// An axis.
    Axis,
    /// What belongs to the machine, beside the pieces to be made.
    Phantom,
    /// The sign in a frame.
    Sign,
}

impl Pen {
    /// Every pen.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// Its name in the SVG.
    pub fn name(self) -> &'static str {
        match self {
            Self::Frame => "frame",
            Self::Edge => "edge",
            Self::Thin => "thin",
            Self::Hatch => "hatch",
            Self::Hidden => "hidden",
            Self::Axis => "axis",
            Self::Phantom => "phantom",
            Self::Sign => "sign",
        }
    }

    /// Width, mm.
    pub fn width(self) -> f64 {
        match self {
            Self::Frame => 0.7,
            Self::Edge => 0.5,
            Self::Hidden | Self::Phantom | Self::Sign => 0.25,
            Self::Thin | Self::Axis => 0.18,
            Self::Hatch => 0.13,
        }
    }

    /// Dashes and gaps by turns, mm.
    pub fn dashes(self) -> Option<&'static str> {
        match self {
            Self::Hidden => Some("2.2 0.9"),
            Self::Axis => Some("7 1.1 0.6 1.1"),
            Self::Phantom => Some("6 1 0.6 1 0.6 1"),
            _ => None,
        }
    }
}

/// Type size of millimetres in dimensions, mm.
pub(super) const UPPER: f64 = 4.2;
/// Type size of inches and of words.
pub(super) const WORDS: f64 = 3.4;
/// Type size of the words that forbid the making of a piece.
pub(super) const FORBIDS: f64 = 9.0;
/// Type size of headings of the title block's fields.
pub(super) const HEADING: f64 = 2.5;
